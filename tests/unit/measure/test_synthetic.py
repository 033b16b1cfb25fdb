"""Invented measurements: decided by their seed, marked as invented, at any rate, and true to the model."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.errors import CannotCompute
from rotorwright.measure.synthetic import without
from rotorwright.measure.synthetic_flight import FASTEST, invent_flight
from rotorwright.predict.airborne import airborne

DEMO = Path(__file__).parents[3] / "src/rotorwright/craft/demo_workshop/crafts/lapwing-1.toml"


@cache
def craft() -> Craft:
    return read_craft(DEMO)


def test_the_seed_decides_everything() -> None:
    one, same, other = (invent_flight(craft(), seed, seconds=20.0) for seed in (4, 4, 5))
    assert one.csv() == same.csv()
    assert one.csv() != other.csv()
    assert one.truth == same.truth


def test_the_text_says_that_it_is_invented() -> None:
    lines = invent_flight(craft(), 1, seconds=5.0).csv().splitlines()
    assert lines[0].startswith("# Invented: ")
    assert "nobody measured it" in lines[0]
    assert lines[1] == ("time_s,voltage_v,current_a,throttle_fraction,rotation_rpm,speed_m_per_s,acceleration_g")
    assert len(lines) == 2 + 50


@pytest.mark.parametrize("rate", [1.0, 50.0, FASTEST])
def test_any_rate_flies_the_same_flight(rate: float) -> None:
    log = invent_flight(craft(), 2, profile="hover", seconds=30.0, rate=rate, exact=True)
    assert len(log.columns["time"]) == int(30 * rate)
    assert log.columns["time"][-1] == pytest.approx(30.0 - 1.0 / rate)
    assert np.diff(log.columns["time"]) == pytest.approx(1.0 / rate)


def test_charge_is_conserved() -> None:
    log = invent_flight(craft(), 2, seconds=120.0, exact=True)
    drawn = float(np.sum(log.columns["current"])) * 0.1
    left = log.truth["charge_left"] * log.truth["battery.capacity"]
    assert drawn + left == pytest.approx(log.truth["battery.capacity"], rel=2e-3)


def test_a_hover_draws_what_the_prediction_says() -> None:
    """Rotation wanders by 2.5 %, which adds to the mean power by about 0.2 %; 2 %."""
    log = invent_flight(craft(), 3, profile="hover", seconds=60.0, rate=20.0, exact=True)
    columns = airborne(craft(), 0).columns
    said = columns.level(charge=0.97)[0, 0]
    assert np.mean(log.columns["current"]) == pytest.approx(float(said["battery_current"]), rel=0.02)
    assert np.mean(log.columns["acceleration"]) == pytest.approx(1.0, abs=0.01)


def test_it_lands_at_the_landing_voltage() -> None:
    log = invent_flight(craft(), 1, landing=3.6)
    assert len(log.columns["time"]) < 12_000
    assert log.columns["voltage"][-20:].min() == pytest.approx(4 * 3.6, abs=0.6)


def test_a_rate_out_of_reach_is_refused() -> None:
    with pytest.raises(CannotCompute, match="rows a second"):
        invent_flight(craft(), 1, rate=5000.0)


def test_columns_can_be_left_out() -> None:
    log = without(invent_flight(craft(), 1, seconds=5.0), "rotation", "speed")
    assert set(log.columns) == {"time", "voltage", "current", "throttle", "acceleration"}
    assert "rotation" not in log.csv()
