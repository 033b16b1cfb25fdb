"""`rotorwright change` and `rotorwright undo`."""

from rich.console import Console

from rotorwright.craft.edit import change_craft, undo_change
from rotorwright.craft.workshop import find_craft

__all__ = ["change_command", "undo_command"]


def change_command(craft: str, *changes: str) -> None:
    """Change values in a craft file, so that it can be undone; its comments stay.

    Parameters
    ----------
    craft
        A craft file.
    changes
        Such as battery.use=battery-4s-1500-75c or site.altitude_m=800; nothing behind the = removes the key.
    """
    file = find_craft(craft)
    Console(highlight=False, markup=False, emoji=False).print(
        f"{file}: {change_craft(file, list(changes))}", soft_wrap=True
    )


def undo_command(craft: str) -> None:
    """Take the latest change of a craft file back.

    Parameters
    ----------
    craft
        A craft file.
    """
    file = find_craft(craft)
    Console(highlight=False, markup=False, emoji=False).print(
        f"{file}: taken back: {undo_change(file)}", soft_wrap=True
    )
