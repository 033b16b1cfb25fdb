"""`rotorwright search`: the best craft that the parts on the shelf can make."""

import os
import sys
from contextlib import nullcontext
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console
from rich.padding import Padding
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn
from rich.text import Text

from rotorwright.cli.words import print_json
from rotorwright.errors import InputError, Problem
from rotorwright.search.answer import Answer, FrontCraft, as_csv, make_craft, search
from rotorwright.search.cluster import on_cluster
from rotorwright.search.measures import MEASURES
from rotorwright.search.space import read_space

__all__ = ["search_command"]

_SHOWN = 12


def search_command(
    space: Path,
    *,
    workers: int = 0,
    json: Annotated[bool, Parameter(negative="")] = False,
    all: Annotated[bool, Parameter(negative="")] = False,
    csv: Path | None = None,
    make: int = 0,
    to: Path | None = None,
    scheduler: str = "",
) -> None:
    """Find every craft that no other combination beats in all goals, exactly, at nominal inputs.

    A search that was stopped goes on where it was. Of craft with equal goals the first in the order of the file is
    kept.

    Parameters
    ----------
    space
        A file with the craft, the places to choose for, goals and limits; see docs/theory/search.md.
    workers
        Processes; as many as there are cores when 0.
    json
        Print machine-readable data in SI units instead.
    all
        List the whole front.
    csv
        Write the front as a table with commas.
    make
        Number of a craft on the front to write as a craft file.
    to
        The craft file to write.
    scheduler
        Address of a dask scheduler whose workers search in place of processes here.
    """
    if not 0 <= workers <= 256:
        raise InputError(Problem(f"--workers {workers} is out of range", "Give 0 to 256."))
    if bool(make) != (to is not None):
        raise InputError(Problem("--make and --to go together", "Write --make 3 --to crafts/NEW.toml."))
    asked = read_space(space)
    state = space.resolve().parent / "out" / f"{space.stem}.search"
    with _bar() as bar, on_cluster(scheduler) if scheduler else nullcontext() as executor:
        task = bar.add_task("searching", total=None)
        answer = search(
            asked,
            workers=workers or os.cpu_count() or 1,
            state=state,
            progress=lambda done, of: bar.update(task, completed=done, total=of),
            executor=executor,
        )
    if csv is not None:
        _write(csv, as_csv(answer))
    made = make_craft(asked, answer, make, to) if to is not None else ""
    if json:
        print_json(answer)
        return
    _print(answer, all)
    if made:
        Console(highlight=False, markup=False, emoji=False).print(f"{to}: {made}.")


def _bar() -> Progress:
    columns = (TextColumn("{task.description}"), BarColumn(), TextColumn("{task.percentage:>3.0f} %"))
    console = Console(file=sys.stderr, highlight=False, markup=False, emoji=False)
    return Progress(*columns, TimeRemainingColumn(), console=console, transient=True, disable=not console.is_terminal)


def _write(file: Path, text: str) -> None:
    try:
        file.write_text(text, encoding="utf-8")
    except OSError as error:
        what = f"the table cannot be written: {error.strerror or error}"
        raise InputError(Problem(what, "Name a file in a folder that exists.", "", file)) from None


def _print(answer: Answer, everything: bool) -> None:
    console = Console(highlight=False, markup=False, emoji=False)
    goals = ", ".join(f"{way} {name}" for name, way in answer.goals.items())
    count = f"{len(answer.front):,} craft of {answer.combinations:,} combinations are beaten by no other"
    console.print(Text(f"{answer.craft}: {count}", style="bold"))
    console.print(f"Goals: {goals}. Nominal values.")
    if answer.front:
        _print_front(console, answer, everything)
    else:
        _print_nothing(console, answer)
    console.print(_became(answer), style="dim")
    for line in answer.cannot_be_computed:
        console.print(f"Left out, cannot be computed: {line}.")
    if answer.resumed:
        console.print(f"{answer.resumed} of {answer.blocks} blocks were done before and not again.", style="dim")


def _print_front(console: Console, answer: Answer, everything: bool) -> None:
    """Evenly spread along the first goal, the ends among them."""
    rows, n = answer.front, len(answer.front)
    if not everything and n > _SHOWN:
        rows = tuple(rows[round(k * (n - 1) / (_SHOWN - 1))] for k in range(_SHOWN))
    same = {place for place in rows[0].parts if len({row.parts[place] for row in answer.front}) == 1}
    for place in sorted(same):
        console.print(f"All have {rows[0].parts[place]} as {place}.")
    for row in rows:
        console.print(_values(answer, row))
        parts = ", ".join(name for place, name in row.parts.items() if place not in same)
        console.print(Padding(Text(parts, style="dim"), (0, 0, 0, 8)))
    if len(rows) < n:
        console.print(f"{len(rows)} of {n:,} are shown, spread along the first goal; --all or --csv lists them all.")
    if answer.equals:
        console.print(f"{answer.equals:,} more have the very goals of one before them and are left out.")


def _values(answer: Answer, row: FrontCraft) -> Text:
    text = Text(f"{row.number:>6}  ", style="bold")
    cells = []
    for name in answer.goals:
        measure = MEASURES[name]
        unit = f" {measure.shown}" if measure.shown else ""
        cells.append(f"{name} {row.values[name] * measure.factor:.4g}{unit}")
    text.append("   ".join(cells))
    return text


def _print_nothing(console: Console, answer: Answer) -> None:
    console.print("No combination keeps every limit.")
    worst = max(answer.limits.items(), key=lambda pair: pair[1], default=None)
    if worst and worst[1]:
        console.print(f"Most were ruled out by {worst[0]}: {worst[1]:,}.")
    miss = answer.nearest_miss
    if miss:
        broken = ", ".join(f"{name} by {-margin:.1%}" for name, margin in miss.broken.items())
        console.print(f"Nearest found: {', '.join(miss.parts.values())}; it misses {broken}.")


def _became(answer: Answer) -> str:
    became = answer.became
    parts = [
        f"superfluous {answer.superfluous:,} (a part in the same place is nowhere worse)",
        f"ruled out by limits with any rest {became['limits of the core']:,}",
        f"by bounds on the goals {became['bound of the core'] + became['bound']:,}",
        f"solved and over a limit {became['limits']:,}",
        f"solved and beaten or equal {became['beaten or equal']:,}",
        f"left {became['left']:,}",
    ]
    return f"What became of {answer.combinations:,}: {'; '.join(parts)}."
