"""The motors from above, nose up: where each is, and which way it turns, in words and by an arrow."""

import math
from collections.abc import Sequence

from rotorwright.craft.model import Craft
from rotorwright.frame.layout import MotorPlace
from rotorwright.parts.propulsion import Propeller
from rotorwright.sheet.ink import Picture
from rotorwright.sheet.wiring_plan import spaced
from rotorwright.sheet.wiring_shapes import Point
from rotorwright.sheet.wiring_text import width_of, wrapped

__all__ = ["motors_svg", "turns"]

_WIDE, _MOST_TALL, _TOP, _FOOT, _MARGIN = 480.0, 330.0, 58.0, 24.0, 12.0
# Radius of a disc when no propeller is named, over the shortest way between motors: for the picture alone.
_USUAL = 0.42


def turns(motor: MotorPlace) -> str:
    """Spin seen from above."""
    return "counter-clockwise" if motor.spin > 0 else "clockwise"


def motors_svg(craft: Craft, title: str) -> str | None:
    """SVG of the motors of a craft; None when its frame places none."""
    if not craft.motors:
        return None
    radius = _radius(craft)
    xs = [m.x + s * radius for m in craft.motors for s in (-1, 1)]
    ys = [m.y + s * radius for m in craft.motors for s in (-1, 1)]
    scale = min((_WIDE - 2 * _MARGIN) / (max(ys) - min(ys)), _MOST_TALL / (max(xs) - min(xs)))
    tall = _TOP + (max(xs) - min(xs)) * scale + _FOOT
    picture = Picture(_WIDE, tall, title)
    picture.box(0, 0, _WIDE, tall, "ground")
    middle = _WIDE / 2 + (max(ys) + min(ys)) / 2 * scale

    def put(x: float, y: float) -> Point:
        return middle - y * scale, _TOP + (max(xs) - x) * scale

    picture.text(8, 20, title, 14, bold=True)
    _forward(picture, put(0.0, 0.0))
    spots: dict[Point, list[MotorPlace]] = {}
    for motor in craft.motors:
        spots.setdefault((round(motor.x, 4), round(motor.y, 4)), []).append(motor)
    for x, y in spots:
        picture.line([put(0.0, 0.0), put(x, y)], "line", 5)
    for (x, y), motors in spots.items():
        _disc(picture, put(x, y), radius * scale, sorted(motors, key=lambda m: -m.z))
    picture.text(8, tall - 8, "seen from above, nose up; arrows show which way each motor turns", 12.5, "soft")
    return picture.svg()


def _radius(craft: Craft) -> float:
    placed = craft.the("propeller")
    if placed and isinstance(placed.part, Propeller) and placed.part.diameter:
        return placed.part.diameter.value / 2
    ways = [math.hypot(a.x - b.x, a.y - b.y) for a in craft.motors for b in craft.motors]
    return _USUAL * min((way for way in ways if way > 1e-3), default=0.1)


def _forward(picture: Picture, centre: Point) -> None:
    """An arrow at the top, over the craft's middle."""
    x = centre[0]
    picture.line([(x, _TOP - 4), (x, 34)], "ink", 1.6)
    picture.shape([[(x - 5, 36), (x + 5, 36), (x, 25)]], "ink")
    picture.text(x + 10, 36, "forward", 13)


def _disc(picture: Picture, centre: Point, radius: float, motors: Sequence[MotorPlace]) -> None:
    """One disc, or a pair on one axis: the upper with a whole arrow, the lower inside with a dashed one."""
    x, y = centre
    picture.circle(x, y, radius, "ground", "soft", 1.0, dash="4 4")
    for index, motor in enumerate(motors):
        _arrow(picture, centre, radius * (0.86 - 0.16 * index), motor.spin, dash="7 4" if index else "")
    room = 1.15 * radius * (1.0 if len(motors) == 1 else 0.9)
    size = next(size for size in (16.0, 13.0, 11.0, 9.0) if size == 9.0 or width_of("counter-", size) < 0.8 * room)
    lines = [(line, bold) for motor in motors for line, bold in _words(motor, room, size)]
    top = y - 1.15 * size * (len(lines) - 1) / 2 + 0.35 * size
    for index, (line, bold) in enumerate(lines):
        picture.text(x, top + 1.15 * size * index, line, size - (0 if bold else 1.5), "ink", "middle", bold=bold)


def _words(motor: MotorPlace, room: float, size: float) -> list[tuple[str, bool]]:
    name = wrapped(spaced(motor.name), size, room, 2, bold=True)
    return [*((line, True) for line in name), *((line, False) for line in wrapped(turns(motor), size - 1.5, room, 2))]


def _arrow(picture: Picture, centre: Point, radius: float, spin: int, dash: str) -> None:
    """An arc of two thirds of a turn, with a head at its end; on paper y runs down."""
    start = math.radians(60.0)
    angles = [start + math.radians(240.0) * i / 40 for i in range(41)]
    angles = angles if spin > 0 else [math.pi - angle for angle in angles]
    points = [(centre[0] + radius * math.cos(a), centre[1] - radius * math.sin(a)) for a in angles]
    picture.line(points, "accent", 2.2, dash)
    (x, y), last = points[-1], angles[-1]
    along = (-math.sin(last) * spin, -math.cos(last) * spin)
    across = (math.cos(last), -math.sin(last))
    tip = (x + 11 * along[0], y + 11 * along[1])
    picture.shape([[tip, (x + 6 * across[0], y + 6 * across[1]), (x - 6 * across[0], y - 6 * across[1])]], "accent")
