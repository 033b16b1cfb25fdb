"""`rotorwright swap`: what the other parts would have cost or gained."""

from typing import Annotated

from cyclopts import Parameter
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from rotorwright.cli.options import check_samples
from rotorwright.cli.words import print_json
from rotorwright.craft import read_craft
from rotorwright.craft.workshop import find_craft
from rotorwright.errors import InputError, Problem
from rotorwright.search.equal import BASES, equal_basis
from rotorwright.search.gram import GramPlace, gram_prices
from rotorwright.search.measures import MEASURES, measure_named
from rotorwright.search.swap import Swap, SwapRow, swap
from rotorwright.search.swapped import candidates, choose, find_placed, own_shelf, swapped
from rotorwright.sheet.argument import LEGEND, argument, change, heading
from rotorwright.sheet.words import said

__all__ = ["swap_command"]

_COLUMNS = ("weight", "flight-time", "thrust-to-weight", "current", "cost")
_ROWS, _ARGUED, _PLACES, _FINDINGS = 12, 3, 14, 6


def swap_command(
    craft: str,
    role: str = "",
    *names: str,
    goal: str = "flight-time",
    json: Annotated[bool, Parameter(negative="")] = False,
    all: Annotated[bool, Parameter(negative="")] = False,
    fits: Annotated[bool, Parameter(negative="")] = False,
    equal: str = "",
    samples: int = 128,
    seed: int = 0,
) -> None:
    """Put every other part of a kind in the place of one, and see what each would have cost or gained.

    Without a role: the price of a gram, what one gram more at each place takes.

    Parameters
    ----------
    craft
        A craft file.
    role
        Id, role or kind of the part to replace.
    names
        Only these parts of the shelf.
    goal
        What the list is sorted by: weight, flight-time, hover-time, thrust-to-weight, roll, thrust-rise, cost, ...
    json
        Print machine-readable data in SI units instead.
    all
        List every part, and every place of a gram.
    fits
        Leave out what brings a new stop.
    equal
        Hold the basis equal: energy (of packs), copper (the motor rewound for each pack's cells), weight, or thrust.
    samples
        How many samples make the bounds; 0 for none.
    seed
        Another seed draws other samples.
    """
    check_samples(samples, 4096)
    measure = measure_named(goal)
    design = read_craft(find_craft(craft))
    if not role:
        prices = gram_prices(design, samples=min(samples, 64), seed=seed)
        print_json(prices) if json else _print_prices(prices, all)
        return
    placed, shelf = find_placed(design, role), own_shelf(design)
    kind = type(placed.part)
    parts = choose(shelf, kind, names) if names else candidates(shelf, kind, placed.part.name)
    if not parts:
        raise InputError(Problem(f"no other {kind.kind} on any shelf", "Put some on the workshop's shelf."))
    put = equal_basis(equal, placed) if equal else swapped
    notes = [f"at equal {equal}: {BASES[equal]}"] if equal else []
    shown = len(parts) if all or names else _ROWS
    result = swap(
        design,
        placed,
        parts,
        measure,
        samples=samples,
        shown=shown,
        only_fitting=fits,
        put=put,
        same_thrust=equal == "thrust",
        notes=notes,
        seed=seed,
    )
    print_json(result) if json else _print(result, shown)


def _print(result: Swap, shown: int) -> None:
    console = Console(highlight=False, markup=False, emoji=False)
    goal = MEASURES[result.goal]
    console.print(
        Text(f"{result.craft}: other parts for {result.place}, now {result.present.part}, best {goal.words} first"),
        style="bold",
    )
    columns = [result.goal, *(name for name in _COLUMNS if name != result.goal)][: len(_COLUMNS)]
    console.print(_table(result, columns, shown))
    for line in result.left_out:
        console.print(f"{line}.", style="dim")
    if len(result.rows) > shown:
        console.print(f"and {len(result.rows) - shown} more; --all lists them", style="dim")
    console.print(LEGEND if result.samples else "Differences, without bounds.", style="dim")
    for row in result.rows[:_ARGUED]:
        _print_argument(console, row)
    for row in result.rows:
        if row.reason is not None:
            console.print(f"{row.part}: not computed: {row.reason}.")
    _print_as_good(console, result)
    for note in result.notes:
        console.print(f"Note: {note}.", style="dim")
    if result.samples and result.bounded < sum(row.reason is None for row in result.rows):
        text = f"Flight time, heat and thrust rise have bounds for the first {result.bounded}"
        console.print(f"{text}: for all of them it would take too long.", style="dim")
    console.print("New findings come from the rules that read this kind; `rotorwright check` runs all.", style="dim")


def _table(result: Swap, columns: list[str], shown: int) -> Table:
    table = Table(box=None, pad_edge=False, header_style="dim", padding=(0, 1, 0, 0))
    table.add_column("")
    for name in columns:
        table.add_column(heading(name), justify="right", no_wrap=True)
    table.add_column("new\nstops", justify="right", no_wrap=True)
    table.add_row(result.present.part, *(_now(result.present, name) for name in columns), "", style="dim")
    for row in result.rows[:shown]:
        if row.reason is None:
            stops = "" if row.findings is None else str(row.findings.stops or "none")
            table.add_row(row.part, *(change(row.differences[n], n, row.verdict[n]) for n in columns), stops)
    return table


def _now(present: SwapRow, name: str) -> str:
    return said(present.values[name], MEASURES[name].factor).split(" (")[0]


def _print_argument(console: Console, row: SwapRow) -> None:
    if row.reason is not None:
        return
    console.print(Text(f"\n{row.part}", style="bold"))
    console.print(Padding(argument(row.differences, row.verdict), (0, 0, 0, 2)))
    if row.findings is None:
        return
    for lead, found in (("New findings", row.findings.new), ("Cured", row.findings.cured)):
        if found:
            more = f" and {len(found) - _FINDINGS} more" if len(found) > _FINDINGS else ""
            console.print(Padding(f"{lead}: {', '.join(found[:_FINDINGS])}{more}.", (0, 0, 0, 2)))


def _print_as_good(console: Console, result: Swap) -> None:
    equal = [name for name in result.as_good if name != result.rows[0].part]
    if not equal:
        return
    names = ", ".join(equal[:6]) + (f" and {len(equal) - 6} more" if len(equal) > 6 else "")
    words = MEASURES[result.goal].words
    console.print(f"\nBy {words} the bounds cannot tell from {result.rows[0].part}: {names}.")


def _print_prices(prices: tuple[GramPlace, ...], everything: bool) -> None:
    console = Console(highlight=False, markup=False, emoji=False)
    console.print(Text("The price of a gram: what one gram more at each place does", style="bold"))
    table = Table(box=None, pad_edge=False, header_style="dim", padding=(0, 1, 0, 0))
    table.add_column("at", max_width=28)
    for name in ("from the\nmiddle mm", "flight time\ns", "roll\n%", "pitch\n%", "hover\nthrottle %"):
        table.add_column(name, justify="right", no_wrap=True)
    for row in prices if everything else prices[:_PLACES]:
        table.add_row(
            row.place if row.pieces == 1 else f"{row.place} (over {row.pieces})",
            f"{row.distance_m * 1e3:.0f}",
            said(row.flight_time_s),
            *(said(share, 100).split(" (")[0][:6] for share in (row.roll, row.pitch, row.hover_throttle)),
        )
    console.print(table)
    if len(prices) > _PLACES and not everything:
        console.print(f"and {len(prices) - _PLACES} more; --all lists them", style="dim")
    console.print(
        "Roll and pitch: change of the steady angular acceleration. Flight time flown on the craft's own profile.",
        style="dim",
    )
