"""`rotorwright compare`: what changed between craft, and what each change did."""

from itertools import pairwise
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from rotorwright.cli.options import check_samples
from rotorwright.cli.picture import write_picture
from rotorwright.cli.words import print_json
from rotorwright.craft import read_craft
from rotorwright.craft.workshop import find_craft
from rotorwright.errors import InputError, Problem
from rotorwright.predict.result import Prediction
from rotorwright.search.compare import COMPARED, Comparison, compare
from rotorwright.search.measures import MEASURES
from rotorwright.sheet.argument import LEGEND, change, heading
from rotorwright.sheet.curves import version_curves
from rotorwright.sheet.words import said

__all__ = ["compare_command"]

_COLUMNS = ("weight", "flight-time", "thrust-to-weight", "roll", "cost")
_FEW = 14


def compare_command(
    *crafts: str,
    json: Annotated[bool, Parameter(negative="")] = False,
    all: Annotated[bool, Parameter(negative="")] = False,
    svg: Path | None = None,
    samples: int = 64,
    seed: int = 0,
) -> None:
    """Say what changed from one craft to the next, and what each change did.

    Parameters
    ----------
    crafts
        Two or more craft files, such as the versions of one craft; each is compared with the one before.
    json
        Print machine-readable data in SI units instead.
    all
        List every change, and the reasons the files give.
    svg
        Write a picture of all of them in a line.
    samples
        How many samples make the bounds; 0 for none.
    seed
        Another seed draws other samples.
    """
    if len(crafts) < 2:
        raise InputError(Problem("a comparison takes two craft files", "Name two, or more."))
    check_samples(samples, 1024)
    designs = [read_craft(find_craft(name)) for name in crafts]
    steps = [compare(a, b, samples, seed) for a, b in pairwise(designs)]
    write_picture(svg, version_curves(steps))
    if json:
        print_json(steps)
        return
    console = Console(highlight=False, markup=False, emoji=False)
    if len(steps) > 1:
        _print_line(console, steps)
    for step in steps:
        _print(console, step, all)
    console.print(LEGEND if samples else "Differences, without bounds.", style="dim")
    console.print(
        "A change counts as the mean of what it does alone to the first craft and of what is lost when it alone is "
        "taken from the second; what three or more do only together stands under 'in combination'.",
        style="dim",
    )


def _print_line(console: Console, steps: list[Comparison]) -> None:
    """All craft in a line."""
    table = Table(box=None, pad_edge=False, header_style="dim", padding=(0, 1, 0, 0))
    table.add_column("")
    for name in [steps[0].before, *(step.after for step in steps)]:
        table.add_column(name, justify="right")
    for name in COMPARED:
        values = [steps[0].values_before[name], *(step.values_after[name] for step in steps)]
        table.add_row(heading(name), *(said(value, MEASURES[name].factor) for value in values))
    console.print(table)
    console.print()


def _print(console: Console, step: Comparison, everything: bool) -> None:
    console.print(Text(f"From {step.before} to {step.after}", style="bold"))
    table = Table(box=None, pad_edge=False, header_style="dim", padding=(0, 1, 0, 0))
    table.add_column("", max_width=24)
    for name in _COLUMNS:
        table.add_column(heading(name), justify="right", no_wrap=True)
    table.add_row(step.before, *(_plain(step.values_before[n], n) for n in _COLUMNS), style="dim")
    single = [one for one in step.changes if one.what]
    shown = single if everything else single[:_FEW]
    for one in (*shown, *(one for one in step.changes if not one.what)):
        table.add_row(one.place, *(change(one.effects[n], n, one.verdict[n]) for n in _COLUMNS))
    table.add_row("all together", *(change(step.differences[n], n, step.verdict[n]) for n in _COLUMNS), style="bold")
    table.add_row(step.after, *(_plain(step.values_after[n], n) for n in _COLUMNS), style="dim")
    console.print(Padding(table, (0, 0, 0, 2)))
    if not single:
        console.print("  Nothing that counts has changed.")
    if len(shown) < len(single):
        console.print(f"  and {len(single) - len(shown)} more changes; --all lists them", style="dim")
    for one in shown:
        console.print(Padding(f"{one.place}: {one.what}.", (0, 0, 0, 2)))
        if everything and one.why:
            console.print(Padding(one.why, (0, 0, 0, 6)), style="dim")
    for lead, found in (("New findings", step.findings.new), ("Cured", step.findings.cured)):
        if found:
            console.print(Padding(f"{lead}: {', '.join(found)}.", (0, 0, 0, 2)))
    console.print()


def _plain(value: Prediction, name: str) -> str:
    return said(value, MEASURES[name].factor).split(" (")[0]
