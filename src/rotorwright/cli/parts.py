"""Parts as a command names them: a shelf name, or a part file."""

import os
from pathlib import Path

from rotorwright.craft.read import workshop_shelf
from rotorwright.errors import InputError, Problem
from rotorwright.parts.laws import completed
from rotorwright.parts.part import Part
from rotorwright.parts.shelf import Shelf, read_part_file

__all__ = ["find_parts", "shelf_here"]


def shelf_here() -> Shelf:
    """The built-in shelf with that of the workshop one stands in."""
    here = Path.cwd()
    return workshop_shelf(here.parent if here.name == "crafts" else here)


def find_parts(name: str, kind: type[Part]) -> list[Part]:
    """The part called `name`, or all of its kind in the file `name`; InputError with near names otherwise."""
    shelf = shelf_here()
    if found := shelf.find(name):
        if not isinstance(found.part, kind):
            what = f"'{name}' is a {found.part.kind}, not a {kind.kind}"
            raise InputError(Problem(what, f"`rotorwright shelf {kind.kind}` lists them."))
        return [completed(found.part)]
    if name.endswith(".toml") or os.path.isfile(name):
        parts = [completed(part) for part in read_part_file(Path(name)) if isinstance(part, kind)]
        if not parts:
            raise InputError(
                Problem(f"no {kind.kind} in the file", f"Write a [[{kind.kind}]] in it.", "", Path(name))
            )
        return parts
    near = shelf.near(name, kind)
    fix = f"Near: {', '.join(near)}." if near else f"`rotorwright shelf {kind.kind}` lists what there is."
    raise InputError(Problem(f"no {kind.kind} '{name}' on any shelf, and no such file", fix))
