"""Layouts of tables are recognised whatever the delimiter, and what is none gets one message with its line."""

from pathlib import Path

import numpy as np
import pytest

from rotorwright.errors import InputError
from rotorwright.measure.readings import read_file
from rotorwright.measure.tables import LARGEST_FILE, cells_of, number_of, recognise

GOOD = {
    "semicolons and decimal commas": "Time (s);Voltage (V);Current (A)\n0,0;25,1;3\n0,1;25,0;4,5\n",
    "a row of units": "Time;Voltage;Current\ns;V;mA\n0,0;25,1;3000\n0,1;25;4500\n",
    "blanks": "  time_s   voltage_v  current_a\n  0.0   25.1   3\n  0.1 25.0  4.5\n",
    "tabs below a preamble": "# a bench\n# of an evening\nt [s]\tU/V\tI/A\n0,0\t25,1\t3\n0,1\t25,0\t4,5\n",
    "blanks behind commas": "time (s), voltage (V), current (A)\n0.0, 25.1, 3\n0.1, 25.0, 4.5\n",
    "quoted cells": '"Time (s)","Volt, pack (V)","Current (A)","Note"\n"0","25.1","3","a, b"\n"0.1","25","4.5",""\n',
    "returns alone": "t;v;a\r0;25.1;3\r0.1;25;4.5\r",
    "returns and feeds": "time_s;voltage_v;current_a\r\n0;25.1;3\r\n0.1;25;4.5\r\n",
    "a byte-order mark": "\ufefftime_s;voltage_v;current_a\n0;25.1;3\n0.1;25;4.5\n",
    "blank lines": "time_s;voltage_v;current_a\n\n0;25.1;3\n\n\n0.1;25;4.5\n\n",
    "bars": "time_s|voltage_v|current_a\n0|25.1|3\n0.1|25|4.5",
}


@pytest.mark.parametrize("name", list(GOOD))
def test_a_layout_is_recognised(name: str, tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_bytes(GOOD[name].encode())
    found = read_file(file, ("time", "voltage", "current"))
    assert found.columns["time"] == pytest.approx([0.0, 0.1])
    assert found.columns["voltage"] == pytest.approx([25.1, 25.0])
    assert found.columns["current"] == pytest.approx([3.0, 4.5])


BAD = {
    "empty": (b"", "the file is empty"),
    "blank": (b"\n \n", "nothing but blanks"),
    "words": (b"hello\nworld\n", "csv:1: no table with two or more columns"),
    "one column": (b"a\n1\n2\n", "no table with two or more columns"),
    "Latin letters": ("t;v;\u00b0\n0;1;2\n".encode("latin-1"), "csv:1: column 5: the file is not UTF-8"),
    "sixteen bits": ("t;v\n0;1\n".encode("utf-16"), "UTF-16"),
    "binary": (bytes(range(256)), "csv:1: column 1: a byte that no text holds"),
    "commas for both": (b"t,v\n0,0,25,1\n0,1,25,0\n", "csv:2: 4 values stand under 2 headings"),
    "a word among numbers": (b"t;v;a\n0;25;3\n1;24;x4\n2;2;2\n", r"csv:3: column 3 \('a'\): 'x4' is not a number"),
    "too many values": (b"t;v;a\n0;25;3\n1;24;3;4\n", "csv:3: 4 values in a table of 3 columns"),
    "headings again": (b"t;v;a\n0;2;3\nt;v;a\n0;2;3\n", "csv:3: the headings stand here again"),
    "marks for thousands": (b"t;v;a\n0;25,0;3\n1;1.024,5;3\n2;3,5;3\n", "csv:3: column 2 .*1.024,5"),
    "a time of day": (b"t;v;a\n10:00:01;25;3\n10:00:02;24;3\n", "csv:2: .*A time of day cannot be read"),
    "an open quote": (b't;v;a\n"0";"25";3\n1;"24;3\n2;24;3\n', "csv:3: a quotation mark is not closed"),
}


@pytest.mark.parametrize("name", list(BAD))
def test_what_is_no_table_gets_one_message(name: str, tmp_path: Path) -> None:
    data, message = BAD[name]
    file = tmp_path / "log.csv"
    file.write_bytes(data)
    with pytest.raises(InputError, match=message) as caught:
        read_file(file, ("time", "voltage", "current"))
    assert len(caught.value.problems) == 1


@pytest.mark.parametrize("cell", [b"1;\xff;3", b"1;\0\0;3", b"1;2"])
def test_what_goes_wrong_late_has_its_line(cell: bytes, tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_bytes(b"time;voltage;current\n" + b"0;1;2\n" * 100_000 + cell + b"\n0;1;2\n")
    if cell == b"1;2":  # a line cut short is one with an empty cell
        assert np.isnan(read_file(file).columns["current"]).sum() == 1
        return
    with pytest.raises(InputError, match="csv:100002: column 3"):
        read_file(file)


def test_huge_files_are_refused_before_they_are_read(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    with file.open("wb") as stream:
        stream.truncate(2 * LARGEST_FILE)
    with pytest.raises(InputError, match="at most 1 GB is read"):
        recognise(file)


def test_a_hole_in_a_file_is_found(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    with file.open("wb") as stream:
        stream.write(b"time;voltage;current\n" + b"0;1;2\n" * 60_000)
        stream.truncate(50_000_000)
    with pytest.raises(InputError, match="csv:60002: column 1: a byte that no text holds"):
        read_file(file)


def test_missing_files_and_folders(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such file"):
        recognise(tmp_path / "nothing.csv")
    with pytest.raises(InputError, match="not an ordinary file"):
        recognise(tmp_path)


def test_cells() -> None:
    assert cells_of(' 1 ; "a;b" ; 3', ";") == ["1", "a;b", "3"]
    assert cells_of(" 1   2\t3 ", " ") == ["1", "2", "3"]
    assert number_of("1.024,5", ",") is None
    assert number_of("-,5e-3", ",") == pytest.approx(-0.0005)
    assert number_of("1e") is None
    assert str(number_of(" N/A ")) == "nan"


def test_words_say_the_layout(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text("t;v\ns;V\n0,5;1,5\n1,5;2\n")
    words = recognise(file).words
    assert (
        words == "semicolons between 2 columns, decimal comma, headings on line 1, a row of units, values from line 3"
    )
