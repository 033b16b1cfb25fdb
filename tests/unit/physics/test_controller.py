"""Limits of `physics.controller`."""

from math import isnan, nan

from rotorwright.physics.controller import battery_current, conduction_loss


def test_four_motors_at_full_duty_draw_four_currents() -> None:
    assert battery_current(1.0, 25.0, 4) == 100.0


def test_no_duty_draws_nothing() -> None:
    assert battery_current(0.0, 25.0, 4) == 0.0


def test_loss_does_not_care_for_the_direction_of_the_current() -> None:
    assert conduction_loss(-20.0, 0.004) == conduction_loss(20.0, 0.004) > 0.0


def test_nan_passes_through() -> None:
    assert isnan(battery_current(nan, 1.0, 4))
    assert isnan(conduction_loss(nan, 1.0))
