"""Drawing flat shapes: discs, slots, tapered plates, fillets, and holes that are checked as they are cut."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.polygon import Polygon

from rotorwright.frame.outline import SEGMENTS
from rotorwright.parts.source_map import Key

__all__ = [
    "Cutout",
    "Fault",
    "cut",
    "disc",
    "filleted",
    "moved",
    "rectangle",
    "relieved",
    "ring_of_holes",
    "rounded",
    "slot",
]

# A hole nearer to an edge than this has met it: below what a router holds [m].
_NEAREST = 0.2e-3


@dataclass(frozen=True, slots=True)
class Fault:
    """Something in the frame's numbers that cannot be built, at a key of the craft file."""

    key: Key
    what: str
    fix: str


@dataclass(frozen=True, slots=True)
class Cutout:
    """One opening: what it is, its shape, and the key that asks for it."""

    what: str
    shape: Polygon
    key: Key


def disc(diameter: float, x: float = 0.0, y: float = 0.0) -> Polygon:
    """Disc about (x, y)."""
    return shapely.Point(x, y).buffer(diameter / 2, quad_segs=SEGMENTS)


def rectangle(length: float, width: float, x: float = 0.0, y: float = 0.0) -> Polygon:
    """Rectangle about (x, y)."""
    return shapely.box(x - length / 2, y - width / 2, x + length / 2, y + width / 2)


def rounded(shape: Polygon, radius: float) -> Polygon:
    """`shape` with its outer corners rounded; a radius too large for it gives it back unchanged."""
    if radius <= 0:
        return shape
    inner = shape.buffer(-radius, join_style="mitre", mitre_limit=10)
    return inner.buffer(radius, quad_segs=SEGMENTS) if isinstance(inner, Polygon) and not inner.is_empty else shape


def filleted(shape: Polygon, radius: float) -> Polygon:
    """`shape` with its inner corners filled to `radius`; its outer curves stay as they are."""
    if radius <= 0:
        return shape
    return shape.buffer(radius, join_style="mitre", mitre_limit=10).buffer(-radius, quad_segs=SEGMENTS)


def slot(length: float, width: float) -> Polygon:
    """Slot with round ends along x, about the origin."""
    half = max(length - width, 0.0) / 2
    if half == 0:
        return disc(width)
    return shapely.LineString([(-half, 0), (half, 0)]).buffer(width / 2, quad_segs=SEGMENTS)


def moved(shape: Polygon, x: float, y: float, turn: float = 0.0) -> Polygon:
    """`shape` turned about the origin [rad] and then shifted [m]."""
    return affinity.translate(affinity.rotate(shape, turn, origin=(0, 0), use_radians=True), x, y)


def ring_of_holes(pattern: Sequence[float], hole: float, x: float, y: float, turn: float) -> list[Polygon]:
    """Four holes at distances `pattern` across, (p,) or (p, q), the first pair at `turn` from x."""
    across = (pattern[0], pattern[-1])
    holes = []
    for index in range(4):
        angle, radius = turn + index * math.pi / 2, across[index % 2] / 2
        holes.append(disc(hole, x + radius * math.cos(angle), y + radius * math.sin(angle)))
    return holes


def cut(solid: Polygon, cutouts: Sequence[Cutout], faults: list[Fault]) -> Polygon:
    """`solid` without its cutouts; one that meets an edge or another cutout is noted and left out."""
    taken: list[Cutout] = []
    edge = solid.exterior
    for cutout in cutouts:
        x, y = (1e3 * c for c in cutout.shape.centroid.coords[0])
        outside = cutout.shape.difference(solid)
        if not outside.is_empty or cutout.shape.distance(edge) < _NEAREST:
            reach = _reach(cutout.shape, solid)
            what = f"{cutout.what} at ({x:.1f}, {y:.1f}) mm meets the edge: {reach}"
            faults.append(Fault(cutout.key, what, "Make it smaller, move it inwards, or widen the plate there."))
        elif any(t.shape.centroid.distance(cutout.shape.centroid) < 0.05e-3 for t in taken):
            taken.append(cutout)  # one screw through two patterns
        elif other := next((t for t in taken if t.shape.distance(cutout.shape) < _NEAREST), None):
            what = f"{cutout.what} at ({x:.1f}, {y:.1f}) mm meets {other.what}"
            faults.append(Fault(cutout.key, what, "Move one of them, or make it smaller."))
        else:
            taken.append(cutout)
    return shapely.difference(solid, shapely.unary_union([t.shape for t in taken])) if taken else solid


def _reach(shape: Polygon, solid: Polygon) -> str:
    """How far `shape` reaches beyond `solid`, or how little it leaves."""
    if shape.difference(solid).is_empty:
        return f"it leaves {1e3 * shape.distance(solid.exterior):.2f} mm"
    far = max(shapely.Point(p).distance(solid) for p in shape.exterior.coords)
    return f"it reaches {1e3 * far:.2f} mm beyond it"


def relieved(shape: Polygon, bit: float) -> Polygon:
    """`shape` with every sharp inside corner cut out so far that a square part fits, by a disc of the bit.

    bit: diameter of the router bit [m]; corners that turn less than 25 degrees between two edges are left alone
    """
    bites = [disc(bit, *_bit_centre(p, u, bit)) for ring in _rings(shape) for p, u in _sharp_inside_corners(ring)]
    return shapely.difference(shape, shapely.unary_union(bites)) if bites else shape


def _rings(shape: Polygon) -> list[NDArray[np.float64]]:
    tidy = shapely.orient_polygons(shape)
    return [shapely.get_coordinates(ring)[:-1] for ring in (tidy.exterior, *tidy.interiors)]


def _bit_centre(corner: NDArray[np.float64], into_waste: NDArray[np.float64], bit: float) -> tuple[float, float]:
    x, y = corner + into_waste * bit / 2
    return float(x), float(y)


def _sharp_inside_corners(points: NDArray[np.float64]) -> list[tuple[NDArray[np.float64], NDArray[np.float64]]]:
    """Corners where the material lies round the outside of the turn, with the direction into the waste."""
    before = points - np.roll(points, 1, axis=0)
    after = np.roll(points, -1, axis=0) - points
    before, after = (v / np.linalg.norm(v, axis=1)[:, None] for v in (before, after))
    turn = np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], np.sum(before * after, axis=1))
    corners = []
    for index in np.flatnonzero(turn < -math.radians(25)):
        into = before[index] - after[index]
        corners.append((points[index], into / np.linalg.norm(into)))
    return corners
