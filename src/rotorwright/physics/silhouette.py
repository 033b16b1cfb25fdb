"""Area of the shadow that a heap of boxes throws along one axis."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.compiled import kernel

__all__ = ["box_corners", "cover", "shadow_area"]

Floats = NDArray[np.float64]


def box_corners(centre: Floats, rotation: Floats, extent: Floats) -> Floats:
    """The eight corners of a turned box, (8, 3) [m]; centre (3,), rotation (3, 3), full lengths (3,)."""
    signs = np.array([(x, y, z) for x in (-0.5, 0.5) for y in (-0.5, 0.5) for z in (-0.5, 0.5)])
    corners: Floats = centre + (signs * extent) @ rotation.T
    return corners


@kernel
def _hull(points: Floats) -> Floats:
    """Convex hull, counter-clockwise (Andrew's monotone chain)."""
    n = points.shape[0]
    ordered = points.copy()
    for i in range(1, n):  # a handful of points: sorted as they are inserted
        for k in range(i, 0, -1):
            a, b = ordered[k - 1], ordered[k]
            if a[0] < b[0] or (a[0] == b[0] and a[1] <= b[1]):
                break
            for m in range(2):
                ordered[k - 1, m], ordered[k, m] = ordered[k, m], ordered[k - 1, m]
    hull = np.empty((2 * n, 2))
    size = 0
    for turn in range(2):
        start = size
        for i in range(n):
            x, y = ordered[n - 1 - i if turn else i]
            while size - start > 1:
                ax, ay = hull[size - 2]
                bx, by = hull[size - 1]
                if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0:
                    break
                size -= 1
            hull[size, 0], hull[size, 1] = x, y
            size += 1
        size -= 1
    return hull[:size]


def shadow_area(bodies: Sequence[Floats], axis: int, step: float = 1e-3) -> float:
    """Area of the union of the bodies' shadows along `axis` [m2], on a raster of `step` [m].

    bodies: corners of convex bodies, (m, 3) each [m]; axis: 0, 1 or 2
    """
    across = [i for i in range(3) if i != axis]
    flat = [np.asarray(body)[:, across] for body in bodies]
    if not flat:
        return 0.0
    low = np.min([points.min(axis=0) for points in flat], axis=0)
    high = np.max([points.max(axis=0) for points in flat], axis=0)
    size = np.ceil((high - low) / step).astype(int) + 1
    covered = np.zeros(size, dtype=bool)
    for points in flat:
        cover(covered, (points - low) / step)
    return float(covered.sum()) * step * step


@kernel
def cover(covered: NDArray[np.bool_], points: Floats) -> None:
    """Mark the cells (rows, columns) whose middle lies inside the hull of `points` (n, 2) [cells]."""
    hull = _hull(points)
    n = hull.shape[0]
    if n < 3:
        return
    x0, x1 = math.floor(hull[:, 0].min()), math.ceil(hull[:, 0].max())
    y0, y1 = math.floor(hull[:, 1].min()), math.ceil(hull[:, 1].max())
    for i in range(x0, x1):
        for j in range(y0, y1):
            x, y = i + 0.5, j + 0.5
            inside = not covered[i, j]
            for k in range(n):
                if not inside:
                    break
                ax, ay = hull[k]
                bx, by = hull[(k + 1) % n]
                inside = (bx - ax) * (y - ay) - (by - ay) * (x - ax) >= 0.0
            if inside:
                covered[i, j] = True
