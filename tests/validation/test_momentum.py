"""Momentum theory against worked examples and exact roots."""

from math import pi, radians, sqrt

import pytest

from rotorwright.physics.momentum import (
    figure_of_merit,
    hover_induced_velocity,
    ideal_hover_power,
    induced_velocity_axial,
    induced_velocity_forward,
)

POUND, FOOT, SLUG = 4.4482216152605, 0.3048, 14.593902937206
HORSEPOWER = 550 * POUND * FOOT
UNIT = (2.0, 1.0, 1.0)  # thrust, area, density that induce exactly 1 m/s in hover
QUAD = (1.593581, pi * 0.0635**2, 1.225)  # a quarter of 0.65 kg on a five-inch disc


def test_tilt_rotor_example() -> None:
    """Leishman, Principles of Helicopter Aerodynamics, ch. 2 (data from memory); half a last digit."""
    disc = (22_500 * POUND, pi * (19 * FOOT) ** 2, 0.002378 * SLUG / FOOT**3)
    assert hover_induced_velocity(*disc) / FOOT == pytest.approx(64.59, abs=0.005)
    assert ideal_hover_power(*disc) / HORSEPOWER == pytest.approx(2642, abs=0.5)


def test_published_page_result() -> None:
    """Web page on momentum theory prints 36.70 ft/s and 433.8 hp (inputs inferred); half a last digit."""
    disc = (6_500 * POUND, pi * (18 * FOOT) ** 2, 0.00237 * SLUG / FOOT**3)
    assert hover_induced_velocity(*disc) / FOOT == pytest.approx(36.70, abs=0.005)
    assert ideal_hover_power(*disc) / HORSEPOWER == pytest.approx(433.8, abs=0.05)


def test_sea_level_rule_of_the_trade() -> None:
    """hp = T sqrt(T/A)/38 in pounds and feet (Prouty, second hand); 0.5 %: the rule rounds 37.92 to 38."""
    thrust, area = 3_000.0, 1_000.0
    ours = ideal_hover_power(thrust * POUND, area * FOOT**2, 1.225) / HORSEPOWER
    assert ours == pytest.approx(thrust * sqrt(thrust / area) / 38, rel=5e-3)


def test_small_quad_hover() -> None:
    """Recomputed outside this project; 1e-6, the rounding of the inputs."""
    assert hover_induced_velocity(*QUAD) == pytest.approx(7.165645, rel=1e-6)
    assert 4 * ideal_hover_power(*QUAD) == pytest.approx(45.6761, rel=2e-6)


CLIMB = [(0.5, 0.780776), (1, 0.618034), (2, 0.414214), (4, 0.236068)]
WINDMILL = [(-2, 1.0), (-2.5, 0.5), (-3, 0.381966), (-4, 0.267949)]


@pytest.mark.parametrize("climb_speed, induced", CLIMB + WINDMILL)
def test_axial_roots(climb_speed: float, induced: float) -> None:
    """Exact roots of momentum theory in units of vh; half a last digit."""
    assert induced_velocity_axial(*UNIT, climb_speed) == pytest.approx(induced, abs=0.5e-6)


def test_small_quad_climbs_at_five_metres_a_second() -> None:
    """Recomputed outside this project; 1e-6, the rounding of the inputs."""
    v = induced_velocity_axial(*QUAD, 5.0)
    assert v == pytest.approx(5.08923, rel=1e-6)
    assert 4 * QUAD[0] * (5.0 + v) == pytest.approx(64.3120, rel=1e-6)


def test_propeller_in_cruise_is_84_percent_efficient() -> None:
    """1000 N, 30 m/s, 2 m2 at 1.225 kg/m3: v = 40/7 m/s, Froude efficiency 0.84 exactly."""
    v = induced_velocity_axial(1000.0, 2.0, 1.225, 30.0)
    assert v == pytest.approx(40 / 7, rel=1e-12)
    assert 30 / (30 + v) == pytest.approx(0.84, rel=1e-12)


TILTS = (0, 5, 15, 30, 45)
FORWARD = [  # V/vh, then v/vh at each disc tilt
    (0.5, (0.939565, 0.921089, 0.887956, 0.847546, 0.817492)),
    (1.0, (0.786151, 0.763411, 0.725220, 0.682328, 0.652523)),
    (2.0, (0.485868, 0.477062, 0.461700, 0.443515, 0.430250)),
    (3.0, (0.331319, 0.328276, 0.322662, 0.315502, 0.309924)),
    (5.0, (0.199840, 0.199152, 0.197831, 0.196046, 0.194574)),
]


@pytest.mark.parametrize("speed, row", FORWARD)
def test_glauert_quartic(speed: float, row: tuple[float, ...]) -> None:
    """Roots found by an independent solver outside this project; half a last digit."""
    for tilt, induced in zip(TILTS, row, strict=True):
        assert induced_velocity_forward(*UNIT, speed, radians(tilt)) == pytest.approx(induced, abs=0.5e-6)


@pytest.mark.parametrize("speed", [0.3, 1.0, 2.5, 30.0])
def test_level_disc_closed_form(speed: float) -> None:
    """v = sqrt(sqrt(V^4/4 + 1) - V^2/2), exact; 1e-10: the closed form itself cancels at V = 30."""
    exact = sqrt(sqrt(speed**4 / 4 + 1) - speed**2 / 2)
    assert induced_velocity_forward(*UNIT, speed, 0.0) == pytest.approx(exact, rel=1e-10)


def test_small_quad_at_ten_metres_a_second() -> None:
    """Recomputed outside this project; 1e-6, the rounding of the inputs."""
    assert induced_velocity_forward(*QUAD, 10.0, radians(15)) == pytest.approx(4.32312, rel=1.2e-6)


def test_figure_of_merit_row() -> None:
    """CT 0.1, CP 0.045 in propeller coefficients; half a last digit."""
    assert figure_of_merit(0.1, 0.045) == pytest.approx(0.560696, abs=0.5e-6)


def test_figure_of_merit_from_rotor_coefficients() -> None:
    """Induced factor 1.15, solidity 0.1, Cd0 0.01, CT 0.008: FM 0.715792 (model of Leishman and Johnson,
    from memory, computed outside this project), converted by 4/pi^3 and 4/pi^4; half a last digit.
    """
    ct = 0.008
    cp = 1.15 * ct**1.5 / sqrt(2) + 0.1 * 0.01 / 8
    assert figure_of_merit(ct * pi**3 / 4, cp * pi**4 / 4) == pytest.approx(0.715792, abs=0.5e-6)
