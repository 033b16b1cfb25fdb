"""Changes of the wiring of a craft file: a part moved to another rail, a wire told otherwise; comments stay."""

from pathlib import Path
from typing import Any

import tomlkit

from rotorwright.craft.edit import Change, put_key, rewrite_craft
from rotorwright.craft.read import read_craft
from rotorwright.errors import InputError, Problem
from rotorwright.units import split_key

__all__ = ["feeding", "move_feed", "set_wire", "wiring"]

_SUPPLY_PADS = ("supply", "power")


def move_feed(file: Path, id: str, rail: str) -> str:
    """Feed the part called `id` from `rail`, such as `flight-controller.5V`, and lead its supply wire there too."""
    return rewrite_craft(file, feeding(file, id, rail))


def feeding(file: Path, id: str, rail: str) -> Change:
    """The change that `move_feed` writes."""

    def change(document: tomlkit.TOMLDocument) -> str:
        craft = read_craft(file, text=tomlkit.dumps(document))
        placed = next((one for one in craft.parts if one.id == id and one.key[:1] == ("part",)), None)
        if placed is None:
            raise InputError(Problem(f"no part of the file is called '{id}'", "Nothing was changed.", "", file))
        entry: Any = document["part"][placed.key[1]]
        names, moved = {placed.id, placed.role, placed.part.kind}, 0
        for wire in document.get("wire", []):
            part, _, pad = str(wire.get("to", "")).partition(".")
            if part in names and pad in _SUPPLY_PADS:
                wire["from"] = rail
                moved += 1
        if not moved or "fed_from" in entry:
            put_key(entry, "fed_from", rail)
        return f"{id} fed from {rail}" + (", its wire too" if moved else "")

    return change


def set_wire(file: Path, index: int, field: str, key: str, value: Any) -> str:
    """Write `key` (`gauge_awg`, `length_mm`, `colour` ...) of a wire, in place of other spellings of the field."""
    return rewrite_craft(file, wiring(file, index, field, key, value))


def wiring(file: Path, index: int, field: str, key: str, value: Any) -> Change:
    """The change that `set_wire` writes."""

    def change(document: tomlkit.TOMLDocument) -> str:
        wires: Any = document.get("wire", [])
        if not 0 <= index < len(wires):
            raise InputError(Problem(f"there is no wire {index + 1}", "Nothing was changed.", "", file))
        wire = wires[index]
        for name in [n for n in wire if n != key and (n == field or any(s == field for s, _ in split_key(n)))]:
            del wire[name]
        put_key(wire, key, value)
        return f"wire {wire['from']} to {wire['to']}: {key} = {value}"

    return change
