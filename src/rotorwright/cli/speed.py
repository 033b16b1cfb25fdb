"""`rotorwright speed`: level flight, climb and descent."""

from dataclasses import dataclass
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
from rotorwright.predict.airborne import STEADY_SAMPLES, airborne
from rotorwright.predict.flight import Flight
from rotorwright.predict.result import Prediction
from rotorwright.sheet.curves import speed_curves
from rotorwright.sheet.words import said, spoken

__all__ = ["speed_command"]

_KMH = 3.6


@dataclass(frozen=True, slots=True)
class SpeedBook:
    """What the command prints."""

    craft: str
    flight: Flight


def speed_command(
    craft: str,
    *,
    json: Annotated[bool, Parameter(negative="")] = False,
    svg: Path | None = None,
    samples: int = STEADY_SAMPLES,
    seed: int = 0,
) -> None:
    """How fast it flies, where it flies farthest, how it climbs and stops.

    Parameters
    ----------
    craft
        A craft file.
    json
        Print machine-readable data in SI units instead.
    svg
        Write a picture of power and pitch over speed.
    samples
        How many samples make the bounds; 0 for none.
    seed
        Another seed draws other samples.
    """
    check_samples(samples, 20_000)
    read = read_craft(find_craft(craft))
    book = SpeedBook(read.title.full, airborne(read, samples, seed).steady())
    write_picture(svg, speed_curves(book.craft, book.flight))
    if json:
        print_json(book)
        return
    _print(book)


def _print(book: SpeedBook) -> None:
    console = Console(highlight=False, markup=False, emoji=False)
    f = book.flight
    console.print(Text(f"{book.craft} in still air, pack at {f.state_of_charge:.0%}", style="bold"))
    table = Table(box=None, pad_edge=False, show_header=False)
    table.add_column(no_wrap=True)
    table.add_column()
    for name, value in _rows(f):
        table.add_row(name, value)
    console.print(Padding(table, (0, 0, 0, 2)))
    console.print(Text("Level flight", style="bold"))
    console.print(Padding(_curve(f), (0, 0, 0, 2)))
    console.print(
        f"Drag area {said(f.drag_area_m2, 1e4, 'cm2')} from ahead, {said(f.drag_area_top_m2, 1e4, 'cm2')} from above "
        f"({f.drag_area_basis}).",
        style="dim",
    )


def _rows(f: Flight) -> list[tuple[str, str]]:
    ends = {"power": ", at full throttle", "pitch": ", at the largest pitch it is flown at"}
    return [
        ("top speed", f"{_speed(f.top_speed_m_per_s)}{ends.get(f.top_speed_limit, '')}"),
        ("farthest at", _speed(f.best_range_speed_m_per_s)),
        ("longest at", _speed(f.best_endurance_speed_m_per_s)),
        ("gust it still gains on then", spoken(f.gust_margin_m_per_s, 1, "m/s")),
        (
            "camera tilt for a level horizon",
            f"{spoken(f.camera_tilt_deg, 1, 'deg')} at {_speed(f.cruise_speed_m_per_s)}",
        ),
        ("horizon level as mounted at", _speed(f.camera_level_speed_m_per_s)),
        ("straight up", spoken(f.climb_m_per_s, 1, "m/s")),
        ("from hover through 30 m", spoken(f.punch_30m_s, 1, "s")),
        ("own wash from", f"{spoken(f.ring_state_descent_m_per_s, 1, 'm/s')} of sinking straight down"),
        ("out of it from", f"{spoken(f.ring_state_leaves_at_m_per_s, 1, 'm/s')} of forward speed"),
        ("way to a stop from top speed", spoken(f.brake_distance_m, 1, "m")),
    ]


def _speed(speed: Prediction) -> str:
    if speed.value is None:
        return speed.reason or "unknown"
    return f"{said(speed, 1, 'm/s')}, {speed.value * _KMH:.0f} km/h"


def _curve(f: Flight) -> Table:
    table = Table(box=None, pad_edge=False, header_style="dim")
    for name in ("m/s", "pitch  deg", "throttle  %", "battery  A", "power  W"):
        table.add_column(name, justify="right", no_wrap=True)
    for point in f.curve[::3]:
        table.add_row(
            f"{point.speed_m_per_s:.1f}",
            said(point.pitch_deg),
            said(point.throttle, 100),
            said(point.battery_current_a),
            said(point.power_w),
        )
    return table
