"""A front in the builder's words: parts and values, what was ruled out by what, and the way to a craft file."""

import csv
import io
import math
import threading
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from rotorwright.errors import InputError, Problem
from rotorwright.search.bounds import margins
from rotorwright.search.craft_from import craft_with, write_craft_with
from rotorwright.search.fleet import fleet_of
from rotorwright.search.front import Front, exact_front
from rotorwright.search.grid import Grid
from rotorwright.search.gridding import grid_of, verified
from rotorwright.search.measures import MEASURES
from rotorwright.search.miss import Nearest, nearest_miss
from rotorwright.search.near import Near, maybe_on_front, near_front, sampled_goals
from rotorwright.search.progress import Progress
from rotorwright.search.space import Space

__all__ = ["Answer", "FrontCraft", "Miss", "NearCraft", "Underway", "as_csv", "make_craft", "search"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]

_MOST = 2**62


@dataclass(frozen=True, slots=True)
class FrontCraft:
    """One craft of the front: the part in each place, and the goals' nominal values [SI]."""

    number: int
    parts: Mapping[str, str]
    values: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class NearCraft:
    """One craft that may belong to the front, numbered behind it.

    `beside` is the number of the front's craft that leads it by least, each goal over its range; 0 where none is as
    good in every goal.
    """

    number: int
    beside: int
    parts: Mapping[str, str]
    values: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Miss:
    """The combination nearest to keeping every limit, and those it breaks with their margins (shares of the limit).

    Its worst miss is the smallest; of equals its second worst, and so on. `exact` says whether that holds for all
    combinations; otherwise for the `looked_at` that were solved. One that breaks none lacks a goal.
    """

    parts: Mapping[str, str]
    broken: Mapping[str, float]
    exact: bool
    looked_at: int


@dataclass(frozen=True, slots=True)
class Answer:
    """The exact front at nominal inputs, sorted by the first goal; what became of every combination.

    `superfluous` were left out because a part in the same place is nowhere worse; `became` counts the rest; `limits`
    counts combinations by the limit that was the first to rule them out, or where `limits_counted` is "each" those
    that break each limit, of all that can be built; `equals` have the goals of a craft before them; `flown` had
    to be integrated in time. `present` are the goals of the craft as it is, None where it has none.
    `near` may belong to the front, within `tolerance` of it (a share); `within` counts all within it.
    """

    space: str
    craft: str
    goals: Mapping[str, str]
    present: Mapping[str, float | None]
    front: tuple[FrontCraft, ...]
    tolerance: float
    near: tuple[NearCraft, ...]
    within: int
    combinations: int
    superfluous: int
    became: Mapping[str, int]
    limits: Mapping[str, int]
    limits_counted: str
    equals: int
    flown: int
    cannot_be_computed: tuple[str, ...]
    nearest_miss: Miss | None
    blocks: int
    resumed: int


@dataclass(frozen=True)
class Underway:
    """A search that is not done yet: the share that is, the seconds left, and its front so far.

    `flights` is how many combinations have to be flown, by estimate; None where nothing is flown.
    """

    space: Space
    grid: Grid
    progress: Progress

    @property
    def share(self) -> float:
        """Share of the blocks that are done."""
        return self.progress.share

    @property
    def seconds_left(self) -> float | None:
        """Seconds that it may still take; None while nobody knows."""
        return self.progress.seconds_left

    @property
    def flown(self) -> int:
        """Combinations that have been flown."""
        return self.progress.flown

    @property
    def flights(self) -> int | None:
        """Combinations to be flown, by estimate."""
        return self.progress.flights

    def front(self) -> tuple[FrontCraft, ...]:
        """The front of what has been looked at."""
        return _rows(self.space, self.grid, *self.progress.front())


def search(
    space: Space,
    *,
    workers: int = 1,
    state: Path | None = None,
    progress: Callable[[int, int], None] | None = None,
    watch: Callable[[Underway], None] | None = None,
    stop: threading.Event | None = None,
    executor: Executor | None = None,
    tolerance: float = 0.0,
    samples: int = 64,
    seed: int = 0,
) -> Answer:
    """The front of a space, by processes of this machine or another executor.

    state: folder in which finished blocks wait for the same search, should this one be stopped
    progress: told blocks done and blocks in all; watch: told where the search is, once before its first block and
    after each; stop: an event that another thread may set, which raises Stopped; what watchers raise ends it too
    tolerance: keep also what may belong to the front, within this share of it; samples: for the bounds of that
    Raises InputError when a limit cannot be looked at, a goal is stated by no part, or too many craft are near.
    """
    grid = grid_of(space)
    if math.prod(grid.counts) > _MOST:
        raise InputError(
            Problem("more combinations than can be numbered", "Choose from fewer parts.", "", space.file)
        )
    _check(space, grid)
    verified(space, grid)

    def told(now: Progress) -> None:
        if progress and now.done:
            progress(now.done, now.blocks)
        if watch:
            watch(Underway(space, grid, now))

    front = exact_front(
        grid,
        space.goals,
        space.limits,
        workers=workers,
        state=state,
        watch=told if progress or watch else None,
        foresee=watch is not None,
        stop=stop,
        executor=executor,
    )
    near: tuple[NearCraft, ...] = ()
    within = 0
    if tolerance > 0.0 and len(front.index):
        found = near_front(
            grid, front, space.goals, space.limits, tolerance, workers=workers, stop=stop, executor=executor
        )
        near, within = _near(space, grid, front, found, samples, seed), len(found.index)
    missed = nearest_miss(grid, space.limits, stop) if space.limits and not len(front.index) else None
    return _answer(space, grid, front, tolerance, near, within, missed)


def _check(space: Space, grid: Grid) -> None:
    """Every limit and goal must be known for some combination."""
    n = max(grid.counts)
    view = grid.combos(np.stack([np.arange(n) % count for count in grid.counts], axis=1))
    room = margins(view, space.limits, bounded=True)
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


def _names(grid: Grid, index: Index) -> dict[str, str]:
    return {place.id: place.names[int(i)] for place, i in zip(grid.places, index, strict=True)}


def _values(space: Space, point: Array) -> dict[str, float]:
    return {g.measure: float(-g.way * x) for g, x in zip(space.goals, point, strict=True)}


def _rows(space: Space, grid: Grid, index: Index, points: Array) -> tuple[FrontCraft, ...]:
    return tuple(
        FrontCraft(number=k + 1, parts=_names(grid, one), values=_values(space, point))
        for k, (one, point) in enumerate(zip(index, points, strict=True))
    )


def _near(space: Space, grid: Grid, front: Front, near: Near, samples: int, seed: int) -> tuple[NearCraft, ...]:
    """Those near the front that no craft of it beats for sure."""
    ours, theirs = (
        sampled_goals([craft_with(space, _names(grid, one)) for one in index], space.goals, samples, seed)
        for index in (near.index, front.index)
    )
    kept, beside = maybe_on_front(near, front.points, ours, theirs)
    first = len(front.index) + 1
    rows = enumerate(zip(near.index[kept], near.points[kept], beside[kept], strict=True), start=first)
    return tuple(NearCraft(n, int(k) + 1, _names(grid, one), _values(space, x)) for n, (one, x, k) in rows)


def _present(space: Space) -> dict[str, float | None]:
    """The goals of the craft as it is."""
    fleet = fleet_of([space.craft])
    values = {goal.measure: float(MEASURES[goal.measure].values(fleet)[0, 0]) for goal in space.goals}
    return {name: value if math.isfinite(value) else None for name, value in values.items()}


def _answer(
    space: Space,
    grid: Grid,
    front: Front,
    tolerance: float,
    near: Sequence[NearCraft],
    within: int,
    missed: Nearest | None,
) -> Answer:
    rows = _rows(space, grid, front.index, front.points)
    ways = {1: "more", -1: "less"}
    each = missed.broken if missed else None
    return Answer(
        space=space.file.name,
        craft=space.craft.title.full,
        goals={goal.measure: ways[goal.way] for goal in space.goals},
        present=_present(space),
        front=rows,
        tolerance=tolerance,
        near=tuple(near),
        within=within,
        combinations=front.total,
        superfluous=front.superfluous,
        became=front.counts,
        limits={str(limit): n for limit, n in zip(space.limits, each or front.broken, strict=True)},
        limits_counted="each" if each else "first",
        equals=front.equals,
        flown=front.flown,
        cannot_be_computed=grid.dropped,
        nearest_miss=_miss(space, grid, missed) if missed else None,
        blocks=front.blocks,
        resumed=front.resumed,
    )


def _miss(space: Space, grid: Grid, found: Nearest) -> Miss | None:
    """The nearest miss; None where nothing could be looked at in every limit."""
    if found.index is None:
        return None
    broken = {str(limit): float(x) for limit, x in zip(space.limits, found.margins, strict=True) if x < 0.0}
    return Miss(_names(grid, found.index), broken, found.exact, found.looked_at)


def as_csv(answer: Answer) -> str:
    """The front as a table with commas, a craft a line, goals in the units people use; behind it what is near it.

    `near` is empty for a craft of the front, else the number of the front's craft that leads it by least.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    places = list(answer.front[0].parts) if answer.front else []
    units = [MEASURES[name].shown for name in answer.goals]
    heads = [f"{name} ({unit})" if unit else name for name, unit in zip(answer.goals, units, strict=True)]
    near = ["near"] if answer.near else []
    writer.writerow(["number", *heads, *places, *near])
    rows: list[FrontCraft | NearCraft] = [*answer.front, *answer.near]
    for row in rows:
        values = [f"{row.values[name] * MEASURES[name].factor:.10g}" for name in answer.goals]
        beside = [row.beside if isinstance(row, NearCraft) else ""] if near else []
        writer.writerow([row.number, *values, *(row.parts[place] for place in places), *beside])
    return text.getvalue()


def make_craft(space: Space, answer: Answer, number: int, file: Path) -> str:
    """Write one craft of the front, or behind it of those near it, as a new craft file; returns what was changed.

    number: from 1 for the front, going on for what is near it
    Raises InputError when there is no such number, or the file exists: it is never written over.
    """
    rows: list[FrontCraft | NearCraft] = [*answer.front, *answer.near]
    if not 1 <= number <= len(rows):
        raise InputError(Problem(f"no craft {number} on the front", f"Give 1 to {len(rows)}."))
    return write_craft_with(space, rows[number - 1].parts, file)
