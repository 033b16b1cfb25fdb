"""Which points no other beats: exact filters, smaller is better in every column.

A point beats another when it is no worse in every goal and better in one. Points with equal goals do not beat each
other; of those the first in the order of the space is kept (`first_of_equals`).
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.compiled import kernel

__all__ = ["Archive", "first_of_equals", "front_of"]

Array = NDArray[np.float64]

_CHUNK = 24


def front_of(points: Array) -> NDArray[np.bool_]:
    """Which of `points` (n, goals) no other beats; points equal to each other stay together."""
    if len(points) < 2:
        return np.ones(len(points), dtype=bool)
    from moocore import is_nondominated  # type: ignore[import-untyped]

    return np.asarray(is_nondominated(points, keep_weakly=True), dtype=bool)


def first_of_equals(points: Array, order: NDArray[np.int64]) -> NDArray[np.int64]:
    """Of every set of equal points the one that is first by `order`: their positions, by `order`."""
    ranked = np.argsort(order, kind="stable")
    _, first = np.unique(points[ranked], axis=0, return_index=True)
    return np.asarray(ranked[np.sort(first)])


@kernel
def _beaten(points: Any, members: Any, ideals: Any, chunk: int, found: Any) -> None:
    """Mark the points that a member beats; the last that did is asked first, chunks that cannot are passed over."""
    goals = points.shape[1]
    last = 0
    for i in range(points.shape[0]):
        found[i] = False
        if members.shape[0] == 0:
            continue
        better, worse = False, False
        for g in range(goals):
            worse = worse or members[last, g] > points[i, g]
            better = better or members[last, g] < points[i, g]
        if better and not worse:
            found[i] = True
            continue
        for c in range(ideals.shape[0]):
            passed = False
            for g in range(goals):
                passed = passed or ideals[c, g] > points[i, g]
            if passed:
                continue
            for m in range(c * chunk, min((c + 1) * chunk, members.shape[0])):
                better, worse = False, False
                for g in range(goals):
                    worse = worse or members[m, g] > points[i, g]
                    better = better or members[m, g] < points[i, g]
                if better and not worse:
                    found[i] = True
                    last = m
                    break
            if found[i]:
                break


class Archive:
    """Points that have been reached, for ruling others out; smaller is better."""

    def __init__(self, points: Array) -> None:
        kept = np.unique(points[front_of(points)], axis=0) if len(points) else points
        self.points = np.ascontiguousarray(_gathered(kept))
        starts = range(0, len(self.points), _CHUNK)
        ideals = [self.points[k : k + _CHUNK].min(axis=0) for k in starts]
        self.ideals = np.array(ideals).reshape(-1, points.shape[1])

    def beats(self, points: Array) -> NDArray[np.bool_]:
        """Which of `points` some member beats; NaN is beaten by nobody."""
        found = np.zeros(len(points), dtype=bool)
        _beaten(np.ascontiguousarray(points), self.points, self.ideals, _CHUNK, found)
        return found


def _gathered(points: Array) -> Array:
    """Points in chunks that lie close together: halved along their widest goal, again and again."""
    spread = np.ptp(points, axis=0) if len(points) else np.zeros(1)
    scaled = points / np.where(spread > 0, spread, 1.0)

    def halved(index: NDArray[np.int64]) -> list[NDArray[np.int64]]:
        if len(index) <= _CHUNK:
            return [index]
        widest = int(np.argmax(np.ptp(scaled[index], axis=0)))
        ordered = index[np.argsort(scaled[index, widest], kind="stable")]
        half = (len(ordered) // 2 + _CHUNK - 1) // _CHUNK * _CHUNK
        return [*halved(ordered[:half]), *halved(ordered[half:])]

    return points[np.concatenate(halved(np.arange(len(points))))] if len(points) else points
