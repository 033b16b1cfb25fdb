"""What comes nearest when nobody keeps every limit, and what breaks each limit: as brute force says, in any order."""

import importlib.util
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rotorwright.search import miss as miss_module
from rotorwright.search.bounds import margins
from rotorwright.search.front import exact_front
from rotorwright.search.grid import Grid
from rotorwright.search.miss import nearest_miss
from rotorwright.search.space import Goal, Limit

_SPEC = importlib.util.spec_from_file_location("searches", Path(__file__).parent / "test_search.py")
assert _SPEC and _SPEC.loader
searches = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(searches)

some = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))


@st.composite
def hard(draw: Callable) -> tuple[Grid, list[Limit]]:
    """A few candidates in each place, and limits of which at least one is out of reach."""
    grid, _, limits = draw(searches.questions())
    impossible = [
        Limit("cost", -1, draw(st.floats(50.0, 300.0))),
        Limit("tip-mach", -1, draw(st.floats(0.05, 0.3))),
        Limit("thrust-to-weight", 1, draw(st.floats(15.0, 40.0))),
        Limit("weight", -1, draw(st.floats(0.05, 0.3))),
        Limit("roll", 1, draw(st.floats(3e3, 2e4))),
    ]
    more = draw(st.lists(st.sampled_from(impossible), min_size=1, max_size=3, unique=True))
    return grid, draw(st.permutations([*limits, *more]))


def by_hand(grid: Grid, limits: list[Limit]) -> tuple[list[int], list[float], list[int]]:
    """The nearest combination, its margins by the worst first, and how many break each limit: one after the other."""
    best: tuple[list[float], list[int]] | None = None
    broken = [0] * len(limits)
    for picked in np.ndindex(grid.counts):
        index = np.array([picked])
        room = [float(x) for x in margins(grid.combos(index), limits)[0]]
        broken = [n + (x < 0.0) for n, x in zip(broken, room, strict=True)]
        if best is None or sorted(room) > best[0]:  # of equals the first stays
            best = sorted(room), list(picked)
    assert best is not None
    return best[1], best[0], broken


def few(grid: Grid, most: int = 400) -> Grid:
    """Its first candidates, so that a loop over all combinations ends."""
    counts = list(grid.counts)
    while np.prod(counts) > most:
        counts[int(np.argmax(counts))] -= 1
    return searches.part_of(grid, {k: list(range(n)) for k, n in enumerate(counts)})


@some
@given(hard())
def test_looking_at_all_finds_what_a_loop_finds(question: tuple) -> None:
    grid, limits = question
    grid = few(grid)
    found, (index, room, broken) = nearest_miss(grid, limits), by_hand(grid, limits)
    assert found.exact and found.broken == tuple(broken)
    if room[0] == -np.inf:
        assert found.index is None
    else:
        assert list(found.index) == index
        assert sorted(found.margins) == room


@some
@given(hard(), st.randoms())
def test_bounds_find_the_same_in_any_order_of_the_limits(question: tuple, random: object) -> None:
    grid, limits = question
    everything = nearest_miss(grid, limits)
    other = list(limits)
    random.shuffle(other)
    usual, miss_module._ALL = miss_module._ALL, 0
    try:
        bounded = nearest_miss(grid, other)
    finally:
        miss_module._ALL = usual
    assert bounded.exact and bounded.broken is None
    assert (bounded.index is None) == (everything.index is None)
    if everything.index is None:
        return
    assert sorted(bounded.margins) == sorted(everything.margins)
    order = [other.index(limit) for limit in limits]
    assert list(bounded.margins[order]) == list(margins(grid.combos(bounded.index[None]), limits)[0])
    again = nearest_miss(grid, other)
    assert list(again.index) == list(everything.index)
    assert dict(zip(other, again.broken, strict=True)) == dict(zip(limits, everything.broken, strict=True))


def test_more_than_is_affordable_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    _, grid = searches.whole()
    limits = [Limit("cost", -1, 300.0), Limit("tip-mach", -1, 0.3)]
    monkeypatch.setattr(miss_module, "_ALL", 0)
    monkeypatch.setattr(miss_module, "_CORES", 50)
    found = nearest_miss(grid, limits)
    assert not found.exact and found.broken is None
    assert 0 < found.looked_at < np.prod(grid.counts)
    near = np.repeat(found.index[None], sum(grid.counts), axis=0)
    row = 0
    for k, count in enumerate(grid.counts):
        near[row : row + count, k] = range(count)
        row += count
    assert margins(grid.combos(near), limits).min(axis=1).max() == found.margins.min()


def test_what_is_flown_is_bounded_first(monkeypatch: pytest.MonkeyPatch) -> None:
    _, grid = searches.whole()
    small = searches.part_of(grid, {k: list(range(min(place.count, 2))) for k, place in enumerate(grid.places)})
    limits = [Limit("flight-time", 1, 4000.0), Limit("weight", -1, 0.2)]
    everything = nearest_miss(small, limits)
    monkeypatch.setattr(miss_module, "_ALL_FLOWN", 0)
    bounded = nearest_miss(small, limits)
    assert everything.exact and bounded.exact and everything.broken == (128, 128)
    assert list(bounded.index) == list(everything.index)
    assert bounded.looked_at < everything.looked_at


@some
@given(hard())
def test_a_search_charges_each_combination_once(question: tuple) -> None:
    grid, limits = question
    front = exact_front(grid, [Goal("weight", -1), Goal("cost", -1)], limits)
    assert not len(front.index)
    assert sum(front.broken) == front.counts["limits of the core"] + front.counts["limits"]
