"""`rotorwright change` and `rotorwright undo`."""

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console

from rotorwright.cli.words import print_json
from rotorwright.craft.edit import change_craft, undo_change
from rotorwright.craft.workshop import find_craft

__all__ = ["change_command", "undo_command"]


def change_command(craft: str, *changes: str, json: Annotated[bool, Parameter(negative="")] = False) -> None:
    """Change values in a craft file, so that it can be undone; its comments stay.

    Parameters
    ----------
    craft
        A craft file.
    changes
        Such as battery.use=battery-4s-1500-75c or site.altitude_m=800; nothing behind the = removes the key.
    json
        Print machine-readable data instead.
    """
    file = find_craft(craft)
    _say(file, "changed", change_craft(file, list(changes)), json)


def undo_command(craft: str, *, json: Annotated[bool, Parameter(negative="")] = False) -> None:
    """Take the latest change of a craft file back.

    Parameters
    ----------
    craft
        A craft file.
    json
        Print machine-readable data instead.
    """
    file = find_craft(craft)
    _say(file, "taken back", undo_change(file), json)


def _say(file: Path, done: str, what: str, json: bool) -> None:
    if json:
        print_json({"file": str(file), "done": done, "what": what})
        return
    console = Console(highlight=False, markup=False, emoji=False)
    console.print(f"{file}: {done}: {what}", soft_wrap=True)
