"""Rows that cannot be trusted are set aside with their line and reason; what spoils the file is refused."""

from pathlib import Path

import numpy as np
import pytest

from rotorwright.errors import InputError
from rotorwright.measure.faults import Checked, check_readings
from rotorwright.measure.readings import read_file

NEEDED = ("time", "voltage", "current")


def checked(
    tmp_path: Path, rows: np.ndarray, ordered: bool = True, head: str = "time_s,voltage_v,current_a"
) -> Checked:
    file = tmp_path / "log.csv"
    np.savetxt(file, rows, delimiter=",", header=head, comments="", fmt="%.6g")
    return check_readings(read_file(file), *(NEEDED if ordered else ()), ordered=ordered)


def log(rows: int = 400) -> np.ndarray:
    t = np.arange(rows) * 0.01
    current = 10 + 3 * np.sin(t * 3)
    return np.column_stack([t, 25 - 0.04 * current + 0.002 * np.sin(911 * t), current])


def test_a_clean_log_has_no_faults(tmp_path: Path) -> None:
    found = checked(tmp_path, log())
    assert found.faults == ()
    assert found.set_aside == 0


def test_each_fault_has_its_line_and_reason(tmp_path: Path) -> None:
    rows = log()
    rows[50, 1] = np.nan
    rows[100, 0] = rows[99, 0]
    rows[150, 1] += 8.0
    rows[200:, 0] += 5.0
    found = checked(tmp_path, rows)
    said = [(fault.first_line, fault.reason.split(";")[0], fault.set_aside) for fault in found.faults]
    assert said == [
        (52, "no voltage", True),
        (102, "time stands still or runs backward", True),
        (152, "voltage leaps for one row", True),
        (202, "a gap before this row", False),
    ]
    assert found.set_aside == 3
    assert found.line(150) == 155


def test_a_punch_that_voltage_and_current_share_is_no_fault(tmp_path: Path) -> None:
    rows = log()
    rows[150, 1:] = 20.0, 60.0
    assert checked(tmp_path, rows).set_aside == 0


def test_a_sensor_at_its_end_is_noted_in_a_log(tmp_path: Path) -> None:
    rows = log()
    rows[:, 2] = np.minimum(rows[:, 2] * 2, 22.0)
    (fault,) = {fault.reason for fault in checked(tmp_path, rows).faults}
    assert fault == "current stays at its largest value of 22: the sensor is at its end"
    assert checked(tmp_path, rows).set_aside == 0


def test_a_sensor_at_its_end_is_set_aside_on_a_stand(tmp_path: Path) -> None:
    rotation = np.linspace(5000, 25000, 20)
    thrust = np.minimum(1e-6 * rotation**2, 400.0)
    head = "rpm,thrust (g),current (A),voltage (V)"
    found = checked(tmp_path, np.column_stack([rotation, thrust, rotation / 1e3, 16 + 0 * rotation]), False, head)
    assert found.set_aside == 5
    assert "at its end" in found.faults[0].reason


REFUSED = {
    "reversed current": (lambda r: np.column_stack([r[:, :2], -r[:, 2]]), "negative under load.*:0:-1"),
    "millivolts": (
        lambda r: np.column_stack([r[:, 0], 1e3 * r[:, 1], r[:, 2]]),
        "read in 'v' is not believable in 100%",
    ),
    "two units in a column": (
        lambda r: np.where(np.arange(400)[:, None] > 200, r * [1, 1e3, 1], r),
        "csv:203: .*one unit",
    ),
    "a second log behind": (lambda r: np.vstack([r, r]), "csv:402: .*jumps back from 3.99 s to 0 s"),
    "coarse time": (lambda r: np.column_stack([np.floor(r[:, 0]), r[:, 1:]]), "does not run forward in 99% of rows"),
    "one moment": (lambda r: np.column_stack([0 * r[:, 0], r[:, 1:]]), "time stands still"),
    "nothing": (lambda r: np.column_stack([r[:, 0], np.nan * r[:, 1], r[:, 2]]), "holds no values"),
}


@pytest.mark.parametrize("name", list(REFUSED))
def test_what_spoils_a_log_is_refused(name: str, tmp_path: Path) -> None:
    change, message = REFUSED[name]
    with pytest.raises(InputError, match=message):
        checked(tmp_path, change(log()))
