"""`rotorwright wiring`: every wire of a craft as a table and as a picture, and what nobody said of it."""

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from rotorwright.cli.picture import write_picture
from rotorwright.cli.words import print_json
from rotorwright.columns import Draws
from rotorwright.craft import read_craft
from rotorwright.craft.workshop import find_craft
from rotorwright.predict.power_tree import power_tree
from rotorwright.sheet.blocks import words_of
from rotorwright.sheet.wiring import missing_from, runs_table, wiring_picture
from rotorwright.sheet.wiring_nets import wiring_plan

__all__ = ["wiring_command"]

_CAUTION = (
    "Propellers off, pack off. Read poles off the pack's plug and pads off the boards' own sheets, which prevail. "
    "First power goes through a current limit."
)


def wiring_command(
    craft: str, *, picture: Path | None = None, json: Annotated[bool, Parameter(negative="")] = False
) -> None:
    """Every wire of a craft: what it joins, what it carries, gauge and length, and what nobody said.

    Parameters
    ----------
    craft
        A craft file.
    picture
        Write the wiring plan as an SVG picture.
    json
        Print machine-readable data in SI units instead.
    """
    design = read_craft(find_craft(craft))
    plan = wiring_plan(design)
    write_picture(picture, wiring_picture(design, plan))
    if json:
        print_json(plan)
        return
    console = Console(highlight=False, markup=False, emoji=False)
    console.print(Text(f"{design.title.full}: how it is wired", style="bold"))
    found = runs_table(plan)
    table = Table(box=None, pad_edge=False, header_style="dim", padding=(0, 1, 0, 0))
    for column in found.columns[:-1]:  # notes are sentences: they stand below
        table.add_column(column.name, justify="right" if column.number else "left")
    for row in found.rows:
        table.add_row(*(Text(words_of(cell)) for cell in row[:-1]))
    console.print(Padding(table, (0, 0, 0, 2)))
    for row in found.rows:
        if (note := words_of(row[-1])) != "\u2013":
            console.print(Padding(f"{words_of(row[0])}: {note}", (0, 0, 0, 2)))
    for lack in missing_from(plan, power_tree(design, Draws(0))):
        console.print(Padding(f"missing: {lack}", (0, 0, 0, 2)))
    console.print(_CAUTION, style="dim")
