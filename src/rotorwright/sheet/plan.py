"""The craft from above with its dimensions, nose up: what is on it, its propeller discs, and how large it is."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from rotorwright.craft.model import Craft
from rotorwright.frame.export.letters import width_of
from rotorwright.frame.export.spots import Spots
from rotorwright.frame.layout import MotorPlace
from rotorwright.parts.propulsion import Propeller
from rotorwright.predict.craft_bodies import EYES, craft_bodies
from rotorwright.sheet.ink import Picture, group_of, shaded
from rotorwright.sheet.space import FASTENINGS, HOLDERS

__all__ = ["Size", "plan_view", "size_of"]

Array = NDArray[np.float64]

_WIDE, _LEFT, _RIGHT, _TOP, _BOTTOM = 480.0, 16.0, 46.0, 34.0, 44.0
_EDGE_INK, _SIZE = "#1c2430", 13.0


@dataclass(frozen=True, slots=True)
class Size:
    """Outer size of a craft [m]: of everything with a shape but the propellers, and of the discs with it."""

    length: float
    width: float
    height: float
    length_over_discs: float
    width_over_discs: float
    motor_to_motor: float | None
    disc_diameter: float | None


def size_of(craft: Craft) -> Size | None:
    """Outer size of what has a shape and a place; None when nothing has."""
    points = [body.corners() for body in craft_bodies(craft) if body.kind != "propeller"]
    if not points:
        return None
    low, high = (f(np.vstack(points), axis=0) for f in (np.min, np.max))
    disc = _disc(craft)
    xy = [(m.x, m.y) for m in craft.motors] if disc else []
    reach = [(x + s * disc / 2, y + s * disc / 2) for x, y in xy for s in (-1, 1)] if disc else []
    over_low, over_high = (f([*reach, tuple(end[:2])], axis=0) for f, end in ((np.min, low), (np.max, high)))
    span = _longest(craft.motors)
    return Size(
        length=float(high[0] - low[0]),
        width=float(high[1] - low[1]),
        height=float(high[2] - low[2]),
        length_over_discs=float(over_high[0] - over_low[0]),
        width_over_discs=float(over_high[1] - over_low[1]),
        motor_to_motor=_gap(*span) if span else None,
        disc_diameter=disc,
    )


def _disc(craft: Craft) -> float | None:
    placed = craft.the("propeller")
    part = placed.part if placed else None
    return part.diameter.value if isinstance(part, Propeller) and part.diameter else None


def _gap(a: MotorPlace, b: MotorPlace) -> float:
    return math.hypot(a.x - b.x, a.y - b.y)


def _longest(motors: Sequence[MotorPlace]) -> tuple[MotorPlace, MotorPlace] | None:
    """The two motors farthest from each other; of equal pairs the first."""
    pairs = [(a, b) for i, a in enumerate(motors) for b in motors[i + 1 :]]
    return max(pairs, key=lambda pair: round(_gap(*pair), 6)) if pairs else None


class _Sheet:
    """The picture, and where points of the craft lie on it; `bounds` in the plan [m], right and up."""

    def __init__(self, craft: Craft, size: Size, bounds: Array) -> None:
        self.size = size
        self.x0, self.y0, self.x1, self.y1 = (float(v) for v in bounds)
        self.scale = min((_WIDE - _LEFT - _RIGHT) / (self.x1 - self.x0), 370.0 / (self.y1 - self.y0))
        self.left = _LEFT + ((_WIDE - _LEFT - _RIGHT) - (self.x1 - self.x0) * self.scale) / 2
        tall = _TOP + (self.y1 - self.y0) * self.scale + _BOTTOM
        self.picture = Picture(_WIDE, tall, f"{craft.title.full} from above, nose up")

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A point of the plan."""
        return self.left + (x - self.x0) * self.scale, _TOP + (self.y1 - y) * self.scale

    def motor(self, motor: MotorPlace) -> tuple[float, float]:
        """Middle of a motor; left of the craft on the left."""
        return self.at(-motor.y, motor.x)


def plan_view(craft: Craft) -> str | None:
    """SVG of the craft from above with dimensions in mm; None when nothing has a shape and a place."""
    size, disc = size_of(craft), _disc(craft) or 0.0
    if size is None:
        return None
    bodies = [b for b in craft_bodies(craft) if b.kind not in (*FASTENINGS, "propeller")]
    bodies.sort(key=lambda body: float(body.corners()[:, 2].max()))
    shapes = [body.silhouette(EYES["above"]) for body in bodies]
    reach = [shapely.Point(-m.y, m.x).buffer(disc / 2) for m in craft.motors if disc]
    sheet = _Sheet(craft, size, shapely.total_bounds([*shapes, *reach]))
    for body, shape in zip(bodies, shapes, strict=True):
        rings = [[sheet.at(*xy) for xy in ring] for ring in _rings(shape)]
        opacity = 0.16 if body.role in HOLDERS else 0.94
        sheet.picture.shape(rings, shaded(group_of(body.kind, body.role), 1.25), _EDGE_INK, 0.6, opacity)
    for motor in craft.motors if disc else ():
        x, y = sheet.motor(motor)
        sheet.picture.circle(x, y, disc / 2 * sheet.scale, "none", "accent", 1.1, dash="6 4")
        sheet.picture.line([(x - 4, y), (x + 4, y)], "ink", 0.8)
        sheet.picture.line([(x, y - 4), (x, y + 4)], "ink", 0.8)
    _dimensions(sheet, craft)
    if (span := _longest(craft.motors)) is not None:
        _aslant(sheet, span, [*shapes, *(one.exterior for one in reach)])
    return sheet.picture.svg()


def _rings(shape: BaseGeometry) -> list[Array]:
    parts = [p for p in getattr(shape, "geoms", [shape]) if p.geom_type == "Polygon"]
    return [shapely.get_coordinates(r)[:-1] for p in parts for r in (p.exterior, *p.interiors)]


def _dimensions(sheet: _Sheet, craft: Craft) -> None:
    """Over the discs across and along, motor to motor aslant and across, and the disc's diameter."""
    picture, size = sheet.picture, sheet.size
    (x0, y0), (x1, y1) = sheet.at(sheet.x0, sheet.y1), sheet.at(sheet.x1, sheet.y0)
    picture.dimension((x0, y1 + 24), (x1, y1 + 24), _mm(sheet.x1 - sheet.x0), _SIZE)
    picture.dimension((x1 + 26, y1), (x1 + 26, y0), _mm(sheet.y1 - sheet.y0), _SIZE)
    for x in (x0, x1):
        picture.line([(x, y1 + 4), (x, y1 + 28)], "line", 0.7)
    for y in (y0, y1):
        picture.line([(x1 + 4, y), (x1 + 30, y)], "line", 0.7)
    _across(sheet, craft.motors)
    if size.disc_diameter and craft.motors:
        last = min(craft.motors, key=lambda m: (m.x, -m.y))
        x, y = sheet.motor(last)
        picture.text(
            x,
            y + size.disc_diameter / 2 * sheet.scale - 9,
            f"\u2300 {_mm(size.disc_diameter)}",
            _SIZE,
            "accent",
            "middle",
            halo=True,
        )
    picture.text(4, picture.height - 4, "mm; dashed: propeller discs", _SIZE, "soft")


def _aslant(sheet: _Sheet, span: tuple[MotorPlace, MotorPlace], drawn: Sequence[BaseGeometry]) -> None:
    """Motor to motor the longest way: a dotted line, its length beside it where nothing is drawn."""
    ends, words = sorted(sheet.motor(one) for one in span), _mm(_gap(*span))
    sheet.picture.line(ends, "accent", 0.9, "1 4")
    taken = [_put(sheet, shape) for shape in drawn]
    spots = Spots((0.0, _TOP, _WIDE - _RIGHT, sheet.picture.height - _BOTTOM), taken)
    half = (width_of(words, _SIZE) / 2 + 1, _SIZE / 2 + 1)
    spot = spots.near(shapely.LineString(ends), half, _WIDE, least=4.0)
    if spot is not None:
        sheet.picture.line([(spot.x, spot.y), spot.foot], "accent", 0.7)
        sheet.picture.text(spot.x, spot.y + 0.36 * _SIZE, words, _SIZE, "accent", "middle", halo=True)


def _put(sheet: _Sheet, shape: BaseGeometry) -> BaseGeometry:
    """A shape of the plan in the picture."""
    (x, y), k = sheet.at(0.0, 0.0), sheet.scale
    return affinity.affine_transform(shape, [k, 0, 0, -k, x, y])


def _across(sheet: _Sheet, motors: Sequence[MotorPlace]) -> None:
    """Distance of the two front motors, where they stand side by side."""
    if len(motors) < 2:
        return
    front = sorted(motors, key=lambda m: -m.x)[:2]
    if abs(front[0].x - front[1].x) > 1e-4 or abs(front[0].y - front[1].y) < 1e-4:
        return
    left, right = sorted((sheet.motor(m) for m in front), key=lambda p: p[0])
    y = _TOP - 14
    sheet.picture.dimension((left[0], y), (right[0], y), _mm(_gap(*front)), _SIZE)
    for x, foot in (left, right):
        sheet.picture.line([(x, y - 4), (x, foot)], "line", 0.7)


def _mm(metres: float) -> str:
    return f"{1e3 * metres:.1f}".removesuffix(".0")
