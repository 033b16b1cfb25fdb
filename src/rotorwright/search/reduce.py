"""The places outside the core, reduced to the combinations that no other makes superfluous.

One combination of the rest makes another superfluous when it is nowhere worse in anything that an active goal or
limit moves with, and better somewhere; where goals and limits pull both ways, or nobody declared a way, only equals
compare.
Combinations that are equal in everything the goals see are all kept but where the first in order is also no worse in
the limits: so ties end as they would without the reduction.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks.rule import rule_named
from rotorwright.errors import InputError, Problem
from rotorwright.search.bounds import Rest
from rotorwright.search.grid import Grid
from rotorwright.search.measures import TURNS
from rotorwright.search.moves import DECIDES, MOVES, RATINGS, READ, RULE_MOVES, existence
from rotorwright.search.space import Goal, Limit
from rotorwright.search.turning import core_box, mark_kept

__all__ = ["Wanted", "reduced_rest", "wanted", "whole_rest"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]

# Combinations of the rest that are listed one by one.
_MOST_WHOLE = 2_000_000
# Differences smaller than this share are not used to rule anything out: the solver could not see them.
_VISIBLE = {"mass": 1e-6, "cost": 0.0, "resistance": 1e-3, "power": 1e-3}


@dataclass(frozen=True)
class Wanted:
    """For each feature of the rest: -1 less, 1 more is never worse, 0 must be equal; and whether a goal sees it."""

    ways: dict[str, int]
    seen: frozenset[str]


def wanted(grid: Grid, goals: Sequence[Goal], limits: Sequence[Limit]) -> Wanted:
    """Which way each feature should go, from all active goals and limits together."""
    pulls: dict[str, set[int]] = {}
    for measure, way in [(g.measure, g.way) for g in goals] + [(x.name, x.way) for x in limits if not x.is_rule]:
        for name, move in _moves(grid, measure).items():
            pulls.setdefault(name, set()).update({way * move} if move else {-1, 1})
        for name, move in existence(measure).items():
            pulls.setdefault(name, set()).add(move)
    for limit in limits:
        if limit.is_rule:
            _pull_of_rule(grid, limit.name, pulls)
    ways = {name: next(iter(way)) if len(way) == 1 else 0 for name, way in pulls.items()}
    return Wanted(ways, frozenset(name for g in goals for name in _moves(grid, g.measure)))


def _moves(grid: Grid, measure: str) -> dict[str, int]:
    """How a measure moves with each feature; 0 where nobody declared it, or where shapes differ."""
    if measure in TURNS:
        return {n: move for n, move in MOVES[measure].items() if n != "inertia"} | {measure: 1}
    if measure not in DECIDES:
        return MOVES[measure]
    shapes = [f"shape {place.id}" for place in grid.places if not place.is_core] if grid.shadows else []
    names = [n for n in DECIDES[measure] if n != "shape"] + (shapes if "shape" in DECIDES[measure] else [])
    return dict.fromkeys(names, 0)


def _pull_of_rule(grid: Grid, code: str, pulls: dict[str, set[int]]) -> None:
    """Add which way a rule's margin wants each feature; both ways where nobody declared one."""
    rule = rule_named(code)
    assert rule is not None
    undeclared = dict.fromkeys(("mass", "resistance", "power"), 0)
    for name, move in RULE_MOVES.get(code, undeclared).items():
        pulls.setdefault(name, set()).update({move} if move else {-1, 1})
    for name, move in existence(code).items():
        pulls.setdefault(name, set()).add(move)
    for place in grid.places:
        if not place.is_core and place.kind in rule.reads:
            for name in place.states:
                key = f"{place.kind}.{name}"
                if key in RATINGS:
                    pulls.setdefault(key, set()).add(RATINGS[key])
                elif name in READ:
                    pulls.setdefault(key, set()).update((-1, 1))


def reduced_rest(grid: Grid, want: Wanted) -> tuple[Rest, int]:
    """Combinations of the rest that are left, and how many there were; place by place, so that it stays small."""
    index, total = np.zeros((1, len(grid.places)), np.int64), 1
    for k, place in enumerate(grid.places):
        if place.is_core:
            continue
        total *= place.count
        index = np.repeat(index, place.count, axis=0)
        index[:, k] = np.tile(np.arange(place.count), len(index) // place.count)
        index = index[_kept(grid, index, want, k)]
    return _with_ends(grid, index), total


def whole_rest(grid: Grid) -> Rest:
    """All combinations of the rest; InputError when they are more than can be listed."""
    counts = [1 if place.is_core else place.count for place in grid.places]
    if (total := math.prod(counts)) > _MOST_WHOLE:
        what = f"{total:,} combinations of parts beside motor, rotor and pack are too many for a tolerance"
        raise InputError(Problem(what, "Choose from fewer of them."))
    return _with_ends(grid, np.stack(np.unravel_index(np.arange(total), counts), axis=1))


def _with_ends(grid: Grid, index: Index) -> Rest:
    """Combinations of the rest with the least and most of what they add and state."""
    features = _features(grid, index)
    known = {name: values[~np.isnan(values)] for name, values in features.items()}
    low = {name: float(np.min(values)) for name, values in known.items() if len(values)}
    high = {name: float(np.max(values)) for name, values in known.items() if len(values)}
    return Rest(index, low, high)


def _features(grid: Grid, index: Index) -> dict[str, Array]:
    """What combinations of the rest add up to, and what they state."""
    features = {name: np.zeros(len(index)) for name in ("mass", "cost", "power")}
    for k, place in enumerate(grid.places):
        if place.is_core:
            continue
        for name in ("mass", "cost", "power"):
            features[name] += getattr(place, name)[index[:, k]]
        for name, values in place.sets.items():
            features["resistance" if name == "controller_resistance" else name] = values[index[:, k]]
        for name, values in place.states.items():
            features[f"{place.kind}.{name}"] = values[index[:, k]]
        if grid.shadows is not None:
            features[f"shape {place.id}"] = grid.shadows.shapes[k][0, index[:, k]].astype(float)
    return features


def _turns(grid: Grid, index: Index, want: Wanted, last: int) -> tuple[Array, Array, Index]:
    """Moments of the rest up to place `last`, everything that all else can be, and axes with the way that is wanted.

    Last of an axis: whether a goal sees it.
    """
    asked = [(axis, want.ways[n], n in want.seen) for axis, n in enumerate(TURNS) if n in want.ways]
    if not asked or grid.moments is None:
        return np.zeros((len(index), 8)), np.zeros((2, 8)), np.zeros((0, 3), np.int64)
    here = [k for k, place in enumerate(grid.places) if not place.is_core and k <= last]
    others = [k for k in range(len(grid.places)) if k not in here]
    sums = grid.moments.of_places(index, here)
    mass = sum((grid.places[k].mass[index[:, k]] for k in here), start=np.zeros(len(index)))
    box = core_box(grid.moments, others, grid.mass, [place.mass for place in grid.places])
    return np.column_stack([sums, mass - sums[:, 0]]), box, np.array(asked, np.int64)


def _kept(grid: Grid, index: Index, want: Wanted, last: int) -> NDArray[np.bool_]:
    """Which combinations no other makes superfluous; only equals where a feature must be equal are compared."""
    features = {name: x for name, x in _features(grid, index).items() if name in want.ways}
    turned = {
        name: -want.ways[name] * np.where(np.isnan(x), -np.inf * want.ways[name], x)
        for name, x in features.items()
        if want.ways[name]
    }
    same = [np.where(np.isnan(x), np.inf, x) for name, x in features.items() if want.ways[name] == 0]
    groups = (
        np.unique(np.stack(same, axis=1), axis=0, return_inverse=True)[1].ravel()
        if same
        else np.zeros(len(index), np.int64)
    )
    seen = [name for name in turned if name in want.seen]
    unseen = [name for name in turned if name not in want.seen]
    steps = np.array(
        [
            _VISIBLE.get(name, 0.0) * np.max(np.abs(features[name]), initial=0.0, where=np.isfinite(features[name]))
            for name in seen
        ]
    )
    sums, box, axes = _turns(grid, index, want, last)
    kept = np.zeros(len(index), dtype=bool)
    for group in np.unique(groups):
        members = np.flatnonzero(groups == group)
        a, b = (
            np.stack([turned[n][members] for n in names], axis=1) if names else np.zeros((len(members), 0))
            for names in (seen, unseen)
        )
        mark_kept(a, b, steps, (sums[members], box, axes), members, kept)
    return kept
