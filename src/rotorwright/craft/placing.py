"""Where parts sit when the layout places them, or when nobody said."""

import math

from rotorwright.craft.model import Place
from rotorwright.frame.layout import MotorPlace
from rotorwright.frame.table import FrameTable
from rotorwright.parts.fields import specs
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Motor, Propeller

__all__ = ["LAYOUT_ROLES", "Heights", "heights", "places_by_layout"]

LAYOUT_ROLES = ("motor", "propeller", "propeller-nut", "arm", "arm-bumper", "motor-mount")

# An arm reaches this far beyond the motor's axis: common practice, no source.
_OVERHANG = 0.012


class Heights:
    """Heights along a motor's axis [m], below the disc for an upright motor."""

    def __init__(self, hub: float, motor: float, down: float) -> None:
        self.motor = down * (hub / 2 + motor / 2)
        self.base = down * (hub / 2 + motor)
        self.down = down


def heights(frame: FrameTable, motor: Part | None, propeller: Part | None) -> Heights:
    """Heights of motor middle and motor base from the disc plane, with usual sizes where a size is missing."""
    hub = propeller.hub_height.value if isinstance(propeller, Propeller) and propeller.hub_height else 0.007
    height = motor.height.value if isinstance(motor, Motor) and motor.height else 0.018
    return Heights(hub, height, 1.0 if frame.motors == "inverted" else -1.0)


def places_by_layout(role: str, part: Part, motors: list[MotorPlace], levels: Heights) -> list[Place]:
    """One place for each motor (arms: for each direction) of a part whose role the layout places."""
    match role:
        case "propeller" | "propeller-nut":
            return [Place(m.x, m.y, m.z) for m in motors]
        case "motor":
            return [Place(m.x, m.y, m.z + _side(m) * levels.motor) for m in motors]
        case "motor-mount":
            return [Place(m.x, m.y, m.z + _side(m) * levels.base) for m in motors]
    thickness = _extent(part, "thickness", "outer_diameter", index=2)
    z = levels.base + levels.down * thickness / 2
    directions = list({round(m.bearing, 9): m for m in motors}.values())
    if role == "arm-bumper":
        return [_along(m, m.radius + _OVERHANG, z) for m in directions]
    length = _extent(part, "length", index=0)
    return [_along(m, m.radius + _OVERHANG - length / 2, z) for m in directions]


def _side(motor: MotorPlace) -> float:
    """The lower motor of a coaxial pair hangs upside down."""
    return -1.0 if motor.z < 0 else 1.0


def _along(motor: MotorPlace, radius: float, z: float) -> Place:
    return Place(radius * math.cos(motor.bearing), radius * math.sin(motor.bearing), z, yaw=motor.bearing)


def _extent(part: Part, *names: str, index: int) -> float:
    known = specs(type(part))
    for name in names:
        if name in known and (estimate := getattr(part, name)) is not None:
            return float(estimate.value)
    return part.size[index] if part.size else 0.0
