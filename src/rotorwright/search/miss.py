"""What came nearest when nobody keeps every limit, and how many combinations break each of them.

The miss of a limit is how far it is broken as a share of it, the margin of the checks; one that cannot be looked at
is missed without end. The nearest combination is that whose worst miss is smallest; of equals that whose second worst
is, and so on through the room in the limits it keeps; of those equal in all the first in the order of the space. The
order of the limits decides nothing. What cannot be built is not looked at.
"""

import math
import threading
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.search.block import Task, core_index
from rotorwright.search.bounds import Corners, margins
from rotorwright.search.grid import Grid
from rotorwright.search.measures import IN_TIME
from rotorwright.search.moves import cheapest_first
from rotorwright.search.progress import Stopped
from rotorwright.search.reduce import Wanted, reduced_rest, wanted
from rotorwright.search.space import Limit

__all__ = ["Nearest", "nearest_miss"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]

# Combinations of which every one is looked at: solved, and flown.
_ALL, _ALL_FLOWN = 500_000, 2000
# Cores of which every one is bounded, combinations that are then solved at most, and flown.
_CORES, _SOLVED, _FLOWN = 2_000_000, 2_000_000, 2000
_BATCH, _FIRST, _FLIGHTS = 32_768, 64, 64


@dataclass(frozen=True)
class Nearest:
    """The combination nearest to keeping every limit, (places,), and its margins (limits,).

    index is None where no combination can be looked at in every limit. broken: how many combinations break each
    limit, None where they are too many to count. exact: whether none of all combinations is nearer; looked_at: how
    many were solved, where it is not.
    """

    index: Index | None
    margins: Array
    broken: tuple[int, ...] | None
    exact: bool
    looked_at: int


def nearest_miss(grid: Grid, limits: Sequence[Limit], stop: threading.Event | None = None) -> Nearest:
    """The nearest miss of a space, by looking at every combination where that is affordable, else by bounds.

    Raises Stopped when another thread sets `stop`.
    """
    best = _Best(grid, limits, stop or threading.Event())
    total = math.prod(grid.counts)
    if total <= (_ALL_FLOWN if best.in_time else _ALL):
        broken = np.zeros(len(limits), np.int64)
        for start in range(0, total, _BATCH):
            numbers = np.arange(start, min(start + _BATCH, total))
            index = np.stack(np.unravel_index(numbers, grid.counts), axis=1)
            broken += (best.look(index[grid.possible(index)]) < 0.0).sum(axis=0)
        return best.found(tuple(int(n) for n in broken), exact=True)
    exact = _by_bounds(best, grid, limits)
    if not exact and not best.in_time:
        _step_by_step(best, grid)
    return best.found(None, exact)


class _Best:
    """The nearest of what has been looked at."""

    def __init__(self, grid: Grid, limits: Sequence[Limit], stop: threading.Event) -> None:
        self.grid, self.limits, self.stop = grid, limits, stop
        self.in_time = any(limit.name in IN_TIME for limit in limits)
        self.index: Index | None = None
        self.room = np.full(len(limits), -np.inf)
        self.looked_at = self.flown = 0

    @property
    def worst(self) -> float:
        """Its worst margin."""
        return float(self.room.min())

    def look(self, index: Index) -> Array:
        """Margins of combinations (n, limits), the nearest of which is remembered."""
        if self.stop.is_set():
            raise Stopped("stopped")
        self.looked_at += len(index)
        room = margins(self.grid.combos(index), self.limits)
        if len(index):
            known = index if self.index is None else np.concatenate([index, self.index[None]])
            rooms = room if self.index is None else np.concatenate([room, self.room[None]])
            k = _nearest_of(known, rooms)
            self.index, self.room = known[k], rooms[k]
        return room

    def fly(self, index: Index) -> bool:
        """Look at combinations of which some limit is integrated in time, the most promising first.

        False when more would have to be flown than is affordable.
        """
        room = margins(self.grid.combos(index), self.limits, bounded=True).min(axis=1)
        order = np.argsort(-room, kind="stable")
        for start in range(0, len(order), _FLIGHTS):
            own = order[start : start + _FLIGHTS]
            own = own[room[own] >= self.worst]
            if not len(own):
                return True
            if self.flown >= _FLOWN:
                return False
            self.flown += len(own)
            self.look(index[own])
        return True

    def found(self, broken: tuple[int, ...] | None, exact: bool) -> Nearest:
        """What it came to."""
        known = self.index if self.worst > -np.inf else None
        return Nearest(known, self.room, broken, exact, self.looked_at)


def _nearest_of(index: Index, room: Array) -> int:
    """Position of the combination (n, places) whose margins (n, limits) come nearest to keeping every limit."""
    ranked = np.sort(room, axis=1)
    left = np.arange(len(index))
    for column in ranked.T:
        left = left[column[left] == column[left].max()]
    return int(left[np.lexsort(index[left].T[::-1])[0]])


def _by_bounds(best: _Best, grid: Grid, limits: Sequence[Limit]) -> bool:
    """Look where bounds leave room for something nearer; False when that is more than is affordable."""
    ways = wanted(grid, (), limits).ways
    rest, _ = reduced_rest(grid, Wanted(ways, frozenset(ways)))
    task = Task(grid, rest, (), tuple(limits), np.zeros((0, 0)))
    step = max(1, -(-task.cores // _CORES))
    exact = step == 1
    for cores in (np.arange(0, task.cores, 64 * step), *_chunks(task.cores, step)):
        core = core_index(task, cores)
        core, bound = _promising(task, core[grid.possible(core)], best)
        for index in _combined(task, core, bound, best):
            if best.looked_at >= _SOLVED:
                return False
            if best.in_time:
                exact = best.fly(index) and exact
            else:
                best.look(index)
    return exact


def _step_by_step(best: _Best, grid: Grid) -> None:
    """Change the nearest in one place at a time for as long as that brings it nearer."""
    before = None
    while best.index is not None and (before is None or not np.array_equal(before, best.index)):
        before = best.index
        index = np.repeat(before[None], sum(grid.counts), axis=0)
        place = np.repeat(np.arange(len(grid.counts)), grid.counts)
        index[np.arange(len(index)), place] = np.concatenate([np.arange(count) for count in grid.counts])
        best.look(index[grid.possible(index)])


def _chunks(cores: int, step: int) -> Iterator[Index]:
    """Every so many cores, a batch at a time."""
    for start in range(0, cores, _BATCH * step):
        yield np.arange(start, min(start + _BATCH * step, cores), step)


def _promising(task: Task, core: Index, best: _Best) -> tuple[Index, Array]:
    """Cores that with some rest may come as near as the best, the most promising first, and their bounds."""
    corners, bound = Corners(task.grid, task.rest, core), np.full(len(core), np.inf)
    for limit in cheapest_first(task.limits):
        bound = np.minimum(bound, corners.limit(limit))
        near = bound >= best.worst
        corners, bound = corners.some(near), bound[near]
    order = np.argsort(-bound, kind="stable")
    return corners.core[order], bound[order]


def _combined(task: Task, core: Index, bound: Array, best: _Best) -> Iterator[Index]:
    """These cores with every rest, a batch at a time, as long as their bounds reach the best: a few cores first."""
    rest, start = task.rest.index, 0
    most = max(1, _BATCH // len(rest))
    width = min(_FIRST, most)
    while start < len(core) and bound[start] >= best.worst:
        own = core[start : start + width]
        for low in range(0, len(rest), _BATCH):
            few = rest[low : low + _BATCH]
            each = max(1, _BATCH // len(few))
            for at in range(0, len(own), each):
                yield (own[at : at + each, None, :] + few[None, :, :]).reshape(-1, core.shape[1])
        start, width = start + len(own), most
