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
    taken: list[tuple[Cutout, tuple[float, ...]]] = []
    shapely.prepare([solid, edge := solid.exterior])
    for cutout in cutouts:
        bounds = cutout.shape.bounds
        mates = [(t, box) for t, box in taken if _close(bounds, box)]
        if not solid.contains_properly(cutout.shape) or cutout.shape.distance(edge) < _NEAREST:
            what = f"{_where(cutout)} meets the edge: {_reach(cutout.shape, solid)}"
            faults.append(Fault(cutout.key, what, "Make it smaller, move it inwards, or widen the plate there."))
        elif any(_alike(bounds, box) for _, box in mates):
            taken.append((cutout, bounds))  # one screw through two patterns
        elif other := next((t for t, _ in mates if t.shape.distance(cutout.shape) < _NEAREST), None):
            what = f"{_where(cutout)} meets {other.what}"
            faults.append(Fault(cutout.key, what, "Move one of them, or make it smaller."))
        else:
            taken.append((cutout, bounds))
    return shapely.difference(solid, shapely.unary_union([t.shape for t, _ in taken])) if taken else solid


def _where(cutout: Cutout) -> str:
    x, y = (1e3 * c for c in cutout.shape.centroid.coords[0])
    return f"{cutout.what} at ({x:.1f}, {y:.1f}) mm"


def _close(a: Sequence[float], b: Sequence[float]) -> bool:
    """Whether two boxes (x low, y low, x high, y high) come nearer than the least gap."""
    gap = _NEAREST
    return a[0] - gap < b[2] and b[0] - gap < a[2] and a[1] - gap < b[3] and b[1] - gap < a[3]


def _alike(a: Sequence[float], b: Sequence[float]) -> bool:
    """Whether two boxes have the same middle, to a twentieth of a millimetre."""
    return abs(a[0] + a[2] - b[0] - b[2]) < 1e-4 and abs(a[1] + a[3] - b[1] - b[3]) < 1e-4


def _reach(shape: Polygon, solid: Polygon) -> str:
    """How far `shape` reaches beyond `solid`, or how little it leaves."""
    if shape.difference(solid).is_empty:
        return f"it leaves {1e3 * shape.distance(solid.exterior):.2f} mm"
    far = max(shapely.Point(p).distance(solid) for p in shape.exterior.coords)
    return f"it reaches {1e3 * far:.2f} mm beyond it"


def relieved(shape: Polygon, bit: float) -> Polygon:
    """`shape` with every sharp corner of its openings cut out so far that a square part fits, by a disc of the bit.

    Inside corners of the outer edge are left alone: a notch there would start a crack, and the bit leaves its radius.

    bit: diameter of the router bit [m]; corners that turn less than 25 degrees between two edges are left alone
    """
    bites = [disc(bit, *_bit_centre(p, u, bit)) for ring in _openings(shape) for p, u in _sharp_inside_corners(ring)]
    return shapely.difference(shape, shapely.unary_union(bites)) if bites else shape


def _openings(shape: Polygon) -> list[NDArray[np.float64]]:
    return [shapely.get_coordinates(ring)[:-1] for ring in shapely.orient_polygons(shape).interiors]


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
        into = after[index] - before[index]
        corners.append((points[index], into / np.linalg.norm(into)))
    return corners
