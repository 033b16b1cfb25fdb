"""`rotorwright response`: how it answers the sticks."""

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
from rotorwright.physics.air import GRAVITY
from rotorwright.predict.airborne import STEADY_SAMPLES, airborne
from rotorwright.predict.powertrain import ThrottlePoint, throttle_curve
from rotorwright.predict.response import Response
from rotorwright.sheet.curves import lift_curve
from rotorwright.sheet.words import said, spoken

__all__ = ["response_command"]

_DEGREES = 57.29577951308232


@dataclass(frozen=True, slots=True)
class ResponseBook:
    """What the command prints."""

    craft: str
    response: Response
    throttle_curve: tuple[ThrottlePoint, ...]


def response_command(
    craft: str,
    *,
    json: Annotated[bool, Parameter(negative="")] = False,
    svg: Path | None = None,
    samples: int = STEADY_SAMPLES,
    seed: int = 0,
) -> None:
    """How it answers the sticks: rotor lag, roll, pitch and yaw, throttle feel, damping, latency.

    Parameters
    ----------
    craft
        A craft file.
    json
        Print machine-readable data in SI units instead.
    svg
        Write a picture of thrust over throttle.
    samples
        How many samples make the bounds; 0 for none.
    seed
        Another seed draws other samples.
    """
    check_samples(samples, 20_000)
    ready = airborne(read_craft(find_craft(craft)), samples, seed)
    answer = ready.respond(ready.steady())
    book = ResponseBook(ready.craft.title.full, answer, throttle_curve(ready.columns, answer.state_of_charge))
    write_picture(svg, lift_curve(book.craft, book.throttle_curve))
    if json:
        print_json(book)
        return
    _print(book)


def _print(book: ResponseBook) -> None:
    console = Console(highlight=False, markup=False, emoji=False)
    r = book.response
    console.print(Text(f"{book.craft} at hover, pack at {r.state_of_charge:.0%}", style="bold"))
    table = Table(box=None, pad_edge=False, show_header=False)
    table.add_column(no_wrap=True)
    table.add_column()
    for row in _rows(r):
        table.add_row(*row)
    console.print(Padding(table, (0, 0, 0, 2)))
    console.print(
        "Rise and fall are from 10 to 90 % of a step between hover and one and a half times it. Accelerations are "
        "with one side at full throttle, the other stopped. The controller's own delay and its filters come on top.",
        style="dim",
    )


def _rows(r: Response) -> list[tuple[str, str]]:
    limit = f", held to {r.roll_rate_limit_rad_per_s * _DEGREES:.0f} deg/s" if r.roll_rate_limit_rad_per_s else ""
    return [
        ("thrust rises, falls in", f"{spoken(r.thrust_rise_s, 1e3, 'ms')}, {said(r.thrust_fall_s, 1e3, 'ms')}"),
        ("roll", spoken(r.roll_rad_per_s2, 1, "rad/s2")),
        ("pitch", spoken(r.pitch_rad_per_s2, 1, "rad/s2")),
        ("yaw", f"{spoken(r.yaw_rad_per_s2, 1, 'rad/s2')}, by the rotors' drag alone"),
        ("a full roll", f"{spoken(r.full_roll_s, 1, 's')}{limit}"),
        ("a full flip", spoken(r.full_flip_s, 1, "s")),
        ("one percent of throttle", spoken(r.throttle_gain_n_per_percent, 1e3 / GRAVITY, "g")),
        ("that over the mean slope", spoken(r.throttle_linearity)),
        ("thrust lost a m/s upwards", spoken(r.vertical_damping_n_s_per_m, 1e3 / GRAVITY, "g")),
        ("slowed sideways a m/s by", spoken(r.sideways_damping_per_s, 1, "m/s2")),
        ("camera and transmitter", spoken(r.video_latency_s, 1e3, "ms")),
        ("that at top speed", spoken(r.video_latency_at_top_speed_m, 1, "m")),
    ]
