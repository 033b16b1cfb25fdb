"""What a search holds does not grow with the cores: blocks are cut in turn, handed out few at a time, and joined."""

import threading
import tracemalloc
from concurrent.futures import Executor, Future
from typing import Any

import numpy as np

from rotorwright.search.barred import barred_by, told
from rotorwright.search.block import COUNTS, Found, best_of
from rotorwright.search.front import Blocks
from rotorwright.search.gathering import Gathering
from rotorwright.search.workers import _Crew


def test_blocks_of_any_number_of_cores_take_no_room() -> None:
    tracemalloc.start()
    blocks = Blocks(10**12, 1000)
    ends = blocks[0], blocks[len(blocks) - 1]
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert len(blocks) == 10**9 and ends == (range(1000), range(10**12 - 1000, 10**12))
    assert peak < 10_000  # bytes; as an array of its cores each block alone would be 8 kB
    assert list(Blocks(7, 3)) == [range(3), range(3, 6), range(6, 7)]


class _Counting(Executor):
    """Does everything at once, and remembers how much was not fetched."""

    def __init__(self) -> None:
        self.given = 0

    def submit(self, fn: Any, /, *args: Any, **kwargs: Any) -> Future:  # type: ignore[override]
        self.given += 1
        future: Future = Future()
        future.set_result("found")
        return future


def test_only_a_few_blocks_are_handed_out_at_a_time() -> None:
    pool = _Counting()
    crew = _Crew(None, pool, 5, remote=False)  # type: ignore[arg-type]
    ahead = []
    for done, (k, _) in enumerate(crew.run(((k, range(1)) for k in range(100)), np.zeros((0, 2)), threading.Event())):
        ahead.append(pool.given - done)
        assert 0 <= k < 100
    assert pool.given == len(ahead) == 100 and max(ahead) <= 5


def test_what_blocks_leave_is_joined_as_they_come() -> None:
    rng = np.random.default_rng(1)
    gathered, every = Gathering(2, 3, 1), []
    for _ in range(60):
        index, points = rng.integers(0, 9, (1000, 2)), np.round(rng.random((1000, 3)), 2)
        every.append((index, points))
        gathered.add(Found(index, points, np.ones(len(COUNTS), np.int64), np.array([2]), 1))
        assert sum(len(own) for own, _ in gathered.parts) <= 22_000
    assert gathered.came == 60_000 and gathered.flown == gathered.blocks == 60 and list(gathered.broken) == [120]
    index, points = best_of(*(np.concatenate(own) for own in zip(*every, strict=True)))
    mine = gathered.front()
    order = [np.lexsort((*own[0].T, *own[1].T)) for own in (mine, (index, points))]
    assert np.array_equal(mine[1][order[0]], points[order[1]]) and np.array_equal(mine[0][order[0]], index[order[1]])


def test_what_does_not_go_together_is_told_by_the_part_that_is_the_reason() -> None:
    classes = np.array([0, 1, 2]), np.array([0, 0, 1, 2])
    reasons = {(1, 0): "40 wide", (2, 0): "42 wide", (2, 1): "42 wide", (2, 2): "42 wide"}
    one = barred_by((0, 1), classes, reasons)
    lines = told([one], [("arms", ("slim", "broad", "broadest")), ("propellers", ("a", "b", "c", "d"))])
    assert lines == ["broad as arms with 2 of 4 propellers: 40 wide", "broadest as arms with any propellers: 42 wide"]
    both = np.array([[0, 0], [1, 1], [1, 2], [2, 3]])
    assert list(one.of(both)) == [False, True, False, True]
