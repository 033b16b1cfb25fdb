"""Places of the motors, by name, for each layout."""

import math
from dataclasses import dataclass

from rotorwright.frame.pieces_table import MotorSpot
from rotorwright.frame.table import FrameTable

__all__ = ["MotorPlace", "missing_size", "motor_places", "smallest_gap"]

# Front-to-rear over left-to-right distance when only the diagonal is given: common practice, no source.
_ASPECT = {"x": 1.0, "wide-x": 0.8, "long-x": 1.25, "y-coaxial": 1.0, "y-splayed": 1.0}
_SPLAY = 0.55
_COAXIAL_GAP = 0.030


@dataclass(frozen=True, slots=True)
class MotorPlace:
    """One motor: disc centre [m], and its spin seen from above (+1 counter-clockwise, -1 clockwise)."""

    name: str
    x: float
    y: float
    z: float
    spin: int

    @property
    def bearing(self) -> float:
        """Direction from the middle of the craft to the motor [rad], 0 forward, positive to the left."""
        return math.atan2(self.y, self.x)

    @property
    def radius(self) -> float:
        """Distance from the middle of the craft [m]."""
        return math.hypot(self.x, self.y)


def missing_size(table: FrameTable) -> str:
    """What `table` lacks to place the motors, or '' when nothing."""
    if table.layout == "free":
        return "" if table.motor else "[[frame.motor]] with name and at_mm, once for each motor"
    both = table.motor_length is not None and table.motor_width is not None
    if table.motor_spacing is None and not (both and table.layout in _ASPECT):
        extra = " or motor_length_mm and motor_width_mm" if table.layout in _ASPECT else ""
        return f"motor_spacing_mm{extra}"
    return ""


def motor_places(table: FrameTable) -> list[MotorPlace]:
    """Motors of a layout, front to rear and left to right; `missing_size` must be ''.

    Equal radii make the regular layouts; `inward` makes the front-left motor turn clockwise seen from above.
    """
    inward = 1 if table.rotation == "inward" else -1
    if table.layout == "free":
        return [_spot(spot) for spot in table.motor]
    if table.layout in {"hexagon", "octagon"}:
        return _ring(table, inward)
    length, width = _length_and_width(table)
    front, rear = length / 2, -length / 2
    places = [
        MotorPlace("front-left", front, width / 2, 0.0, -inward),
        MotorPlace("front-right", front, -width / 2, 0.0, inward),
    ]
    if table.layout == "y-coaxial":
        gap = table.tail_height.value if table.tail_height else _COAXIAL_GAP
        return [
            *places,
            MotorPlace("tail-upper", rear, 0.0, 0.0, inward),
            MotorPlace("tail-lower", rear, 0.0, -gap, -inward),
        ]
    if table.layout == "y-splayed":
        width = table.tail_width.value if table.tail_width else _SPLAY * width
    return [
        *places,
        MotorPlace("rear-left", rear, width / 2, 0.0, inward),
        MotorPlace("rear-right", rear, -width / 2, 0.0, -inward),
    ]


def _spot(spot: MotorSpot) -> MotorPlace:
    x, y, z = spot.at or (0.0, 0.0, 0.0)
    return MotorPlace(spot.name, x, y, z, 1 if spot.spin == "counter-clockwise" else -1)


def _length_and_width(table: FrameTable) -> tuple[float, float]:
    if table.motor_length is not None and table.motor_width is not None:
        return table.motor_length.value, table.motor_width.value
    assert table.motor_spacing is not None
    aspect = _ASPECT[table.layout]
    width = table.motor_spacing.value / math.hypot(1.0, aspect)
    return width * aspect, width


_RING = {
    "hexagon": ("front-left", "front-right", "left", "right", "rear-left", "rear-right"),
    "octagon": (
        "front-left",
        "front-right",
        "left-front",
        "right-front",
        "left-rear",
        "right-rear",
        "rear-left",
        "rear-right",
    ),
}


def _ring(table: FrameTable, inward: int) -> list[MotorPlace]:
    """Motors evenly on a circle, none dead ahead; neighbours turn opposite ways."""
    assert table.motor_spacing is not None
    names = _RING[table.layout]
    radius, step = table.motor_spacing.value / 2, 2 * math.pi / len(names)
    places = []
    for index, name in enumerate(names):
        pair, left = index // 2, index % 2 == 0
        bearing = (0.5 + pair) * step * (1 if left else -1)
        spin = inward * (-1) ** (pair + (1 if left else 0))
        places.append(MotorPlace(name, radius * math.cos(bearing), radius * math.sin(bearing), 0.0, spin))
    return places


def smallest_gap(places: list[MotorPlace], diameter: float) -> float:
    """Smallest distance between two propeller discs that lie side by side [m]; negative when they overlap."""
    gaps = [
        math.hypot(a.x - b.x, a.y - b.y) - diameter
        for i, a in enumerate(places)
        for b in places[i + 1 :]
        if (a.x, a.y) != (b.x, b.y)
    ]
    return min(gaps, default=math.inf)
