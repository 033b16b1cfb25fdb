"""Steady flight from the arrays' side."""

import math
from collections.abc import Callable

import numpy as np
import pytest

from rotorwright.craft.model import Craft
from rotorwright.physics.level_flight import LIMITS, body_drag, brake_distance, fastest
from rotorwright.predict.airborne import Airborne, airborne


@pytest.fixture
def ready(small_craft: Callable[..., Craft]) -> Airborne:
    return airborne(small_craft(more="\n[flight]\ndrag_area_cm2 = 100\ndrag_area_top_cm2 = 200\n"), samples=0)


def row(ready: Airborne) -> np.record:
    return ready.columns.craft.view(np.recarray)[0]


def test_body_drag_from_ahead_and_from_above(ready: Airborne) -> None:
    """D = rho V^2/2 A: 0.01 m2 at 20 m/s in 1.225 kg/m3 is 2.45 N."""
    assert body_drag(row(ready), 0.0, 20.0) == pytest.approx(2.45, rel=1e-3)
    assert body_drag(row(ready), 20.0, 0.0) == pytest.approx(4.90, rel=1e-3)


def test_braking_without_drag_is_the_school_formula(ready: Airborne) -> None:
    ready.columns.craft["drag_area"] = ready.columns.craft["drag_area_top"] = 0.0
    assert brake_distance(row(ready), 20.0, math.pi / 4, 0.0) == pytest.approx(20.0**2 / (2 * 9.80665), rel=1e-4)


def test_braking_by_linear_drag_alone_travels_speed_over_rate(ready: Airborne) -> None:
    ready.columns.craft["drag_area"] = ready.columns.craft["drag_area_top"] = 0.0
    assert brake_distance(row(ready), 10.0, 1e-9, 0.5) == pytest.approx(10.0 / 0.5, rel=1e-3)


def test_a_turn_of_two_g_asks_for_twice_the_thrust(ready: Airborne) -> None:
    one, two = (ready.columns.level(load=n)[0, 0] for n in (1.0, 2.0))
    assert two["thrust"] == pytest.approx(2 * one["thrust"])


def test_below_one_the_craft_coasts_level(ready: Airborne) -> None:
    t = ready.columns.level(load=0.5, speed=12.0, climb=-2.0)[0, 0]
    assert (t["pitch"], t["axial_speed"], t["edgewise_speed"]) == (0.0, -2.0, 12.0)


def test_climbing_takes_more_and_sinking_less(ready: Airborne) -> None:
    down, level, up = (ready.columns.level(climb=w)[0, 0]["power"] for w in (-1.0, 0.0, 5.0))
    assert down < level < up


def test_the_fastest_climb_just_uses_full_throttle(ready: Airborne) -> None:
    speeds, limits = np.zeros(1), np.zeros(1, np.int64)
    rows = ready.columns.craft.view(np.recarray)
    fastest(rows, ready.columns.rotors, math.pi / 2, 0.8, math.pi, speeds, limits)
    assert LIMITS[limits[0]] == "power"
    assert ready.columns.level(climb=speeds[0], charge=0.8)[0, 0]["duty"] == pytest.approx(1.0, abs=2e-3)


def test_a_craft_too_heavy_has_no_speed(ready: Airborne) -> None:
    ready.columns.craft["mass"] = 50.0
    speeds, limits = np.zeros(1), np.zeros(1, np.int64)
    fastest(ready.columns.craft.view(np.recarray), ready.columns.rotors, 0.0, 0.8, 1.3, speeds, limits)
    assert np.isnan(speeds[0]) and LIMITS[limits[0]] == "power"


def test_how_a_steady_flight_fails_is_told(ready: Airborne) -> None:
    """0 where full throttle suffices, 1 where it does not, 2 where no voltage feeds it, 3 where nothing lifts it."""
    assert [int(ready.columns.level(load=n)[0, 0]["status"]) for n in (1.0, 9.0)] == [0, 1]
    ready.columns.craft["electronics_power"] = 1e5
    assert ready.columns.level()[0, 0]["status"] == 2
    ready.columns.craft["mass"] = math.nan
    assert ready.columns.level()[0, 0]["status"] == 3


def test_a_steady_flight_pays_for_itself(ready: Airborne) -> None:
    """Battery current times the pack's voltage under it; motors, electronics and leads take as much (Kirchhoff)."""
    ready.columns.craft["electronics_power"] = 6.0
    row, t = ready.columns.craft[0], ready.columns.level(speed=10.0, charge=0.7)[0, 0]
    R = row["motor_resistance"] + row["controller_resistance"]
    voltage = row["torque_constant"] * t["rotation"] + t["motor_current"] * R
    motors = row["motors"] * voltage * t["motor_current"]
    leads = row["lead_resistance"] * t["battery_current"] ** 2
    assert t["power"] == pytest.approx(motors + 6.0 + leads)
    assert t["duty"] == pytest.approx(
        voltage / (t["power"] / t["battery_current"] - row["lead_resistance"] * t["battery_current"])
    )
