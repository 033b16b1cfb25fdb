"""`rotorwright motor`: one motor at a voltage."""

from typing import Annotated

from cyclopts import Parameter
from rich.console import Console
from rich.table import Table

from rotorwright.cli.parts import find_parts
from rotorwright.cli.words import print_json
from rotorwright.errors import InputError, Problem
from rotorwright.parts.propulsion import Motor
from rotorwright.predict.motor import MotorTable, motor_table
from rotorwright.sheet.words import said

__all__ = ["motor_command"]


def motor_command(name: str, *, volts: float = 14.8, json: Annotated[bool, Parameter(negative="")] = False) -> None:
    """State of a motor at a voltage, winding at 20 C.

    Parameters
    ----------
    name
        A motor on a shelf, or a part file.
    volts
        Voltage at the motor.
    json
        Print machine-readable data in SI units instead.
    """
    if not 0.1 <= volts <= 100:
        raise InputError(Problem(f"--volts {volts:g} is out of range", "Give 0.1 to 100 V."))
    tables = [motor_table(motor, volts) for motor in find_parts(name, Motor) if isinstance(motor, Motor)]
    if json:
        print_json(tables[0] if len(tables) == 1 else tables)
        return
    for table in tables:
        _print(table)


def _print(table: MotorTable) -> None:
    console = Console(highlight=False, markup=False, emoji=False)
    console.print(f"{table.name} at {table.voltage_v:g} V", style="bold")
    console.print(
        f"Kv {said(table.kv_rpm_per_v, 1, 'rpm/V')}, resistance {said(table.resistance_ohm, 1e3, 'mohm')}, "
        f"without load {said(table.idle_current_a, 1, 'A')} at {said(table.idle_rpm, 1, 'rpm')}."
    )
    console.print(
        f"Most efficient at {said(table.peak_efficiency_current_a, 1, 'A')}: {said(table.peak_efficiency, 100, '%')}."
    )
    rows = Table(box=None, pad_edge=False, header_style="dim")
    for column in ("current  A", "rpm", "torque  mN m", "shaft power  W", "efficiency  %"):
        rows.add_column(column, justify="right", no_wrap=True)
    for row in table.rows:
        rows.add_row(
            f"{row.current_a:g}",
            said(row.rpm),
            said(row.torque_n_m, 1e3),
            said(row.shaft_power_w),
            said(row.efficiency, 100),
        )
    console.print(rows)
    console.print("Winding at 20 C; warmer copper turns slower. Brackets hold 5 to 95 %.", style="dim")
