"""The `[frame]` table of a craft file."""

from dataclasses import dataclass

from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import choice, quantity

__all__ = ["LAYOUTS", "FrameTable"]

LAYOUTS = ("x", "wide-x", "long-x", "y-coaxial", "y-splayed", "hexagon", "octagon")


@dataclass(frozen=True, kw_only=True)
class FrameTable:
    """Where the motors are, and which way they turn."""

    layout: str = choice("arrangement of the motors", LAYOUTS, default="x")
    motor_spacing: Estimate | None = quantity("length", "distance between opposite motors (diagonal)", high=2.0)
    motor_length: Estimate | None = quantity("length", "distance from front to rear motors along x", high=2.0)
    motor_width: Estimate | None = quantity("length", "distance from left to right motors along y", high=2.0)
    tail_width: Estimate | None = quantity("length", "distance between the rear motors of a splayed y", high=2.0)
    tail_height: Estimate | None = quantity("length", "height between the discs of a coaxial tail", high=0.5)
    rotation: str = choice(
        "front edge of the front discs moves towards the middle (inward) or away (outward)",
        ("inward", "outward"),
        default="inward",
    )
    motors: str = choice("motors above their arms, or hung below", ("upright", "inverted"), default="upright")
