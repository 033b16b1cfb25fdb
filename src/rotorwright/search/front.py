"""The exact front over every combination: reduce, seed an archive, run blocks of cores, join what they leave."""

import contextlib
import json
import math
import multiprocessing
import os
import pickle
import tempfile
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from dataclasses import dataclass, replace
from hashlib import blake2b
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from rotorwright.search.block import COUNTS, Found, Task, best_of, core_index, reached, run_block, solved
from rotorwright.search.bounds import Corners, Rest
from rotorwright.search.dominance import first_of_equals
from rotorwright.search.grid import Grid
from rotorwright.search.moves import cheapest_first
from rotorwright.search.reduce import reduced_rest, wanted
from rotorwright.search.space import Goal, Limit

__all__ = ["BLOCK", "Front", "Progress", "brute_front", "exact_front", "order_of"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]
Progress = Callable[[int, int], None]

BLOCK = 24_576
"""Cores in a block."""

_SEEDS, _ROUNDS, _PICKED = 20_000, 4, 160


@dataclass(frozen=True)
class Front:
    """The front: candidates of each place (n, places), goals turned so that smaller is better (n, goals), counts.

    Sorted by the first goal, then the next. `equals` were left out because a combination before them has the same
    goals; `broken` counts combinations by the limit that ruled them out; `nearest` is what came nearest to passing.
    """

    index: Index
    points: Array
    total: int
    superfluous: int
    counts: dict[str, int]
    equals: int
    broken: tuple[int, ...]
    nearest: tuple[Index, float]
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
    return _joined(grid, index, points, Front(index, points, total, 0, {}, 0, (), (index[:0], -np.inf), 0, 0))


def exact_front(
    grid: Grid,
    goals: Sequence[Goal],
    limits: Sequence[Limit],
    *,
    workers: int = 1,
    state: Path | None = None,
    progress: Progress | None = None,
    executor: Executor | None = None,
) -> Front:
    """The front of all combinations that keep every limit.

    workers: processes; executor: another engine in their place; state: folder in which finished blocks wait for a
    search that was interrupted. The result is the same bits for any workers, engine and interruption.
    """
    task, total, superfluous = prepared(grid, goals, limits)
    blocks = [np.arange(k, min(k + BLOCK, task.cores)) for k in range(0, task.cores, BLOCK)]
    store = _Store(state, task, len(blocks))
    done: dict[int, Found] = dict(store.found())
    resumed = len(done)
    left = [k for k in range(len(blocks)) if k not in done]
    for k, found in _run(task, [(k, blocks[k]) for k in left], workers, executor):
        done[k] = found
        store.keep(k, found)
        if progress:
            progress(len(done), len(blocks))
    ordered = [done[k] for k in range(len(blocks))]
    index = np.concatenate([f.index for f in ordered])
    points = np.concatenate([f.points for f in ordered])
    counts = np.sum([f.counts for f in ordered], axis=0)
    broken = np.sum([f.broken for f in ordered], axis=0)
    nearest = max((f.nearest for f in ordered), key=lambda pair: pair[1])
    tally = {name: int(n) for name, n in zip(COUNTS, counts, strict=True)}
    front = Front(
        index,
        points,
        total,
        superfluous,
        tally,
        0,
        tuple(int(n) for n in broken),
        nearest,
        resumed,
        len(blocks),
        sum(f.flown for f in ordered),
    )
    store.clear()
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


_TASK: Task | None = None


def _start(task: bytes) -> None:
    """Give a worker process its task, once."""
    global _TASK
    _TASK = pickle.loads(task)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """A worker whose search was killed has nobody to work for; left alone it would wait for ever."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _work(cores: Index) -> Found:
    assert _TASK is not None
    return run_block(_TASK, cores)


def _run(
    task: Task, blocks: Sequence[tuple[int, Index]], workers: int, executor: Executor | None
) -> Iterator[tuple[int, Found]]:
    """Blocks and what they leave, as they finish."""
    from concurrent.futures import as_completed

    if executor is not None:
        futures = {executor.submit(run_block, task, cores): k for k, cores in blocks}
        for future in as_completed(futures):
            yield futures[future], future.result()
    elif workers <= 1 or len(blocks) < 2:
        for k, cores in blocks:
            yield k, run_block(task, cores)
    else:
        context = multiprocessing.get_context("spawn")
        with ProcessPoolExecutor(workers, context, _start, (pickle.dumps(task),)) as pool:
            waiting = {pool.submit(_work, cores): k for k, cores in blocks}
            for future in as_completed(waiting):
                yield waiting[future], future.result()


class _Store:
    """Finished blocks in a folder of their own, keyed by everything the result depends on."""

    def __init__(self, folder: Path | None, task: Task, blocks: int) -> None:
        self.folder = None
        if folder is not None:
            digest = blake2b(pickle.dumps(task) + json.dumps([blocks, BLOCK]).encode(), digest_size=12).hexdigest()
            self.folder = folder / digest
            self.folder.mkdir(parents=True, exist_ok=True)

    def found(self) -> Iterator[tuple[int, Found]]:
        """Blocks that were finished before."""
        for file in sorted(self.folder.glob("*.block")) if self.folder else ():
            try:
                yield int(file.stem), pickle.loads(file.read_bytes())
            except Exception:  # half a file means: do it again
                continue

    def keep(self, k: int, found: Found) -> None:
        """Write a block so that it is there whole or not at all."""
        if self.folder is None:
            return
        with tempfile.NamedTemporaryFile(dir=self.folder, suffix=".tmp", delete=False) as file:
            file.write(pickle.dumps(found))
        os.replace(file.name, self.folder / f"{k}.block")

    def clear(self) -> None:
        """Nothing is left to resume."""
        if self.folder is not None:
            for file in self.folder.iterdir():
                file.unlink()
            self.folder.rmdir()
            with contextlib.suppress(OSError):  # another search may wait there
                self.folder.parent.rmdir()
