"""One block of cores: bounds rule most of them out, the rest is solved; what is left of it goes to the front.

A block depends on the grid, the rest and the archive it is given, and on nothing else: any worker on any machine
returns the same bits for it, in any order, as often as it is asked.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.search.bounds import Corners, Rest, cheapest_first, margins, oriented
from rotorwright.search.dominance import Archive, front_of
from rotorwright.search.grid import Grid
from rotorwright.search.space import Goal, Limit

__all__ = ["COUNTS", "Found", "Task", "best_of", "core_index", "run_block", "solved"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]

COUNTS = ("limits of the core", "bound of the core", "bound", "limits", "beaten or equal", "left")
"""What became of a block's combinations, in the order of `Found.counts`."""

# Combinations solved at a time: what bounds the memory.
_BATCH = 32_768
# Measures that are known once full throttle is: their bound sharpens with the rest's own mass and cost.
_OF_FULL = ("weight", "cost", "thrust-to-weight")


@dataclass(frozen=True)
class Task:
    """What every block of one search shares."""

    grid: Grid
    rest: Rest
    goals: tuple[Goal, ...]
    limits: tuple[Limit, ...]
    archive: Array

    @property
    def core_places(self) -> tuple[int, ...]:
        """Positions of the places of the core."""
        return tuple(k for k, place in enumerate(self.grid.places) if place.is_core)

    @property
    def cores(self) -> int:
        """How many cores there are."""
        return int(np.prod([self.grid.places[k].count for k in self.core_places], dtype=np.int64))


@dataclass(frozen=True)
class Found:
    """What a block leaves: candidates of each place (n, places), oriented goals (n, goals), and counts.

    broken: how many combinations each limit ruled out, by its bound or solved
    nearest: of what did not pass the combination whose least margin is best, and that margin
    """

    index: Index
    points: Array
    counts: Index
    broken: Index
    nearest: tuple[Index, float]


def core_index(task: Task, cores: Index) -> Index:
    """Candidates (n, places) of cores by their number; zero in the places of the rest."""
    index = np.zeros((len(cores), len(task.grid.places)), np.int64)
    places = task.core_places
    if places:
        counts = tuple(task.grid.places[k].count for k in places)
        for k, values in zip(places, np.unravel_index(cores, counts), strict=True):
            index[:, k] = values
    return index


def solved(task: Task, index: Index) -> tuple[Array, Array]:
    """Oriented goals and margins of combinations, solved for good."""
    view = task.grid.combos(index)
    return oriented(view, task.goals), margins(view, task.limits)


def best_of(index: Index, points: Array) -> tuple[Index, Array]:
    """Those that no other of them beats, equals included."""
    kept = front_of(points)
    return index[kept], points[kept]


def run_block(task: Task, cores: Index) -> Found:
    """Everything that a block of cores can add to the front."""
    archive = Archive(task.archive)
    counts = np.zeros(len(COUNTS), np.int64)
    core = core_index(task, cores)
    corners = Corners(task.grid, task.rest, core)
    nearest = core[0], -np.inf
    rests, broken = len(task.rest.index), np.zeros(len(task.limits), np.int64)
    for limit in cheapest_first(task.limits):
        room = corners.limit(limit)
        passed = room >= 0.0
        if not passed.all():
            broken[task.limits.index(limit)] += (~passed).sum() * rests
            nearest = max(nearest, _nearest(task, corners.core, room), key=lambda pair: pair[1])
            corners = corners.some(passed)
    bounds = corners.goals(task.goals)
    open_ = ~(archive.beats(bounds) | np.isnan(bounds).any(axis=1))
    counts[0], counts[1] = (len(core) - len(open_)) * rests, (~open_).sum() * rests
    found = _Open(task, archive, counts, broken, nearest)
    core, bounds = corners.core[open_], bounds[open_]
    thrust = corners.view(-1, -1, -1).full[open_] if _wants_thrust(task) else None
    width = max(1, _BATCH // rests)
    for start in range(0, len(core), width):
        part = slice(start, start + width)
        for low in range(0, rests, _BATCH):
            found.add(
                core[part],
                bounds[part],
                None if thrust is None else thrust[part],
                task.rest.index[low : low + _BATCH],
            )
    found.flush()
    return found.result()


def _wants_thrust(task: Task) -> bool:
    return any(goal.measure == "thrust-to-weight" for goal in task.goals)


def _nearest(task: Task, core: Index, room: Array) -> tuple[Index, float]:
    """Of cores that break a limit with every rest the one that breaks it least, and its least margin."""
    if not task.limits or not len(core):
        return core[0], -np.inf
    index = core[int(np.argmax(np.where(room < 0.0, room, -np.inf)))] + task.rest.index[0]
    return index, float(solved(task, index[None])[1].min())


class _Open:
    """Combinations that no bound rules out, gathered to full batches and solved."""

    def __init__(
        self, task: Task, archive: Archive, counts: Index, broken: Index, nearest: tuple[Index, float]
    ) -> None:
        self.task, self.archive, self.counts, self.broken, self.nearest = task, archive, counts, broken, nearest
        self.waiting: list[Index] = []
        places, goals = len(task.grid.places), len(task.goals)
        self.index, self.points = np.zeros((0, places), np.int64), np.zeros((0, goals))

    def add(self, core: Index, bounds: Array, thrust: NDArray[np.void] | None, rest: Index) -> None:
        """Every rest to every core, less what a sharper bound rules out."""
        index = (core[:, None, :] + rest[None, :, :]).reshape(-1, core.shape[1])
        sharp = np.repeat(bounds, len(rest), axis=0)
        view = self.task.grid.combos(index)
        if thrust is not None:
            view.__dict__["full"] = np.repeat(thrust, len(rest))
        for g, goal in enumerate(self.task.goals):
            if goal.measure in _OF_FULL and not (goal.measure == "thrust-to-weight" and goal.way < 0):
                own = oriented(view, [goal])[:, 0]
                loose = 0.0 if goal.measure == "cost" else 1e-6 * np.abs(own)
                sharp[:, g] = np.fmax(sharp[:, g], own - loose)
        left = ~self.archive.beats(sharp)
        self.counts[2] += (~left).sum()
        self.waiting.append(index[left])
        if sum(map(len, self.waiting)) >= _BATCH:
            self.flush()

    def flush(self) -> None:
        """Solve what waits, and keep what nothing known beats."""
        index = np.concatenate(self.waiting) if self.waiting else self.index[:0]
        self.waiting = []
        for start in range(0, len(index), _BATCH):
            self._solve(index[start : start + _BATCH])

    def _solve(self, index: Index) -> None:
        points, room = solved(self.task, index)
        exists = np.isfinite(points).all(axis=1)
        self.broken += (room < 0.0).sum(axis=0)
        passed = exists & np.all(room >= 0.0, axis=1)
        self.counts[3] += (~passed).sum()
        if not passed.all() and room.shape[1]:
            least = np.where(passed, -np.inf, room.min(axis=1))
            k = int(np.argmax(least))
            if least[k] > self.nearest[1]:
                self.nearest = index[k], float(least[k])
        index, points = index[passed], points[passed]
        ahead = ~self.archive.beats(points)
        self.counts[4] += (~ahead).sum()
        before = len(self.index) + int(ahead.sum())
        index, points = best_of(
            np.concatenate([self.index, index[ahead]]), np.concatenate([self.points, points[ahead]])
        )
        self.counts[4] += before - len(index)
        self.index, self.points = index, points

    def result(self) -> Found:
        """What is left."""
        self.counts[5] = len(self.index)
        return Found(self.index, self.points, self.counts, self.broken, self.nearest)
