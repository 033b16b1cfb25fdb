"""Cell voltage rises with charge and falls with load."""

from math import isnan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.physics.battery import (
    CHEMISTRIES,
    open_circuit_voltage,
    resistance_factor,
    terminal_voltage_at_power,
)

compiling = settings(deadline=None)  # the first call compiles

chemistries = st.integers(0, len(CHEMISTRIES) - 1)
charges = st.floats(0.0, 1.0)
volts = st.floats(3.0, 60.0)
ohms = st.floats(1e-3, 0.5)


@compiling
@given(chemistries, charges, charges)
def test_voltage_rises_with_charge(chemistry: int, one: float, other: float) -> None:
    low, high = sorted((one, other))
    rise = open_circuit_voltage(high, chemistry) - open_circuit_voltage(low, chemistry)
    # At least 0.27 V per unit of charge everywhere; 1e-12 for rounding.
    assert rise >= 0.27 * (high - low) - 1e-12


@compiling
@given(charges)
def test_a_high_voltage_cell_is_never_below_a_plain_one(charge: float) -> None:
    assert open_circuit_voltage(charge, 1) >= open_circuit_voltage(charge, 0)


@compiling
@given(volts, ohms, st.floats(-1.0, 1.0))
def test_terminal_voltage_balances_power_on_the_stable_side(voc: float, ohm: float, share: float) -> None:
    power = share * voc**2 / (4 * ohm)
    v = terminal_voltage_at_power(voc, ohm, power)
    assert v * (voc - v) / ohm == pytest.approx(power, rel=1e-6, abs=1e-9 * voc**2 / ohm)
    assert v >= voc / 2


@compiling
@given(volts, ohms, st.floats(0.0, 0.98), st.floats(0.001, 0.01))
def test_more_power_means_more_sag(voc: float, ohm: float, share: float, more: float) -> None:
    peak = voc**2 / (4 * ohm)
    light = terminal_voltage_at_power(voc, ohm, share * peak)
    assert terminal_voltage_at_power(voc, ohm, (share + more) * peak) < light


@compiling
@given(volts, ohms, st.floats(1.0001, 10.0))
def test_too_much_power_is_refused(voc: float, ohm: float, share: float) -> None:
    assert isnan(terminal_voltage_at_power(voc, ohm, share * voc**2 / (4 * ohm)))


@compiling
@given(st.floats(250.0, 330.0), st.floats(0.1, 20.0))
def test_warm_cells_resist_less(temperature: float, rise: float) -> None:
    assert resistance_factor(temperature + rise) < resistance_factor(temperature)
