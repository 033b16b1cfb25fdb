"""`rotorwright fly`: how long it flies the way it is flown."""

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
from rotorwright.predict.airborne import SAMPLES, FlightBook, airborne, flight_book
from rotorwright.predict.endurance import Endurance
from rotorwright.predict.heat import Heat
from rotorwright.sheet.curves import flight_curves, pack_curve
from rotorwright.sheet.words import clock, said

__all__ = ["fly_command"]


def fly_command(
    craft: str,
    *,
    profile: str = "",
    payload_g: float = 0.0,
    json: Annotated[bool, Parameter(negative="")] = False,
    svg: Path | None = None,
    packs_svg: Path | None = None,
    samples: int = SAMPLES,
    seed: int = 0,
) -> None:
    """How long it flies as it is flown, what it draws, what gets hot, and how many packs a day takes.

    Parameters
    ----------
    craft
        A craft file.
    profile
        hover, filming, best-range, best-endurance, gentle-freestyle, hard-freestyle or racing; else the file's own.
    payload_g
        Added mass for the table of other sizes of pack.
    json
        Print machine-readable data in SI units instead.
    svg
        Write a picture of voltage and current over the flight.
    packs_svg
        Write a picture of flight time over the mass of the pack.
    samples
        How many samples make the bounds; 0 for none.
    seed
        Another seed draws other samples.
    """
    check_samples(samples, 20_000)
    if not 0.0 <= payload_g <= 5000.0:
        raise InputError(Problem(f"--payload-g {payload_g:g} is out of range", "Give 0 to 5000."))
    book = flight_book(airborne(read_craft(find_craft(craft)), samples, seed), profile, payload_g * 1e-3)
    write_picture(svg, flight_curves(book.craft, book.endurance))
    write_picture(packs_svg, pack_curve(book.craft, book.packs))
    if json:
        print_json(book)
        return
    _print(book)


def _print(book: FlightBook) -> None:
    console = Console(highlight=False, markup=False, emoji=False)
    flight = book.endurance
    console.print(Text(f"{book.craft}, flown as '{flight.profile}': {flight.about} ({flight.source})", style="bold"))
    if flight.time_s.value is None:
        console.print(f"No flight: {flight.time_s.reason}.")
        return
    console.print(Padding(_figures(flight), (0, 0, 0, 2)))
    console.print(Text("Where the energy goes", style="bold"))
    console.print(Padding(_consumers(flight), (0, 0, 0, 2)))
    console.print(Text("What gets hot (comparative)", style="bold"))
    console.print(Padding(_warmth(book.heat), (0, 0, 0, 2)))
    console.print(Text(_sizes(book)))
    console.print(Text(_day(book)))
    for note in flight.notes:
        console.print(f"Note: {note}.")
    console.print(
        "Land earlier than these figures allow. Never leave a charging pack alone; a pack that is swollen, hot or "
        "dented is not charged again. Local rules and the maker's sheet prevail.",
        style="dim",
    )


def _rows(rows: list[tuple[str, str]]) -> Table:
    table = Table(box=None, pad_edge=False, show_header=False)
    table.add_column(no_wrap=True)
    table.add_column()
    for row in rows:
        table.add_row(*row)
    return table


def _figures(flight: Endurance) -> Table:
    end = (
        f"{flight.landing_voltage_v:g} V a cell under load"
        if flight.ended_by == "landing voltage"
        else flight.ended_by
    )
    return _rows(
        [
            ("flight time", f"{clock(flight.time_s)}, until {end}"),
            ("way through the air", said(flight.distance_m, 1e-3, "km")),
            ("charge taken out", said(flight.charge_ah, 1e3, "mAh")),
            ("left in the pack", said(flight.reserve, 100, "%")),
            ("cell at rest then", said(flight.rest_voltage_v, 1, "V")),
            ("mean current", f"{said(flight.mean_current_a, 1, 'A')}, peak {said(flight.peak_current_a, 1, 'A')}"),
            ("mean power", said(flight.mean_power_w, 1, "W")),
        ]
    )


def _consumers(flight: Endurance) -> Table:
    return _rows([(c.consumer, said(c.share, 100, "%")) for c in flight.consumers])


def _warmth(heat: Heat) -> Table:
    return _rows(
        [
            ("windings, highest", said(heat.winding_degc, 1, "C")),
            ("pack at the end", said(heat.battery_degc, 1, "C")),
            ("its leads, warmer by", said(heat.lead_rise_k, 1, "K")),
            ("lost in each motor", said(heat.motor_loss_w, 1, "W")),
            ("lost in the controllers", said(heat.controller_loss_w, 1, "W")),
        ]
    )


def _sizes(book: FlightBook) -> str:
    sweep = book.packs
    one, two = (next(row for row in sweep.rows if row.size == size) for size in (1.0, 2.0))
    if one.time_s is None:
        return "Other sizes of pack are not compared: this one does not fly the profile."
    text = f"Of packs like this one, twice as large a one flies {_longer(two.time_s, one.time_s)}"
    if sweep.best:
        grams = sweep.best.battery_mass_kg * 1e3
        text += f"; the longest flight, {_longer(sweep.best.time_s, one.time_s)}, takes {grams:.0f} g of pack"
    return f"{text} (nominal)."


def _longer(time: float | None, than: float) -> str:
    """How much longer or shorter one flight is than another."""
    if time is None:
        return "not at all"
    return f"{abs(time / than - 1):.0%} {'longer' if time >= than else 'shorter'}"


def _minutes(seconds: float | None) -> str:
    if seconds is None:
        return "not at all"
    return f"{round(seconds) // 60}:{round(seconds) % 60:02d} min"


def _day(book: FlightBook) -> str:
    day = book.day
    if day.packs is None or day.charge_time_s.value is None:
        return f"No packs for a day: {day.reason}."
    return (
        f"{day.air_time_s / 60:.0f} minutes in the air take {day.packs} packs, or {day.packs_recharging} with one "
        f"charger at hand that fills one pack in {_minutes(day.charge_time_s.value)}."
    )
