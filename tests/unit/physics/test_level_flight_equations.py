"""Steady flight put back into its own balance of forces, and the ends of a speed."""

import math
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad

from rotorwright.physics.air import GRAVITY
from rotorwright.physics.level_flight import IDLE, LIMITS, _rotor_at, body_drag, brake_distance, fastest

FLIGHTS = [(1.0, 0.0, 0.0), (1.0, 14.0, 3.0), (1.6, 9.0, -2.5), (1.2, 3.0, 8.0), (1.0, 0.0, 5.0), (1.3, -11.0, 2.0)]


@pytest.mark.parametrize(("load", "speed", "climb"), FLIGHTS)
def test_forces_of_a_steady_flight_balance(straight: Any, load: float, speed: float, climb: float) -> None:
    """N T (sin, cos) - N H (cos, -sin) = D (u, w)/V + (0, n m g); 2e-5 of it, what the iteration leaves."""
    t, c = straight.columns.level(load=load, speed=speed, climb=climb, charge=0.7)[0, 0], straight.row
    s, k = math.sin(t["pitch"]), math.cos(t["pitch"])
    assert t["axial_speed"] == pytest.approx(speed * s + climb * k)
    assert t["edgewise_speed"] == pytest.approx(speed * k - climb * s)
    e = t["edgewise_speed"]
    T, Q, H = straight.forces(t["rotation"], t["axial_speed"], abs(e))
    assert (t["thrust"], t["in_plane"]) == pytest.approx((T, math.copysign(H, e)), rel=1e-4)
    assert t["torque"] == pytest.approx(Q, rel=1e-9)
    D = 0.5 * c["density"] * (c["drag_area"] * e**2 + c["drag_area_top"] * t["axial_speed"] ** 2)
    assert t["drag"] == pytest.approx(D)
    V, N, weight = math.hypot(speed, climb) or 1.0, c["motors"], load * c["mass"] * GRAVITY
    scale = 2e-5 * (weight + D)
    assert N * (t["thrust"] * s - t["in_plane"] * k) == pytest.approx(D * speed / V, abs=scale)
    assert N * (t["thrust"] * k + t["in_plane"] * s) == pytest.approx(D * climb / V + weight, abs=scale)


def test_a_craft_of_less_than_a_newton_hovers_on_its_own_weight(straight: Any) -> None:
    straight.row["mass"] = 0.05
    t = straight.columns.level(charge=0.7)[0, 0]
    assert t["thrust"] == pytest.approx(0.05 * GRAVITY / 6, rel=2e-5)  # what the iteration leaves


def test_flying_backwards_is_the_mirror_of_flying_ahead(straight: Any) -> None:
    there, back = (straight.columns.level(speed=u, climb=1.5, charge=0.7)[0, 0] for u in (10.0, -10.0))
    odd, even = ("pitch", "edgewise_speed", "in_plane"), ("axial_speed", "rotation", "thrust", "drag", "power")
    assert [back[name] for name in odd] == pytest.approx([-there[name] for name in odd])
    assert [back[name] for name in even] == pytest.approx([there[name] for name in even])


@pytest.mark.parametrize(("load", "speed", "climb"), FLIGHTS)
def test_the_motors_of_a_steady_flight_are_fed(straight: Any, load: float, speed: float, climb: float) -> None:
    """Torque constant, winding and supply as in the operating point: Kirchhoff around the whole loop."""
    t, c = straight.columns.level(load=load, speed=speed, climb=climb, charge=0.7)[0, 0], straight.row
    assert t["motor_current"] == pytest.approx(straight.idle(t["rotation"]) + t["torque"] / c["torque_constant"])
    pack = straight.voc(0.7) - c["battery_resistance"] * t["battery_current"]
    assert t["power"] == pytest.approx(pack * t["battery_current"])
    supply = pack - c["lead_resistance"] * t["battery_current"]
    path = c["motor_resistance"] + c["controller_resistance"]
    volts = c["torque_constant"] * t["rotation"] + t["motor_current"] * path
    assert t["duty"] == pytest.approx(volts / supply)
    motors = c["motors"] * t["duty"] * t["motor_current"]
    assert t["battery_current"] == pytest.approx(motors + c["electronics_power"] / supply)


def test_below_one_the_rotors_give_the_load_and_nothing_is_pitched(straight: Any) -> None:
    t, c = straight.columns.level(load=0.7, speed=6.0, climb=-1.0, charge=0.7)[0, 0], straight.row
    T, Q, H = straight.forces(t["rotation"], -1.0, 6.0)
    assert pytest.approx(0.7 * c["mass"] * GRAVITY / 6) == T  # solved to 1e-9
    assert (t["thrust"], t["torque"], t["in_plane"]) == pytest.approx((T, Q, H))
    assert t["drag"] == pytest.approx(0.5 * 1.19 * (0.006 * 36.0 + 0.015 * 1.0))


def rotor_at(straight: Any, guess: float, thrust: float, v: float = 0.0, e: float = 0.0) -> tuple[float, ...]:
    return _rotor_at(straight.row, straight.rotors, guess, thrust, 16.0, v, e)  # type: ignore[no-any-return]


def test_the_next_guess_of_a_square_law_is_its_solution(straight: Any) -> None:
    """Without Mach number and flow T goes with the square: one step of ln T over ln omega lands on it."""
    straight.row["mach_scale"] = 0.0
    T, _, _ = straight.forces(700.0)
    found = rotor_at(straight, 700.0, 1.44 * T)
    assert found[:2] == pytest.approx((700.0, T))
    assert found[4] == pytest.approx(1.2 * 700.0, rel=1e-9)
    for factor, most in ((9.0, 0.3), (0.1, -0.3)):  # beyond, a step is held at exp(0.3)
        assert rotor_at(straight, 700.0, factor * T)[4] == pytest.approx(700.0 * math.exp(most))


def test_without_a_guess_the_thrust_is_solved(straight: Any) -> None:
    rotation, thrust, CP, H, again = rotor_at(straight, math.nan, 1.4, 2.0, 5.0)
    assert straight.forces(rotation, 2.0, 5.0)[0] == pytest.approx(1.4)  # to 1e-9
    assert (thrust, again) == (1.4, rotation)
    assert straight.coefficients(rotation, 2.0, 5.0)[1] == pytest.approx(CP)
    assert straight.forces(rotation, 2.0, 5.0)[2] == pytest.approx(H)


@pytest.mark.parametrize(("thrust", "v"), [(0.01, 0.0), (0.001, -6.0)])
def test_rotors_never_turn_slower_than_idle(straight: Any, thrust: float, v: float) -> None:
    """Still air, then air from below that gives more than the thrust at any rotation: the surplus is told."""
    idle = IDLE * 16.0 / straight.row["torque_constant"]
    rotation, lifted, CP, H, again = rotor_at(straight, idle, thrust, v)
    T, _, drawn = straight.forces(idle, max(v, -0.5 * 1.08 * idle / (2 * math.pi) * 0.131))
    assert rotation == pytest.approx(idle)
    assert lifted > thrust
    assert math.isnan(again)
    if v == 0.0:
        assert (lifted, H) == pytest.approx((T, drawn))
        assert straight.coefficients(idle)[1] == pytest.approx(CP)


def test_a_thrust_that_no_rotation_gives_is_none(straight: Any) -> None:
    straight.row["thrust_level"] = 0.0
    assert np.isnan(rotor_at(straight, math.nan, 1.0)).all()


def reach(straight: Any, path: float, pitch_limit: float = 1.5, charge: float = 0.7) -> tuple[float, str]:
    speeds, limits = np.zeros(1), np.zeros(1, np.int64)
    fastest(straight.rows, straight.rotors, path, charge, pitch_limit, speeds, limits)
    return float(speeds[0]), LIMITS[limits[0]]


FOUND = 3.0 / 2**11  # a scan of 3 m/s, halved eleven times


@pytest.mark.parametrize("path", [0.0, 0.4, math.pi / 2])
def test_the_fastest_flight_takes_all_the_power(straight: Any, path: float) -> None:
    straight.row["mass"] = 1.1
    found, limit = reach(straight, path)
    duty = [
        straight.columns.level(speed=V * math.cos(path), climb=V * math.sin(path), charge=0.7)[0, 0]["duty"]
        for V in (found, found + 2 * FOUND)
    ]
    assert limit == "power"
    assert duty[0] <= 1.0 < duty[1]


def test_the_fastest_flight_leans_no_further_than_it_may(straight: Any) -> None:
    found, limit = reach(straight, 0.0, pitch_limit=0.35)
    pitch = [straight.columns.level(speed=V, charge=0.7)[0, 0]["pitch"] for V in (found, found + 2 * FOUND)]
    assert limit == "pitch"
    assert pitch[0] <= 0.35 < pitch[1]


def test_no_speed_is_looked_for_beyond_120(straight: Any) -> None:
    """A body without drag on rotors whose thrust no advance takes, with volts without end."""
    straight.row["drag_area"] = straight.row["drag_area_top"] = straight.row["in_plane_level"] = 0.0
    straight.row["cells"], straight.row["sound_speed"], straight.row["advance_stretch"] = 4000.0, 1e6, 1e6
    found, limit = reach(straight, math.pi / 2)
    assert (found, limit) == (pytest.approx(120.0, abs=1.01 * FOUND), "none")


def test_a_flight_without_trim_is_told(straight: Any) -> None:
    straight.row["thrust_level"] = 0.0
    found, limit = reach(straight, 0.0)
    assert math.isnan(found) and limit == "no trim"


def test_each_craft_has_its_own_fastest_flight(straight: Any) -> None:
    rows = np.concatenate([np.asarray(straight.rows)] * 3).view(np.recarray)
    rows["mass"] = 0.6, 60.0, 1.2
    speeds, limits = np.zeros(3), np.zeros(3, np.int64)
    fastest(rows, straight.rotors, 0.2, 0.7, 1.5, speeds, limits)
    assert np.isnan(speeds).tolist() == [False, True, False]
    straight.row["mass"] = 1.2
    assert (speeds[2], LIMITS[limits[2]]) == reach(straight, 0.2)


def test_braking_takes_the_integral_of_its_deceleration(straight: Any) -> None:
    """s = int V dV/(g tan + k V + rho A V^2/(2 m)); 1e-4: two hundred midpoints."""
    tilt, k, c = 0.4, 0.12, straight.row
    A = 0.006 * math.cos(tilt) ** 2 + 0.015 * math.sin(tilt) ** 2

    def share(V: float) -> float:
        return V / (GRAVITY * math.tan(tilt) + k * V + 0.5 * c["density"] * A * V**2 / c["mass"])

    assert brake_distance(c, 23.0, tilt, k) == pytest.approx(quad(share, 0.0, 23.0)[0], rel=1e-4)


def test_drag_of_a_flow_at_an_angle_is_the_sum_of_both_ways(straight: Any) -> None:
    assert body_drag(straight.row, -3.0, 7.0) == pytest.approx(0.5 * 1.19 * (0.006 * 49.0 + 0.015 * 9.0))
