"""What `physics.air` refuses and what it lets through."""

from dataclasses import FrozenInstanceError
from math import isnan, nan

import pytest

from rotorwright.physics.air import Air, air, density_altitude, geopotential, standard_atmosphere


def test_sea_level_is_the_definition() -> None:
    sea = standard_atmosphere(0.0)
    assert (sea.temperature, sea.pressure) == (288.15, 101_325.0)
    # The gas constant is printed to 5e-6, so the product is 1.225 to 1.7e-8 of itself.
    assert sea.density == pytest.approx(1.225, rel=1.8e-8)


@pytest.mark.parametrize("altitude", [-2000.1, 11000.1])
def test_refuses_altitudes_outside_the_layer(altitude: float) -> None:
    with pytest.raises(ValueError, match="outside -2000 to 11000"):
        standard_atmosphere(altitude)


@pytest.mark.parametrize("altitude", [-2000.0, 11000.0])
def test_answers_at_both_ends_of_the_layer(altitude: float) -> None:
    assert standard_atmosphere(altitude).temperature == pytest.approx(288.15 - 0.0065 * altitude)


@pytest.mark.parametrize("temperature", [0.0, -5.0])
def test_refuses_impossible_temperatures(temperature: float) -> None:
    with pytest.raises(ValueError, match="above 0 K"):
        air(0.0, temperature)


def test_off_standard_air_keeps_the_pressure_of_its_altitude() -> None:
    warm, standard = air(1000.0, 305.0), standard_atmosphere(1000.0)
    assert warm.pressure == standard.pressure
    assert warm.temperature == 305.0
    assert warm.density < standard.density


@pytest.mark.parametrize("density", [0.0, -1.0])
def test_density_altitude_refuses_no_air(density: float) -> None:
    with pytest.raises(ValueError, match="positive"):
        density_altitude(density)


def test_density_altitude_refuses_the_stratosphere() -> None:
    with pytest.raises(ValueError, match="thinner"):
        density_altitude(0.36)


def test_nan_passes_through() -> None:
    assert isnan(standard_atmosphere(nan).density)
    assert isnan(air(0.0, nan).viscosity)
    assert isnan(density_altitude(nan))
    assert isnan(geopotential(nan))


def test_air_is_frozen() -> None:
    state: Air = standard_atmosphere(0.0)
    with pytest.raises(FrozenInstanceError):
        state.density = 1.0  # type: ignore[misc]
