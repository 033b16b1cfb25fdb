"""A craft with one part replaced in memory, just as if its file had been changed and read again."""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from rotorwright.craft.model import Craft, Place, PlacedPart
from rotorwright.craft.placing import LAYOUT_ROLES, Heights, heights, places_by_layout
from rotorwright.craft.read import workshop_of, workshop_shelf
from rotorwright.errors import CannotCompute, InputError, Problem
from rotorwright.frame.layout import MotorPlace
from rotorwright.parts.electronics import Camera, RecordingCamera
from rotorwright.parts.kinds import kind_of_word
from rotorwright.parts.laws import completed
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import SpeedController
from rotorwright.parts.reader import Reader
from rotorwright.parts.shelf import Shelf

__all__ = ["candidates", "choose", "find_placed", "loosened", "own_shelf", "settled", "swapped", "unweighed"]

# The layout alone places these.
ROLES_OF_LAYOUT = ("motor", "propeller")

_DRAWN: dict[Any, tuple[tuple[PlacedPart, ...], str]] = {}
_MOST_DRAWN = 1000


def unweighed(craft: Craft) -> Craft:
    """The craft without its whole-craft weighings: they hold for the parts it was weighed with only."""
    return replace(craft, weighed=type(craft.weighed)())


def own_shelf(craft: Craft) -> Shelf:
    """The built-in shelf and that of the workshop the craft's file lies in."""
    return workshop_shelf(workshop_of(craft.file))


def find_placed(craft: Craft, name: str) -> PlacedPart:
    """The part whose id, role or kind is `name` (the trade's abbreviations work); InputError otherwise."""
    kind = kind_of_word(name)
    for fits in (
        lambda p: p.id == name,
        lambda p: p.role == name,
        lambda p: p.part.name == name,
        lambda p: kind is not None and isinstance(p.part, kind),
    ):
        for placed in craft.parts:
            if fits(placed) and not _is_drawn(placed):
                return placed
    ids = ", ".join(sorted({p.id for p in craft.parts if not _is_drawn(p)}))
    raise InputError(Problem(f"no part '{name}' on the craft", f"Parts here: {ids}.", "", craft.file))


def candidates(shelf: Shelf, kind: type[Part], without: str = "") -> list[Part]:
    """Every part of exactly one kind on the shelf, missing values filled in, but the one called `without`."""
    return [completed(part) for part in shelf.of_kind(kind) if part.name != without and type(part) is kind]


def choose(shelf: Shelf, kind: type[Part], names: Sequence[str]) -> list[Part]:
    """The named parts of a kind; InputError with every name that is not one of them."""
    problems, found = [], []
    for name in names:
        shelved = shelf.find(name)
        if shelved is None:
            near = shelf.near(name, kind)
            fix = f"Near: {', '.join(near)}." if near else f"`rotorwright shelf {kind.kind}` lists them."
            problems.append(Problem(f"no {kind.kind} '{name}' on any shelf", fix))
        elif type(shelved.part) is not kind:
            fix = f"`rotorwright shelf {kind.kind}` lists what fits here."
            problems.append(Problem(f"'{name}' is a {shelved.part.kind}, not a {kind.kind}", fix))
        else:
            found.append(completed(shelved.part))
    if problems:
        raise InputError(*problems)
    return found


def swapped(craft: Craft, placed: PlacedPart, part: Part) -> Craft:
    """`craft` with `part` in the place of `placed`; readings of the old part and of the whole craft go with it.

    Raises CannotCompute when a frame that is drawn about the motor cannot be drawn about the new one.
    """
    loose = loosened(craft)
    at = craft.parts.index(placed)  # drawn parts stand last and are all that is missing from the loose craft
    new = replace(loose.parts[at], part=_tilted(placed.part, part), specimen="", count=_count(craft, placed, part))
    return settled(replace(unweighed(loose), parts=(*loose.parts[:at], new, *loose.parts[at + 1 :])))


def _tilted(old: Part, new: Part) -> Part:
    """The new part at the tilt of the old one: how a camera is put on is not what it is."""
    cameras = Camera | RecordingCamera
    if isinstance(old, cameras) and isinstance(new, cameras) and old.tilt is not None:
        return replace(new, tilt=old.tilt)
    return new


def _count(craft: Craft, placed: PlacedPart, part: Part) -> int:
    """As many pieces as before; of controllers with other channels, as many as the motors need."""
    old, motors = placed.part, len(craft.motors)
    if not isinstance(old, SpeedController) or not isinstance(part, SpeedController):
        return placed.count
    if old.channels == part.channels or placed.count * old.channels < motors or not motors:
        return placed.count
    return math.ceil(motors / part.channels)


def loosened(craft: Craft) -> Craft:
    """`craft` without the places that the layout gave, and without what the frame draws."""
    levels, motors = _levels(craft), list(craft.motors)
    kept = [p for p in craft.parts if not (craft.frame.draws and _is_drawn(p))]
    return replace(craft, parts=tuple(replace(p, places=()) if _by_layout(p, motors, levels) else p for p in kept))


def settled(craft: Craft) -> Craft:
    """A loosened craft with every place that motor and propeller decide taken anew, and its frame drawn anew.

    Raises CannotCompute when the frame cannot be drawn.
    """
    levels, motors = _levels(craft), list(craft.motors)
    parts = [_in_place(p, motors, levels) for p in craft.parts]
    if craft.frame.draws:
        parts += _drawn_anew(craft, parts)
    return replace(craft, parts=tuple(parts))


def _levels(craft: Craft) -> Heights:
    motor, propeller = craft.the("motor"), craft.the("propeller")
    return heights(craft.frame, motor.part if motor else None, propeller.part if propeller else None)


def _by_layout(placed: PlacedPart, motors: list[MotorPlace], levels: Heights) -> bool:
    """Whether the layout gave the place: it equals the layout's, or nobody gave one."""
    if placed.assumed or placed.role in ROLES_OF_LAYOUT:
        return True
    return placed.role in LAYOUT_ROLES and list(placed.places) == places_by_layout(
        placed.role, placed.part, motors, levels
    )


def _in_place(placed: PlacedPart, motors: list[MotorPlace], levels: Heights) -> PlacedPart:
    if placed.assumed:
        return replace(placed, places=(Place(0.0, 0.0, levels.base),))
    if placed.places:
        return placed
    return replace(placed, places=tuple(places_by_layout(placed.role, placed.part, motors, levels)))


def _is_drawn(placed: PlacedPart) -> bool:
    return placed.key[:1] == ("frame",)


def _drawn_anew(craft: Craft, parts: list[PlacedPart]) -> tuple[PlacedPart, ...]:
    """Drawn parts for how the motors sit; remembered, since drawing takes longer than all the rest of a swap."""
    from rotorwright.craft.drawing import drawn_parts, seat_of

    arms = tuple(placed.part.name for placed in parts if placed.role == "arm")  # they stand in the way of drawn ones
    key = craft.frame, craft.motors, seat_of(craft.frame, parts), arms
    if key not in _DRAWN:
        reader = Reader(craft.source)
        drawn = tuple(drawn_parts(craft.frame, craft.motors, parts, reader))
        if len(_DRAWN) >= _MOST_DRAWN:
            _DRAWN.clear()
        _DRAWN[key] = drawn, reader.problems[0].what if reader.problems else ""
    drawn, fault = _DRAWN[key]
    if fault:
        raise CannotCompute(f"the frame cannot be drawn about it: {fault}")
    return drawn
