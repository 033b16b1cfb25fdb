"""The exact front over every combination: reduce, seed an archive, run blocks of cores, join what they leave."""

import math
import threading
from collections.abc import Container, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.search.block import COUNTS, Found, Task, best_of, core_index, reached, solved
from rotorwright.search.bounds import Corners, Rest
from rotorwright.search.dominance import first_of_equals
from rotorwright.search.gathering import Gathering
from rotorwright.search.grid import Grid
from rotorwright.search.moves import cheapest_first
from rotorwright.search.progress import Clock, Stopped, Watch, prospect
from rotorwright.search.reduce import reduced_rest, wanted
from rotorwright.search.space import Goal, Limit
from rotorwright.search.store import Store
from rotorwright.search.workers import crew

__all__ = ["BLOCK", "Blocks", "Front", "blocks_of", "brute_front", "exact_front", "order_of", "prepared"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]

BLOCK = 24_576
"""Cores in a block."""

# Where something is flown, blocks are smaller and run in waves, each twice as wide as the one before: what a wave has
# found rules out in the next.
_FLOWN_BLOCK, _FLOWN_BLOCKS, _FIRST_WAVE = 4096, 64, 2

_SEEDS, _ROUNDS, _PICKED = 20_000, 4, 160


@dataclass(frozen=True)
class Front:
    """The front: candidates of each place (n, places), goals turned so that smaller is better (n, goals), counts.

    Sorted by the first goal, then the next. `equals` were left out because a combination before them has the same
    goals; `broken` counts combinations by the limit that was the first to rule them out.
    """

    index: Index
    points: Array
    total: int
    superfluous: int
    counts: dict[str, int]
    equals: int
    broken: tuple[int, ...]
    resumed: int
    blocks: int
    flown: int = 0


def order_of(grid: Grid, index: Index) -> Index:
    """The number of each combination in the order of the space: the last place runs fastest."""
    order = np.zeros(len(index), np.int64)
    for k, count in enumerate(grid.counts):
        order = order * count + index[:, k]
    return order


def brute_front(grid: Grid, goals: Sequence[Goal], limits: Sequence[Limit], batch: int = 65_536) -> Front:
    """The front by solving every combination, for comparison and for small spaces."""
    nothing = Rest(np.zeros((1, len(grid.places)), np.int64), {}, {})
    everything = Task(grid, nothing, tuple(goals), tuple(limits), np.zeros((0, len(goals))))
    total = math.prod(grid.counts)
    index, points = np.zeros((0, len(grid.places)), np.int64), np.zeros((0, len(goals)))
    for start in range(0, total, batch):
        these = np.stack(np.unravel_index(np.arange(start, min(start + batch, total)), grid.counts), axis=1)
        found, room = solved(everything, these)
        good = np.isfinite(found).all(axis=1) & np.all(room >= 0.0, axis=1)
        index, points = best_of(np.concatenate([index, these[good]]), np.concatenate([points, found[good]]))
    return _joined(grid, index, points, Front(index, points, total, 0, {}, 0, (), 0, 0))


def exact_front(
    grid: Grid,
    goals: Sequence[Goal],
    limits: Sequence[Limit],
    *,
    workers: int = 1,
    state: Path | None = None,
    watch: Watch | None = None,
    foresee: bool = False,
    stop: threading.Event | None = None,
    executor: Executor | None = None,
) -> Front:
    """The front of all combinations that keep every limit.

    workers: processes; executor: another engine in their place; state: folder in which finished blocks wait for a
    search that was interrupted; watch: told how far it is; foresee: estimate beforehand what is to be flown; stop:
    may be set by another thread, which raises Stopped
    The result is the same bits for any workers, engine and interruption.
    """
    task, total, superfluous = prepared(grid, goals, limits)
    blocks, stop = blocks_of(task), stop or threading.Event()
    store = Store(state, task, (len(blocks), len(blocks[0])))
    gathered, done = _nothing_yet(task), set[int]()
    for k, found in store.found():
        gathered.add(found)
        done.add(k)
    resumed = len(done)
    clock = Clock(watch, len(blocks), gathered, prospect(task) if foresee else None)
    clock.tell(workers)
    with crew(task, workers, len(blocks) - resumed, executor) as hands:
        archive = task.archive
        for wave in _waves(task, len(blocks)):
            ahead = _Ahead(task, archive)
            for k in wave if task.in_time else ():
                if k in done and (before := store.read(k)):
                    ahead.add(before)
            for k, found in hands.run(_left(blocks, wave, done), archive, stop):
                done.add(k)
                gathered.add(found)
                ahead.add(found)
                store.keep(k, found)
                clock.tell(workers)
            if stop.is_set() and not all(k in done for k in wave):
                raise Stopped("stopped; the same search goes on where it was" if state else "stopped")
            archive = ahead.archive()
    front = _summed(grid, gathered, (total, superfluous, resumed))
    store.clear()
    return front


class Blocks(Sequence[range]):
    """The cores of a task in blocks, each made when it is asked for."""

    def __init__(self, cores: int, size: int) -> None:
        self._cores, self._starts = cores, range(0, cores, size)

    def __len__(self) -> int:
        return len(self._starts)

    def __getitem__(self, k: Any) -> Any:
        """Numbers of the cores of block `k`."""
        start = self._starts[k]
        return range(start, min(start + self._starts.step, self._cores))


def blocks_of(task: Task) -> Blocks:
    """The cores of a task in blocks."""
    size = BLOCK
    if task.in_time:
        size = min(BLOCK, _FLOWN_BLOCK, max(256, -(-task.cores // _FLOWN_BLOCKS)))
    return Blocks(task.cores, size)


def _left(blocks: Blocks, wave: range, done: Container[int]) -> Iterator[tuple[int, range]]:
    """Blocks of a wave that are not done."""
    return ((k, blocks[k]) for k in wave if k not in done)


def _nothing_yet(task: Task) -> Gathering:
    return Gathering(len(task.grid.places), len(task.goals), len(task.limits))


class _Ahead:
    """What the next wave has to beat: the archive and what this one has found; nothing new where nothing is flown."""

    def __init__(self, task: Task, archive: Array) -> None:
        self.in_time, self.before, self.found = task.in_time, archive, _nothing_yet(task)

    def add(self, found: Found) -> None:
        """Take what a block found."""
        if self.in_time:
            self.found.add(found)

    def archive(self) -> Array:
        """Points that have been reached."""
        if not self.in_time:
            return self.before
        points = np.concatenate([self.before, self.found.front()[1]])
        return best_of(np.zeros((len(points), 0), np.int64), points)[1]


def _waves(task: Task, blocks: int) -> Iterator[range]:
    """Numbers of the blocks that may run side by side."""
    start, width = 0, _FIRST_WAVE if task.in_time else blocks
    while start < blocks:
        yield range(start, min(start + width, blocks))
        start, width = start + width, 2 * width


def _summed(grid: Grid, gathered: Gathering, counted: tuple[int, int, int]) -> Front:
    """The front of what all blocks left."""
    total, superfluous, resumed = counted
    index, points = gathered.front()
    counts = {name: int(n) for name, n in zip(COUNTS, gathered.counts, strict=True)}
    counts["beaten or equal"] += gathered.came - len(index)
    front = Front(
        index=index,
        points=points,
        total=total,
        superfluous=superfluous,
        counts=counts,
        equals=0,
        broken=tuple(int(n) for n in gathered.broken),
        resumed=resumed,
        blocks=gathered.blocks,
        flown=gathered.flown,
    )
    return _joined(grid, index, points, front)


def _joined(grid: Grid, index: Index, points: Array, front: Front) -> Front:
    """The front of what the blocks left, of equals the first, sorted by its goals."""
    before = len(index)
    index, points = best_of(index, points)
    kept = first_of_equals(points, order_of(grid, index))
    equals = len(index) - len(kept)
    index, points = index[kept], points[kept]
    ranked = np.lexsort((order_of(grid, index), *points.T[::-1]))
    counts = dict(front.counts)
    if counts:
        counts["beaten or equal"] += before - len(index)
        counts["left"] = len(index)
    return replace(front, index=index[ranked], points=points[ranked], equals=equals, counts=counts)


def prepared(grid: Grid, goals: Sequence[Goal], limits: Sequence[Limit]) -> tuple[Task, int, int]:
    """The task of every block with a seeded archive; how many combinations there are, and how many superfluous."""
    rest, rests = reduced_rest(grid, wanted(grid, goals, limits))
    task = Task(grid, rest, tuple(goals), tuple(limits), np.zeros((0, len(goals))))
    total = math.prod(grid.counts)
    return replace(task, archive=_seeded(task)), total, task.cores * (rests - len(rest.index))


def _seeded(task: Task) -> Array:
    """Points that are reached by good combinations: a sample of cores, then neighbours of the best of them.

    They only rule others out; the front does not depend on which they are.
    """
    step = max(1, task.cores // _SEEDS)
    cores = core_index(task, np.arange(0, task.cores, step))
    corners = Corners(task.grid, task.rest, cores)
    for limit in cheapest_first(task.limits):
        corners = corners.some(corners.limit(limit) >= 0.0)
    bounds = corners.goals(task.goals)
    good = ~np.isnan(bounds).any(axis=1)
    index, _ = best_of(corners.core[good], np.clip(bounds[good], -1e300, 1e300))
    rest = task.rest.index[:: max(1, len(task.rest.index) // 40)]
    index = (index[:400, None, :] + rest[None, :, :]).reshape(-1, cores.shape[1])
    index, points = reached(task, index)
    for _ in range(_ROUNDS):
        picked = index[:: max(1, len(index) // _PICKED)]
        near, values = reached(task, _neighbours(task, picked))
        index, points = best_of(np.concatenate([index, near]), np.concatenate([points, values]))
        kept = first_of_equals(points, order_of(task.grid, index))
        index, points = index[kept], points[kept]
    return points


def _neighbours(task: Task, index: Index) -> Index:
    """Every combination that differs in one place of the core, or in the whole rest."""
    found = []
    for k in task.core_places:
        many = np.repeat(index, task.grid.places[k].count, axis=0)
        many[:, k] = np.tile(np.arange(task.grid.places[k].count), len(index))
        found.append(many)
    rest = task.rest.index[:: max(1, len(task.rest.index) // 60)]
    core = index.copy()
    core[:, [k for k in range(index.shape[1]) if k not in task.core_places]] = 0
    found.append((core[:, None, :] + rest[None, :, :]).reshape(-1, index.shape[1]))
    return np.unique(np.concatenate(found), axis=0) if len(index) else index
