"""A part drawn elsewhere, measured from its STEP or STL file and put into the craft file."""

from pathlib import Path
from typing import Any

import tomlkit

from rotorwright.craft.journal import Journal
from rotorwright.craft.read import read_craft
from rotorwright.errors import InputError, Problem
from rotorwright.frame.materials import Material, material, near_materials
from rotorwright.parts.source_map import read_text, read_toml

__all__ = ["import_part", "measured_file"]


def measured_file(file: Path, stuff: Material, infill: float = 1.0) -> dict[str, Any]:
    """The `[[frame.imported]]` entry of a STEP or STL file: mass, box, centre and inertia, in the file's own axes.

    STL says no unit and is taken in millimetres. Raises InputError for a file that holds no closed solid.
    """
    if not file.is_file():
        raise InputError(Problem("no such file", "Check the name.", "", file))
    match file.suffix.lower():
        case ".step" | ".stp":
            from rotorwright.frame.export.solid import read_step

            found = read_step(file)
        case ".stl":
            from rotorwright.frame.export.stl import read_stl

            found = read_stl(file)
        case other:
            raise InputError(Problem(f"'{other}' files are not read", "Give a .step, .stp or .stl file.", "", file))
    assert stuff.density is not None
    mass = stuff.density.value * infill * found["volume"]
    J = mass * found["inertia_per_mass"]
    moments = [J[0, 0], J[1, 1], J[2, 2], J[0, 1], J[0, 2], J[1, 2]]
    return {
        "name": file.stem,
        "file": file.name,
        "material": stuff.name,
        "infill": infill,
        "mass_g": round(1e3 * mass, 4),
        "size_mm": [round(1e3 * v, 3) for v in found["size"]],
        "centre_mm": [round(1e3 * v, 3) + 0.0 for v in found["centre"]],
        "inertia_g_mm2": [round(1e9 * float(v), 3) + 0.0 for v in moments],
    }


def import_part(
    craft: Path, file: Path, word: str, infill: float = 1.0, at: tuple[float, float, float] = (0.0, 0.0, 0.0)
) -> dict[str, Any]:
    """Measure `file`, and add it to the craft file as `[[frame.imported]]` at `at` [m]; returns the entry.

    The changed craft is read before it is saved, and the change can be undone.
    """
    stuff = material(word)
    if stuff is None:
        raise InputError(Problem(f"no material '{word}'", f"Near: {', '.join(near_materials(word))}."))
    entry = {**measured_file(file, stuff, infill), "at_mm": [round(1e3 * v, 4) for v in at]}
    before = read_text(craft)
    read_toml(craft, before)
    table = tomlkit.table()
    for key, value in entry.items():
        table.add(key, value)
    text = f"[[frame.imported]]\n{tomlkit.dumps(table)}"
    after = f"{before.rstrip()}\n\n{text}"
    read_craft(craft, text=after)
    Journal(craft).save(before, after, f"imported {file.name}")
    return entry
