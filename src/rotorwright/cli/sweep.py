"""`rotorwright sweep`: curves and maps of a craft over one or two of its numbers."""

from pathlib import Path
from typing import Annotated

import numpy as np
from cyclopts import Parameter
from rich.console import Console
from rich.table import Table
from rich.text import Text

from rotorwright.cli.options import check_samples
from rotorwright.cli.picture import write_picture
from rotorwright.cli.words import print_json
from rotorwright.craft import read_craft
from rotorwright.craft.workshop import find_craft
from rotorwright.errors import InputError, Problem
from rotorwright.search.measures import MEASURES, measure_named
from rotorwright.search.sweep import Sweep, SweepPoint, read_axis, sweep
from rotorwright.sheet.argument import heading
from rotorwright.sheet.sweep_picture import half_widths, sweep_picture, sweep_verdict
from rotorwright.sheet.words import nominal, said

__all__ = ["sweep_command"]

_GOALS = "flight-time,weight,thrust-to-weight,current"


def sweep_command(
    craft: str,
    *,
    vary: list[str],
    goals: str = _GOALS,
    hold: Annotated[bool, Parameter(negative="")] = False,
    json: Annotated[bool, Parameter(negative="")] = False,
    svg: Path | None = None,
    samples: int = 64,
    seed: int = 0,
) -> None:
    """Vary one or two numbers of a craft and see what follows.

    What a scaling law derives from the varied number (mass and resistance of a larger pack) is scaled along, from
    where the part itself stands.

    Parameters
    ----------
    craft
        A craft file.
    vary
        `part.key=low:high:step` or `part.key=a,b,c`, such as propeller.pitch_in=3:5:0.25; also site., flight., frame.
    goals
        What is shown, with commas between; the best by the first one is marked.
    hold
        Leave everything else as it is.
    json
        Print machine-readable data in SI units instead.
    svg
        Write a picture: curves over one number, maps over two.
    samples
        How many samples make the bounds; 0 for none.
    seed
        Another seed draws other samples.
    """
    check_samples(samples, 1024)
    if not 1 <= len(vary) <= 2:
        raise InputError(Problem("one or two numbers can be varied", "Give --vary once or twice."))
    measures = [measure_named(name.strip()) for name in goals.split(",")]
    result = sweep(
        read_craft(find_craft(craft)),
        [read_axis(text) for text in vary],
        measures,
        hold=hold,
        samples=samples,
        seed=seed,
    )
    write_picture(svg, sweep_picture(result))
    if json:
        print_json(result)
        return
    console = Console(highlight=False, markup=False, emoji=False)
    console.print(Text(f"{result.craft} over {' and '.join(axis.key for axis in result.axes)}", style="bold"))
    if len(result.axes) == 1:
        console.print(_table(result))
    for goal in result.goals if len(result.axes) == 2 else ():
        console.print(_map(result, goal))
        if wide := half_widths(result, goal):
            console.print(f"{wide}.", style="dim")
    _print_verdict(console, result)


def _table(result: Sweep) -> Table:
    table = Table(box=None, pad_edge=False, header_style="dim", padding=(0, 1, 0, 0))
    table.add_column(result.axes[0].key.split(".")[1], no_wrap=True)
    for name in result.goals:
        table.add_column(heading(name), justify="right", no_wrap=True)
    here = result.present[0]
    for k, point in _with_now(result):
        cells = [said(point.values[name], MEASURES[name].factor) for name in result.goals]
        now = " now" if k < 0 or (here is not None and np.isclose(here, point.at[0], rtol=1e-9, atol=0.0)) else ""
        head = f"{point.at[0]:g} {_mark(result, k, point)}{now}"
        table.add_row(head, *cells, style="bold" if k == result.best else "")
    return table


def _with_now(result: Sweep) -> list[tuple[int, SweepPoint]]:
    """The points with their numbers, and at its place among them the craft as it is now, numbered -1."""
    rows = list(enumerate(result.points))
    if result.now is not None:
        here, ends = result.now.at[0], [point.at[0] for point in result.points]
        falls = len(ends) > 1 and ends[0] > ends[-1]
        rows.insert(sum((value > here) if falls else (value < here) for value in ends), (-1, result.now))
    return rows


def _mark(result: Sweep, k: int, point: SweepPoint) -> str:
    """* the best, ~ what the bounds cannot tell from it."""
    if k == result.best:
        return "*"
    return "~" if point.as_good and result.samples else " "


def _map(result: Sweep, name: str) -> Table:
    """One goal over both numbers, without bounds; in that of the first * the best, ~ what may be as good."""
    first, second = result.axes
    led = name == result.goals[0]
    table = Table(box=None, pad_edge=False, header_style="dim", padding=(0, 1, 0, 0), title=heading(name))
    table.add_column(f"{first.key.split('.')[1]} \\ {second.key.split('.')[1]}", no_wrap=True)
    for value in second.values:
        table.add_column(f"{value:g}", justify="right", no_wrap=True)
    width = len(second.values)
    for i, value in enumerate(first.values):
        cells = []
        for j in range(width):
            k = i * width + j
            mark = _mark(result, k, result.points[k]) if led else " "
            cells.append(f"{nominal(result.points[k].values[name], MEASURES[name].factor)}{mark}")
        table.add_row(f"{value:g}", *cells)
    return table


def _print_verdict(console: Console, result: Sweep) -> None:
    if len(result.axes) == 2 and (now := result.now):
        values = ", ".join(f"{heading(n)} {said(now.values[n], MEASURES[n].factor)}" for n in result.goals)
        console.print(f"Now, at {now.at[0]:.4g} and {now.at[1]:.4g}: {values}.")
    for sentence in sweep_verdict(result):
        console.print(sentence)
    if result.best is not None:
        marks = "* the best" + (", ~ the bounds cannot tell it from the best" if result.samples else "")
        if len(result.axes) == 2 and len(result.goals) > 1:
            marks += f", by {MEASURES[result.goals[0]].words}"
        console.print(
            f"{marks}. {'--hold leaves all else as it is.' if result.follows else ''}".rstrip(), style="dim"
        )
