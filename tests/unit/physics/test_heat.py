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
