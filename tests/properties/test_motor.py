"""Balances and extremes of the first-order motor."""

from math import pi

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from rotorwright.physics.motor import (
    copper_resistance,
    current_at_peak_efficiency,
    motor_voltage,
    no_load_current,
    peak_efficiency,
    shaft_torque,
    torque_constant,
)

compiling = settings(deadline=None)  # the first call compiles

speed_constants = st.floats(500.0, 6000.0).map(lambda rpm: rpm * pi / 30)
resistances = st.floats(0.01, 0.5)
idles = st.floats(0.05, 3.0)
volts = st.floats(3.0, 30.0)
currents = st.floats(0.1, 80.0)


@compiling
@given(speed_constants, resistances, idles, currents, st.floats(10.0, 4000.0))
def test_power_in_is_shaft_power_plus_losses(
    kv: float, resistance: float, idle: float, current: float, omega: float
) -> None:
    kt = torque_constant(kv)
    electrical = motor_voltage(omega, current, kt, resistance) * current
    losses = current**2 * resistance + kt * idle * omega
    assert electrical == pytest.approx(shaft_torque(current, kt, idle) * omega + losses, rel=1e-9, abs=1e-9)


@compiling
@given(resistances, idles, volts, currents)
def test_no_current_beats_the_peak(resistance: float, idle: float, voltage: float, current: float) -> None:
    assume(idle * resistance < voltage)

    def efficiency(i: float) -> float:
        return (voltage - i * resistance) * (i - idle) / (voltage * i)

    peak = peak_efficiency(voltage, resistance, idle)
    assert efficiency(current) <= peak + 1e-12
    assert efficiency(current_at_peak_efficiency(voltage, resistance, idle)) == pytest.approx(peak, abs=1e-9)


@compiling
@given(idles, st.floats(0.0, 5000.0), st.floats(0.1, 500.0), st.floats(500.0, 4000.0))
def test_no_load_current_rises_with_speed(idle: float, omega: float, more: float, reference: float) -> None:
    assert no_load_current(idle, omega + more, reference) > no_load_current(idle, omega, reference)


@compiling
@given(resistances, st.floats(250.0, 420.0), st.floats(0.1, 60.0))
def test_warm_copper_resists_more(resistance: float, temperature: float, rise: float) -> None:
    warm = copper_resistance(resistance, temperature + rise)
    assert warm > copper_resistance(resistance, temperature)
