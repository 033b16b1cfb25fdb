"""Laws that the atmosphere keeps at every altitude and temperature."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.physics.air import (
    GAS_CONSTANT,
    GRAVITY,
    air,
    density_altitude,
    geopotential,
    standard_atmosphere,
)

altitudes = st.floats(-1999.0, 10_999.0)
temperatures = st.floats(220.0, 330.0)


@given(altitudes, temperatures)
def test_ideal_gas(altitude: float, temperature: float) -> None:
    state = air(altitude, temperature)
    assert state.pressure == pytest.approx(state.density * GAS_CONSTANT * temperature, rel=1e-12)


@given(altitudes)
def test_pressure_is_the_weight_of_the_air_above(altitude: float) -> None:
    """dp/dH = -rho g, by a central difference over 2 m (error about 1e-9 of the slope)."""
    slope = (standard_atmosphere(altitude + 1).pressure - standard_atmosphere(altitude - 1).pressure) / 2
    assert slope == pytest.approx(-standard_atmosphere(altitude).density * GRAVITY, rel=1e-7)


@given(altitudes)
def test_density_altitude_of_a_standard_day_is_the_altitude(altitude: float) -> None:
    assert density_altitude(standard_atmosphere(altitude).density) == pytest.approx(altitude, abs=1e-6)


@given(altitudes, temperatures, st.floats(0.1, 20.0))
def test_warmer_air_is_thinner_stickier_and_faster(altitude: float, temperature: float, rise: float) -> None:
    cool, warm = air(altitude, temperature), air(altitude, temperature + rise)
    assert warm.density < cool.density
    assert warm.viscosity > cool.viscosity
    assert warm.sound_speed > cool.sound_speed


@given(st.floats(1.0, 11_000.0))
def test_geopotential_is_a_little_lower_than_the_tape(height: float) -> None:
    assert 0.998 * height < geopotential(height) < height
