"""`rotorwright new`: a workshop with the demo craft."""

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console
from rich.progress import track

from rotorwright.cli.words import print_json
from rotorwright.craft.read import workshop_shelf
from rotorwright.craft.workshop import new_workshop
from rotorwright.parts.propulsion import Propeller

__all__ = ["new_command"]


def new_command(folder: Path, *, json: Annotated[bool, Parameter(negative="")] = False) -> None:
    """Make a workshop with the demo craft in it, and compute the rotor tables of the shelf once.

    Parameters
    ----------
    folder
        A folder that does not exist yet, or is empty.
    json
        Print machine-readable data instead.
    """
    crafts = new_workshop(folder)
    console = Console(highlight=False, markup=False, emoji=False)
    _prepare_rotors(folder)
    if json:
        print_json({"workshop": str(folder), "crafts": [str(craft) for craft in crafts]})
        return
    console.print(f"A workshop in {folder}: crafts/, shelf/, logs/, out/. The demo craft in it are invented.")
    for craft in crafts:
        console.print(f"    rotorwright report {craft}", soft_wrap=True)


def _prepare_rotors(folder: Path) -> None:
    """Rotor tables of every propeller at hand, kept on disk; stopping here loses nothing that is done."""
    from rotorwright.columns.rotor import table_of

    console = Console(stderr=True, markup=False, emoji=False)
    propellers = [part for part in workshop_shelf(folder) if isinstance(part, Propeller)]
    for propeller in track(propellers, description="Rotor tables, once", console=console, transient=True):
        table_of(propeller)
