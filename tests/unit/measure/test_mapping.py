"""Columns are guessed from headings and units, doubts are marked, and every guess can be put right."""

from pathlib import Path

import numpy as np
import pytest

from rotorwright.errors import InputError
from rotorwright.measure.mapping import corrected, guess
from rotorwright.measure.quantities import split_heading, unit_of
from rotorwright.measure.readings import read, read_file
from rotorwright.measure.tables import TableForm, recognise


def form(tmp_path: Path, text: str) -> TableForm:
    file = tmp_path / "log.csv"
    file.write_text(text)
    return recognise(file)


@pytest.mark.parametrize(
    ("heading", "words", "unit"),
    [
        ("Voltage [V]", "voltage", "V"),
        ("voltage_v", "voltage", "v"),
        ("U/V", "u", "V"),
        ("current, mA", "current", "mA"),
        ("Throttle %", "throttle", "%"),
        ("speed_m_per_s", "speed", "m_per_s"),
        ("n (1/min)", "n", "1/min"),
        ("motorSpeed1 (rpm)", "motor speed 1", "rpm"),
        ("batteryVoltage", "battery voltage", ""),
        ("a column", "a column", ""),
    ],
)
def test_headings_part_into_words_and_unit(heading: str, words: str, unit: str) -> None:
    assert split_heading(heading) == (words, unit)


@pytest.mark.parametrize(
    ("written", "dimension", "suffix"),
    [
        ("%", "share", "percent"),
        ("\u00b5s", "time", "us"),
        ("g", "force", "gf"),
        ("g", "mass", "g"),
        ("g", "acceleration", "g"),
        ("m/s\u00b2", "acceleration", "m_per_s2"),
        ("\u00b0C", "temperature", "degc"),
        ("m\u03a9", "resistance", "mohm"),
        ("V", "current", None),
    ],
)
def test_units_as_people_write_them(written: str, dimension: str, suffix: str | None) -> None:
    assert unit_of(written, dimension) == suffix


def test_what_the_heading_says_is_sure_and_the_rest_is_marked(tmp_path: Path) -> None:
    table = form(tmp_path, "time;volts;amps;throttle;rpm\n0;25;3;1000;900\n500;24;4;1500;1900\n1000;23;5;2000;2000\n")
    found = {column.quantity: column for column in guess(table).columns}
    assert (found["time"].unit, found["time"].sure) == ("us", False)  # steps of 500
    assert (found["rotation"].unit, found["rotation"].sure) == ("rpm", True)
    assert (found["throttle"].zero, found["throttle"].scale) == (1000.0, 1e-3)
    values = read(table, guess(table)).columns
    assert values["throttle"] == pytest.approx([0.0, 0.5, 1.0])
    assert values["time"] == pytest.approx([0.0, 5e-4, 1e-3])
    assert values["rotation"] == pytest.approx(np.array([900, 1900, 2000]) * np.pi / 30)


def test_columns_of_several_motors_and_axes(tmp_path: Path) -> None:
    text = "t (s),motor 1 (rpm),motor 2 (rpm),ax (g),ay (g),az (g)\n0,1000,1100,0.6,0,0.8\n1,2000,2100,0,0,1\n"
    values = read_file(form(tmp_path, text).file).columns
    assert values["rotation"] * 30 / np.pi == pytest.approx([1050, 2050])
    assert values["acceleration"] == pytest.approx([9.80665, 9.80665])


def test_electrical_revolutions_are_not_taken_for_those_of_the_shaft(tmp_path: Path) -> None:
    table = form(tmp_path, "time_s,erpm,current_a\n0,7000,1\n1,14000,5\n")
    found = guess(table)
    assert "rotation" not in found.quantities
    assert "pole pairs" in found.notes[0]
    told = corrected(table, found, ["rotation=erpm:rpm:0:0.14285714"])
    assert read(table, told).columns["rotation"] * 30 / np.pi == pytest.approx([1000, 2000])


def test_axes_are_no_currents(tmp_path: Path) -> None:
    assert "current" not in guess(form(tmp_path, "t,ax,ay\n0,1,2\n1,2,3\n")).quantities


def test_a_unit_of_something_else_rules_a_column_out(tmp_path: Path) -> None:
    assert "voltage" not in guess(form(tmp_path, "time (s);voltage drop (A)\n0;1\n1;2\n")).quantities


def test_corrections(tmp_path: Path) -> None:
    table = form(tmp_path, "time_s;volt: pack;Amps\n0;25000;-3\n1;24000;-4\n")
    found = corrected(table, guess(table), ["voltage=volt: pack:mv", "current=3:a:0:-1", "time="])
    assert found.quantities == ("voltage", "current")
    values = read(table, found).columns
    assert values["voltage"] == pytest.approx([25.0, 24.0])
    assert values["current"] == pytest.approx([3.0, 4.0])
    assert all(column.sure for column in found.columns)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ("volts=2", "names no quantity.*Known: voltage"),
        ("voltage", "names no quantity"),
        ("voltage=Volts:v", "no column 'Volts'"),
        ("voltage=2:a", "'a' is no unit of voltage"),
        ("voltage=2:v:x", "zero and scale are numbers"),
        ("voltage=2:v:0:0", "scale other than zero"),
    ],
)
def test_a_wrong_correction_says_how(change: str, message: str, tmp_path: Path) -> None:
    table = form(tmp_path, "time_s;u;i\n0;25;3\n1;24;4\n")
    with pytest.raises(InputError, match=message):
        corrected(table, guess(table), [change])


def test_what_is_missing_is_named_with_what_there_is(tmp_path: Path) -> None:
    found = read_file(form(tmp_path, "time_s;Spannung;Strom\n0;25;3\n1;24;4\n").file)
    with pytest.raises(InputError, match="no column was recognised as voltage") as caught:
        found.need("time", "voltage", "current")
    assert len(caught.value.problems) == 2
    assert "--take current=COLUMN:UNIT" in str(caught.value)


def test_an_empty_column_is_said_to_be_empty(tmp_path: Path) -> None:
    found = read_file(form(tmp_path, "time_s;voltage;current\n0;;3\n1;;4\n").file)
    with pytest.raises(InputError, match=r"column 2 \('voltage'\) holds no values"):
        found.need("voltage")
