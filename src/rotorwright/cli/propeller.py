"""`rotorwright propeller`: what propellers give and need."""

from typing import Annotated

from cyclopts import Parameter
from rich.console import Console
from rich.table import Table

from rotorwright.cli.parts import find_parts
from rotorwright.cli.words import either_side, nominal, print_json
from rotorwright.errors import InputError, Problem
from rotorwright.parts.propulsion import Propeller
from rotorwright.physics.air import air as air_at
from rotorwright.predict.propeller import PropellerTable, propeller_table

__all__ = ["propeller_command"]


def propeller_command(
    name: str,
    *,
    rpm: str = "8000,12000,16000,20000",
    advance: str = "0",
    altitude_m: float = 0.0,
    temperature_degc: float = 15.0,
    json: Annotated[bool, Parameter(negative="")] = False,
) -> None:
    """Thrust, power and efficiency of a propeller.

    Parameters
    ----------
    name
        A propeller on a shelf, or a part file.
    rpm
        Speeds of rotation, with commas between.
    advance
        Advance ratios V/(nD), with commas between; 0 is standing.
    altitude_m
        Geopotential altitude.
    temperature_degc
        Air temperature.
    json
        Print machine-readable data in SI units instead.
    """
    speeds = _numbers("--rpm", rpm, 100, 100_000)
    advances = _numbers("--advance", advance, 0, 1.6)
    try:
        air = air_at(altitude_m, temperature_degc + 273.15)
    except ValueError as error:
        raise InputError(Problem(f"the air: {error}", "Give an altitude of -500 to 9000 m.")) from None
    parts = [part for part in find_parts(name, Propeller) if isinstance(part, Propeller)]
    tables = [propeller_table(part, speeds, advances, air) for part in parts]
    if json:
        print_json(tables[0] if len(tables) == 1 else tables)
        return
    for table in tables:
        _print(table)


def _numbers(option: str, text: str, low: float, high: float) -> list[float]:
    """Numbers between commas, each from `low` to `high`."""
    try:
        values = [float(item) for item in text.split(",")]
    except ValueError:
        fix = "Write numbers with commas between, such as 4000,6000."
        raise InputError(Problem(f"{option} {text}: not numbers", fix)) from None
    for value in values:
        if not low <= value <= high:
            raise InputError(Problem(f"{option} {value:g} is out of range", f"Give {low:g} to {high:g}."))
    return values


def _print(table: PropellerTable) -> None:
    console = Console(highlight=False)
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
            nominal(row.thrust_n, 1e3 / 9.80665),
            nominal(row.power_w),
            nominal(row.grams_per_watt),
            f"{row.tip_mach:.2f}",
        )
    console.print(rows)
    first = table.rows[0]
    console.print(
        f"Nine of ten such propellers lie within {either_side(first.ct)} in thrust, {either_side(first.cp)} in "
        f"power and {either_side(first.grams_per_watt)} in g/W. CT = T/(rho n2 D4), CP = P/(rho n3 D5), power at the shaft.",
        style="dim",
    )
