"""`rotorwright link`: how far picture and control reach, and which channels a group should take."""

from typing import Annotated

from cyclopts import Parameter
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from rotorwright.cli.words import print_json
from rotorwright.columns import Draws
from rotorwright.craft import read_craft
from rotorwright.craft.workshop import find_craft
from rotorwright.errors import InputError, Problem
from rotorwright.predict.channels import ChannelPlan
from rotorwright.predict.link import LinkBook, LinkBudget, link_book
from rotorwright.predict.result import Prediction
from rotorwright.sheet.words import said

__all__ = ["link_command"]

_MOST_PILOTS = 40
_CAUTION = (
    "Powers, bands, channels and licences are a matter of law that varies by place and changes: verify locally. "
    "Range does not replace sight of the craft where the rules ask for it. Walk the range on the ground, at the "
    "lowest power and without propellers, before the first flight."
)


def link_command(
    craft: str,
    *,
    margin: float | None = None,
    exponent: float | None = None,
    channels: str = "",
    pilots: int | None = None,
    json: Annotated[bool, Parameter(negative="")] = False,
    samples: int = 2048,
    seed: int = 0,
) -> None:
    """How far picture and control reach, and which channels a group should take.

    Parameters
    ----------
    craft
        A craft file.
    margin
        Fade margin in dB, in place of the craft file's.
    exponent
        Power of the distance by which the signal falls among obstacles, in place of the craft file's.
    channels
        Channels in MHz of all who fly together, such as 5658,5695,5769.
    pilots
        How many want to fly together; a plan is made for them.
    json
        Print machine-readable data in SI units instead.
    samples
        How many samples make the bounds; 0 for none.
    seed
        Another seed draws other samples.
    """
    used = _megahertz(channels)
    problems = [problem for problem in _problems(margin, exponent, pilots, samples) if problem]
    if problems:
        raise InputError(*problems)
    read = read_craft(find_craft(craft))
    book = link_book(read, Draws(samples, seed), margin, exponent, used, pilots)
    if json:
        print_json(book)
        return
    _print(book)


def _problems(margin: float | None, exponent: float | None, pilots: int | None, samples: int) -> list[Problem | None]:
    def within(name: str, value: float | None, low: float, high: float) -> Problem | None:
        if value is None or low <= value <= high:
            return None
        return Problem(f"--{name} {value:g} is out of range", f"Give {low:g} to {high:g}.")

    return [
        within("margin", margin, 0, 60),
        within("exponent", exponent, 2, 6),
        within("pilots", pilots, 1, _MOST_PILOTS),
        within("samples", samples, 0, 100_000),
    ]


def _megahertz(text: str) -> tuple[float, ...]:
    """Channels [Hz] from a list in MHz."""
    try:
        found = tuple(float(word) * 1e6 for word in text.split(",")) if text else ()
    except ValueError:
        found = (float("nan"),)
    if not all(1e8 <= f <= 1e11 for f in found) or len(found) > _MOST_PILOTS:
        raise InputError(Problem(f"--channels {text} cannot be read", "Write MHz with commas: 5658,5695,5769."))
    return found


def _print(book: LinkBook) -> None:
    console = Console(highlight=False, markup=False, emoji=False)
    console.print(Text(f"{book.craft}: how far it reaches", style="bold"))
    links = (book.links.video, book.links.control, book.links.telemetry)
    console.print(Padding(_table(links), (0, 0, 0, 2)))
    for one in links:
        if one.reason:
            console.print(Padding(f"{one.name}: {one.reason}.", (0, 0, 0, 2)))
    console.print()
    _print_assumptions(console, links)
    _print_plan(console, book.channels)
    console.print(_CAUTION, style="dim")


def _table(links: tuple[LinkBudget, ...]) -> Table:
    table = Table(box=None, pad_edge=False, header_style="dim", padding=(0, 1, 0, 0))
    table.add_column("", no_wrap=True)
    for one in links:
        table.add_column(_heading(one), justify="right", no_wrap=True)
    rows: list[tuple[str, list[Prediction], int]] = [
        ("e.i.r.p.  dBm", [one.eirp_dbm for one in links], 1),
        ("antenna  dBi", [one.receiving_gain_dbi for one in links], 1),
        ("polarised  dB", [one.polarisation_loss_db for one in links], 1),
        ("hears  dBm", [one.sensitivity_dbm for one in links], 0),
        ("in the open  m", [one.range_m for one in links], 0),
        ("obstacles  m", [one.clutter_range_m for one in links], 0),
        ("ground clear  m", [one.fresnel_clear_to_m for one in links], 0),
    ]
    for name, values, most in rows:
        table.add_row(name, *(said(value, most=most) for value in values))
    return table


def _heading(one: LinkBudget) -> str:
    frequency = f"{one.frequency_hz / 1e6:.0f} MHz" if one.frequency_hz else "no frequency"
    return f"{one.name}\n{frequency}"


def _print_assumptions(console: Console, links: tuple[LinkBudget, ...]) -> None:
    first = links[0]
    console.print(
        f"Range keeps {first.fade_margin_db:g} dB for fading, nulls of the antennas and bodies in the way; among "
        f"obstacles the signal falls with the distance to the power of {first.clutter_exponent:g}. 'Polarised' is "
        "what antennas of different polarisation lose, 'hears' the receiver's sensitivity, 'ground clear' how far "
        "flat ground leaves 60 % of the first Fresnel zone free. Brackets hold 5 to 95 %."
    )
    for one in links:
        if one.sender and one.receiver:
            console.print(Padding(f"{one.name}: from {one.sender} to {one.receiver}", (0, 0, 0, 2)))
    for words in dict.fromkeys(words for one in links for words in one.assumptions):
        console.print(Padding(f"assumed: {words}", (0, 0, 0, 2)))
    console.print()


def _print_plan(console: Console, plan: ChannelPlan) -> None:
    console.print(Text("Channels of a group", style="bold"))
    if plan.reason:
        console.print(Padding(f"{plan.reason}, or --channels.", (0, 0, 0, 2)))
    else:
        room = (plan.clearance_hz or 0.0) / 1e6
        what = f"{_list(plan.channels_hz)} MHz: products of third order come within {room:g} MHz of a used channel."
        console.print(Padding(what, (0, 0, 0, 2)))
    for one in plan.disturbances[:6]:
        words = f"{_list(one.made_by_hz)} make {one.product_hz / 1e6:g}, which falls on {one.hits_hz / 1e6:g}"
        console.print(Padding(words, (0, 0, 0, 4)))
    if plan.best_hz:
        room = (plan.best_clearance_hz or 0.0) / 1e6
        words = f"best for {len(plan.best_hz)}: {_list(plan.best_hz)} MHz, {room:g} MHz clear of every product"
        console.print(Padding(words, (0, 0, 0, 2)))
    for assumed in plan.assumptions:
        console.print(Padding(f"assumed: {assumed}", (0, 0, 0, 2)))
    console.print()


def _list(channels: tuple[float, ...]) -> str:
    return ", ".join(f"{channel / 1e6:g}" for channel in channels)
