"""`rotorwright sheet`: the build sheet of a craft as HTML, PDF or Markdown."""

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console

from rotorwright.cli.options import check_samples
from rotorwright.craft import read_craft
from rotorwright.craft.workshop import find_craft
from rotorwright.errors import InputError, Problem
from rotorwright.sheet.content import sheet_of
from rotorwright.sheet.forms import FORMS, write_sheet
from rotorwright.sheet.verdict import verdict_of

__all__ = ["sheet_command"]


def sheet_command(
    craft: str,
    *,
    out: Annotated[tuple[Path, ...], Parameter(name=["--out", "-o"])] = (),
    samples: int = 2048,
    seed: int = 0,
) -> None:
    """Write a page others can build from: what was chosen, why, what it weighs, how it is wired, what to check.

    Parameters
    ----------
    craft
        A craft file.
    out
        Where to write it: a name that ends in .html, .pdf or .md; give it again for another form of the same sheet.
    samples
        How many samples make the bounds; 0 for none.
    seed
        Another seed draws other samples.
    """
    check_samples(samples, 100_000)
    design = read_craft(find_craft(craft))
    files = out or (Path(f"{design.file.stem}.html"),)
    for file in files:
        if file.suffix.lower() not in FORMS:
            fix = f"End it in one of: {', '.join(FORMS)}."
            raise InputError(Problem(f"'{file.name}' is not a form that a sheet takes", fix))
    sheet = sheet_of(design, verdict_of(design, samples, seed))
    console = Console(highlight=False, markup=False, emoji=False)
    for file in files:
        write_sheet(sheet, file)
        console.print(str(file), soft_wrap=True)
