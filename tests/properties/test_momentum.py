"""Scaling laws and balances of momentum theory."""

from math import cos, isnan, pi, sin, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.physics.momentum import (
    figure_of_merit,
    hover_induced_velocity,
    ideal_hover_power,
    induced_velocity_axial,
    induced_velocity_forward,
)

compiling = settings(deadline=None)  # the first call compiles

thrusts = st.floats(0.05, 50.0)
areas = st.floats(1e-3, 0.2)
densities = st.floats(0.5, 1.5)
factors = st.floats(0.1, 10.0)


@compiling
@given(thrusts, areas, densities, factors)
def test_hover_power_scales(thrust: float, area: float, density: float, factor: float) -> None:
    power = ideal_hover_power(thrust, area, density)
    assert ideal_hover_power(factor * thrust, area, density) == pytest.approx(power * factor**1.5, rel=1e-12)
    assert ideal_hover_power(thrust, factor * area, density) == pytest.approx(power * factor**-0.5, rel=1e-12)
    assert ideal_hover_power(thrust, area, factor * density) == pytest.approx(power * factor**-0.5, rel=1e-12)


@compiling
@given(thrusts, areas, densities, st.floats(0.0, 40.0))
def test_climb_balances_momentum(thrust: float, area: float, density: float, climb: float) -> None:
    v = induced_velocity_axial(thrust, area, density, climb)
    assert 2 * density * area * (climb + v) * v == pytest.approx(thrust, rel=1e-9)


@compiling
@given(thrusts, areas, densities, st.floats(2.0001, 5.0))
def test_windmill_balances_momentum(thrust: float, area: float, density: float, ratio: float) -> None:
    vh = hover_induced_velocity(thrust, area, density)
    v = induced_velocity_axial(thrust, area, density, -ratio * vh)
    assert 2 * density * area * (ratio * vh - v) * v == pytest.approx(thrust, rel=1e-9)
    assert v <= vh


@compiling
@given(thrusts, areas, densities, st.floats(0.001, 0.999))
def test_recirculating_descent_is_refused(thrust: float, area: float, density: float, share: float) -> None:
    vh = hover_induced_velocity(thrust, area, density)
    assert isnan(induced_velocity_axial(thrust, area, density, -2 * share * vh))


@compiling
@given(thrusts, areas, densities, st.floats(0.0, 40.0), st.floats(0.0, pi / 2))
def test_forward_balances_momentum(thrust: float, area: float, density: float, speed: float, tilt: float) -> None:
    v = induced_velocity_forward(thrust, area, density, speed, tilt)
    flow = sqrt((speed * cos(tilt)) ** 2 + (speed * sin(tilt) + v) ** 2)
    assert 2 * density * area * flow * v == pytest.approx(thrust, rel=1e-9)
    assert v <= hover_induced_velocity(thrust, area, density) * (1 + 1e-12)


@compiling
@given(st.floats(0.0, 20.0), st.floats(0.01, 5.0), st.floats(0.0, pi / 2))
def test_wind_relieves_the_disc(speed: float, more: float, tilt: float) -> None:
    slow = induced_velocity_forward(2.0, 1.0, 1.0, speed, tilt)
    assert induced_velocity_forward(2.0, 1.0, 1.0, speed + more, tilt) < slow * (1 + 1e-12)


@compiling
@given(st.floats(0.96, 20.0), st.floats(-1.2, -0.01))
def test_upflow_tilted_back_balances_momentum(speed_in_plane: float, tilt: float) -> None:
    speed = speed_in_plane / cos(tilt)
    v = induced_velocity_forward(2.0, 1.0, 1.0, speed, tilt)
    assert v * sqrt(speed_in_plane**2 + (speed * sin(tilt) + v) ** 2) == pytest.approx(1.0, rel=1e-9)


@compiling
@given(thrusts, areas, densities)
def test_an_ideal_disc_has_figure_of_merit_one(thrust: float, area: float, density: float) -> None:
    n, diameter = 100.0, sqrt(4 * area / pi)
    ct = thrust / (density * n**2 * diameter**4)
    cp = ideal_hover_power(thrust, area, density) / (density * n**3 * diameter**5)
    assert figure_of_merit(ct, cp) == pytest.approx(1.0, rel=1e-12)
