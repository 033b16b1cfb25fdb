"""Screws, nuts and rings: what each holds, how tight, and where thread lock belongs."""

import re
from dataclasses import dataclass

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.parts.hardware import Grommet, Nut, PrintedPart, Screw, Standoff
from rotorwright.predict.fastening import tightening
from rotorwright.sheet.assembly_places import BOARDS, Places, is_base

__all__ = ["Fastener", "fasteners", "is_fastener"]

_GENERAL = {"screw", "nut", "bolt", "grommet", "ring", "m2", "m3", "m5", "mount"}
# Bases of motors and press nuts are metal: common practice, no source.
_METAL = ("steel", "aluminium", "titanium", "brass")


@dataclass(frozen=True, slots=True)
class Fastener:
    """One line of fasteners with what it holds, lowest first; `thread_lock` and `torque` in words."""

    placed: PlacedPart
    holds: tuple[PlacedPart, ...]
    thread_lock: str
    torque: str

    @property
    def size(self) -> str:
        """Thread and length of a screw: `M3 x 8 button`."""
        return _size(self.placed)


def is_fastener(placed: PlacedPart) -> bool:
    """Whether a part holds others together."""
    return isinstance(placed.part, Screw | Nut | Grommet)


def fasteners(craft: Craft, places: Places) -> list[Fastener]:
    """Every fastener of the craft.

    What one holds follows from its role or its id, else from what it goes through where it stands.
    """
    lines = [placed for placed in craft.parts if is_fastener(placed)]
    holds = {id(placed): tuple(_held(craft, places, placed)) for placed in lines}
    return [_told(placed, holds[id(placed)], _partners(placed, lines, holds), lines, holds) for placed in lines]


def _size(placed: PlacedPart) -> str:
    part = placed.part
    if isinstance(part, Grommet):
        return ""
    thread = getattr(part, "thread", None)
    words = f"M{thread.value * 1e3:g}" if thread else ""
    if isinstance(part, Screw) and part.length:
        words += f" \u00d7 {part.length.value * 1e3:g} mm"
    head = part.head if isinstance(part, Screw) and part.head not in ("", "none") else ""
    return f"{words} {head}".strip()


def _words(*names: str) -> set[str]:
    found = {word.rstrip("s") if len(word) > 2 else word for name in names for word in re.split(r"[^a-z0-9]+", name)}
    return found - _GENERAL - {""}


def _held(craft: Craft, places: Places, placed: PlacedPart) -> list[PlacedPart]:
    others = [other for other in craft.parts if not is_fastener(other)]
    if placed.role == "motor-mount":
        return [other for other in others if other.role == "motor"]
    own = _words(placed.id.lower(), placed.role.lower())
    if not own:
        return places.through(placed)
    named = [o for o in others if any(own == _words(name.lower()) for name in (o.id, o.part.kind))]
    named = named or [o for o in others if own == _words(o.role.lower())]
    named = named or [o for o in others if own <= _words(o.id.lower(), o.role.lower(), o.part.kind)]
    return sorted(named, key=places.height) or places.through(placed)


Holds = dict[int, tuple[PlacedPart, ...]]


def _partners(placed: PlacedPart, lines: list[PlacedPart], holds: Holds) -> list[PlacedPart]:
    """Nuts of a screw, or screws of a nut: of one thread, and holding the same things."""
    wanted = Nut if isinstance(placed.part, Screw) else Screw
    mine = {id(one) for one in holds[id(placed)]}
    return [
        other
        for other in lines
        if isinstance(other.part, wanted)
        and _thread(other) == _thread(placed)
        and mine & {id(one) for one in holds[id(other)]}
    ]


def _thread(placed: PlacedPart) -> float | None:
    thread = getattr(placed.part, "thread", None)
    return round(thread.value * 1e3, 2) if thread else None


def _told(
    placed: PlacedPart,
    held: tuple[PlacedPart, ...],
    partners: list[PlacedPart],
    lines: list[PlacedPart],
    holds: Holds,
) -> Fastener:
    if isinstance(placed.part, Grommet):
        return Fastener(placed, held, "", "")
    boards = {id(one) for one in held if one.part.kind in BOARDS}
    soft = any(isinstance(o.part, Grommet) and boards & {id(one) for one in holds[id(o)]} for o in lines)
    return Fastener(placed, held, _lock(placed, held, partners), _torque(placed, held, soft))


def _lock(placed: PlacedPart, held: tuple[PlacedPart, ...], partners: list[PlacedPart]) -> str:
    """Where thread lock belongs: metal on metal that nothing else locks."""
    nuts = [one for one in (placed, *partners) if isinstance(one.part, Nut)]
    if any(isinstance(nut.part, Nut) and nut.part.locking for nut in nuts):
        return "none: the nut locks by itself, and thread lock spoils its nylon"
    if any(one.role == "propeller" for one in held):
        return "none: it cracks plastic; look at them before each flight"
    if isinstance(placed.part, Nut):
        return "on its screw"
    if nuts:
        return "a drop, medium strength; none near plastic"
    metal = [one for one in held if one.role == "motor" or _is_metal(one)]
    if metal:
        return (
            "a drop, medium strength; keep it out of the bearings" if metal[0].role == "motor" else "a drop, medium"
        )
    if any(isinstance(one.part, PrintedPart) or one.part.kind == "camera" for one in held):
        return "none: it cracks plastic"
    return "only where metal meets metal"


def _is_metal(placed: PlacedPart) -> bool:
    return isinstance(placed.part, Standoff) and placed.part.material.startswith(_METAL)


def _torque(placed: PlacedPart, held: tuple[PlacedPart, ...], soft: bool) -> str:
    if soft:
        return "finger-tight: the rings must stay soft"
    if isinstance(placed.part, Nut) and any(one.role == "propeller" for one in held):
        return "firm with a short spanner, as the motor's maker says"
    plastic = any(isinstance(one.part, PrintedPart) or one.part.kind in ("camera", "propeller") for one in held)
    if plastic and not any(is_base(one) for one in held):
        return "until it seats: plastic creeps"
    thread = getattr(placed.part, "thread", None)
    usual = tightening(thread.value) if thread else None
    if usual is None:
        return "not known: its thread is no coarse metric one" if thread else "not known: no thread is stated"
    low = " the low end, it is softer than steel" if placed.part.material in ("titanium", "aluminium") else ""  # type: ignore[attr-defined]
    return f"{usual.low_n_m:.2f} to {usual.high_n_m:.2f} N m{',' if low else ''}{low}"
