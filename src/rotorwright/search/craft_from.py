"""From a combination of parts to a craft: in memory, and as a craft file of its own."""

import os
from collections.abc import Mapping
from pathlib import Path

import tomlkit

from rotorwright.craft.edit import change_craft
from rotorwright.craft.files import write_whole
from rotorwright.craft.model import Craft
from rotorwright.errors import InputError, Problem
from rotorwright.parts.source_map import read_text
from rotorwright.search.measures import MEASURES
from rotorwright.search.space import Space
from rotorwright.search.swapped import swapped

__all__ = ["craft_with", "new_file", "write_craft_with"]


def craft_with(space: Space, parts: Mapping[str, str]) -> Craft:
    """The space's craft with a part in each chosen place, by their names."""
    craft = space.craft
    for choice in space.choices:
        part = next(p for p in choice.parts if p.name == parts[choice.placed.id])
        craft = swapped(craft, next(p for p in craft.parts if p.id == choice.placed.id), part)
    return craft


def new_file(space: Space, name: str) -> Path:
    """The craft file that `name` means: a path, or a name beside the space's craft."""
    given = Path(name)
    if given.suffix == ".toml" or len(given.parts) > 1:
        return given
    return space.craft.file.parent / f"{name}.toml"


def write_craft_with(space: Space, parts: Mapping[str, str], file: Path) -> str:
    """Write the space's craft with these parts as a new file, whole or not at all; returns what was changed.

    Raises InputError when the file exists, which is never written over, or cannot be written.
    """
    now = {choice.placed.id: choice.placed.part.name for choice in space.choices}
    changes = []
    for place, name in parts.items():
        if now[place] != name:
            changes += [f"{place}.use={name}", f"{place}.why={_quoted(_why(space))}"]
    _claim(file)
    try:
        write_whole(file, read_text(space.craft.file))
        return change_craft(file, [*changes, *_titled(space, file)])
    except BaseException:
        file.unlink(missing_ok=True)
        raise


def _why(space: Space) -> str:
    goals = ", ".join(f"{'more' if goal.way > 0 else 'less'} {MEASURES[goal.measure].words}" for goal in space.goals)
    return f"Of a search, {space.file.name}, for {goals}." if goals else f"Of a search, {space.file.name}."


def _titled(space: Space, file: Path) -> list[str]:
    """A version and a note of its own: those of the craft it came from speak of that one."""
    title = space.craft.title
    lead = f"{title.name.casefold().replace(' ', '-')}-"
    version = file.stem[len(lead) :] if file.stem.casefold().startswith(lead) else file.stem
    changes = [f"previous={_quoted(space.craft.file.name)}", f"version={_quoted(version)}"]
    note = f"{title.full} with other parts, from a search by {space.file.name}."
    return [*changes, f"note={_quoted(note)}"]


def _quoted(text: str) -> str:
    return tomlkit.item(text).as_string()


def _claim(file: Path) -> None:
    """Make the file if nobody else has; InputError otherwise."""
    try:
        os.close(os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o644))
    except FileExistsError:
        raise InputError(Problem("the file exists", "Name a new one.", "", file)) from None
    except OSError as error:
        what = f"the craft cannot be written: {error.strerror or error}"
        raise InputError(Problem(what, "Name a file in a folder that exists.", "", file)) from None
