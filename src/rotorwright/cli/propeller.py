"""`rotorwright propeller`: what propellers give and need."""

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console
from rich.table import Table
from rich.text import Text

from rotorwright.cli.parts import find_parts
from rotorwright.cli.picture import write_picture
from rotorwright.cli.words import print_json
from rotorwright.errors import InputError, Problem
from rotorwright.parts.propulsion import Propeller
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.air import air as air_at
from rotorwright.predict.propeller import EqualThrust, PropellerTable, equal_thrust, propeller_table
from rotorwright.predict.result import Prediction
from rotorwright.sheet.chart import Line, Panel, line_chart
from rotorwright.sheet.words import either_side, nominal, said

__all__ = ["propeller_command"]

_PLOT = 50
_BAND = "Bands hold 5 to 95 % of measured propellers."


def propeller_command(
    *names: str,
    rpm: str = "8000,12000,16000,20000",
    advance: str = "0",
    thrust_g: str = "100,200,400,800",
    altitude_m: float = 0.0,
    temperature_degc: float = 15.0,
    svg: Path | None = None,
    json: Annotated[bool, Parameter(negative="")] = False,
) -> None:
    """Thrust, power and efficiency of a propeller; several propellers are compared at equal thrust.

    Parameters
    ----------
    names
        Propellers on a shelf, or part files.
    rpm
        Speeds of rotation, with commas between.
    advance
        Advance ratios V/(nD), with commas between; 0 is standing.
    thrust_g
        Thrusts of one rotor at which several propellers are compared, in grams, with commas between.
    altitude_m
        Geopotential altitude.
    temperature_degc
        Air temperature.
    svg
        Write a picture: thrust, power and thrust a watt over rpm, or for several at equal thrust.
    json
        Print machine-readable data in SI units instead.
    """
    speeds, advances = _numbers("--rpm", rpm, 100, 100_000), _numbers("--advance", advance, 0, 1.6)
    thrusts = [grams * GRAVITY / 1e3 for grams in _numbers("--thrust-g", thrust_g, 1, 10_000)]
    _check("--altitude-m", altitude_m, -500, 9000)
    _check("--temperature-degc", temperature_degc, -70, 60)
    air = air_at(altitude_m, temperature_degc + 273.15)
    if not names:
        raise InputError(Problem("no propeller named", "`rotorwright shelf propeller` lists them."))
    parts = [part for name in names for part in find_parts(name, Propeller) if isinstance(part, Propeller)]
    tables = [propeller_table(part, speeds, advances, air) for part in parts]
    compared = equal_thrust(parts, thrusts, air) if len(parts) > 1 else ()
    write_picture(svg, _compared_picture(compared) if compared else _picture(tables[0]))
    if json:
        print_json(tables[0] if len(tables) == 1 else {"propellers": tables, "equal_thrust": compared})
        return
    if compared:
        _print_compared(compared)
        return
    _print(tables[0])


def _numbers(option: str, text: str, low: float, high: float) -> list[float]:
    """Numbers between commas, each from `low` to `high`."""
    try:
        values = [float(item) for item in text.split(",")]
    except ValueError:
        fix = "Write numbers with commas between, such as 4000,6000."
        raise InputError(Problem(f"{option} {text}: not numbers", fix)) from None
    for value in values:
        _check(option, value, low, high)
    return values


def _check(option: str, value: float, low: float, high: float) -> None:
    if not low <= value <= high:
        raise InputError(Problem(f"{option} {value:g} is out of range", f"Give {low:g} to {high:g}."))


def _print(table: PropellerTable) -> None:
    console = Console(highlight=False, markup=False, emoji=False)
    size = f"{table.diameter_m / 0.0254:.3g} x {table.pitch_m / 0.0254:.3g} in, {table.blades} blades"
    console.print(f"{table.name}   {size}, blade {table.blade}", style="bold")
    rows = Table(box=None, pad_edge=False, header_style="dim")
    for column in ("rpm", "V/(nD)", "CT", "CP", "efficiency", "thrust  g", "power  W", "g/W", "tip Mach"):
        rows.add_column(column, justify="right", no_wrap=True)
    for row in table.rows:
        rows.add_row(
            f"{row.rpm:.0f}",
            f"{row.advance:g}",
            nominal(row.ct),
            nominal(row.cp),
            nominal(row.efficiency) if row.advance else "",
            nominal(row.thrust_n, 1e3 / GRAVITY),
            nominal(row.power_w),
            nominal(row.grams_per_watt),
            f"{row.tip_mach:.2f}{'*' if row.beyond_validation else ''}",
        )
    console.print(rows)
    first = table.rows[0]
    if any(row.beyond_validation for row in table.rows):
        console.print("* beyond the Reynolds or Mach numbers of open measurements: bounds by judgement.", style="dim")
    console.print(
        f"Nine of ten such propellers lie within {either_side(first.ct)} in thrust, {either_side(first.cp)} in "
        f"power and {either_side(first.grams_per_watt)} in g/W. CT = T/(rho n2 D4), CP = P/(rho n3 D5), power at "
        "the shaft.",
        style="dim",
    )


def _print_compared(rows: tuple[EqualThrust, ...]) -> None:
    console = Console(highlight=False, markup=False, emoji=False)
    table = Table(box=None, pad_edge=False, header_style="dim", padding=(0, 1, 0, 0))
    table.add_column("propeller", no_wrap=True)
    for column in ("rpm", "power  W", "g/W", "to first  %"):
        table.add_column(column, justify="right", no_wrap=True)
    for index, row in enumerate(rows):
        if index == 0 or rows[index - 1].thrust_n != row.thrust_n:
            table.add_row(Text(f"{row.thrust_n / GRAVITY * 1e3:.0f} g", style="bold"))
        ratio = "" if row.name == rows[0].name else said(row.power_to_first, 100)
        table.add_row(f"  {row.name}", said(row.rpm), said(row.power_w), said(row.grams_per_watt), ratio)
    console.print(table)
    console.print(_plot(rows))
    console.print(
        "Standing, power at the shaft, last column its ratio. Brackets hold 5 to 95 % of measured propellers.",
        style="dim",
    )
    first = rows[0].name
    for row in rows[-len({r.name for r in rows}) + 1 :]:
        console.print(_verdict(row, first))


def _plot(rows: tuple[EqualThrust, ...]) -> Table:
    """Thrust a watt at the largest thrust: the value as a dot on its bounds, all on one scale."""
    last = [row for row in rows if row.thrust_n == rows[-1].thrust_n]
    most = max(row.grams_per_watt.high or 0.0 for row in last)
    table = Table(box=None, pad_edge=False, show_header=False, padding=(0, 1, 0, 0))
    table.add_row("", Text(f"0 to {most:.3g} g/W at {rows[-1].thrust_n / GRAVITY * 1e3:.0f} g", style="dim"))
    for row in last:
        low, value, high = (
            round(_PLOT * (x or 0.0) / most)
            for x in (row.grams_per_watt.low, row.grams_per_watt.value, row.grams_per_watt.high)
        )
        line = " " * low + "\u2500" * (value - low) + "\u25cf" + "\u2500" * (high - value)
        table.add_row(f"  {row.name}", Text(line, style="cyan"))
    return table


def _verdict(row: EqualThrust, first: str) -> str:
    """One comparison in words; two that the bounds cannot tell apart are said to be so."""
    ratio = row.power_to_first
    grams = f"{row.thrust_n / GRAVITY * 1e3:.0f} g"
    if ratio.low is None or ratio.high is None or ratio.low < 1 < ratio.high:
        return f"At {grams} the bounds cannot tell {row.name} from {first}: {said(ratio, 100, '%')} of its power."
    word = "less" if ratio.high < 1 else "more"
    return f"At {grams} {row.name} needs {word} power than {first}: {said(ratio, 100, '%')} of it."


def _line(name: str, x: list[float], values: list[Prediction], factor: float = 1.0) -> Line:
    y, low, high = (
        [None if v is None else v * factor for v in column]
        for column in zip(*((p.value, p.low, p.high) for p in values), strict=True)
    )
    return Line(name, x, y, low, high)


def _picture(table: PropellerTable) -> str:
    """Thrust, shaft power and thrust a watt over rpm, a line for each advance ratio."""
    lines: dict[str, list[Line]] = {"thrust  g": [], "power  W": [], "thrust a watt  g/W": []}
    for advance in dict.fromkeys(row.advance for row in table.rows):
        rows = [row for row in table.rows if row.advance == advance]
        rpm, name = [row.rpm for row in rows], "standing" if advance == 0 else f"V/(nD) = {advance:g}"
        lines["thrust  g"].append(_line(name, rpm, [row.thrust_n for row in rows], 1e3 / GRAVITY))
        lines["power  W"].append(_line(name, rpm, [row.power_w for row in rows]))
        lines["thrust a watt  g/W"].append(_line(name, rpm, [row.grams_per_watt for row in rows]))
    return line_chart(table.name, "rpm", [Panel(label, tuple(each)) for label, each in lines.items()], _BAND)


def _compared_picture(rows: tuple[EqualThrust, ...]) -> str:
    """Shaft power and thrust a watt over thrust, a line for each propeller."""
    power, grams = [], []
    for name in dict.fromkeys(row.name for row in rows):
        own = [row for row in rows if row.name == name]
        thrust = [row.thrust_n / GRAVITY * 1e3 for row in own]
        power.append(_line(name, thrust, [row.power_w for row in own]))
        grams.append(_line(name, thrust, [row.grams_per_watt for row in own]))
    panels = [Panel("power  W", tuple(power)), Panel("thrust a watt  g/W", tuple(grams))]
    return line_chart("At equal thrust, standing", "thrust of one rotor  g", panels, _BAND)
