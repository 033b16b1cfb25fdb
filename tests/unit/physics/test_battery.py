"""Tables, ends and refusals of `physics.battery`."""

from math import isnan, nan

import numpy as np
import pytest

from rotorwright.physics.battery import (
    CHEMISTRIES,
    open_circuit_voltage,
    resistance_factor,
    terminal_voltage_at_power,
)

LIPO, LIHV, LI_ION = (CHEMISTRIES.index(name) for name in ("lipo", "lihv", "li-ion"))


@pytest.mark.parametrize("chemistry, empty, full", [(LIPO, 3.0, 4.20), (LIHV, 3.0, 4.35), (LI_ION, 2.8, 4.20)])
def test_ends_of_the_curves(chemistry: int, empty: float, full: float) -> None:
    assert open_circuit_voltage(0.0, chemistry) == empty
    assert open_circuit_voltage(1.0, chemistry) == pytest.approx(full, abs=1e-12)


def test_straight_between_tabulated_points() -> None:
    assert open_circuit_voltage(0.5, LIPO) == pytest.approx(3.793, abs=1e-12)
    assert open_circuit_voltage(0.55, LIPO) == pytest.approx((3.793 + 3.836) / 2, abs=1e-12)


@pytest.mark.parametrize("charge", [-1e-9, 1.0 + 1e-9, nan])
def test_charge_outside_the_cell_is_nan(charge: float) -> None:
    assert isnan(open_circuit_voltage(charge, LIPO))


@pytest.mark.parametrize("chemistry", [-1, len(CHEMISTRIES)])
def test_unknown_chemistry_is_nan(chemistry: int) -> None:
    assert isnan(open_circuit_voltage(0.5, chemistry))


def test_high_voltage_curve_is_the_stretched_lipo_curve() -> None:
    """The stated rule: slope of the last tenth carried on to 4.35 V; the table is rounded to 1 mV."""
    slope = (4.200 - 4.088) / 0.1
    stretch = 1 + (4.35 - 4.20) / slope
    for charge in np.array([0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0]):
        s = charge * stretch
        rule = open_circuit_voltage(min(s, 1.0), LIPO) + slope * max(s - 1.0, 0.0)
        assert open_circuit_voltage(charge, LIHV) == pytest.approx(rule, abs=0.6e-3)


def test_unloaded_source_shows_its_open_circuit_voltage() -> None:
    assert terminal_voltage_at_power(16.0, 0.02, 0.0) == 16.0
    assert terminal_voltage_at_power(16.0, 0.0, 500.0) == 16.0


def test_half_the_voltage_is_left_at_the_power_peak_and_nothing_beyond() -> None:
    peak = 16.0**2 / (4 * 0.03125)
    assert terminal_voltage_at_power(16.0, 0.03125, peak) == 8.0
    assert isnan(terminal_voltage_at_power(16.0, 0.03125, peak * 1.000001))


@pytest.mark.parametrize("source", [(0.0, 0.02, -1.0), (-16.0, 0.02, 10.0), (nan, 0.02, 10.0), (16.0, nan, 10.0)])
def test_impossible_sources_are_nan(source: tuple[float, float, float]) -> None:
    assert isnan(terminal_voltage_at_power(*source))


def test_charging_raises_the_voltage() -> None:
    assert terminal_voltage_at_power(16.0, 0.02, -100.0) > 16.0


def test_resistance_is_rated_at_25_degrees() -> None:
    assert resistance_factor(298.15) == 1.0


@pytest.mark.parametrize("temperature", [0.0, -1.0, nan])
def test_impossible_temperature_is_nan(temperature: float) -> None:
    assert isnan(resistance_factor(temperature))
