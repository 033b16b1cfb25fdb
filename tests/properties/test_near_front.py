"""What may belong to the front is what the definition says, looked up by brute force over every combination."""

import importlib.util
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rotorwright.errors import InputError
from rotorwright.search import near as near_module
from rotorwright.search.block import Task, solved
from rotorwright.search.bounds import Rest
from rotorwright.search.craft_from import craft_with
from rotorwright.search.front import brute_front, exact_front, order_of
from rotorwright.search.near import maybe_on_front, near_front, sampled_goals, surely_beaten
from rotorwright.search.space import Goal
from rotorwright.search.swap import difference

_SPEC = importlib.util.spec_from_file_location("searches", Path(__file__).parent / "test_search.py")
assert _SPEC and _SPEC.loader
searches = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(searches)

few = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
SAMPLES = 24


def everything(grid: object, goals: list, limits: list) -> tuple[np.ndarray, np.ndarray]:
    """Every combination that passes, with its goals."""
    counts = grid.counts
    index = np.stack(np.unravel_index(np.arange(np.prod(counts)), counts), axis=1)
    nothing = Rest(np.zeros((1, len(counts)), np.int64), {}, {})
    points, room = solved(Task(grid, nothing, tuple(goals), tuple(limits), np.zeros((0, len(goals)))), index)
    good = np.isfinite(points).all(axis=1) & np.all(room >= 0.0, axis=1)
    return index[good], points[good]


def beats(f: np.ndarray, x: np.ndarray) -> bool:
    return bool(np.all(f <= x) and np.any(f < x))


@few
@given(searches.questions(), st.sampled_from((0.002, 0.02, 0.1)))
def test_within_the_tolerance_is_what_no_craft_of_the_front_beats_by_more(question: tuple, tolerance: float) -> None:
    grid, goals, limits = question
    front = exact_front(grid, goals, limits)
    index, points = everything(grid, goals, limits)
    on_front = {tuple(row) for row in front.index}
    expected = [
        tuple(row)
        for row, x in zip(index, points, strict=True)
        if tuple(row) not in on_front and not any(beats(f, x - tolerance * np.abs(x)) for f in front.points)
    ]
    try:
        found = near_front(grid, front, goals, limits, tolerance)
    except InputError:
        assert len(expected) > near_module.MOST_NEAR
        return
    assert [tuple(row) for row in found.index] == expected
    assert list(order_of(grid, found.index)) == sorted(order_of(grid, found.index))


@few
@given(searches.questions(), st.sampled_from((0.01, 0.05)))
def test_what_is_kept_is_beaten_for_sure_by_none(question: tuple, tolerance: float) -> None:
    grid, goals, limits = question
    space, _ = searches.whole()
    front = brute_front(grid, goals, limits)
    try:
        near = near_front(grid, front, goals, limits, tolerance)
    except InputError:  # more than can be held against the front
        return
    if not len(near.index) or len(near.index) + len(front.index) > 40:
        return
    names = [
        [{p.id: p.names[i] for p, i in zip(grid.places, row, strict=True)} for row in x.index] for x in (near, front)
    ]
    ours, theirs = (sampled_goals([craft_with(space, one) for one in x], goals, SAMPLES, 0) for x in names)
    kept, beside = maybe_on_front(near, front.points, ours, theirs)
    for k, x in enumerate(near.points):
        sure = False
        for f, point in enumerate(front.points):
            leads = [difference(theirs[f, g], ours[k, g], "") for g in range(len(goals))]
            if beats(point, x) and all(lead.value is not None for lead in leads):
                low = [lead.value if lead.low is None else lead.low for lead in leads]
                sure = sure or (min(low) >= 0.0 and max(low) > 0.0)
        assert kept[k] == (not sure)
        assert beside[k] < 0 or np.all(front.points[beside[k]] <= x)


@given(st.integers(0, 2**32 - 1))
def test_sure_leads_agree_with_the_bounds_of_predictions(seed: int) -> None:
    rng = np.random.default_rng(seed)
    leads = rng.normal(0.5, rng.uniform(0.05, 1.0), (6, 2, 41))
    leads[rng.random(leads.shape) < 0.3] = np.nan
    leads[:, :, 0] = np.abs(leads[:, :, 0])
    leads[0, 0] = 0.0
    for one, sure in zip(leads, surely_beaten(leads), strict=True):
        found = [difference(np.zeros(41), values, "") for values in one]
        known = all(p.value is not None for p in found)
        low = [p.value if p.low is None else p.low for p in found] if known else [-1.0]
        assert sure == (min(low) >= 0.0 and max(low) > 0.0)


def test_too_many_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(near_module, "MOST_NEAR", 3)
    _, grid = searches.whole()
    small = searches.part_of(grid, {k: list(range(min(place.count, 4))) for k, place in enumerate(grid.places)})
    goals: list[Goal] = [Goal("weight", -1), Goal("hover-time", 1)]
    front = exact_front(small, goals, [])
    with pytest.raises(InputError, match="more than 3 craft lie within"):
        near_front(small, front, goals, [], 0.5)
