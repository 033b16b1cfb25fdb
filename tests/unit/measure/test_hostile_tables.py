"""What is no table of readings: refused in words, with bounded memory, whatever its size."""

import math
import os
import resource
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from rotorwright.errors import InputError
from rotorwright.measure.faults import check_readings
from rotorwright.measure.flight_log import flight_log
from rotorwright.measure.given import AIR, read_options
from rotorwright.measure.mapping import corrected, guess
from rotorwright.measure.quantities import split_heading
from rotorwright.measure.readings import read, read_file
from rotorwright.measure.remembered import mappings_file, remembered
from rotorwright.measure.scale import weigh
from rotorwright.measure.tables import number_of, recognise

HEADINGS = b"time_s,voltage_v,current_a\n"
ROWS = b"".join(b"%d,16,%d\n" % (i, i % 7) for i in range(50))


def _said(file: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_file(file)
    return caught.value.problems[0].what


CONTENT = {
    "a zip": (b"PK\x03\x04\x14\0\0\0", "column 6: a byte that no text holds"),
    "a million columns": (
        b",".join(b"%d" % i for i in range(1_000_000)) + b"\n",
        "no table with two or more columns",
    ),
    "a line of 50 MB": (b"1," * 25_000_000, "no table with two or more columns"),
    "50 MB of one number": (HEADINGS + b"1" * 50_000_000, "no table with two or more columns"),
    "a NUL": (HEADINGS + ROWS + b"1,\0,2\n", "column 3: a byte that no text holds"),
    "no rows": (HEADINGS, "no table with two or more columns"),
}


@pytest.mark.parametrize("case", CONTENT)
def test_what_is_no_table(case: str, tmp_path: Path) -> None:
    content, beginning = CONTENT[case]
    file = tmp_path / "log.csv"
    file.write_bytes(content)
    assert _said(file).startswith(beginning)


def _ring(file: Path) -> None:
    file.symlink_to(file.name)


def _sparse(size: int) -> Callable[[Path], None]:
    def make(file: Path) -> None:
        file.write_bytes(HEADINGS + ROWS)
        os.truncate(file, size)

    return make


PLACES: dict[str, tuple[Callable[[Path], object], str]] = {
    "a folder": (lambda file: file.mkdir(), "this is not an ordinary file"),
    "links in a ring": (_ring, "cannot be read: Too many levels"),
    "zeros without end": (lambda file: file.symlink_to("/dev/zero"), "this is not an ordinary file"),
    "a pipe that nobody writes to": (os.mkfifo, "this is not an ordinary file"),
    "a billion rows": (_sparse(20 * 10**9), "the file has 20.0 GB"),
}


@pytest.mark.skipif(os.name != "posix", reason="pipes, links and devices")
@pytest.mark.parametrize("case", PLACES)
def test_what_is_no_file(case: str, tmp_path: Path) -> None:
    make, beginning = PLACES[case]
    file = tmp_path / "log.csv"
    make(file)
    assert _said(file).startswith(beginning)


@pytest.mark.skipif(os.name != "posix", reason="counts memory")
def test_a_line_without_end_takes_little_memory(tmp_path: Path) -> None:
    """A table whose last line goes on to nearly a gigabyte: given up after a few blocks."""
    file = tmp_path / "log.csv"
    file.write_bytes(HEADINGS + ROWS + b" " * 300_000 + b"\n")
    os.truncate(file, 990_000_000)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    assert _said(file).startswith("a line without end")
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 600_000  # [kB]


def test_a_name_with_a_nul() -> None:
    with pytest.raises(InputError, match="no name of a file"):
        recognise(Path("a\0b"))


def test_a_table_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "log.csv"
    file.write_bytes(HEADINGS + ROWS)

    def refuse(self: Path, mode: str = "r") -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert _said(file) == "cannot be read: Permission denied"


def test_a_reading_without_measure_is_none(tmp_path: Path) -> None:
    """1e400 is infinite, and 1e300 squared is: neither is a reading."""
    file = tmp_path / "log.csv"
    file.write_bytes(HEADINGS + ROWS + b"50,1e400,1\n51,16,-1e300\n52,16,2\n")
    found = check_readings(read_file(file))
    assert math.isnan(found.readings.columns["voltage"][50])
    assert math.isnan(found.readings.columns["current"][51])
    assert np.isfinite(found.readings.columns["current"][52])


def test_a_heading_of_a_megabyte_is_split_at_once() -> None:
    assert split_heading("a " * 500_000)[1] == "a"
    assert split_heading(" " * 500_000 + "[" * 500_000) == ("", "")


def test_rows_without_a_value(tmp_path: Path) -> None:
    """What stands in them is too large to be a reading."""
    file = tmp_path / "log.csv"
    file.write_bytes(b"voltage_v,current_a\n" + b"1e300,1e300\n" * 5)
    with pytest.raises(InputError, match="no row holds a value"):
        check_readings(read_file(file))


@pytest.mark.filterwarnings("error")
def test_a_sensor_at_its_end_beside_a_silent_one(tmp_path: Path) -> None:
    """Where current is largest, nothing is known of the rotation."""
    file = tmp_path / "stand.csv"
    rows = [f"{i},{1000 * i}" for i in range(1, 9)] + ["9,"] * 5
    file.write_text("current_a,rotation_rpm\n" + "\n".join(rows) + "\n")
    assert not check_readings(read_file(file)).faults


def test_time_that_falls_in_the_last_row(tmp_path: Path) -> None:
    """Nothing stands behind it to be looked at."""
    file = tmp_path / "log.csv"
    file.write_bytes(HEADINGS + b"1,16,2\n2,16,2\n3,16,2\n3,16,2\n")
    with pytest.raises(InputError, match="time "):
        flight_log(read_file(file))


def test_a_number_of_fifty_thousand_digits_is_read_at_once() -> None:
    """Digits that could be parted in two ways were parted in all of them."""
    assert number_of("1" * 50_000 + "x") is None
    assert number_of("1" * 50_000) == math.inf


COLUMNS = [
    "current=" + "9" * 4400,
    "current=\u0661\u0662\u0663\u0664\u0665",
    "current=Amps:a:1e300:1",
    "current=2:a:nan",
    "current=2:a:0:1e-300",
    "current=2:a:0:0",
]


@pytest.mark.parametrize("change", COLUMNS)
def test_a_column_that_nobody_has(change: str, tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_bytes(HEADINGS + ROWS)
    form = recognise(file)
    with pytest.raises(InputError):
        read(form, corrected(form, guess(form), [change]))


@pytest.mark.parametrize("number", ["nan", "inf", "0x" + "f" * 400, "true", "1e300", "[1]"])
@pytest.mark.parametrize("key", ["zero", "scale"])
def test_a_remembered_mapping_with_an_odd_number(key: str, number: str, tmp_path: Path) -> None:
    (tmp_path / "logs").mkdir()
    column = f'{{ quantity = "time", column = "t", unit = "s", {key} = {number} }}'
    mappings_file(tmp_path).write_text(f'format = 1\n[[mapping]]\nheadings = ["t"]\ncolumns = [{column}]\n')
    with pytest.raises(InputError, match="finite numbers"):
        remembered(tmp_path)


def test_a_mapping_that_is_none(tmp_path: Path) -> None:
    (tmp_path / "logs").mkdir()
    huge = "0x" + "f" * 6000
    headed = f"mapping = [{{ headings = [{huge}], columns = [{{ quantity = {huge}, column = [{huge}] }}] }}]"
    for wrong in ("mapping = 3", "[mapping]\nx = 1", "mapping = [1]", headed):
        mappings_file(tmp_path).write_text(f"format = 1\n{wrong}\n")
        with pytest.raises(InputError):
            remembered(tmp_path)


@pytest.mark.parametrize(
    "text", [f"m*{'9' * 400}=3", "m=1e400", "m=", "=3", f"m*{'9' * 4400}=3", "m*-1=3", "m*0=3", "m=1e300"]
)
def test_a_weighing_of_nothing(text: str) -> None:
    with pytest.raises(InputError):
        weigh([text.replace("m", "motor-2306-1750", 1)], workshop=None)


AIRS = [
    "temperature_degc=-500",
    "temperature_k=nan",
    "altitude_m=1e400",
    "altitude_m=1e300",
    "altitude_m=3+-inf",
    "altitude_m=" + "9" * 5000,
    "altitude_awg=2",
]


@pytest.mark.parametrize("text", AIRS)
def test_air_that_is_none(text: str) -> None:
    with pytest.raises(InputError):
        read_options([text], AIR)


@pytest.mark.parametrize("usual", [",", "."])
def test_two_decimal_signs_in_one_column_get_one_message(usual: str, tmp_path: Path) -> None:
    """Every fourth row is written with the other sign: one message with line and column, whichever comes first."""
    rows = [f"{i / 2};{24.5 - 0.25 * i};{5.5 + i}" for i in range(12)]
    rows = [row if (i % 4 == 0) == (usual == ",") else row.replace(".", ",") for i, row in enumerate(rows)]
    file = tmp_path / "mixed.csv"
    file.write_text("\n".join(["time s;voltage V;current A", *rows]) + "\n")
    with pytest.raises(InputError) as caught:
        recognise(file)
    (problem,) = caught.value.problems
    other = "point" if usual == "," else "comma"
    assert (problem.line, problem.what[:10]) == (2, "column 1: ")
    assert problem.what.endswith(f"is written with a decimal {other}")
    assert "same decimal sign" in problem.fix
