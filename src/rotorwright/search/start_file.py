"""A proposal written into a workshop as a craft file of its own."""

import os
import re
from pathlib import Path

from rotorwright.craft.files import write_whole
from rotorwright.errors import InputError, Problem
from rotorwright.search.start import Start, Wish, propose

__all__ = ["begin_craft"]

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,60}")


def begin_craft(workshop: Path, name: str, wish: Wish) -> tuple[Path, Start]:
    """Propose a craft and write it as `crafts/NAME.toml` of `workshop`; returns the file and what was proposed.

    Raises InputError when the folder is no workshop, the name cannot be a file's, or the file exists; CannotCompute
    when the shelf makes no such craft. Nothing is ever overwritten.
    """
    name = name.strip().removesuffix(".toml")
    folder = workshop / "crafts"
    if not folder.is_dir():
        fix = "Go into a workshop, or make one with `rotorwright new FOLDER`."
        raise InputError(Problem("there is no folder crafts/ here", fix, "", workshop))
    if not _NAME.fullmatch(name):
        fix = "Begin with a letter or digit; letters, digits, '-', '_' and '.' may follow."
        raise InputError(Problem(f"'{name}' cannot be the name of a craft file", fix))
    file = folder / f"{name}.toml"
    if os.path.lexists(file):  # a link that leads nowhere takes the name too
        raise InputError(Problem("the file exists", "Give the craft another name.", "", file))
    start = propose(wish, name)
    if os.path.lexists(file):
        raise InputError(Problem("the file was made meanwhile", "Give the craft another name.", "", file))
    write_whole(file, start.text)
    return file, start
