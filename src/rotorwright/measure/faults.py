"""What in a table should not be trusted: empty, unbelievable, out of order, spiked, clipped or reversed values.

Every fault says its rows, lines and reason. Rows with a fault are set aside, never mended; what spoils a whole column
or the order of the whole file is an error, with the line.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.errors import InputError, Problem
from rotorwright.measure.quantities import QUANTITIES
from rotorwright.measure.readings import Readings

__all__ = ["Checked", "Fault", "check_readings"]

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

_SPOILT = 0.05  # share of a column that is unbelievable, beyond which its unit is wrong or changes
_RESTART = 0.01  # share of rows behind a jump back in time, beyond which a second log begins there
_SPIKE, _SPIKE_SHARE = 20.0, 0.05  # times the usual step, and share of the column's range
_GAP_STEPS, _GAP_SECONDS = 10.0, 0.25
_CLIPPED_ROWS, _CLIPPED_NEAR = 8, 3.0
_LISTED = 200


@dataclass(frozen=True, slots=True)
class Fault:
    """Rows of one run that are not trusted, or a note about them."""

    reason: str
    """Plain words, lower case, no full stop."""
    quantity: str
    first_line: int
    last_line: int
    rows: int
    set_aside: bool
    """False for a note: the rows are used."""

    @property
    def words(self) -> str:
        """As a sentence about lines of the file."""
        where = f"line {self.first_line}" if self.rows == 1 else f"lines {self.first_line} to {self.last_line}"
        return f"{where}: {self.reason}"


@dataclass(frozen=True, slots=True)
class Checked:
    """Readings, which rows may be used, and why the others may not."""

    readings: Readings
    keep: Mask
    """Of shape (rows,)."""
    faults: tuple[Fault, ...]
    """At most 200 runs; `set_aside` counts all rows."""

    @property
    def set_aside(self) -> int:
        """Rows that are not used."""
        return int(len(self.keep) - self.keep.sum())

    def column(self, quantity: str) -> Array | None:
        """A column's rows that may be used, or None."""
        values = self.readings.get(quantity)
        return values if values is None or self.keep.all() else values[self.keep]

    def line(self, row: int) -> int:
        """Line of a row, counted among those that are kept."""
        return int(self.readings.lines[np.flatnonzero(self.keep)[row]])


def check_readings(readings: Readings, *needed: str, ordered: bool = False) -> Checked:
    """Flag what should not be trusted in `readings`.

    needed: quantities without which a row is of no use; ordered: rows are moments of a log, so that time must run
    forward and neighbours belong together
    Raises InputError for a needed column that is missing, for units that cannot be, and for time that starts again.
    """
    readings.need(*needed)
    _refuse_spoilt(readings, needed)
    flags: list[tuple[str, str, Mask, bool]] = []
    for name in needed:
        flags.append((f"no {name}", name, np.isnan(readings.columns[name]), True))
    for name, values in readings.columns.items():
        if (wrong := _unbelievable(name, values)) is not None:
            flags.append((f"{name} is not believable", name, wrong, True))
    flags += _of_a_log(readings) if ordered else _of_a_table(readings)
    keep = np.ones(readings.rows, dtype=np.bool_)
    faults: list[Fault] = []
    for reason, name, mask, aside in flags:
        new = mask & keep if aside else mask
        if not new.any():
            continue
        faults += list(_runs(readings, reason, name, new, aside))[: _LISTED - len(faults)]
        keep &= ~mask if aside else True
    if not keep.any():
        what = f"no row can be used: {faults[0].reason}" if faults else "there are no rows"
        raise InputError(readings.problem(readings.form.first_line, what, "Look at the file and its columns."))
    return Checked(readings, keep, tuple(sorted(faults, key=lambda fault: fault.first_line)))


def _runs(readings: Readings, reason: str, name: str, mask: Mask, aside: bool) -> Iterator[Fault]:
    """One fault for each run of flagged rows."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], mask, [False])).astype(np.int8)))
    for first, stop in zip(edges[::2], edges[1::2], strict=True):
        lines = int(readings.lines[first]), int(readings.lines[stop - 1])
        yield Fault(reason, name, *lines, int(stop - first), aside)


def _refuse_spoilt(readings: Readings, needed: tuple[str, ...]) -> None:
    """Raise for a column whose values cannot be in the unit it is read in, or are all of the wrong sign."""
    problems: list[Problem] = []
    for name, values in readings.columns.items():
        column = readings.mapping.of(name)[0]
        place, wrong = readings.place(column.heading), _unbelievable(name, values)
        share = wrong.sum() / max(int(np.isfinite(values).sum()), 1) if wrong is not None else 0.0
        if wrong is not None and share > _SPOILT:
            first = int(np.argmax(wrong))
            what = f"column {place}: {name} read in '{column.unit}' is not believable in {share:.0%} of rows"
            fix = f"Say its unit, as in --take {name}={column.heading}:UNIT; one column holds one unit."
            problems.append(readings.problem(int(readings.lines[first]), what, fix))
        elif name in needed and name in ("current", "thrust") and _reversed(values):
            what = f"column {place}: {name} is negative under load, as from a reversed sensor"
            fix = f"Turn it, as in --take {name}={column.heading}:{column.unit}:0:-1."
            problems.append(readings.problem(readings.form.first_line, what, fix))
    if problems:
        raise InputError(*problems)


def _unbelievable(name: str, values: Array) -> Mask | None:
    """Rows beyond the bounds of a quantity; None when there are none."""
    low, high = QUANTITIES[name].lowest, QUANTITIES[name].highest
    if np.fmin.reduce(values) < low or np.fmax.reduce(values) > high:
        return (values < low) | (values > high)
    return None


def _reversed(values: Array) -> bool:
    """Whether most of what is large is negative."""
    low, high = float(np.fmin.reduce(values)), float(np.fmax.reduce(values))
    if low >= 0.0:
        return False
    least = 0.3 * max(-low, high)
    return bool((values < -least).sum() > (values > least).sum())


def _of_a_log(readings: Readings) -> Iterator[tuple[str, str, Mask, bool]]:
    """Faults of rows that follow each other in time."""
    time = readings.columns["time"]
    latest = np.fmax.accumulate(time)
    late = np.zeros(len(time), dtype=np.bool_)
    late[1:] = ~(time[1:] > latest[:-1]) & np.isfinite(time[1:])
    _refuse_restart(readings, time, latest, late)
    yield "time stands still or runs backward", "time", late, True
    forward = time[~late & np.isfinite(time)]
    steps = np.diff(forward)
    usual = float(np.median(steps[:: len(steps) // 50_000 + 1])) if len(steps) else 0.0
    gaps = np.zeros(len(time), dtype=np.bool_)
    wide = np.concatenate(([False], steps > max(_GAP_STEPS * usual, _GAP_SECONDS)))
    gaps[np.flatnonzero(~late & np.isfinite(time))[wide]] = True
    if gaps.any():
        longest = float(steps.max())
        yield f"a gap before this row; the longest of the log is {longest:.3g} s", "time", gaps, False
    spikes = {name: _spikes(readings.columns[name]) for name in _SPIKED if name in readings.columns}
    for name, mask in spikes.items():
        other = spikes.get({"voltage": "current", "current": "voltage"}.get(name, ""))
        yield f"{name} leaps for one row", name, mask if other is None else mask & ~other, True
    for name in ("current", "acceleration"):
        if (values := readings.get(name)) is not None and (mask := _clipped(values)).any():
            yield _at_its_end(name, values), name, mask, False


def _of_a_table(readings: Readings) -> Iterator[tuple[str, str, Mask, bool]]:
    """Faults of rows that are points of their own: a sensor at its end while what drives it goes on growing."""
    driver = next((readings.columns[name] for name in _DRIVERS if name in readings.columns), None)
    for name in ("current", "thrust", "torque"):
        values = readings.get(name)
        if values is None or driver is None or not np.isfinite(values).any():
            continue
        mask = values >= np.nanmax(values)
        with_it = driver[mask & np.isfinite(driver)]
        if len(with_it) >= _ENOUGH and np.ptp(with_it) > 0.05 * np.nanmax(np.abs(driver)):
            yield _at_its_end(name, values), name, mask, True


def _at_its_end(name: str, values: Array) -> str:
    return f"{name} stays at its largest value of {np.nanmax(values):.4g}: the sensor is at its end"


_SPIKED = ("voltage", "current", "rotation")
_DRIVERS = ("rotation", "throttle")
_ENOUGH = 4


def _refuse_restart(readings: Readings, time: Array, latest: Array, late: Mask) -> None:
    if late.sum() <= _RESTART * len(time):
        return
    first = int(np.argmax(late))
    then = time[first + 1 : first + 21]
    still = bool(np.nanmax(time) == np.nanmin(time))
    what = f"column {readings.place(readings.mapping.of('time')[0].heading)}: time "
    if still:
        what, fix = f"{what}stands still", "Name another column as time."
    elif np.count_nonzero(then < latest[first]) > 0.5 * len(then) and time[first] < latest[first - 1]:
        what = f"{what}jumps back from {latest[first - 1]:.6g} s to {time[first]:.6g} s and goes on from there"
        fix = "Cut the file in two: it holds two logs."
    else:
        what = f"{what}does not run forward in {late.mean():.0%} of rows"
        fix = "Name another column as time, or its finer unit; give each moment once."
    raise InputError(readings.problem(int(readings.lines[first]), what, fix))


def _spikes(values: Array) -> Mask:
    """Rows that leap away from both neighbours, which agree with each other."""
    mask = np.zeros(len(values), dtype=np.bool_)
    if len(values) < 20:
        return mask
    step = np.diff(values)
    floor = _SPIKE_SHARE * float(np.fmax.reduce(values) - np.fmin.reduce(values))
    usual = float(np.nanmedian(np.abs(step[:: len(step) // 50_000 + 1])))
    limit = max(_SPIKE * usual, floor)
    leaps = (step > limit) | (step < -limit)
    rows = np.flatnonzero(leaps[:-1] & leaps[1:])
    up, down = step[rows], step[rows + 1]
    mask[rows[(up * down < 0) & (np.abs(up + down) < 0.3 * limit)] + 1] = True
    return mask


def _clipped(values: Array) -> Mask:
    """Rows at the very largest value, where more stand than just below it."""
    none = np.zeros(len(values), dtype=np.bool_)
    top, low = float(np.fmax.reduce(values)), float(np.fmin.reduce(values))
    at_top = values >= top
    if at_top.sum() < _CLIPPED_ROWS:
        return none
    near = (values >= top - 0.03 * (top - low)) & ~at_top
    run = at_top[1:] & at_top[:-1]
    piled = at_top.sum() > _CLIPPED_NEAR * near.sum() and run.any()
    return at_top if piled and top > low else none
