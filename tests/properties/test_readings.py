"""What is written as a table is read as it was meant; what is none ends in a message, never a trace."""

import contextlib
import tempfile
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.errors import InputError, RotorwrightError
from rotorwright.measure.flight_log import LOG_QUANTITIES, Series, flight_log, means_over
from rotorwright.measure.quantities import QUANTITIES, si_of, unit_of
from rotorwright.measure.readings import read_file
from rotorwright.measure.tables import number_of

HEADINGS = ("time_s", "voltage_v", "current_a", "throttle_fraction")
numbers = st.floats(-1e4, 1e4).map(lambda x: float(f"{x:.6g}"))
delimiters = st.sampled_from([";", ",", "\t", "|", " ", "  ", ", ", "; "])


def written(rows: list[list[float]], delimiter: str, comma: bool, end: str) -> bytes:
    lines = [delimiter.join(f"{value:.6g}" for value in row) for row in rows]
    text = end.join([line.replace(".", ",") for line in lines] if comma else lines)
    return (delimiter.join(HEADINGS) + end + text + end).encode()


@settings(max_examples=60)
@given(
    rows=st.lists(st.lists(numbers, min_size=4, max_size=4), min_size=2, max_size=30),
    delimiter=delimiters,
    comma=st.booleans(),
    end=st.sampled_from(["\n", "\r\n", "\r"]),
)
def test_a_table_is_read_as_it_was_written(rows: list[list[float]], delimiter: str, comma: bool, end: str) -> None:
    """Against Python's own float of the same text: equal to the last bit but for one rounding."""
    comma = comma and delimiter.strip() != ","
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "t.csv"
        file.write_bytes(written(rows, delimiter, comma, end))
        found = read_file(file, LOG_QUANTITIES)
    for name, column in zip(("time", "voltage", "current", "throttle"), zip(*rows, strict=True), strict=True):
        assert found.columns[name] == pytest.approx(np.array(column), rel=1e-15, abs=0)
    assert found.lines.tolist() == list(range(2, len(rows) + 2))


@settings(max_examples=150)
@given(data=st.binary(max_size=400))
def test_any_bytes_end_in_a_message(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "t.csv"
        file.write_bytes(data)
        with pytest.raises(InputError):
            read_file(file).need("time", "voltage", "current")


GOOD = written([[0.1 * i, 24 - 0.01 * i, 5 + i % 3, 0.3] for i in range(200)], ",", False, "\n")


@settings(max_examples=150)
@given(
    cuts=st.lists(st.tuples(st.integers(0, len(GOOD)), st.integers(0, 6), st.binary(max_size=4)), max_size=8),
)
def test_a_damaged_log_is_read_or_refused(cuts: list[tuple[int, int, bytes]]) -> None:
    data = bytearray(GOOD)
    for at, length, put in cuts:
        data[at : at + length] = put
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "t.csv"
        file.write_bytes(bytes(data))
        with contextlib.suppress(RotorwrightError):
            log = flight_log(read_file(file, LOG_QUANTITIES))
            assert log.rows <= 1000
            assert np.isfinite(log.charge_ah)


@given(value=st.floats(allow_nan=False, allow_infinity=False))
def test_a_cell_is_what_python_says(value: float) -> None:
    assert number_of(repr(value)) == value
    assert number_of(repr(value).replace(".", ","), ",") == value


@given(
    values=st.lists(st.floats(0, 100), min_size=20, max_size=200),
    step=st.floats(0.05, 2.0),
)
def test_means_keep_the_mean(values: list[float], step: float) -> None:
    time = 0.1 * np.arange(len(values))
    series = Series(time, np.array(values), np.array(values))
    means = means_over(series, step)
    count = np.bincount(((time - time[0]) / step).astype(int))
    weighted = np.sum(means.voltage * count[count > 0]) / len(values)
    assert weighted == pytest.approx(np.mean(values), rel=1e-9, abs=1e-9)
    assert (np.diff(means.time) > 0).all()


def test_every_usual_unit_is_one_of_its_quantity() -> None:
    for quantity in QUANTITIES.values():
        for unit, _ in quantity.usual:
            assert unit_of(unit, quantity.dimension) == unit
            assert si_of(unit, quantity.dimension)[0] > 0
