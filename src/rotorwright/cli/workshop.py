"""`rotorwright new`: a workshop with the demo craft."""

from pathlib import Path

from rich.console import Console

from rotorwright.craft.workshop import new_workshop

__all__ = ["new_command"]


def new_command(folder: Path) -> None:
    """Make a workshop with the demo craft in it.

    Parameters
    ----------
    folder
        A folder that does not exist yet, or is empty.
    """
    crafts = new_workshop(folder)
    console = Console(highlight=False)
    console.print(f"A workshop in {folder}: crafts/, shelf/, logs/, out/. The demo craft in it are invented.")
    for craft in crafts:
        console.print(f"    rotorwright report {craft}", soft_wrap=True)
