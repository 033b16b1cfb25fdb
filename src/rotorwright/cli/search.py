"""`rotorwright search`: the best craft that the parts on the shelf can make."""

import os
import signal
import sys
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, nullcontext
from os.path import realpath
from pathlib import Path
from typing import Annotated, TypeVar

from cyclopts import Parameter
from rich.console import Console
from rich.padding import Padding
from rich.progress import BarColumn, Progress, TextColumn
from rich.text import Text

from rotorwright.cli.options import check_samples
from rotorwright.cli.picture import write_picture
from rotorwright.cli.words import print_json
from rotorwright.errors import InputError, Problem
from rotorwright.search.answer import Answer, FrontCraft, NearCraft, Underway, as_csv, make_craft, search
from rotorwright.search.cluster import on_cluster
from rotorwright.search.craft_from import new_file
from rotorwright.search.measures import MEASURES
from rotorwright.search.progress import Stopped
from rotorwright.search.space import read_space
from rotorwright.sheet.front_chart import front_chart
from rotorwright.sheet.front_words import nothing_found

__all__ = ["search_command"]

_SHOWN = 12
_EVERY = 10.0  # [s] between two lines on how far it is

T = TypeVar("T")


def search_command(
    space: Path,
    *,
    workers: int = 0,
    json: Annotated[bool, Parameter(negative="")] = False,
    all: Annotated[bool, Parameter(negative="")] = False,
    tolerance: float = 0.0,
    samples: int = 64,
    csv: Path | None = None,
    picture: Path | None = None,
    make: int = 0,
    to: str = "",
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
    tolerance
        Keep also what the bounds cannot tell from the front, among craft within this many percent of it.
    samples
        How many samples make those bounds.
    csv
        Write the front as a table with commas.
    picture
        Write a picture of the front, its goals two at a time.
    make
        Number of a craft on the front to write as a craft file.
    to
        The craft file to write, or its name beside the craft; a file that exists is left alone.
    scheduler
        Address of a dask scheduler whose workers search in place of processes here.
    """
    check_samples(samples, 1024, 20)
    if not 0 <= workers <= 256:
        raise InputError(Problem(f"--workers {workers} is out of range", "Give 0 to 256."))
    if not 0.0 <= tolerance <= 50.0:
        raise InputError(Problem(f"--tolerance {tolerance:g} is out of range", "Give 0 to 50 percent."))
    if bool(make) != bool(to):
        raise InputError(Problem("--make and --to go together", "Write --make 3 --to NEW."))
    asked = read_space(space)
    state = Path(realpath(space)).parent / "out" / f"{space.stem}.search"
    with (
        _Bar() as bar,
        _stopped_in_words(bar, state),
        on_cluster(scheduler) if scheduler else nullcontext() as executor,
    ):
        answer = search(
            asked,
            workers=workers or os.cpu_count() or 1,
            state=state,
            watch=bar.look,
            executor=executor,
            tolerance=tolerance / 100.0,
            samples=samples,
        )
    if csv is not None:
        _write(csv, as_csv(answer))
    write_picture(picture, front_chart(answer) if picture else "")
    file = new_file(asked, to)
    made = make_craft(asked, answer, make, file) if make else ""
    if json:
        print_json(answer)
        return
    _print(answer, all)
    if made:
        Console(highlight=False, markup=False, emoji=False).print(f"{file}: {made}.")


@contextmanager
def _stopped_in_words(bar: "_Bar", state: Path) -> Iterator[None]:
    """Ctrl+C and a request to end (SIGTERM) end the search and its processes, and it says how to go on."""
    usual = signal.getsignal(signal.SIGTERM)
    own = threading.current_thread() is threading.main_thread() and usual is not None

    def end(*_: object) -> None:
        raise KeyboardInterrupt

    if own:
        signal.signal(signal.SIGTERM, end)
    try:
        yield
    except KeyboardInterrupt:
        raise Stopped(bar.kept(state)) from None
    finally:
        if own:
            signal.signal(signal.SIGTERM, usual)


class _Bar:
    """A bar while the search runs, or a line now and then where nobody looks; beforehand what has to be flown."""

    def __init__(self) -> None:
        self.console = Console(file=sys.stderr, highlight=False, markup=False, emoji=False, soft_wrap=True)
        columns = (
            TextColumn("{task.description}"),
            BarColumn(),
            TextColumn("{task.percentage:>3.0f} %{task.fields[left]}"),
        )
        self.bar = Progress(*columns, console=self.console, transient=True, disable=not self.console.is_terminal)
        self.task = self.bar.add_task("searching", total=1.0, left="")
        self.told, self.line, self.start = False, "", time.monotonic()
        self.done = 0, 0
        self.over = threading.Event()
        self.lines = threading.Thread(target=self._now_and_then, daemon=True)

    def __enter__(self) -> "_Bar":
        self.bar.start()
        if not self.console.is_terminal:
            self.lines.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.bar.stop()
        self.over.set()

    def look(self, now: Underway) -> None:
        """Show how far the search is; say once what it has to fly."""
        left = "" if now.seconds_left is None else f", {_duration(now.seconds_left)} left"
        self.bar.update(self.task, completed=now.share, left=left)
        if now.flights and not self.told and now.seconds_left:
            text = f"Some {now.flights:,} combinations are flown one by one, which takes about"
            self.console.print(f"{text} {_duration(now.seconds_left)}.")
        self.told = True
        self.done = done, blocks = now.progress.done, now.progress.blocks
        self.line = f"{now.share:.1%} done, {done:,} of {blocks:,} blocks{left}"
        if done == blocks:
            self.line = "all blocks are done, what is left of them is sorted"

    def kept(self, state: Path) -> str:
        """What is kept of a search that is stopped now."""
        done, blocks = self.done
        if not blocks:
            return "stopped before its first block"
        if done in (0, blocks):
            what = (
                "before its first block was finished"
                if not done
                else "after its last block, which nothing is kept of"
            )
            return f"stopped {what}: the same command begins anew"
        return f"stopped; {done:,} of {blocks:,} blocks are kept in {state}: the same command goes on from there"

    def _now_and_then(self) -> None:
        """Print how far it is, until it is over."""
        while not self.over.wait(_EVERY):
            line = self.line or "parts are made ready"
            self.console.print(f"{line}; {_duration(time.monotonic() - self.start)} so far.")


def _duration(seconds: float) -> str:
    if seconds < 90.0:
        return f"{seconds:.0f} s"
    if seconds < 5400.0:
        return f"{seconds / 60:.0f} min"
    return f"{seconds / 3600:.1f} h" if seconds < 3.6e5 else f"{seconds / 86400:,.0f} days"


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
    rows = answer.front if everything else _spread(answer.front)
    same = {place for place in rows[0].parts if len({row.parts[place] for row in answer.front}) == 1}
    for place in sorted(same):
        console.print(f"All have {rows[0].parts[place]} as {place}.")
    console.print(Text("   now  " + _values(answer, answer.present), style="dim"))
    for row in rows:
        console.print(Text(f"{row.number:>6}  ", style="bold").append(_values(answer, row.values), style="not bold"))
        _print_parts(console, row, same)
    if len(rows) < len(answer.front):
        text = (
            f"{len(rows)} of {len(answer.front):,} are shown, spread along the first goal; --all or --csv lists them"
        )
        console.print(f"{text} all.")
    if answer.equals:
        console.print(f"{answer.equals:,} more have the very goals of one before them and are left out.")
    if answer.tolerance:
        _print_near(console, answer, everything, same)


def _print_near(console: Console, answer: Answer, everything: bool, same: set[str]) -> None:
    """What the bounds cannot tell from the front."""
    within = f"{answer.within:,} more within {100 * answer.tolerance:.3g} % of the front"
    text = f"{len(answer.near):,} of {within} may belong to it: no craft of it is better for sure"
    console.print(Text(text, style="bold"))
    rows = answer.near if everything else _spread(answer.near)
    for row in rows:
        console.print(f"{row.number:>6}  {_values(answer, row.values)}   close to {row.beside}", style="dim")
        _print_parts(console, row, same - {p for p in same if row.parts[p] != answer.front[0].parts[p]})
    if len(rows) < len(answer.near):
        console.print(f"{len(rows)} of {len(answer.near):,} are shown; --all or --csv lists them all.")


def _print_parts(console: Console, row: FrontCraft | NearCraft, same: set[str]) -> None:
    parts = ", ".join(name for place, name in row.parts.items() if place not in same)
    console.print(Padding(Text(parts, style="dim"), (0, 0, 0, 8)))


def _spread(rows: tuple[T, ...]) -> tuple[T, ...]:
    """A few rows, evenly spread, the ends among them."""
    n = len(rows)
    return rows if n <= _SHOWN else tuple(rows[round(k * (n - 1) / (_SHOWN - 1))] for k in range(_SHOWN))


def _values(answer: Answer, values: Mapping[str, float | None]) -> str:
    cells = []
    for name in answer.goals:
        measure, value = MEASURES[name], values[name]
        unit = f" {measure.shown}" if measure.shown and value is not None else ""
        cells.append(f"{name} {'none' if value is None else f'{value * measure.factor:.4g}'}{unit}")
    return "   ".join(cells)


def _print_nothing(console: Console, answer: Answer) -> None:
    for sentence in nothing_found(answer):
        console.print(sentence)


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
    if became["cannot be built"]:
        parts.insert(1, f"cannot be built {became['cannot be built']:,}")
    flown = f" {answer.flown:,} of them were flown." if answer.flown else ""
    return f"What became of {answer.combinations:,}: {'; '.join(parts)}.{flown}"
