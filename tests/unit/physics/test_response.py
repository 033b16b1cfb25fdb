"""Rotor lag against closed forms."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from rotorwright.craft.model import Craft
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.battery import open_circuit_voltage
from rotorwright.physics.response import punch_times, rotor_acceleration, step_times, turn_times
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


def test_steps_of_a_hopeless_motor_have_no_time(bare: Airborne) -> None:
    """Within a second a rotor as heavy as a flywheel gets nowhere."""
    bare.columns.craft["rotor_inertia"] = 1.0
    times = np.zeros((1, 2))
    step_times(bare.columns.craft.view(np.recarray), bare.columns.rotors, np.array([[0.4, 0.6]]), 0.8, times)
    assert np.isnan(times).all()


def punched(ready: Airborne, rotation: float, height: float) -> tuple[float, float]:
    times, speeds = np.zeros(1), np.zeros(1)
    rows = ready.columns.craft.view(np.recarray)
    punch_times(rows, ready.columns.rotors, np.array([rotation]), height, 0.8, times, speeds)
    return float(times[0]), float(speeds[0])


def test_a_punch_of_rotors_already_at_speed_is_the_school_formula(bare: Airborne) -> None:
    """t = sqrt(2 h/a), V = sqrt(2 a h) with a = N T/m - g: over a hand's breadth neither drag nor inflow counts."""
    full = bare.columns.solve(duty=1.0, charge=0.8)[0]
    a = 4 * full["thrust"] / bare.columns.craft[0]["mass"] - GRAVITY
    t, V = punched(bare, full["rotation"], 0.1)
    assert t == pytest.approx(math.sqrt(2 * 0.1 / a), rel=0.02)
    assert pytest.approx(math.sqrt(2 * 0.1 * a), rel=0.03) == V


def test_rotors_that_lag_and_drag_lengthen_a_punch(bare: Airborne) -> None:
    hover = bare.columns.solve(thrust=bare.columns.craft["mass"] * GRAVITY / 4, charge=0.8)[0]["rotation"]
    full = bare.columns.solve(duty=1.0, charge=0.8)[0]["rotation"]
    quick, slow = punched(bare, full, 20.0), punched(bare, hover, 20.0)
    bare.columns.craft["drag_area_top"] = 0.02
    dragged = punched(bare, hover, 20.0)
    assert quick[0] < slow[0] < dragged[0]
    assert dragged[1] < slow[1]


def test_a_punch_is_the_integral_of_its_equation_of_motion(bare: Airborne) -> None:
    """m dV/dt = N T(w, V) - D(V) - m g and J dw/dt by an independent integrator of high order (scipy DOP853); 1e-4:
    the kernel's midpoint steps of 2 ms beside rotors that lag by some milliseconds."""
    columns = bare.columns
    columns.craft["drag_area_top"] = 0.02
    c = columns.craft.view(np.recarray)[0]
    voc = c.cells * open_circuit_voltage(0.8, c.chemistry)
    hover = columns.solve(thrust=columns.craft["mass"] * GRAVITY / 4, charge=0.8)[0]["rotation"]

    def slope(_: float, y: np.ndarray) -> list[float]:
        spin, thrust = rotor_acceleration(c, columns.rotors, 1.0, y[2], voc, c.motors, y[1])
        drag = 0.5 * c.density * c.drag_area_top * y[1] * abs(y[1])
        return [y[1], (c.motors * thrust - drag) / c.mass - GRAVITY, spin]

    def through(_: float, y: np.ndarray) -> float:
        return float(y[0] - 20.0)

    through.terminal = True  # type: ignore[attr-defined]
    exact = solve_ivp(slope, (0.0, 20.0), [0.0, 0.0, hover], "DOP853", rtol=1e-9, atol=1e-9, events=through)
    t, V = punched(bare, hover, 20.0)
    assert t == pytest.approx(exact.t_events[0][0], rel=1e-4)
    assert pytest.approx(exact.y_events[0][0][1], rel=1e-4) == V


def test_a_punch_that_cannot_lift_has_no_time(bare: Airborne) -> None:
    bare.columns.craft["mass"] = 50.0
    assert np.isnan(punched(bare, 1500.0, 20.0)).all()


def turned(ready: Airborne, goal: float, limit: float = math.inf, axis: int = 0) -> float:
    columns, times = ready.columns, np.zeros(1)
    hover = columns.solve(thrust=columns.craft["mass"] * GRAVITY / 4, charge=0.8)[0]
    rows, rotation, duty = columns.craft.view(np.recarray), np.array([hover["rotation"]]), np.array([hover["duty"]])
    turn_times(rows, columns.rotors, axis, rotation, duty, np.array([limit]), goal, 0.8, times)
    return float(times[0])


@pytest.fixture
def slow(bare: Airborne) -> Airborne:
    """A craft so hard to turn that its rotors answer at once."""
    bare.columns.craft["rotor_inertia"] = 1e-6
    bare.columns.craft["inertia"] = [[0.4, 0.8, 1.0]]
    return bare


def test_a_turn_of_rotors_without_lag_is_bang_bang(slow: Airborne) -> None:
    """t = 2 sqrt(theta J/M): hard over for half of the way and hard back, M = 2 l (T_full - T_idle)."""
    full = slow.columns.solve(duty=1.0, charge=0.8)[0]["thrust"]
    idle = slow.columns.solve(duty=0.05, charge=0.8)[0]["thrust"]
    for axis in (0, 1):
        row = slow.columns.craft[0]
        expected = 2 * math.sqrt(1.0 * row["inertia"][axis] / (2 * row["arm"][axis] * (full - idle)))
        assert turned(slow, 1.0, axis=axis) == pytest.approx(expected, rel=0.06)


def test_a_rate_limit_adds_a_stretch_of_steady_turning(slow: Airborne) -> None:
    """At the rate limit every further radian takes 1/limit."""
    short, long = turned(slow, 2.0, limit=2.0), turned(slow, 3.0, limit=2.0)
    assert long - short == pytest.approx(0.5, abs=0.02)
    assert short > turned(slow, 2.0)


def test_a_turn_that_takes_more_than_three_seconds_has_no_time(slow: Airborne) -> None:
    assert math.isnan(turned(slow, 6.0, limit=1.0))
