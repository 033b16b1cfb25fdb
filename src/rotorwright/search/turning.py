"""Which combination of the rest leaves a craft less inertia, whatever core it is put on.

With capitals for the core and small letters for the rest, mass M + m (placed), T + t (all), first moments S + s and
second moment A + a about the origin, the inertia about a common axis through the centre is

    f = (T + t)/(M + m) (A + a - |S + s|^2/(M + m))

f2 - f1 is bounded from below by interval arithmetic over everything that cores can be; nothing is sampled.

What is nowhere worse in turning and in all else rules others out here too: a compiled function and those it calls
live in one module, or an edit of one would leave the other as it was.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.compiled import kernel
from rotorwright.search.moments import Moments

__all__ = ["core_box", "mark_kept", "turns_easier"]

Array = NDArray[np.float64]

# Far above the rounding of the sums: nearer than this share, nothing is told apart.
_VISIBLE = 1e-9


def core_box(moments: Moments, core: Sequence[int], mass: float, masses: Sequence[Array]) -> Array:
    """Least and greatest sums of any core (2, 8): the seven moments, and the mass that has no place [kg].

    core: places of the core; mass: of the base without any place [kg]; masses: of every place's candidates [kg]
    """
    low, high = (np.column_stack([moments.fixed, mass - moments.fixed[:, 0]]) for _ in range(2))
    for k in core:
        own = np.concatenate([moments.own[k], masses[k][None, :, None] - moments.own[k][:, :, :1]], axis=2)
        low, high = low + own.min(axis=1), high + own.max(axis=1)
    return np.array([low.min(axis=0), high.max(axis=0)])


@kernel
def _least_product(a: float, b: float, c: float, d: float) -> float:
    """Least product of one of [a, b] and one of [c, d]."""
    return min(min(a * c, a * d), min(b * c, b * d))


@kernel
def turns_easier(box: Any, one: Any, other: Any, axis: int) -> bool:
    """Whether `one` of the rest leaves less inertia about an axis than the `other` on every core of the box.

    box: (2, 8) of `core_box`; one, other: seven moments and mass without a place, (8,); axis: 0 roll, 1 pitch, 2 yaw
    """
    b, c = 1 + (axis + 1) % 3, 1 + (axis + 2) % 3
    J = 4 + axis
    u1, U1, u2, U2 = box[0, 0] + one[0], box[1, 0] + one[0], box[0, 0] + other[0], box[1, 0] + other[0]
    if u1 <= 0.0 or u2 <= 0.0:
        return False
    w, W = box[0, 7] + one[7], box[1, 7] + one[7]
    if w < 0.0:
        return False
    more, spare = other[0] - one[0], other[7] - one[7]
    h, H = 1.0 + w / U1, 1.0 + W / u1
    top = box[1, J] + max(one[J], other[J])
    # what the second moments alone make of it
    gap = _least_product(other[J] - one[J], other[J] - one[J], h, H)
    for d in (b, c):
        step = other[d] - one[d]
        low, high = 2.0 * box[0, d] + one[d] + other[d], 2.0 * box[1, d] + one[d] + other[d]
        shift = -_least_product(-step, -step, low, high)  # the most that step (2 S + s1 + s2) can be
        gap -= max(shift * H / u2, shift * h / U2)
        low, high = box[0, d] + one[d], box[1, d] + one[d]
        most = max(low * low, high * high)
        gap += min(0.0, more) * most * H / (u1 * u2)
    # mass without a place is spread like the rest, so that more placed mass near the centre gathers it there
    shift = _least_product(spare / u2, spare / U2, 0.0, top) - max(more, 0.0) * W * top / (u1 * u2)
    return bool(gap + shift > _VISIBLE * top * H)


@kernel
def _turned(turns: Any, k: int, i: int) -> int:
    """1 where k turns visibly better about an axis that a goal sees and nowhere worse, 0 where it turns alike, or -1.

    turns: moments (n, 8), the box of all else, and axes (m, 3) with the way wanted and whether a goal sees it
    """
    sums, box, axes = turns
    better = 0
    for a in range(axes.shape[0]):
        alike = True
        for f in range(8):
            alike = alike and sums[k, f] == sums[i, f]
        if alike:
            continue
        axis, way = axes[a, 0], axes[a, 1]
        one, other = (sums[k], sums[i]) if way > 0 else (sums[i], sums[k])
        if way == 0 or not turns_easier(box, one, other, axis):
            return -1
        better = max(better, axes[a, 2])
    return better


@kernel
def mark_kept(seen: Any, unseen: Any, steps: Any, turns: Any, members: Any, kept: Any) -> None:
    """Mark those that no other rules out by being nowhere worse, and visibly better in what goals see or first."""
    n = len(members)
    for i in range(n):
        out = False
        for k in range(n):
            if k == i or out:
                continue
            better, fits = False, True
            for f in range(seen.shape[1]):
                if seen[k, f] < seen[i, f] - steps[f]:
                    better = True
                elif seen[k, f] != seen[i, f]:
                    fits = False
                    break
            turned = _turned(turns, k, i) if fits else -1
            if turned < 0 or (not better and turned == 0 and k > i):
                continue
            for f in range(unseen.shape[1]):
                if unseen[k, f] > unseen[i, f]:
                    fits = False
                    break
            out = fits
        kept[members[i]] = not out
