"""Area of the shadow that a heap of boxes throws along one axis."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

__all__ = ["box_corners", "shadow_area"]

Floats = NDArray[np.float64]


def box_corners(centre: Floats, rotation: Floats, extent: Floats) -> Floats:
    """The eight corners of a turned box, (8, 3) [m]; centre (3,), rotation (3, 3), full lengths (3,)."""
    signs = np.array([(x, y, z) for x in (-0.5, 0.5) for y in (-0.5, 0.5) for z in (-0.5, 0.5)])
    corners: Floats = centre + (signs * extent) @ rotation.T
    return corners


def _hull(points: Floats) -> Floats:
    """Convex hull, counter-clockwise (Andrew's monotone chain)."""
    ordered = sorted(map(tuple, points.tolist()))

    def half(line: list[tuple[float, ...]]) -> list[tuple[float, ...]]:
        chain: list[tuple[float, ...]] = []
        for x, y in line:
            while len(chain) > 1:
                (ax, ay), (bx, by) = chain[-2], chain[-1]
                if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0:
                    break
                chain.pop()
            chain.append((x, y))
        return chain[:-1]

    return np.array(half(ordered) + half(ordered[::-1]))


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
        _cover(covered, (points - low) / step)
    return float(covered.sum()) * step * step


def _cover(covered: NDArray[np.bool_], points: Floats) -> None:
    """Mark the cells whose middle lies inside the hull of `points`, given in cells."""
    hull = _hull(points)
    if len(hull) < 3:
        return
    (x0, y0), (x1, y1) = np.floor(points.min(axis=0)).astype(int), np.ceil(points.max(axis=0)).astype(int)
    x, y = np.arange(x0, x1)[:, None] + 0.5, np.arange(y0, y1)[None, :] + 0.5
    inside = np.ones((x1 - x0, y1 - y0), dtype=bool)
    for (ax, ay), (bx, by) in zip(hull, np.roll(hull, -1, axis=0), strict=True):
        inside &= (bx - ax) * (y - ay) - (by - ay) * (x - ax) >= 0
    covered[x0:x1, y0:y1] |= inside
