"""A front in the builder's words: parts and values, what was ruled out by what, and the way to a craft file."""

import csv
import io
import math
import shutil
from collections.abc import Mapping
from concurrent.futures import Executor
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from rotorwright.craft.edit import change_craft
from rotorwright.errors import InputError, Problem
from rotorwright.search.bounds import margins
from rotorwright.search.front import Front, Progress, exact_front
from rotorwright.search.grid import Grid
from rotorwright.search.gridding import grid_of, verified
from rotorwright.search.measures import MEASURES
from rotorwright.search.space import Space

__all__ = ["Answer", "FrontCraft", "Miss", "as_csv", "make_craft", "search"]

_MOST = 2**62


@dataclass(frozen=True, slots=True)
class FrontCraft:
    """One craft of the front: the part in each place, and the goals' nominal values [SI]."""

    number: int
    parts: Mapping[str, str]
    values: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Miss:
    """The combination found nearest to passing, and the limits it breaks with their margins (shares of the limit)."""

    parts: Mapping[str, str]
    broken: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Answer:
    """The exact front at nominal inputs, sorted by the first goal; what became of every combination.

    `superfluous` were left out because a part in the same place is nowhere worse; `became` counts the rest; `limits`
    counts combinations by the limit that ruled them out; `equals` have the goals of a craft before them.
    """

    space: str
    craft: str
    goals: Mapping[str, str]
    front: tuple[FrontCraft, ...]
    combinations: int
    superfluous: int
    became: Mapping[str, int]
    limits: Mapping[str, int]
    equals: int
    cannot_be_computed: tuple[str, ...]
    nearest_miss: Miss | None
    blocks: int
    resumed: int


def search(
    space: Space,
    *,
    workers: int = 1,
    state: Path | None = None,
    progress: Progress | None = None,
    executor: Executor | None = None,
) -> Answer:
    """The front of a space, by processes of this machine or another executor.

    Raises InputError when a limit cannot be looked at or a goal is stated by no part.
    """
    grid = grid_of(space)
    if math.prod(grid.counts) > _MOST:
        raise InputError(
            Problem("more combinations than can be numbered", "Choose from fewer parts.", "", space.file)
        )
    _check(space, grid)
    verified(space, grid)
    front = exact_front(
        grid, space.goals, space.limits, workers=workers, state=state, progress=progress, executor=executor
    )
    return _answer(space, grid, front)


def _check(space: Space, grid: Grid) -> None:
    """Every limit and goal must be known for some combination."""
    n = max(grid.counts)
    view = grid.combos(np.stack([np.arange(n) % count for count in grid.counts], axis=1))
    room = margins(view, space.limits)
    problems = [
        Problem(f"the limit '{limit}' cannot be looked at", "Give what it reads on the parts.", "", space.file)
        for k, limit in enumerate(space.limits)
        if np.isneginf(room[:, k]).all() and limit.is_rule
    ]
    for goal in space.goals:
        if goal.measure == "cost" and np.isnan(view.cost).all():
            problems.append(Problem("no combination has a cost", "Give price on the parts.", "", space.file))
    if problems:
        raise InputError(*problems)


def _names(grid: Grid, index: np.ndarray) -> dict[str, str]:
    return {place.id: place.names[int(i)] for place, i in zip(grid.places, index, strict=True)}


def _answer(space: Space, grid: Grid, front: Front) -> Answer:
    rows = tuple(
        FrontCraft(
            number=k + 1,
            parts=_names(grid, index),
            values={g.measure: float(-g.way * x) for g, x in zip(space.goals, point, strict=True)},
        )
        for k, (index, point) in enumerate(zip(front.index, front.points, strict=True))
    )
    ways = {1: "more", -1: "less"}
    return Answer(
        space=space.file.name,
        craft=space.craft.title.full,
        goals={goal.measure: ways[goal.way] for goal in space.goals},
        front=rows,
        combinations=front.total,
        superfluous=front.superfluous,
        became=front.counts,
        limits={str(limit): n for limit, n in zip(space.limits, front.broken, strict=True)},
        equals=front.equals,
        cannot_be_computed=grid.dropped,
        nearest_miss=None if rows else _miss(space, grid, front),
        blocks=front.blocks,
        resumed=front.resumed,
    )


def _miss(space: Space, grid: Grid, front: Front) -> Miss | None:
    index, margin = front.nearest
    if not space.limits or not np.isfinite(margin):
        return None
    room = margins(grid.combos(index[None]), space.limits)[0]
    broken = {str(limit): float(x) for limit, x in zip(space.limits, room, strict=True) if x < 0.0}
    return Miss(_names(grid, index), broken)


def as_csv(answer: Answer) -> str:
    """The front as a table with commas; goals in the units people use, a part a place."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    places = list(answer.front[0].parts) if answer.front else []
    units = [MEASURES[name].shown for name in answer.goals]
    heads = [f"{name} ({unit})" if unit else name for name, unit in zip(answer.goals, units, strict=True)]
    writer.writerow(["number", *heads, *places])
    for row in answer.front:
        values = [f"{row.values[name] * MEASURES[name].factor:.10g}" for name in answer.goals]
        writer.writerow([row.number, *values, *(row.parts[place] for place in places)])
    return text.getvalue()


def make_craft(space: Space, answer: Answer, number: int, file: Path) -> str:
    """Write one craft of the front as a craft file of its own; returns what was changed.

    Raises InputError when the number is not on the front, or the file exists.
    """
    if not 1 <= number <= len(answer.front):
        raise InputError(Problem(f"no craft {number} on the front", f"Give 1 to {len(answer.front)}."))
    if file.exists():
        raise InputError(Problem("the file exists", "Name a new one.", "", file))
    row = answer.front[number - 1]
    now = {choice.placed.id: choice.placed.part.name for choice in space.choices}
    changes = [f"{place}.use={name}" for place, name in row.parts.items() if now[place] != name]
    try:
        shutil.copyfile(space.craft.file, file)
    except OSError as error:
        what = f"the craft cannot be written: {error.strerror or error}"
        raise InputError(Problem(what, "Name a file in a folder that exists.", "", file)) from None
    try:
        return change_craft(file, [*changes, f"previous={space.craft.file.name}"])
    except BaseException:
        file.unlink(missing_ok=True)
        raise
