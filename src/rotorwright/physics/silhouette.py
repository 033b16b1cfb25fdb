"""Area of the shadow that a heap of boxes throws along one axis."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.compiled import kernel

__all__ = ["box_corners", "cover", "raster", "shadow_area"]

Floats = NDArray[np.float64]

# A side of the raster has no more cells: beyond a metre they grow instead.
_MOST_CELLS = 1000


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


def raster(span: Floats | float = 0.0) -> float:
    """Width of a cell of the raster for shadows as wide as `span` [m]: a millimetre, more beyond a metre."""
    return max(1e-3, float(np.max(span)) / _MOST_CELLS)


def shadow_area(bodies: Sequence[Floats], axis: int, step: float = 0.0) -> float:
    """Area of the union of the bodies' shadows along `axis` [m2], on a raster of `step` [m], 0 for the usual one.

    bodies: corners of convex bodies, (m, 3) each [m]; axis: 0, 1 or 2
    A cell is covered by the largest share that any one body covers of it, so that the area follows every edge
    without a step.
    """
    across = [i for i in range(3) if i != axis]
    flat = [np.asarray(body)[:, across] for body in bodies]
    if not flat:
        return 0.0
    low = np.min([points.min(axis=0) for points in flat], axis=0)
    high = np.max([points.max(axis=0) for points in flat], axis=0)
    step = step or raster(high - low)
    size = np.ceil((high - low) / step).astype(int) + 1
    covered = np.zeros(size)
    for points in flat:
        cover(covered, (points - low) / step)
    return float(covered.sum()) * step * step


@kernel
def _add_edge(sums: Floats, a: Floats, b: Floats) -> None:
    """Add what lies beyond an edge from a to b to `sums` (rows, columns + 1): width times what it leaves of its cell
    there, the rest to the next column; sums along a row are then areas to the left of it, signed by its direction."""
    if a[0] == b[0]:
        return
    columns = sums.shape[1] - 1
    slope, way = (b[1] - a[1]) / (b[0] - a[0]), 1.0 if b[0] > a[0] else -1.0
    left, right = min(a[0], b[0]), max(a[0], b[0])
    for i in range(math.floor(left), math.ceil(right)):
        from_, to = max(left, i), min(right, i + 1.0)
        y0, y1 = a[1] + slope * (from_ - a[0]), a[1] + slope * (to - a[0])
        low, high = min(y0, y1), max(y0, y1)
        for j in range(math.floor(low), max(math.ceil(high), math.floor(low) + 1)):
            below, above = max(low, j), min(high, j + 1.0)
            share = (above - below) / (high - low) if high > low else 1.0
            width, column = way * share * (to - from_), min(j, columns - 1)
            within = 0.5 * (below + above) - column
            sums[i, column] += width * (1.0 - within)
            sums[i, column + 1] += width * within


@kernel
def cover(covered: Floats, points: Floats) -> None:
    """Raise each cell (rows, columns) to the share of it that lies inside the hull of `points` (n, 2) [cells]."""
    hull = _hull(points)
    if hull.shape[0] < 3:
        return
    x0, x1 = math.floor(hull[:, 0].min()), math.ceil(hull[:, 0].max())
    y0, y1 = math.floor(hull[:, 1].min()), math.ceil(hull[:, 1].max())
    sums, corner = np.zeros((x1 - x0, y1 - y0 + 1)), np.array([float(x0), float(y0)])
    for k in range(hull.shape[0]):
        _add_edge(sums, hull[k] - corner, hull[(k + 1) % hull.shape[0]] - corner)
    for i in range(x1 - x0):
        share = 0.0
        for j in range(y1 - y0):
            share += sums[i, j]
            covered[x0 + i, y0 + j] = max(covered[x0 + i, y0 + j], min(abs(share), 1.0))
