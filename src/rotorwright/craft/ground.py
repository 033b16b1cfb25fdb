"""The antennas on the ground, found on the shelves that the craft was read with."""

from functools import lru_cache
from pathlib import Path

from rotorwright.craft.model import Craft
from rotorwright.craft.read import workshop_of, workshop_shelf
from rotorwright.errors import CannotCompute
from rotorwright.parts.electronics import Antenna
from rotorwright.parts.shelf import Shelf

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
            shelf = shelf or _shelf_of(craft.file)
            shelved = shelf.find(name)
            if shelved is None:
                near = ", ".join(shelf.near(name))
                raise CannotCompute(f"no antenna '{name}' on any shelf{f'; near: {near}' if near else ''}")
            part = shelved.part
        if not isinstance(part, Antenna):
            raise CannotCompute(f"'{name}' is a {part.kind}, not an antenna")
        found.append(part)
    return tuple(found)


def _shelf_of(file: Path) -> Shelf:
    """The shelf of a craft's workshop, read again only when one of its files has changed."""
    folder = workshop_of(file)
    if folder is None:
        return workshop_shelf(None)
    files = sorted((folder / "shelf").rglob("*.toml"))
    return _read(folder, tuple((one, (at := one.stat()).st_mtime_ns, at.st_size, at.st_ino) for one in files))


@lru_cache(maxsize=4)
def _read(folder: Path, stamps: tuple[tuple[Path, int, int, int], ...]) -> Shelf:
    return workshop_shelf(folder)
