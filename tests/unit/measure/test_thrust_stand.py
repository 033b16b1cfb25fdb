"""Thrust-stand fits: what they find, what they flag, what they refuse and what they say they cannot know."""

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from rotorwright.errors import CannotCompute
from rotorwright.measure.stand_model import Bench, StandRows, bench_of, bench_row, stand_readings
from rotorwright.measure.synthetic import invent_stand, stand_rows
from rotorwright.measure.thrust_stand import bench_points, fit_stand, fit_stand_points, solve_stand
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.laws import completed
from rotorwright.parts.propulsion import Motor, Propeller, SpeedController
from rotorwright.physics.air import standard_atmosphere


@cache
def bench() -> Bench:
    """An invented five-inch motor and propeller."""
    motor = completed(
        Motor(
            name="m",
            kv=Estimate(1900 * math.pi / 30, 8.0),
            stator_diameter=Estimate(0.022),
            stator_height=Estimate(0.007),
        )
    )
    propeller = completed(Propeller(name="p", diameter=Estimate(0.127), pitch=Estimate(0.109), blades=3))
    controller = completed(SpeedController(name="e", current=Estimate(45.0)))
    assert isinstance(motor, Motor) and isinstance(propeller, Propeller) and isinstance(controller, SpeedController)
    return bench_of(motor, propeller, controller, standard_atmosphere(100.0))


def rows(seed: int = 0, **how: object) -> StandRows:
    return stand_rows(invent_stand(bench(), seed, **how))  # type: ignore[arg-type]


def changed(given: StandRows, column: str, index: int, value: float) -> StandRows:
    values = getattr(given, column).copy()
    values[index] = value
    return replace(given, **{column: values})


def test_everything_read_finds_motor_and_propeller() -> None:
    fit = fit_stand(rows(bare=5), bench())
    assert {("propeller", "thrust_level"), ("motor", "kv"), ("motor", "resistance"), ("motor", "idle_current")} <= {
        (v.kind, v.field) for v in fit.values
    }
    assert fit.rows_used == 23
    assert fit.rows_set_aside == ()
    assert set(fit.residual_sd) == {"thrust_n", "torque_n_m", "amps_a", "throttle_1"}
    assert all(len(left) == 23 for left in fit.residuals.values())
    assert np.isnan(fit.residuals["thrust_n"][-5:]).all()
    assert fit.covariance == pytest.approx(fit.covariance.T)


def test_the_bar_of_thrust_holds_the_scale_s_calibration() -> None:
    level = fit_stand(rows(), bench()).value("thrust_level")
    assert 0.009 < level.relative < 0.03


def test_torque_narrows_the_propeller_s_torque() -> None:
    with_it, without = (fit_stand(rows(torque=torque), bench()).value("power_level") for torque in (True, False))
    assert with_it.relative < without.relative


def test_neither_torque_nor_throttle_is_said() -> None:
    fit = fit_stand(rows(torque=False, throttle_read=False), bench())
    assert any("Without torque or throttle" in note for note in fit.notes)
    assert "The readings say next to nothing of Kv" in fit.identifies
    with pytest.raises(KeyError):
        fit.value("kv")


def test_no_full_throttle_is_said() -> None:
    fit = fit_stand(rows(throttle=tuple(np.linspace(0.2, 0.8, 10))), bench())
    assert any("No row at full throttle" in note for note in fit.notes)


FLAGS = [
    ("volts", np.nan, "voltage, current or speed of rotation is missing"),
    ("volts", -16.0, "reversed"),
    ("amps", -3.0, "current is negative"),
    ("rotation", 0.0, "the rotor stands"),
    ("thrust", -2.0, "thrust is negative"),
    ("amps", 0.05, "less power than even an ideal rotor"),
]


@pytest.mark.parametrize(("column", "value", "reason"), FLAGS)
def test_impossible_rows_are_set_aside_with_a_reason(column: str, value: float, reason: str) -> None:
    fit = fit_stand(changed(rows(), column, 7, value), bench())
    assert [s.row for s in fit.rows_set_aside] == [7]
    assert reason in fit.rows_set_aside[0].reason
    assert fit.rows_used == 17


def test_a_slip_is_found_by_the_fit_and_named() -> None:
    given = rows()
    fit = fit_stand(changed(given, "thrust", 12, float(given.thrust[12]) * 1.3), bench())
    assert [(s.row, s.reason.split(" ")[0]) for s in fit.rows_set_aside] == [(12, "thrust")]
    assert "above what the other rows say" in fit.rows_set_aside[0].reason


def test_saturated_rows_are_set_aside() -> None:
    given = rows()
    for name in ("amps", "rotation", "volts", "thrust", "torque"):
        getattr(given, name)[-2:] = getattr(given, name)[-3]
    fit = fit_stand(given, bench())
    assert [s.row for s in fit.rows_set_aside] == [16, 17]
    assert all("limit" in s.reason for s in fit.rows_set_aside)


def test_rising_throttle_without_answer_is_a_limit() -> None:
    given = rows()
    for name in ("amps", "rotation", "thrust", "torque"):
        getattr(given, name)[-1] = getattr(given, name)[-2] * 0.999
    fit = fit_stand(given, bench())
    assert "throttle rises" in fit.rows_set_aside[-1].reason


@pytest.mark.parametrize(("column", "factor"), [("thrust", 1e3 / 9.80665), ("rotation", 7.0)])
def test_wrong_units_are_refused(column: str, factor: float) -> None:
    given = rows()
    with pytest.raises(CannotCompute, match="is thrust in grams, or is the speed of rotation electrical"):
        fit_stand(replace(given, **{column: getattr(given, column) * factor}), bench())


def test_nothing_to_use_is_refused() -> None:
    given = rows()
    with pytest.raises(CannotCompute, match="no row of the thrust stand can be used"):
        fit_stand(replace(given, rotation=np.zeros(len(given))), bench())


def test_columns_of_different_length_are_refused() -> None:
    with pytest.raises(ValueError, match="one value a row"):
        StandRows.of([12.0, 12.0], [3.0], [1000.0, 1100.0])


def test_bench_points_carry_the_fit() -> None:
    given = rows()
    fit, points = fit_stand_points(given, bench())
    assert len(points) == 3
    assert points[-1].rotation == pytest.approx(float(given.rotation.max()))
    assert points[-1].thrust == pytest.approx(float(given.thrust.max()), rel=0.03)
    assert points[-1].power == pytest.approx(float((given.torque * given.rotation).max()), rel=0.05)
    assert fit.name == "thrust stand"


def test_bench_points_without_torque_hold_no_power_they_do_not_know() -> None:
    given = rows(torque=False, throttle_read=False, throttle=(0.5,))
    found, _ = solve_stand(given, bench())
    assert not [v for v in found.values if v.field == "power_level" and v.relative <= 0.05]
    assert np.isnan([p.power for p in bench_points(given, bench(), found)]).all()


def test_fitted_row_gives_back_the_readings() -> None:
    given = rows()
    found, _ = solve_stand(given, bench())
    numbers = found.mean()
    read = stand_readings(bench().columns, bench_row(bench(), numbers), given.rotation, given.volts, given.bare)
    assert read[:, 0] * numbers["thrust_gain"] == pytest.approx(given.thrust, rel=0.05, abs=0.05)


def test_a_motor_without_resistance_is_refused() -> None:
    with pytest.raises(CannotCompute, match="give kv_rpm_per_v"):
        bench_of(
            Motor(name="m", kv=Estimate(200.0)),
            Propeller(name="p", diameter=Estimate(0.127), pitch=Estimate(0.1), blades=2),
            None,
            standard_atmosphere(0.0),
        )
