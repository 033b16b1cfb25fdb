"""The antennas on the ground, found on the shelves that the craft was read with."""

from rotorwright.craft.model import Craft
from rotorwright.craft.read import workshop_of, workshop_shelf
from rotorwright.errors import CannotCompute
from rotorwright.parts.electronics import Antenna

__all__ = ["antennas_called"]


def antennas_called(craft: Craft, *names: str) -> tuple[Antenna, ...]:
    """Antennas by shelf name; one that is on the craft too need not stand on a shelf.

    Raises CannotCompute, with near names, for a name that is no antenna.
    """
    here = {placed.part.name: placed.part for placed in craft.parts}
    shelf = None
    found = []
    for name in names:
        part = here.get(name)
        if part is None:
            shelf = shelf or workshop_shelf(workshop_of(craft.file))
            shelved = shelf.find(name)
            if shelved is None:
                near = ", ".join(shelf.near(name))
                raise CannotCompute(f"no antenna '{name}' on any shelf{f'; near: {near}' if near else ''}")
            part = shelved.part
        if not isinstance(part, Antenna):
            raise CannotCompute(f"'{name}' is a {part.kind}, not an antenna")
        found.append(part)
    return tuple(found)
