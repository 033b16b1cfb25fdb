"""One motor at a voltage against worked rows and the first-order equations."""

import math
from typing import Any

import pytest

from rotorwright.errors import CannotCompute
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.laws import completed
from rotorwright.parts.propulsion import Motor
from rotorwright.predict.motor import MotorTable, motor_table

RPM = 30 / math.pi


def motor(**more: Any) -> Motor:
    values: dict[str, Any] = {
        "kv": Estimate(1950 / RPM, 2.0),
        "resistance": Estimate(0.045, 0.005),
        "idle_current": Estimate(1.5, 0.3),
        "idle_voltage": Estimate(14.8),
    }
    full = completed(Motor(name="m", **values | more))
    assert isinstance(full, Motor)
    return full


@pytest.fixture(scope="module")
def table() -> MotorTable:
    return motor_table(motor(), 14.8, samples=128)


def test_worked_row(table: MotorTable) -> None:
    """Kv 1950, 45 mohm, 1.5 A at 14.8 V, 30 A (synthetic example, computed outside this project): 26 227.5 rpm.

    Torque and power there take the idle current as constant; here half of it falls with speed from 28 860 rpm, which
    moves it by 4.6 % of 1.5 A, 0.24 % of the torque.
    """
    row = next(row for row in table.rows if row.current_a == 30)
    assert row.rpm.value == pytest.approx(26_227.5, abs=0.05)
    assert row.torque_n_m.value == pytest.approx(0.1395666, rel=0.0025)
    assert row.shaft_power_w.value == pytest.approx(383.325, rel=0.0025)
    assert row.efficiency.value == pytest.approx(0.863345, rel=0.0025)


def test_peak_is_near_the_closed_form(table: MotorTable) -> None:
    """sqrt(V I0/R) = 22.2 A and (1 - sqrt(I0 R/V))^2 = 0.8695 for a constant idle current; 1 % and 0.5 % as above."""
    assert table.peak_efficiency.value == pytest.approx(0.869493, rel=0.005)
    assert table.peak_efficiency_current_a.value == pytest.approx(22.21, abs=1.7)  # half a step of the search grid


def test_without_load(table: MotorTable) -> None:
    idle, rpm = table.idle_current_a.value, table.idle_rpm.value
    assert idle is not None and rpm is not None
    assert rpm == pytest.approx(1950 * (14.8 - idle * 0.045), rel=1e-9)
    assert idle == pytest.approx(1.5 * (0.5 + 0.5 * rpm / (1950 * 14.8)), rel=1e-9)
    assert table.torque_constant_n_m_per_a.value == pytest.approx(4.897075e-3, abs=0.5e-9)
    assert table.kv_rpm_per_v.value == pytest.approx(1950)


def test_below_the_idle_current_nothing_is_made_up(table: MotorTable) -> None:
    row = table.rows[0]
    assert row.current_a == 1.0
    assert (row.rpm.value, row.efficiency.value) == (None, None)
    assert row.torque_n_m.reason == "below the no-load current"


def test_bounds_hold_values(table: MotorTable) -> None:
    for p in (
        table.kv_rpm_per_v,
        table.resistance_ohm,
        table.idle_rpm,
        table.peak_efficiency,
        table.rows[-1].efficiency,
    ):
        assert p.low is not None and p.high is not None and p.value is not None
        assert p.low < p.high
        assert p.low <= p.value <= p.high


def test_currents_end_where_the_motor_does() -> None:
    assert [row.current_a for row in motor_table(motor(current_max=Estimate(16.0)), 14.8, 0).rows] == [
        1,
        2,
        5,
        10,
        15,
    ]
    assert motor_table(motor(current_max=Estimate(0.5)), 14.8, 0).rows == ()


def test_a_motor_that_says_too_little() -> None:
    with pytest.raises(CannotCompute, match="motor 'm': give resistance_mohm"):
        motor_table(motor(resistance=None), 14.8)
