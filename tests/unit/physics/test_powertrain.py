"""Statuses of the operating-point kernel: what has no solution says so and holds NaN."""

import math
from typing import Any

import numpy as np
import pytest

from rotorwright.physics.powertrain import CANNOT, COLLAPSED, OK, POINT, TOO_HEAVY, UNSOLVED

NAMES = [name for name in POINT.names or () if name != "status"]
FIELDS = ("torque_constant", "motor_resistance", "idle_current", "cells", "battery_resistance", "diameter", "density")


def one(points: Any) -> Any:
    return points[0]


def test_a_good_row(plant: Any) -> None:
    point = one(plant.solve(plant.rows(), duty=1.0))
    assert point["status"] == OK
    assert all(math.isfinite(point[name]) for name in NAMES)
    assert point["duty"] == 1.0
    # a five-inch on 1900 rpm/V and four cells: common practice, no source
    assert 18_000 < point["rotation"] * 30 / math.pi < 28_000
    assert 5 < point["thrust"] < 18
    assert point["supply_voltage"] < point["battery_voltage"] < 16.8


@pytest.mark.parametrize("name", FIELDS)
def test_nan_in_nan_out(name: str, plant: Any) -> None:
    rows = plant.rows(2)
    rows[name][1] = np.nan
    for demand in ({"duty": 0.7}, {"thrust": 1.5}):
        good, bad = plant.solve(rows, **demand)
        assert good["status"] == OK
        assert bad["status"] in CANNOT
        assert math.isnan(bad["battery_current"])


@pytest.mark.parametrize("demand", [{"charge": np.nan}, {"charge": 1.1}, {"charge": -0.1}, {"axial_speed": np.nan}])
def test_nan_or_impossible_demands(demand: dict[str, float], plant: Any) -> None:
    point = one(plant.solve(plant.rows(), duty=0.5, **demand))
    assert point["status"] == UNSOLVED
    assert all(math.isnan(point[name]) for name in ("rotation", "thrust", "battery_current"))


def test_no_demand_at_all(plant: Any) -> None:
    assert one(plant.solve(plant.rows()))["status"] == UNSOLVED


@pytest.mark.parametrize("thrust", [-1.0, 1e9])
def test_thrusts_that_no_rotation_gives(thrust: float, plant: Any) -> None:
    point = one(plant.solve(plant.rows(), thrust=thrust))
    assert point["status"] != OK
    assert math.isnan(point["battery_current"]) or point["status"] == TOO_HEAVY


def test_motors_standing_still(plant: Any) -> None:
    """Duty zero has no rotation to solve for; it is refused, not guessed."""
    assert one(plant.solve(plant.rows(), duty=0.0))["status"] == UNSOLVED


def test_more_than_full_throttle_is_solved_and_marked(plant: Any) -> None:
    full = one(plant.solve(plant.rows(), duty=1.0))["thrust"]
    more, less = plant.solve(plant.rows(2), thrust=np.array([1.02, 0.98]) * full)
    assert (more["status"], less["status"]) == (TOO_HEAVY, OK)
    assert more["duty"] > 1.0 > less["duty"]


def test_full_duty_and_full_thrust_are_one_point(plant: Any) -> None:
    """1e-7: the duty that comes back is a quotient of solved voltages."""
    full = one(plant.solve(plant.rows(), duty=1.0))
    again = one(plant.solve(plant.rows(), thrust=full["thrust"]))
    assert again["status"] == OK
    assert again["duty"] == pytest.approx(1.0, rel=1e-7)
    assert again["battery_current"] == pytest.approx(full["battery_current"], rel=1e-7)


def test_a_weak_pack_collapses(plant: Any) -> None:
    """Hover takes some 100 W; a pack of 4 ohm gives at most 16.8^2/16 = 18 W."""
    point = one(plant.solve(plant.rows(battery_resistance=4.0), thrust=1.5))
    assert point["status"] == COLLAPSED
    assert math.isnan(point["supply_voltage"])
    assert math.isnan(point["battery_current"])


def test_electronics_that_no_pack_can_feed(plant: Any) -> None:
    """24 mohm at 16.8 V give 2940 W at most; a wrong root is refused for either demand."""
    rows = plant.rows(electronics_power=1e4)
    for demand in ({"thrust": 1.5}, {"duty": 0.5}):
        point = one(plant.solve(rows, **demand))
        assert point["status"] == COLLAPSED
        assert math.isnan(point["battery_current"])


def test_rows_do_not_touch_each_other(plant: Any) -> None:
    rows = plant.rows(3, mass=[0.4, 0.6, 0.8], motor_resistance=[0.05, np.nan, 0.1])
    together = plant.solve(rows, duty=0.8)
    for i in (0, 2):
        assert plant.solve(rows[i : i + 1], duty=0.8)[0] == together[i]
    assert [int(s) for s in together["status"]] == [OK, UNSOLVED, OK]


def test_every_failure_has_words() -> None:
    assert sorted(CANNOT) == [TOO_HEAVY, COLLAPSED, UNSOLVED]
    assert all(CANNOT.values())


def test_coefficients_vary_with_reynolds_number_as_the_rows_say(plant: Any) -> None:
    """CT and CP times (Re/1e5)^slope, besides what the table holds."""
    plain, sloped = plant.rows(), plant.rows(thrust_slope=0.3, power_slope=-0.2)
    one, other = (turned(plant, rows, 1800.0) for rows in (plain, sloped))
    share = one["reynolds"] / 1e5
    assert other["ct"] == pytest.approx(one["ct"] * share**0.3)
    assert other["cp"] == pytest.approx(one["cp"] * share**-0.2)


def test_coefficients_grow_with_the_tips_mach_number(plant: Any) -> None:
    """CT and CP times 1 + g s (1/sqrt(1 - M^2) - 1), M at 0.75 R, g of the table, s of the row."""
    slow, fast = (turned(plant, plant.rows(sound_speed=a, mach_scale=0.8), 3000.0) for a in (1e9, 340.3))
    M = 0.75 * 3000.0 * 0.0635 / 340.3
    assert fast["tip_mach"] == pytest.approx(M / 0.75)
    stretch = 0.8 * (1.0 / math.sqrt(1.0 - M * M) - 1.0)
    assert fast["ct"] == pytest.approx(slow["ct"] * (1.0 + plant.gains[0, 0] * stretch))
    assert fast["cp"] == pytest.approx(slow["cp"] * (1.0 + plant.gains[0, 1] * stretch))


def turned(plant: Any, rows: Any, rotation: float) -> Any:
    from rotorwright.columns import PowertrainColumns

    return PowertrainColumns(rows, plant.tables, plant.gains, plant.oblique).turn(rotation)[0]
