"""Where momentum theory has no answer, `physics.momentum` says NaN."""

from math import isnan, nan, pi, radians

import pytest

from rotorwright.physics.momentum import (
    figure_of_merit,
    hover_induced_velocity,
    ideal_hover_power,
    induced_velocity_axial,
    induced_velocity_forward,
)

UNIT = (2.0, 1.0, 1.0)  # thrust, area, density that induce exactly 1 m/s in hover


def test_no_thrust_induces_nothing() -> None:
    assert hover_induced_velocity(0.0, 1.0, 1.2) == 0.0
    assert ideal_hover_power(0.0, 1.0, 1.2) == 0.0
    assert induced_velocity_axial(0.0, 1.0, 1.2, 3.0) == 0.0
    assert induced_velocity_axial(0.0, 1.0, 1.2, -3.0) == 0.0
    assert induced_velocity_forward(0.0, 1.0, 1.2, 3.0, 0.1) == 0.0


@pytest.mark.parametrize(
    "thrust, area, density",
    [(-1.0, 1.0, 1.0), (1.0, 0.0, 1.0), (1.0, -1.0, 1.0), (1.0, 1.0, 0.0), (nan, 1.0, 1.0), (1.0, nan, 1.0)],
)
def test_impossible_discs_are_nan(thrust: float, area: float, density: float) -> None:
    assert isnan(hover_induced_velocity(thrust, area, density))
    assert isnan(ideal_hover_power(thrust, area, density))
    assert isnan(induced_velocity_axial(thrust, area, density, 1.0))
    assert isnan(induced_velocity_axial(thrust, area, density, -9.0))
    assert isnan(induced_velocity_forward(thrust, area, density, 1.0, 0.1))


@pytest.mark.parametrize("climb_speed", [-1e-9, -1.0, -1.999999, nan])
def test_axial_refuses_between_hover_and_windmill(climb_speed: float) -> None:
    assert isnan(induced_velocity_axial(*UNIT, climb_speed))


@pytest.mark.parametrize(
    "speed, tilt",
    [
        (-1.0, 0.0),  # no such speed
        (1.0, 1.6),  # past the vertical
        (nan, 0.0),
        (1.0, nan),
        (0.9, radians(-10)),  # too slow to blow a vortex ring away
        (9.0, radians(-80)),  # three roots
    ],
)
def test_forward_refuses(speed: float, tilt: float) -> None:
    assert isnan(induced_velocity_forward(*UNIT, speed, tilt))


def test_forward_at_standstill_is_hover() -> None:
    assert induced_velocity_forward(*UNIT, 0.0, 0.3) == pytest.approx(1.0, rel=1e-15)


def test_forward_with_the_disc_upright_is_climb() -> None:
    climb = induced_velocity_axial(*UNIT, 1.7)
    assert induced_velocity_forward(*UNIT, 1.7, pi / 2) == pytest.approx(climb, rel=1e-12)


def test_forward_tilted_back_solves_the_quartic() -> None:
    v = induced_velocity_forward(*UNIT, 2.0, radians(-20))
    in_plane, through = 1.8793852415718169, -0.6840402866513374
    assert v * (in_plane**2 + (through + v) ** 2) ** 0.5 == pytest.approx(1.0, rel=1e-12)


@pytest.mark.parametrize("ct, cp", [(-0.1, 0.05), (0.1, 0.0), (0.1, -0.05), (nan, 0.05), (0.1, nan)])
def test_figure_of_merit_refuses(ct: float, cp: float) -> None:
    assert isnan(figure_of_merit(ct, cp))
