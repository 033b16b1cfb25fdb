"""The prediction held against invented logs of the same craft: its bars hold as often as they say."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.measure.compared import HELD, MISSED, Comparison, compare_with_log
from rotorwright.measure.driven import driven_table
from rotorwright.measure.flight_log import LOG_QUANTITIES, Flight, flight_log
from rotorwright.measure.readings import read_file
from rotorwright.measure.synthetic_flight import invent_flight
from rotorwright.physics.battery import open_circuit_voltage
from rotorwright.predict.airborne import airborne


def flown(craft: Craft, folder: Path, seed: int, exact: bool = False, profile: str = "") -> Flight:
    file = folder / "log.csv"
    file.write_text(invent_flight(craft, seed, profile=profile, exact=exact, seconds=400).csv())
    return flight_log(read_file(file, LOG_QUANTITIES)).flight()


def test_the_nominal_craft_is_predicted_to_a_hair(craft: Craft, tmp_path: Path) -> None:
    """The log of the nominal craft with exact sensors: what is left is the log's rounding, rotor lag and warmth.

    Current reads 1 to 4 % high or low, as the invented winding warms up while the prediction holds it at 60 C.
    """
    found = compare_with_log(craft, flown(craft, tmp_path, 1, exact=True), samples=64)
    errors = {one.quantity: one.rms_error / np.mean(np.abs(one.measured)) for one in found.series}
    assert errors["voltage"] < 0.002
    assert errors["rotation"] < 0.02
    assert errors["current"] < 0.05
    assert {one.verdict for one in found.series} == {HELD}


def test_bars_hold_as_often_as_they_say(craft: Craft, tmp_path: Path) -> None:
    """Of bars of 90 %, at least 75 % hold in twelve invented flights of sampled craft with sensors that err.

    With a true rate of 90 % fewer than 27 of 36 come out once in five hundred times, had they been independent.
    """
    held = [
        one.within >= 0.5
        for seed in range(12)
        for one in compare_with_log(craft, flown(craft, tmp_path, 100 + seed), samples=128).series
    ]
    assert sum(held) >= 27
    assert len(held) == 36


def test_a_wrong_craft_is_told(craft: Craft, tmp_path: Path) -> None:
    """Half the resistance of the pack and three quarters of the propeller's speed: bars do not hold."""
    flight = flown(craft, tmp_path, 3)
    rotation = flight.series.rotation
    assert rotation is not None
    wrong = replace(
        flight, series=replace(flight.series, rotation=0.75 * rotation, voltage=flight.series.voltage - 2.5)
    )
    found = {one.quantity: one for one in compare_with_log(craft, wrong, samples=64).series}
    assert found["voltage"].verdict == MISSED
    assert found["voltage"].mean_error < -1.5
    assert found["rotation"].verdict == MISSED


def test_numbers_of_the_whole_flight(craft: Craft, tmp_path: Path) -> None:
    found = compare_with_log(craft, flown(craft, tmp_path, 1, exact=True), samples=64)
    current, time = found.numbers
    assert current.name == "mean current"
    assert current.measured == pytest.approx(current.predicted.value, rel=0.06)
    assert current.verdict == HELD
    assert time.name.startswith("time to")
    assert time.predicted.low is not None and time.predicted.high is not None
    assert time.predicted.low < 400 < time.predicted.high
    assert found.start_charge == 1.0


def test_without_bars(craft: Craft, tmp_path: Path) -> None:
    found: Comparison = compare_with_log(craft, flown(craft, tmp_path, 1), samples=0)
    assert {one.verdict for one in found.series} == {"no bar was made"}


def test_a_log_of_another_pack(craft: Craft, tmp_path: Path) -> None:
    flight = flown(craft, tmp_path, 1)
    half = replace(flight, series=replace(flight.series, voltage=flight.series.voltage / 2))
    with pytest.raises(CannotCompute, match="was it flown with 3 cells"):
        compare_with_log(craft, half, samples=0)


def test_driven_motors_are_those_of_the_operating_point(craft: Craft) -> None:
    """On the grid's own points the table is the kernel's balance; between them within 0.2 %."""
    columns = airborne(craft, 0).columns
    table = driven_table(columns, 25.2)
    for duty in (0.2, 0.5, 1.0):
        point = columns.solve(duty=duty, charge=0.9)[0]
        volts = np.array([point["supply_voltage"]])
        found = table.at(np.array([duty]), volts)
        assert found.rotation[0, 0] == pytest.approx(point["rotation"], rel=2e-3)
        assert found.load[0, 0] == pytest.approx(point["thrust"] * 4 / (columns.craft["mass"][0] * 9.80665), rel=2e-3)
        assert found.current[0, 0] == pytest.approx(point["battery_current"], rel=2e-3)


def test_driven_motors_in_level_flight_are_those_of_the_trim(craft: Craft) -> None:
    """Throttle and supply of steady flight give its current back; 1 %, for the lean is interpolated over speed."""
    columns = airborne(craft, 0).columns
    row = columns.craft[0]
    table = driven_table(columns, 25.2, 24.0)
    for speed in (6.0, 15.0, 22.0):
        trim = columns.level(speed=np.array([[speed]]), charge=0.5)[0, 0]
        rest = row["cells"] * open_circuit_voltage(0.5, int(row["chemistry"]))
        volts = rest - (row["battery_resistance"] + row["lead_resistance"]) * trim["battery_current"]
        found = table.at(np.array([trim["duty"]]), np.array([volts]), np.array([speed]))
        assert found.current[0, 0] == pytest.approx(trim["battery_current"], rel=1e-2)
        assert found.rotation[0, 0] == pytest.approx(trim["rotation"], rel=5e-3)
