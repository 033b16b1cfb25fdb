"""The craft seen from ahead, above and the left: parallel projection, far bodies first, hidden faces left out.

Which of two bodies lies behind the other is read from the boxes round them where they are apart along an axis of the
craft, else from their distance; within a body its walls come before the face that covers them.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from rotorwright.craft.model import Craft
from rotorwright.predict.craft_bodies import CraftBody, craft_bodies
from rotorwright.sheet.ink import GROUPS, Picture, group_of, shaded

__all__ = ["FASTENINGS", "HOLDERS", "space_view"]

Array = NDArray[np.float64]

FASTENINGS = ("screw", "nut", "grommet")
"""Kinds too small for a picture of the whole craft."""

HOLDERS = ("camera-mount", "recording-mount", "antenna-holder", "camera-shim")
"""Roles of holders: where only the outer size is known, what they hold is seen through them."""

_WIDE, _TALL, _EDGE = 480.0, 330.0, 8.0
_AZIMUTH, _RISE = np.radians(38.0), np.radians(34.0)
# Towards the light, in the craft's axes.
_LIGHT = np.array([0.30, 0.42, 0.86])
_LEVELS = 10
# Boxes that lie on each other touch by less than this [m].
_TOUCH = 2e-4
# What is not worth its ink in the picture: corners off a line, walls, insides of holes.
_FINE, _SPECK, _SMALL_HOLE = 0.12, 0.25, 14.0
_EDGE_INK = "#1c2430"


@dataclass(frozen=True)
class _View:
    """From the craft's axes [m] to the picture; rows of `eye` are its right, its up, and towards the eye."""

    eye: Array
    scale: float
    shift: Array

    def flat(self, points: Array) -> Array:
        """Points in the picture, (n, 2)."""
        return np.asarray((points @ self.eye.T)[:, :2] * [self.scale, -self.scale] + self.shift)


@dataclass(frozen=True)
class _Seen:
    """One body in the picture: its walls with the light on each, its cover, and its whole shape."""

    body: CraftBody
    walls: tuple[tuple[float, BaseGeometry], ...]
    cover: BaseGeometry
    cover_light: float
    shape: BaseGeometry


def space_view(craft: Craft) -> str | None:
    """SVG of the craft in space; None when nothing on it has a shape and a place."""
    bodies, eye = [b for b in craft_bodies(craft) if b.kind not in FASTENINGS], _eye()
    if not bodies:
        return None
    spans = [body.corners() for body in bodies]
    flat = np.vstack(spans) @ eye.T
    low, high = flat[:, :2].min(axis=0), flat[:, :2].max(axis=0)
    scale = min((_WIDE - 2 * _EDGE) / (high[0] - low[0]), (_TALL - 2 * _EDGE) / (high[1] - low[1]))
    tall = (high[1] - low[1]) * scale + 2 * _EDGE
    view = _View(eye, scale, np.array([(_WIDE - scale * (low[0] + high[0])) / 2, tall - _EDGE + scale * low[1]]))
    rows = _legend_rows({group_of(body.kind, body.role) for body in bodies})
    picture = Picture(_WIDE, tall + 6 + 18 * len(rows), f"{craft.title.full} from ahead, above and the left")
    order = _order(spans, eye, np.array([_is_convex(body) for body in bodies]))
    for seen in _not_hidden([_seen(bodies[k], view) for k in order]):
        _draw(picture, seen)
    for index, row in enumerate(rows):
        for x, word in row:
            picture.box(x, tall + 7 + 18 * index, 10, 10, word, "ink", 0.5, 2)
            picture.text(x + 15, tall + 16 + 18 * index, GROUPS[word], 12, "soft")
    return picture.svg()


def _eye() -> Array:
    c, s, cr, sr = np.cos(_AZIMUTH), np.sin(_AZIMUTH), np.cos(_RISE), np.sin(_RISE)
    return np.array([[-s, c, 0.0], [-sr * c, -sr * s, cr], [cr * c, cr * s, sr]])


def _order(spans: Sequence[Array], eye: Array, convex: NDArray[np.bool_]) -> list[int]:
    """Indices of the bodies, far ones first; what lies in the box round a convex one comes before it."""
    low, high = (np.array([f(points, axis=0) for points in spans]) for f in (np.min, np.max))
    flat = [points @ eye.T for points in spans]
    left, right = (np.array([f(points[:, :2], axis=0) for points in flat]) for f in (np.min, np.max))
    depth = np.array([points[:, 2].mean() for points in flat])
    meet = np.all((left[:, None] < right[None]) & (left[None] < right[:, None]), axis=2)
    behind = np.zeros_like(meet)  # [i, j]: i must be drawn before j
    known = np.zeros_like(meet)
    for axis in (2, 0, 1):  # the eye lies towards the positive end of each
        apart = (high[:, None, axis] <= low[None, :, axis] + _TOUCH) & ~known
        apart &= ~apart.T
        behind |= apart
        known |= apart | apart.T
    inside = np.all((low[None] <= low[:, None]) & (high[:, None] <= high[None]), axis=2) & convex[None] & ~known
    inside &= ~inside.T
    behind |= inside | (~known & ~inside & ~inside.T & (depth[:, None] < depth[None, :]))
    return _sorted(behind & meet & ~np.eye(len(spans), dtype=bool), depth)


def _sorted(before: NDArray[np.bool_], depth: Array) -> list[int]:
    """An order that keeps `before` where it can; of a ring the farthest comes first."""
    left, order = set(range(len(depth))), list[int]()
    waits = before.sum(axis=0)
    while left:
        free = [k for k in left if waits[k] == 0] or list(left)
        chosen = min(free, key=lambda k: (depth[k], k))
        left.remove(chosen)
        order.append(chosen)
        waits -= before[chosen]
    return order


def _not_hidden(ordered: Sequence[_Seen]) -> list[_Seen]:
    """Those of which something is left to see, far ones first."""
    mask: BaseGeometry = shapely.Polygon()
    kept = []
    for seen in reversed(ordered):
        if not shapely.covers(mask, seen.shape):
            kept.append(seen)
            mask = mask if _is_open(seen.body) else shapely.union(mask, seen.shape)
    return kept[::-1]


def _seen(body: CraftBody, view: _View) -> _Seen:
    rings = [body.outline.exterior, *body.outline.interiors]
    axis = body.turn[:, 2]
    toward = float(view.eye[2] @ axis)
    walls = [wall for hole in rings[1:] for wall in _walls(body, hole, True, view)]
    walls += _walls(body, rings[0], False, view)
    cover: BaseGeometry = shapely.Polygon()
    if abs(toward) > 1e-6:
        near = [view.flat(body.ring(ring, toward > 0)) for ring in rings]
        cover = shapely.simplify(shapely.Polygon(near[0], near[1:]), _FINE)
    outer = shapely.Polygon(cover.exterior) if not cover.is_empty else cover
    shape = shapely.union_all([*(wall for _, wall in walls), outer])
    return _Seen(body, tuple(_joined(body, walls)), cover, _light(axis if toward > 0 else -axis), shape)


def _walls(body: CraftBody, ring: shapely.LinearRing, hole: bool, view: _View) -> list[tuple[float, BaseGeometry]]:
    """Walls of one ring that face the eye, far ones first, with the light on each."""
    low, high = body.ring(ring, False), body.ring(ring, True)
    flat_low, flat_high = view.flat(low), view.flat(high)
    if hole and shapely.Polygon(flat_high).area < _SMALL_HOLE:
        return []
    edge = np.roll(low, -1, axis=0) - low
    # right of the way round: away from what the ring encloses, into a hole
    outward = np.cross(edge, body.turn[:, 2]) * (-1.0 if shapely.is_ccw(ring) == hole else 1.0)
    length = np.linalg.norm(outward, axis=1)
    depth = (low + high) @ view.eye[2]
    here = np.flatnonzero((outward @ view.eye[2] > 1e-9) & (length > 0))
    after = (here + 1) % len(low)
    corners = np.stack([flat_low[here], flat_low[after], flat_high[after], flat_high[here]], axis=1)
    walls = shapely.polygons(corners)
    kept = shapely.is_valid(walls) & (shapely.area(walls) > 1e-6)
    depths = depth[here] + depth[after]
    lights = [_light(outward[i] / length[i]) for i in here]
    return [(lights[k], walls[k]) for k in np.argsort(depths, kind="stable") if kept[k]]


def _light(normal: Array) -> float:
    """How bright a face is: 1 its own colour, below darker, above paler."""
    toward = float(normal @ _LIGHT) / float(np.linalg.norm(_LIGHT))
    return round((0.62 + 0.62 * max(toward, 0.0)) * _LEVELS) / _LEVELS


def _joined(body: CraftBody, walls: Sequence[tuple[float, BaseGeometry]]) -> list[tuple[float, BaseGeometry]]:
    """Walls of equal light as one shape; where one may cover another, only those drawn one after the other."""
    runs: list[tuple[float, list[BaseGeometry]]] = []
    for light, wall in sorted(walls, key=lambda row: row[0]) if _is_convex(body) else walls:
        if runs and runs[-1][0] == light:
            runs[-1][1].append(wall)
        else:
            runs.append((light, [wall]))
    shapes = [(light, shapely.simplify(shapely.union_all(group), _FINE)) for light, group in runs]
    return [(light, shape) for light, shape in shapes if shape.area > _SPECK]


def _is_convex(body: CraftBody) -> bool:
    return not body.outline.interiors and bool(body.outline.convex_hull.area < 1.001 * body.outline.area)


def _draw(picture: Picture, seen: _Seen) -> None:
    """The walls, the cover over them, and a line round it all."""
    group = group_of(seen.body.kind, seen.body.role)
    if _is_open(seen.body):
        picture.shape(_rings(seen.shape), shaded(group, 1.2), _EDGE_INK, 0.5, 0.16)
        return
    for light, wall in seen.walls:
        colour = shaded(group, light)
        picture.shape(_rings(wall), colour, colour)
    if not seen.cover.is_empty:
        picture.shape(_rings(seen.cover), shaded(group, seen.cover_light), _EDGE_INK)
    outer = [shapely.Polygon(part.exterior) for part in _polygons(seen.shape)]
    picture.shape(_rings(shapely.MultiPolygon(outer)), "none", _EDGE_INK, 0.7)


def _is_open(body: CraftBody) -> bool:
    """Whether only the outer box of a holder is known."""
    return body.role in HOLDERS and len(body.outline.exterior.coords) == 5


def _polygons(shape: BaseGeometry) -> list[shapely.Polygon]:
    return [p for p in getattr(shape, "geoms", [shape]) if p.geom_type == "Polygon" and not p.is_empty]


def _rings(shape: BaseGeometry) -> list[Array]:
    fine = [shapely.simplify(p, _FINE) for p in _polygons(shape)]
    return [shapely.get_coordinates(r)[:-1] for p in fine for r in (p.exterior, *p.interiors)]


def _legend_rows(here: set[str]) -> list[list[tuple[float, str]]]:
    """Where the groups of parts are named, line by line."""
    rows: list[list[tuple[float, str]]] = [[]]
    x = 0.0
    for word in (word for word in GROUPS if word in here):
        wide = 15 + 6.4 * len(GROUPS[word]) + 16
        if x + wide > _WIDE and rows[-1]:
            rows.append([])
            x = 0.0
        rows[-1].append((x + 4, word))
        x += wide
    return rows
