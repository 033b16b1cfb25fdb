"""Battery fits: what a log finds, what it flags and what it says it cannot know."""

from functools import cache

import numpy as np
import pytest

from rotorwright.errors import CannotCompute
from rotorwright.measure.battery_fit import PackOnTest, fit_battery, pack_on_test
from rotorwright.measure.pack_model import pack_voltages
from rotorwright.measure.synthetic import Invented, invent_pack_log
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.laws import completed
from rotorwright.parts.propulsion import Battery
from rotorwright.physics.battery import open_circuit_voltage


@cache
def pack() -> PackOnTest:
    battery = completed(Battery(name="b", cells=4, capacity=Estimate(5400.0, 200.0), rating=Estimate(75.0)))
    assert isinstance(battery, Battery)
    return pack_on_test(battery)


@cache
def log() -> Invented:
    return invent_pack_log(pack(), 5, seconds=400.0, rate=1.0, pulse=(8.0, 10.0, 30.0))


def columns() -> dict[str, np.ndarray]:
    return {name: values.copy() for name, values in log().columns.items()}


def fitted(c: dict[str, np.ndarray]) -> object:
    return fit_battery(pack(), c["time"], c["voltage"], c["current"], c.get("temperature"))


def test_pulses_find_resistance_and_pairs() -> None:
    fit = fit_battery(pack(), *(log().columns[k] for k in ("time", "voltage", "current", "temperature")))
    for field in ("resistance", "polarisation_fast", "relaxation_fast", "polarisation_slow"):
        value, true = fit.value(field), log().truth[f"battery.{field}"]
        assert abs(value.value - true) < 4 * value.sd
        assert value.relative < 0.35  # 0.5 was believed of the pairs
    assert fit.residual_sd["volts_v"] == pytest.approx(0.004, rel=0.3)
    assert any("was drawn" in note for note in fit.notes)


def test_temperature_not_measured_is_said_and_widens_the_bar() -> None:
    with_it = fit_battery(pack(), *(log().columns[k] for k in ("time", "voltage", "current", "temperature")))
    without = fit_battery(pack(), *(log().columns[k] for k in ("time", "voltage", "current")))
    assert without.value("resistance").sd > with_it.value("resistance").sd
    assert any("temperature was not measured" in note for note in without.notes)


@pytest.mark.parametrize(
    ("column", "value", "reason"),
    [
        ("voltage", np.nan, "voltage is missing"),
        ("voltage", 4.0, "none of 4 cells"),
        ("current", np.nan, "current is missing"),
        ("current", -5.0, "current flows into the pack"),
        ("time", np.nan, "time is missing"),
        ("time", 3.0, "time is missing or does not go on"),
    ],
)
def test_impossible_rows_are_set_aside_with_a_reason(column: str, value: float, reason: str) -> None:
    c = columns()
    c[column][50] = value
    fit = fit_battery(pack(), c["time"], c["voltage"], c["current"])
    assert reason in next(s.reason for s in fit.rows_set_aside if s.row == 50)
    assert np.isnan(fit.residuals["volts_v"][50])


def test_a_gap_is_flagged_but_what_flowed_is_counted() -> None:
    c = columns()
    keep = np.r_[0:100, 160:200]
    fit = fit_battery(pack(), c["time"][keep], c["voltage"][keep], c["current"][keep])
    assert [s.row for s in fit.rows_set_aside if "gap" in s.reason] == [100]


def test_reversed_current_is_refused() -> None:
    c = columns()
    with pytest.raises(CannotCompute, match="into the pack on the whole"):
        fit_battery(pack(), c["time"], c["voltage"], -c["current"])


def test_too_few_rows_are_refused() -> None:
    c = columns()
    with pytest.raises(CannotCompute, match="ten at least"):
        fit_battery(pack(), c["time"][:8], c["voltage"][:8], c["current"][:8])


def test_a_fast_log_is_averaged_and_finds_the_same() -> None:
    slow = log().columns
    fast_time = np.arange(0.0, 300.0, 0.02)
    fast = {k: np.interp(fast_time, slow["time"], slow[k]) for k in ("voltage", "current")}
    fit = fit_battery(pack(), fast_time, fast["voltage"], fast["current"])
    assert any("rows were averaged to one" in note for note in fit.notes)
    assert fit.rows_used == len(fast_time)


def test_a_rested_pack_reads_its_curve() -> None:
    row = pack().row.copy()
    row["capacity"], row["start"], row["resistance"] = 5400.0, 0.5, 0.03
    row["relaxation"] = [8.0, 120.0]
    volts, charge, warm = pack_voltages(row, np.array([0.0, 10.0]), np.zeros(2))[1]
    assert volts == pytest.approx(4 * open_circuit_voltage(0.5, 0))
    assert charge == 0.5
    assert warm == pytest.approx(293.15)


def test_a_battery_without_mass_is_refused() -> None:
    with pytest.raises(CannotCompute, match="give capacity_mah"):
        pack_on_test(Battery(name="b", cells=4))
