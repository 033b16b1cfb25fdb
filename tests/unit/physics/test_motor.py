"""Limits and refusals of `physics.motor`."""

from math import isnan, nan, pi

import numpy as np
import pytest

from rotorwright.physics.motor import (
    copper_resistance,
    current_at_peak_efficiency,
    motor_voltage,
    motors_at_current,
    no_load_current,
    peak_efficiency,
    shaft_torque,
    torque_constant,
)


def test_no_load_current_is_the_published_one_at_its_speed() -> None:
    assert no_load_current(1.2, 2000.0, 2000.0) == 1.2
    assert no_load_current(1.2, 0.0, 2000.0) == 0.6
    assert no_load_current(1.2, 4000.0, 2000.0) == pytest.approx(1.8)


def test_copper_is_at_rating_at_20_degrees() -> None:
    assert copper_resistance(0.08, 293.15) == 0.08


def test_torque_vanishes_at_the_no_load_current_and_turns_negative_below() -> None:
    assert shaft_torque(1.5, 0.005, 1.5) == 0.0
    assert shaft_torque(0.5, 0.005, 1.5) == pytest.approx(-0.005)


def test_standing_motor_sees_only_its_resistance() -> None:
    assert motor_voltage(0.0, 10.0, 0.005, 0.1) == pytest.approx(1.0)


def test_lossless_motor_is_perfect() -> None:
    assert peak_efficiency(10.0, 0.0, 1.0) == 1.0
    assert peak_efficiency(10.0, 0.1, 0.0) == 1.0


def test_motor_that_can_just_not_turn_has_no_efficiency() -> None:
    assert peak_efficiency(1.0, 0.5, 2.0) == 0.0
    assert current_at_peak_efficiency(1.0, 0.5, 2.0) == 2.0


@pytest.mark.parametrize("voltage, idle", [(0.9, 2.0), (1.0, -2.0), (nan, 1.0), (1.0, nan)])
def test_motor_that_cannot_turn_is_nan(voltage: float, idle: float) -> None:
    assert isnan(peak_efficiency(voltage, 0.5, idle))
    assert isnan(current_at_peak_efficiency(voltage, 0.5, idle))


def test_nan_passes_through() -> None:
    assert isnan(torque_constant(nan))
    assert isnan(copper_resistance(nan, 300.0))
    assert isnan(no_load_current(nan, 1.0, 1.0))
    assert isnan(shaft_torque(nan, 1.0, 1.0))
    assert isnan(motor_voltage(nan, 1.0, 1.0, 1.0))


def test_many_motors_at_one_voltage_turn_as_each_would_alone() -> None:
    """omega = (V - I R)/Kt, Q = Kt (I - I0(omega))."""
    kt, R = np.array([0.005, 0.012]), np.array([0.08, 0.2])
    idle, at, current = np.array([1.2, 0.5]), np.array([2000.0, 900.0]), np.array([20.0, 5.0])
    rotation, torque = motors_at_current(16.0, kt, R, idle, at, current)
    assert rotation == pytest.approx([14.4 / 0.005, 15.0 / 0.012])
    for i in range(2):
        assert motor_voltage(rotation[i], current[i], kt[i], R[i]) == pytest.approx(16.0)
        lost = no_load_current(idle[i], rotation[i], at[i])
        assert torque[i] == pytest.approx(kt[i] * (current[i] - lost))


def test_best_efficiency_is_that_at_its_current() -> None:
    """eta = (V - I R)(I - I0)/(V I) at I = sqrt(V I0/R), and less to both sides."""
    V, R, idle = 16.0, 0.08, 1.2
    best = current_at_peak_efficiency(V, R, idle)

    def efficiency(current: float) -> float:
        return (V - current * R) * (current - idle) / (V * current)

    assert efficiency(best) == pytest.approx(peak_efficiency(V, R, idle))
    assert max(efficiency(0.98 * best), efficiency(1.02 * best)) < efficiency(best)


def test_torque_constant_is_the_inverse_of_kv() -> None:
    """1000 rpm/V are 104.72 rad/s a volt."""
    assert torque_constant(1000.0 * pi / 30.0) == pytest.approx(30.0 / (pi * 1000.0))


def test_half_of_the_idle_current_is_there_at_standstill() -> None:
    """As stated: half stands for constant torques, half for those that grow with speed."""
    assert no_load_current(1.2, 0.0, 900.0) == pytest.approx(0.6)
    assert no_load_current(1.2, 900.0, 900.0) == pytest.approx(1.2)
    assert no_load_current(1.2, 1350.0, 900.0) == pytest.approx(1.5)
