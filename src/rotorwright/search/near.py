"""Craft that may belong to the front: beaten on paper, but not for sure.

A combination x that keeps every limit and is not on the front F is near it when both hold:

1. no craft of F beats x by more than the tolerance t: x improved by t |x_g| in every goal g is beaten by none;
2. no craft of F that beats x does so for sure: f beats x for sure when the 5 % end of the bounds of its lead, on
   common samples, is at least zero in every goal and above it in one.

The first is exact over all combinations and found like the front itself, with nothing of the rest left out; the
second samples what is left, craft by craft, with the bounds of a swap.
"""

import threading
from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.craft.model import Craft
from rotorwright.errors import InputError, Problem
from rotorwright.search.block import Task
from rotorwright.search.fleet import fleet_of
from rotorwright.search.front import Front, blocks_of, order_of
from rotorwright.search.grid import Grid
from rotorwright.search.measures import MEASURES
from rotorwright.search.progress import Stopped
from rotorwright.search.reduce import whole_rest
from rotorwright.search.space import Goal, Limit
from rotorwright.search.workers import crew

__all__ = ["FEWEST", "MOST_NEAR", "Near", "maybe_on_front", "near_front", "sampled_goals", "surely_beaten"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]

MOST_NEAR = 4000
"""Combinations that are sampled at most."""

FEWEST = 20
"""Samples with a solution below which there are no bounds, as in every prediction."""

_AT_ONCE = 100


@dataclass(frozen=True)
class Near:
    """Combinations near the front: candidates (n, places), goals turned so that smaller is better (n, goals)."""

    index: Index
    points: Array


def near_front(
    grid: Grid,
    front: Front,
    goals: Sequence[Goal],
    limits: Sequence[Limit],
    tolerance: float,
    *,
    workers: int = 1,
    stop: threading.Event | None = None,
    executor: Executor | None = None,
) -> Near:
    """Every combination that no craft of the front beats by more than the tolerance (a share), in the space's order.

    Raises InputError when there are more than MOST_NEAR, or more combinations of the rest than can be listed.
    """
    stop = stop or threading.Event()
    task = Task(grid, whole_rest(grid), tuple(goals), tuple(limits), front.points, tolerance)
    blocks = blocks_of(task)
    index, points = front.index[:0], front.points[:0]
    with crew(task, workers, len(blocks), executor) as hands:
        done = 0
        for _, found in hands.run(enumerate(blocks), task.archive, stop):
            index, points = np.concatenate([index, found.index]), np.concatenate([points, found.points])
            done += 1
            if len(index) > MOST_NEAR + len(front.index):
                what = f"more than {MOST_NEAR:,} craft lie within {tolerance:.3g} of the front"
                raise InputError(Problem(what, "Take a smaller tolerance, or add limits.", "", None))
        if done < len(blocks):
            raise Stopped("stopped")
    order = order_of(grid, index)
    new = ~np.isin(order, order_of(grid, front.index))
    ranked = np.argsort(order[new], kind="stable")
    return Near(index[new][ranked], points[new][ranked])


def sampled_goals(craft: Sequence[Craft], goals: Sequence[Goal], samples: int, seed: int) -> Array:
    """Oriented goals of craft on common samples, (craft, goals, rows), the nominal one first."""
    parts = []
    for start in range(0, len(craft), _AT_ONCE):
        fleet = fleet_of(craft[start : start + _AT_ONCE], samples, seed)
        values = [-goal.way * MEASURES[goal.measure].values(fleet) for goal in goals]
        parts.append(np.stack(values, axis=1))
    return np.concatenate(parts)


def surely_beaten(leads: Array) -> NDArray[np.bool_]:
    """Whether craft beat another for sure, from their leads over it (m, goals, rows), the nominal one first: (m,).

    The ends are those of `Prediction.of`: of the samples that have a solution, never beyond the nominal value; where
    there are fewer than twenty, the nominal value itself. Without a nominal lead nothing is sure.
    """
    nominal, samples = leads[:, :, 0], leads[:, :, 1:]
    low = nominal.copy()
    enough = np.isfinite(samples).sum(axis=2) >= FEWEST
    if enough.any():
        known = np.where(np.isfinite(samples), samples, np.nan)[enough]
        low[enough] = np.minimum(np.nanquantile(known, 0.05, axis=1), nominal[enough])
    with np.errstate(invalid="ignore"):
        return np.asarray(np.all(low >= 0.0, axis=1) & np.any(low > 0.0, axis=1))


def maybe_on_front(near: Near, points: Array, ours: Array, theirs: Array) -> tuple[NDArray[np.bool_], Index]:
    """Which near combinations no craft of the front (points (m, goals)) beats for sure; the nearest ahead of each.

    ours, theirs: sampled goals of the near (n, goals, rows) and of the front (m, goals, rows)
    The nearest is that of the craft no worse in any goal which leads by least, each goal over its range; -1 for none.
    """
    kept, beside = np.ones(len(near.index), dtype=bool), np.full(len(near.index), -1)
    spread = np.maximum(np.ptp(points, axis=0), 1e-300)
    for k, point in enumerate(near.points):
        ahead = np.flatnonzero(np.all(points <= point, axis=1))
        if len(ahead):
            beside[k] = ahead[np.argmin(np.max((point - points[ahead]) / spread, axis=1))]
            better = ahead[np.any(points[ahead] < point, axis=1)]
            kept[k] = not surely_beaten(ours[k] - theirs[better]).any()
    return kept, beside
