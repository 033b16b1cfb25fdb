"""Two nodes of a motor, and a wire."""

import math

import pytest

from rotorwright.physics import heat


def test_steady_state_is_that_of_two_resistances_in_series() -> None:
    winding, case = 293.0, 293.0
    for _ in range(200):
        winding, case = heat.warmed_motor(winding, case, 293.0, 5.0, (8.0, 6.0), (0.4, 0.25), 30.0)
    assert winding == pytest.approx(293.0 + 5.0 / 0.4 + 5.0 / 0.25)
    assert case == pytest.approx(293.0 + 5.0 / 0.25)


def test_without_cooling_all_heat_stays() -> None:
    winding, case = heat.warmed_motor(300.0, 300.0, 250.0, 5.0, (8.0, 6.0), (0.4, 0.0), 10.0)
    assert 8.0 * (winding - 300.0) + 6.0 * (case - 300.0) == pytest.approx(50.0)


def test_wake_of_hover_is_twice_nothing_but_the_induced_speed() -> None:
    induced = math.sqrt(1.593581 / (2 * 1.225 * math.pi * 0.0635**2))
    assert heat.wake_speed(1.593581, 0.127, 1.225, 0.0, 0.0) == pytest.approx(induced)
    assert heat.wake_speed(1.593581, 0.127, 1.225, 3.0, 4.0) == pytest.approx(math.hypot(induced + 3.0, 4.0))


def test_more_wind_cools_more_and_still_air_cools_a_little() -> None:
    still = heat.case_conductance(2e-3, 0.028, 0.0)
    assert still == pytest.approx(8.0 * 2e-3)
    assert heat.case_conductance(2e-3, 0.028, 10.0) > 4 * still


def test_a_wire_warms_with_the_square_of_its_current() -> None:
    assert heat.wire_rise(20.0, 8e-3, 3e-3) == pytest.approx(4 * heat.wire_rise(10.0, 8e-3, 3e-3))
    assert heat.wire_rise(20.0, 8e-3, 3e-3) == pytest.approx(20.0**2 * 8e-3 / (30.0 * math.pi * 3e-3))


def test_a_case_in_the_wake_is_a_cylinder_across_the_flow() -> None:
    """28 mm at 10 m/s: Re = 18065, Nu = 0.26 Re^0.6 0.71^0.37 = 82.0, h = 76.2, with 8 of still air 76.6 W/(m2 K)."""
    assert heat.case_conductance(2e-3, 0.028, 10.0) == pytest.approx(2e-3 * 76.6, rel=1e-3)


def test_a_motor_is_more_than_half_winding() -> None:
    """30 g of 450 J/(kg K): 55 % of 13.5 J/K, and 12 W/(K kg) to the case."""
    assert heat.motor_heat(0.03) == pytest.approx((7.425, 6.075, 0.36))


def test_heat_of_one_step_is_kept() -> None:
    """What the loss brings and the air does not take is stored, at the temperatures of the step's end."""
    winding, case = heat.warmed_motor(320.0, 305.0, 290.0, 6.0, (8.0, 5.0), (0.4, 0.25), 3.0)
    assert 8.0 * (winding - 320.0) == pytest.approx(3.0 * (6.0 - 0.4 * (winding - case)))
    assert 5.0 * (case - 305.0) == pytest.approx(3.0 * (0.4 * (winding - case) - 0.25 * (case - 290.0)))


def test_a_rotor_that_pulls_down_induces_nothing() -> None:
    assert heat.wake_speed(-1.0, 0.127, 1.225, -3.0, 4.0) == 4.0
