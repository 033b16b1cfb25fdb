"""What a craft to fly by picture usually carries, and what of it a craft lacks."""

from dataclasses import dataclass

from rotorwright.craft.model import Craft
from rotorwright.parts.electronics import Antenna, Receiver

__all__ = ["UsualRole", "missing_roles"]


@dataclass(frozen=True, slots=True)
class UsualRole:
    """A role, the kind of part that plays it, what it is for, and whether nothing flies without it."""

    role: str
    kind: str
    purpose: str
    needed: bool


_ROLES = (
    UsualRole("motor", "motor", "turns the propellers", True),
    UsualRole("propeller", "propeller", "makes the thrust", True),
    UsualRole("speed-controller", "speed-controller", "drives the motors", True),
    UsualRole("flight-controller", "flight-controller", "keeps it level", True),
    UsualRole("battery", "battery", "feeds everything", True),
    UsualRole("receiver", "receiver", "hears the pilot", True),
    UsualRole("control-antenna", "antenna", "the receiver's own ear", True),
    UsualRole("camera", "camera", "what the pilot sees by", False),
    UsualRole("video-transmitter", "video-transmitter", "sends the picture", False),
    UsualRole("video-antenna", "antenna", "a transmitter without one burns", True),
    UsualRole("strap", "strap", "holds the pack", False),
    UsualRole("capacitor", "capacitor", "takes the spikes off the supply", False),
    UsualRole("buzzer", "buzzer", "is heard from the grass", False),
)


def missing_roles(craft: Craft) -> tuple[UsualRole, ...]:
    """Usual roles that no part of `craft` plays, those nothing flies without first (common practice, no source).

    An antenna is missed only where a part on the craft needs one: a video transmitter, or a receiver that does not
    carry its own on board.
    """
    missing = [usual for usual in _ROLES if not _is_played(craft, usual)]
    return tuple(sorted(missing, key=lambda usual: not usual.needed))


def _is_played(craft: Craft, usual: UsualRole) -> bool:
    if craft.the(usual.role) is not None:
        return True
    if usual.kind != "antenna":
        return any(placed.part.kind == usual.kind for placed in craft.parts)
    radio = "video-transmitter" if usual.role == "video-antenna" else "receiver"
    return not any(_lacks_antenna(craft, placed.part) for placed in craft.parts if placed.part.kind == radio)


def _lacks_antenna(craft: Craft, radio: object) -> bool:
    """Whether no antenna of the radio's band is on the craft; where a frequency is not known, any antenna will do."""
    if isinstance(radio, Receiver) and radio.antenna_connector in ("", "on board"):
        return False
    own = getattr(radio, "frequency", None)
    antennas = [placed.part for placed in craft.parts if isinstance(placed.part, Antenna)]
    return not any(
        own is None or antenna.frequency is None or 0.9 < antenna.frequency.value / own.value < 1.1
        for antenna in antennas
    )
