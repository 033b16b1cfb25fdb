"""Rotor lag, climb and turn against their differential equations, integrated by a general solver."""

import math
from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from rotorwright.physics.air import GRAVITY
from rotorwright.physics.level_flight import IDLE
from rotorwright.physics.response import (
    _first_switch,
    _turned,
    punch_times,
    rotor_acceleration,
    step_times,
    turn_times,
)

FINE = {"rtol": 1e-8, "atol": 1e-9}
EASE = 0.05  # share of the rate limit over which the stick's demand eases off


@pytest.mark.parametrize(("duty", "rotation", "motors", "axial"), [(0.7, 1100.0, 6.0, 3.0), (0.5, 1600.0, 3.0, -2.0)])
def test_a_rotor_out_of_balance_puts_its_current_into_the_circuit(
    straight: Any, duty: float, rotation: float, motors: float, axial: float
) -> None:
    """The current implied by the acceleration closes the loop of pack, leads, controller and winding (Kirchhoff)."""
    c, voc = straight.row, 15.7
    found, thrust = rotor_acceleration(c, straight.rotors, duty, rotation, voc, motors, axial)
    T, Q, _ = straight.forces(rotation, axial)
    assert thrust == pytest.approx(T)
    current = (found * c["rotor_inertia"] + Q) / c["torque_constant"] + straight.idle(rotation)
    supply = c["battery_resistance"] + c["lead_resistance"]
    drawn = motors * duty * current + c["electronics_power"] / voc
    loop = duty * (voc - supply * drawn) - c["torque_constant"] * rotation
    assert loop == pytest.approx(current * (c["motor_resistance"] + c["controller_resistance"]))


def test_current_is_held_within_the_limit_either_way(straight: Any) -> None:
    c = straight.row
    for duty, rotation, current in ((1.0, 200.0, 45.0), (0.05, 2400.0, -45.0)):
        found, _ = rotor_acceleration(c, straight.rotors, duty, rotation, 16.0, 6.0, 0.0)
        net = c["torque_constant"] * (current - straight.idle(rotation)) - straight.forces(rotation)[1]
        assert found == pytest.approx(net / c["rotor_inertia"])


@pytest.mark.parametrize(("inertia", "tolerance"), [(5.3e-6, 3e-4), (2e-5, 2e-5)])
@pytest.mark.parametrize("way", [0, 1])
def test_a_step_takes_as_long_as_its_equation(straight: Any, way: int, inertia: float, tolerance: float) -> None:
    """Midpoint steps of 0.5 ms err with the square of their share of the time constant: a twentieth, then a quarter
    of that. Without electronics, so that the ends are those of the equation itself."""
    straight.row["rotor_inertia"], straight.row["electronics_power"] = inertia, 0.0
    duties, voc, times = (0.35, 0.75), straight.voc(0.8), np.zeros((1, 2))
    step_times(straight.rows, straight.rotors, np.array([duties]), 0.8, times)
    ends = [brentq(lambda w, d=d: straight.spin(d, w, voc, 6.0), 100.0, 3500.0) for d in duties]
    start, finish, duty = ends[way], ends[1 - way], duties[1 - way]
    thrusts = [straight.forces(w)[0] for w in (start, finish)]

    def reached(share: float) -> Any:
        return lambda t, y: (straight.forces(y[0])[0] - thrusts[0]) / (thrusts[1] - thrusts[0]) - share

    def slope(t: float, y: Any) -> list[float]:
        return [straight.spin(duty, y[0], voc, 6.0)]

    run = solve_ivp(slope, (0, 0.9), [start], "LSODA", events=[reached(0.1), reached(0.9)], **FINE)
    assert times[0, way] == pytest.approx(run.t_events[1][0] - run.t_events[0][0], rel=tolerance)


def climb(straight: Any, rotation: float, height: float, charge: float = 0.8) -> tuple[float, float]:
    """Time and speed at a height, by a general solver."""
    c, voc = straight.row, straight.voc(charge)

    def slope(t: float, y: Any) -> list[float]:
        _, V, w = y
        drag = 0.5 * c["density"] * c["drag_area_top"] * V * abs(V)
        lift = c["motors"] * straight.forces(w, V)[0]
        return [V, (lift - drag) / c["mass"] - GRAVITY, straight.spin(1.0, w, voc, c["motors"], V)]

    def there(t: float, y: Any) -> float:
        return float(y[0] - height)

    there.terminal, there.direction = True, 1  # type: ignore[attr-defined]
    run = solve_ivp(slope, (0, 20), [0.0, 0.0, rotation], events=there, **FINE)
    return float(run.t_events[0][0]), float(run.y_events[0][0][1])


def punched(straight: Any, rotation: float, height: float) -> tuple[float, float]:
    times, speeds = np.zeros(1), np.zeros(1)
    punch_times(straight.rows, straight.rotors, np.array([rotation]), height, 0.8, times, speeds)
    return float(times[0]), float(speeds[0])


def test_a_climb_of_lagging_rotors_with_drag(straight: Any) -> None:
    """0.1 %: midpoint steps of 2 ms, a tenth of the rotors' time constant."""
    assert punched(straight, 900.0, 6.0) == pytest.approx(climb(straight, 900.0, 6.0), rel=1e-3)


def test_a_climb_that_sinks_before_it_rises(straight: Any) -> None:
    """Drag then pulls upwards. 0.5 %: the rotors start near rest, where they change most within a step."""
    straight.row["drag_area_top"], straight.row["rotor_inertia"] = 0.2, 4e-5
    assert punched(straight, 300.0, 1.0) == pytest.approx(climb(straight, 300.0, 1.0), rel=5e-3)


def test_a_climb_of_rotors_that_keep_their_speed(straight: Any) -> None:
    """Thrust then falls with speed alone: smooth, so that midpoint steps are exact to 2e-6."""
    straight.row["rotor_inertia"], straight.row["drag_area_top"] = 1e9, 0.0
    straight.row["mass"] = 0.5
    found, expected = punched(straight, 900.0, 2.0), climb(straight, 900.0, 2.0)
    assert found == pytest.approx(expected, rel=1e-5)


def test_a_climb_ends_within_its_last_step(straight: Any) -> None:
    """Uniform acceleration from rest: the time of the end is linear within its step of 2 ms, the speed follows it."""
    straight.row["rotor_inertia"], straight.row["drag_area_top"] = 1e9, 0.0
    t, V = punched(straight, 1500.0, 1e-6)
    a = 6 * straight.forces(1500.0)[0] / 0.62 - GRAVITY
    assert t == pytest.approx(1e-6 / (0.5 * 2e-3 * a), rel=2e-3)  # the inflow of the first half step takes 0.1 %
    assert pytest.approx(a * t, rel=2e-3) == V


HOVER, SPUN, ARM, INERTIA = 0.31, 1000.0, 0.085, 0.03


def turn(straight: Any, limit: float, switch: float, voc: float) -> tuple[float, float, float]:
    """Angle, time and highest rate of a turn with one switch of the stick, held at its limit, by a general solver."""
    half = straight.row["motors"] / 2

    def slope(t: float, y: Any, back: bool) -> list[float]:
        _, rate, left, right = y
        hard = 1.0 if math.isinf(limit) else min(max((limit - rate) / (EASE * limit), 0.0), 1.0)
        up, down = HOVER + hard * (1 - HOVER), HOVER + hard * (IDLE - HOVER)
        if back:
            up, down = IDLE, 1.0
        lifts = straight.forces(left, -rate * ARM)[0] - straight.forces(right, rate * ARM)[0]
        return [
            rate,
            half * ARM * lifts / INERTIA if back or rate < limit or lifts < 0.0 else 0.0,
            straight.spin(up, left, voc, half, -rate * ARM),
            straight.spin(down, right, voc, half, rate * ARM),
        ]

    def stands(t: float, y: Any, back: bool) -> float:
        return float(y[1])

    stands.terminal, stands.direction = True, -1  # type: ignore[attr-defined]
    there = solve_ivp(slope, (0, switch), [0.0, 0.0, SPUN, SPUN], args=(False,), rtol=1e-7, atol=1e-8)
    back = solve_ivp(slope, (switch, 3.0), there.y[:, -1], args=(True,), events=stands, rtol=1e-7, atol=1e-8)
    highest = max(there.y[1].max(), back.y[1].max())
    return float(back.y_events[0][0][0]), float(back.t_events[0][0]), float(highest)


@pytest.mark.parametrize("limit", [math.inf, 6.0])
def test_a_turn_follows_its_equation(straight: Any, limit: float) -> None:
    """2 %: the rotors take plain steps of 2 ms, up to a fifth of their time constant where the duty is full."""
    found = _turned(straight.row, straight.rotors, 16.0, SPUN, HOVER, ARM, limit, INERTIA, 0.2503)
    assert found == pytest.approx(turn(straight, limit, 0.2503, 16.0), rel=0.02)


def by_hand(straight: Any, limit: float, switch: float, voc: float, inertia: float) -> tuple[float, float, float]:
    """The same turn in steps of 2 ms: rotors by plain steps, angle by the mean rate, the end linear in its step.

    Both sides as one array: first the one that pushes."""
    h, half = 2e-3, straight.row["motors"] / 2
    floor = 0.2 * IDLE * voc / straight.row["torque_constant"]
    sides, sign = np.array([SPUN, SPUN]), np.array([-1.0, 1.0])
    rates, angle = [0.0], 0.0
    for k in range(1500):
        rate = rates[-1]
        over = np.clip(((k + 1) * h - switch) / h, 0.0, 1.0)
        hard = 1.0 if math.isinf(limit) else np.clip((1 - rate / limit) / EASE, 0.0, 1.0)
        duty = (1 - hard) * HOVER + hard * np.array([1.0, IDLE])
        duty = (1 - over) * duty + over * np.array([IDLE, 1.0])
        air = sign * rate * ARM
        lift = [straight.forces(w, v)[0] for w, v in zip(sides, air, strict=True)]
        spins = [straight.spin(d, w, voc, half, v) for d, w, v in zip(duty, sides, air, strict=True)]
        new = rate + h * half * ARM * (lift[0] - lift[1]) / inertia
        if k * h >= switch and new <= 0.0:
            share = rate / (rate - new) if rate > 0.0 else 0.0
            return angle + 0.5 * h * share * rate, h * (k + share), max(rates)
        angle += 0.5 * h * (rate + new)
        rates.append(min(new, limit) if k * h < switch else new)
        sides = np.maximum(sides + h * np.array(spins), floor)
    return math.nan, math.nan, math.nan


@pytest.mark.parametrize(
    ("limit", "switch", "rotor_inertia"),
    [(math.inf, 0.0205, 5.3e-6), (3.0, 0.0613, 5.3e-6), (math.inf, 0.011, 2.5e-7), (2.0, 0.05, 2e-5)],
)
def test_a_turn_step_by_step(straight: Any, limit: float, switch: float, rotor_inertia: float) -> None:
    """1e-9, rounding alone; rotors of next to no inertia overshoot in a step and are held above their floor."""
    straight.row["rotor_inertia"] = rotor_inertia
    found = _turned(straight.row, straight.rotors, 16.0, SPUN, HOVER, ARM, limit, INERTIA / 4, switch)
    assert found == pytest.approx(by_hand(straight, limit, switch, 16.0, INERTIA / 4), rel=1e-9)


def test_a_stick_that_is_never_over_turns_nothing(straight: Any) -> None:
    assert _turned(straight.row, straight.rotors, 16.0, SPUN, HOVER, ARM, math.inf, INERTIA, 0.0) == (0.0, 0.0, 0.0)


def test_a_turn_that_never_stands_has_no_time(straight: Any) -> None:
    """Inertia without end: with the stick hard over beyond the longest turn nothing stands again."""
    assert np.isnan(_turned(straight.row, straight.rotors, 16.0, SPUN, HOVER, ARM, math.inf, INERTIA, 4.0)).all()


def test_the_search_for_the_switch_starts_from_half_a_turn_without_lag(straight: Any) -> None:
    """Half the way at theta'' = l N/2 T/J takes sqrt(theta J/(N/2 l T)); a rate limit leaves 0.98 of theta/limit."""
    full = straight.columns.solve(duty=1.0, charge=0.8)[0]
    voc, goal = straight.voc(0.8), 1.7
    quickest = math.sqrt(goal * INERTIA / (3 * ARM * full["thrust"]))
    given = straight.row, straight.rotors, voc, ARM
    assert _first_switch(*given, math.inf, INERTIA, goal) == pytest.approx(quickest, rel=1e-6)  # solved to 1e-9
    assert _first_switch(*given, 2.0, INERTIA, goal) == pytest.approx(0.98 * goal / 2.0)
    assert _first_switch(*given, math.inf, 1e-9, goal) == 2e-3  # no less than a step


@pytest.mark.parametrize(("axis", "limit"), [(0, math.inf), (1, math.inf), (0, 5.0)])
def test_the_least_time_of_a_turn_is_that_of_the_switch_that_reaches_it(
    straight: Any, axis: int, limit: float
) -> None:
    """The switch is looked for again by a general root search; 2e-3: the turn is met to 3 mrad, then led on at its
    highest rate."""
    straight.row["inertia"], goal, times = (0.008, 0.02, 0.9), 1.1, np.zeros(1)
    turn_times(
        straight.rows, straight.rotors, axis, np.array([SPUN]), np.array([HOVER]), np.array([limit]), goal, 0.6, times
    )
    arm, inertia = (0.085, 0.112)[axis], (0.008, 0.02)[axis]

    def turned(switch: float) -> tuple[float, float, float]:
        given = straight.voc(0.6), SPUN, HOVER, arm, limit, inertia, switch
        return _turned(straight.row, straight.rotors, *given)  # type: ignore[no-any-return]

    switch = brentq(lambda s: turned(s)[0] - goal, 0.01, 0.4, xtol=1e-4)
    assert times[0] == pytest.approx(turned(switch)[1], rel=2e-3)


def test_rows_turn_each_on_their_own(straight: Any) -> None:
    """Each row has its own hover, limit and inertia; a row that cannot get there does not stop the next."""
    alone, rows = [], np.concatenate([np.asarray(straight.rows)] * 3).view(np.recarray)
    rows["inertia"][:, 1] = 0.02, 900.0, 0.05
    rotation, hover, limit = np.array([900.0, 950.0, 1000.0]), np.array([0.3, 0.31, 0.32]), np.array([9.0, 8.0, 7.0])
    times = np.zeros(3)
    turn_times(rows, straight.rotors, 1, rotation, hover, limit, 0.4, 0.7, times)
    assert np.isnan(times).tolist() == [False, True, False]
    for k in (0, 2):
        one, s = np.zeros(1), slice(k, k + 1)
        turn_times(rows[s], straight.rotors, 1, rotation[s], hover[s], limit[s], 0.4, 0.7, one)
        alone.append(one[0])
    assert times[[0, 2]].tolist() == alone
