"""Induced speed in every state, and Prandtl's loss."""

import math

import pytest

from rotorwright.physics.rotor_inflow import induced_speed_ratio, loss_factor, oblique_speed_ratio, vortex_ring_band


@pytest.mark.parametrize("x", [0.0, 0.3, 1.0, 4.0])
def test_in_climb_momentum_theory_holds(x: float) -> None:
    """v (x + v) = 1, all speeds over that of hover."""
    v = induced_speed_ratio(x)
    assert v * (x + v) == pytest.approx(1.0)
    assert v > 0.0


@pytest.mark.parametrize("x", [-2.0, -2.5, -6.0])
def test_in_the_windmill_state_momentum_theory_holds(x: float) -> None:
    """v (x + v) = -1 on the branch with the smaller speed."""
    v = induced_speed_ratio(x)
    assert v * (x + v) == pytest.approx(-1.0)
    assert 0.0 < v <= 1.0


@pytest.mark.parametrize("x", [-0.2, -0.7, -1.2, -1.6])
def test_between_the_published_curve_holds(x: float) -> None:
    """1 - 1.125 x - 1.372 x^2 - 1.718 x^3 - 0.655 x^4 but for the share that joins it to the windmill branch."""
    curve = 1 - 1.125 * x - 1.372 * x**2 - 1.718 * x**3 - 0.655 * x**4
    assert induced_speed_ratio(x) == pytest.approx(curve - 0.026 / 16 * x**4)


@pytest.mark.parametrize("x", [0.0, -2.0])
def test_the_branches_join(x: float) -> None:
    below, above = (induced_speed_ratio(x + step) for step in (-1e-9, 1e-9))
    assert below == pytest.approx(above, abs=1e-3)  # the windmill branch starts with an upright tangent


@pytest.mark.parametrize("m", [0.1, 0.8, 3.0, -0.8])
@pytest.mark.parametrize("x", [0.0, 0.5, 2.0])
def test_in_oblique_flow_glauert_holds(x: float, m: float) -> None:
    """v sqrt(m^2 + (x + v)^2) = 1."""
    v = oblique_speed_ratio(x, m)
    assert v * math.hypot(m, x + v) == pytest.approx(1.0, abs=1e-8)


@pytest.mark.parametrize("m", [0.3, 1.0, 2.0])
@pytest.mark.parametrize("x", [-0.5, -1.5, -3.0])
def test_in_oblique_descent_the_two_curves_are_joined(x: float, m: float) -> None:
    """a^4 + m^2 w^2 = 1 with w = a f(x/a); a is found again from w and m."""
    w = oblique_speed_ratio(x, m)
    a = (1.0 - (m * w) ** 2) ** 0.25
    assert 0.0 < a < 1.0
    assert w == pytest.approx(a * induced_speed_ratio(x / a), rel=1e-5)


def test_without_edgewise_flow_it_is_the_axial_curve() -> None:
    for x in (-3.0, -1.0, 0.0, 2.0):
        assert oblique_speed_ratio(x, 0.0) == induced_speed_ratio(x)
        assert oblique_speed_ratio(x, 1e-5) == pytest.approx(induced_speed_ratio(x), abs=1e-6)


def test_loss_by_hand() -> None:
    """B = 2, r = 0.8, sin = 0.25: f = 1; F = 2/pi acos(1/e) = 0.7604; a hub of 0.4 at r = 0.8: f = 4, F = 0.98834."""
    tip = 2 / math.pi * math.acos(math.exp(-1.0))
    hub = 2 / math.pi * math.acos(math.exp(-4.0))
    assert loss_factor(2.0, 0.8, 0.0, 0.25) == pytest.approx(tip)
    assert loss_factor(2.0, 0.8, 0.0, -0.25) == pytest.approx(tip)
    assert loss_factor(2.0, 0.8, 0.4, 0.25) == pytest.approx(tip * hub)
    assert loss_factor(2.0, 1.0, 0.0, 0.25) == 1e-4


def test_the_ring_state_lies_in_its_band() -> None:
    """At rest -1.5 to -0.45; halfway to 0.95 the halves shrink by 0.75^1.5 and 0.75^0.2; beyond 0.95 none."""
    assert vortex_ring_band(0.0) == pytest.approx((-1.5, -0.45))
    assert vortex_ring_band(0.475) == pytest.approx((-0.975 - 0.525 * 0.75**1.5, -0.975 + 0.525 * 0.75**0.2))
    assert vortex_ring_band(0.95) == pytest.approx((-0.975, -0.975))
    assert all(math.isnan(edge) for edge in vortex_ring_band(0.96))
