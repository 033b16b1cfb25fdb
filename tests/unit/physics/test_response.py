"""Rotor lag against closed forms."""

import math
from collections.abc import Callable

import numpy as np
import pytest

from rotorwright.craft.model import Craft
from rotorwright.physics.response import rotor_acceleration, step_times
from rotorwright.predict.airborne import Airborne, airborne

KT, R, J = 60 / (2 * math.pi * 1950), 0.05, 4.5e-6


@pytest.fixture
def bare(small_craft: Callable[..., Craft]) -> Airborne:
    """A craft whose motor has no friction, on a stiff supply: Kv 1950 rpm/V, 50 mohm, 4.5e-6 kg m2."""
    ready = airborne(small_craft(), samples=0)
    rows = ready.columns.craft
    for name in (
        "controller_resistance",
        "battery_resistance",
        "lead_resistance",
        "electronics_power",
        "idle_current",
    ):
        rows[name] = 0.0
    rows["torque_constant"], rows["motor_resistance"], rows["rotor_inertia"] = KT, R, J
    rows["current_limit"] = np.inf
    return ready


def slope(ready: Airborne, duty: float, rotation: float, voc: float = 16.0) -> float:
    row = ready.columns.craft.view(np.recarray)[0]
    return float(rotor_acceleration(row, ready.columns.rotors, duty, rotation, voc, 4.0, 0.0)[0])


def test_without_load_the_lag_is_first_order(bare: Airborne) -> None:
    """domega/dt = (omega_end - omega)/tau, tau = R J/Kt^2 = 9.382 ms (recomputed from the formula)."""
    bare.columns.craft["power_level"] = 0.0
    end = 0.5 * 16.0 / KT
    for rotation in (400.0, 900.0, 1500.0):
        assert slope(bare, 0.5, rotation) == pytest.approx((end - rotation) / 9.382e-3, rel=1e-3)


def test_a_load_that_grows_with_the_square_shortens_it(bare: Airborne) -> None:
    """Linearised: 1/tau = (Kt^2/R + 2 Q/omega)/J, with Q the torque at omega."""
    omega = 1800.0
    point = bare.columns.turn(omega)[0]
    expected = (KT**2 / R + 2 * point["torque"] / omega) / J
    found = -(slope(bare, 0.6, omega + 2.0) - slope(bare, 0.6, omega - 2.0)) / 4.0
    assert found == pytest.approx(expected, rel=0.05)  # CP changes a little with Reynolds number


def test_ten_to_ninety_of_a_small_step_is_ln_nine_time_constants(bare: Airborne) -> None:
    """A first-order lag rises from 10 to 90 % in tau ln 9; a step of two percent of duty is small."""
    omega = bare.columns.solve(duty=0.5, charge=0.8)[0]["rotation"]
    torque = bare.columns.turn(omega)[0]["torque"]
    tau = J / (KT**2 / R + 2 * torque / omega)
    times = np.zeros((1, 2))
    step_times(bare.columns.craft.view(np.recarray), bare.columns.rotors, np.array([[0.5, 0.51]]), 0.8, times)
    assert times[0, 0] == pytest.approx(tau * math.log(9), rel=0.04)
    assert times[0, 1] == pytest.approx(tau * math.log(9), rel=0.04)


def test_the_controllers_limit_caps_the_torque(bare: Airborne) -> None:
    bare.columns.craft["power_level"] = 0.0
    bare.columns.craft["current_limit"] = 20.0
    assert slope(bare, 1.0, 100.0) == pytest.approx(KT * 20.0 / J)
    assert slope(bare, 0.0, 2000.0) == pytest.approx(-KT * 20.0 / J)


def test_a_sagging_supply_slows_the_rise(bare: Airborne) -> None:
    stiff = slope(bare, 1.0, 800.0)
    bare.columns.craft["battery_resistance"] = 0.03
    assert slope(bare, 1.0, 800.0) < stiff
