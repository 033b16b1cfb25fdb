"""Changes of the wiring of a craft file: a part moved to another rail, a wire told otherwise; comments stay."""

from pathlib import Path
from typing import Any

import tomlkit

from rotorwright.craft.edit import put_key, rewrite_craft
from rotorwright.craft.read import read_craft
from rotorwright.errors import InputError, Problem
from rotorwright.units import split_key

__all__ = ["move_feed", "set_wire"]

_SUPPLY_PADS = ("supply", "power")


def move_feed(file: Path, id: str, rail: str) -> str:
    """Feed the part called `id` from `rail`, such as `flight-controller.5V`, and lead its supply wire there too."""
    craft = read_craft(file)
    placed = next((one for one in craft.parts if one.id == id and one.key[:1] == ("part",)), None)
    if placed is None:
        raise InputError(Problem(f"no part of the file is called '{id}'", "Nothing was changed.", "", file))
    names = {placed.id, placed.role, placed.part.kind}

    def change(document: tomlkit.TOMLDocument) -> str:
        entry: Any = document["part"][placed.key[1]]
        moved = 0
        for wire in document.get("wire", []):
            part, _, pad = str(wire.get("to", "")).partition(".")
            if part in names and pad in _SUPPLY_PADS:
                wire["from"] = rail
                moved += 1
        if not moved or "fed_from" in entry:
            put_key(entry, "fed_from", rail)
        return f"{id} fed from {rail}" + (", its wire too" if moved else "")

    return rewrite_craft(file, change)


def set_wire(file: Path, index: int, field: str, key: str, value: Any) -> str:
    """Write `key` (`gauge_awg`, `length_mm`, `colour` ...) of a wire, in place of other spellings of the field."""

    def change(document: tomlkit.TOMLDocument) -> str:
        wires: Any = document.get("wire", [])
        if not 0 <= index < len(wires):
            raise InputError(Problem(f"there is no wire {index + 1}", "Nothing was changed.", "", file))
        wire = wires[index]
        for name in [n for n in wire if n != key and (n == field or any(s == field for s, _ in split_key(n)))]:
            del wire[name]
        put_key(wire, key, value)
        return f"wire {wire['from']} to {wire['to']}: {key} = {value}"

    return rewrite_craft(file, change)
