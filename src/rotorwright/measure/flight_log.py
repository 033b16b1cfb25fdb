"""A flight log: what was flown, cut out of the whole, with the charge it took.

The log is reduced once to means over a tenth of a second; stretches, resistance and profile all work on those. Sums
(charge, energy) and peaks come from every row.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from rotorwright.errors import InputError
from rotorwright.measure.faults import Checked, Fault, check_readings
from rotorwright.measure.readings import Readings
from rotorwright.physics.air import GRAVITY

__all__ = ["LOG_QUANTITIES", "Flight", "FlightLog", "Series", "flight_log", "means_over", "stretches_of"]

Array = NDArray[np.float64]

LOG_QUANTITIES = ("time", "voltage", "current", "throttle", "rotation", "acceleration", "speed")
"""What a log may hold; the first three it must."""

_STEP = 0.1
# Flying: more than this share of the usual current, with pauses shorter than a dive and no shorter than a hop.
# From experience, no source.
_ACTIVE, _PAUSE, _SHORTEST = 0.35, 6.0, 5.0


@dataclass(frozen=True, slots=True)
class Series:
    """Columns on one time axis [s] in SI; `load` is what an accelerometer reads over g [1]. None where not logged."""

    time: Array
    voltage: Array
    current: Array
    throttle: Array | None = None
    rotation: Array | None = None
    load: Array | None = None
    speed: Array | None = None

    def part(self, first: int, stop: int) -> "Series":
        """Rows from `first` to before `stop`."""
        return Series(*(None if c is None else c[first:stop] for c in self.columns))  # type: ignore[arg-type]

    @property
    def columns(self) -> tuple[Array | None, ...]:
        """All columns in their order."""
        return self.time, self.voltage, self.current, self.throttle, self.rotation, self.load, self.speed


@dataclass(frozen=True, slots=True)
class Flight:
    """One flight of a log, from taking off to landing."""

    number: int
    start_s: float
    end_s: float
    duration_s: float
    charge_ah: float
    energy_wh: float
    mean_current_a: float
    peak_current_a: float
    lowest_voltage_v: float
    rest_before_v: float | None
    """Voltage just before it with next to no load; None when the log begins in the air."""
    rest_after_v: float | None
    series: Series = field(repr=False, metadata={"printed": False})
    """Means over a tenth of a second."""


@dataclass(frozen=True, slots=True)
class FlightLog:
    """A log with its flights, and what was not trusted in it."""

    file: Path
    rows: int
    rate_hz: float
    duration_s: float
    charge_ah: float
    flights: tuple[Flight, ...]
    faults: tuple[Fault, ...]
    rows_set_aside: int
    notes: tuple[str, ...]
    series: Series = field(repr=False, metadata={"printed": False})
    """The whole log as means over a tenth of a second."""

    def flight(self, number: int = 0) -> Flight:
        """A flight by its number from 1, the longest for 0; InputError when there is none."""
        if not 0 <= number <= len(self.flights) or not self.flights:
            from rotorwright.errors import Problem

            what = f"no flight {number} in the log" if self.flights else "the log holds no flight"
            fix = f"It holds {len(self.flights)}." if self.flights else "Log from arming to landing."
            raise InputError(Problem(what, fix, "", self.file))
        return self.flights[number - 1] if number else max(self.flights, key=lambda flight: flight.duration_s)


def flight_log(readings: Readings) -> FlightLog:
    """The flights in `readings`; InputError when time, voltage or current is missing or spoilt."""
    checked = check_readings(readings, *LOG_QUANTITIES[:3], ordered=True)
    raw = _raw(checked)
    if len(raw.time) < 3:
        what = f"only {len(raw.time)} rows can be used"
        raise InputError(readings.problem(readings.form.first_line, what, "Log longer."))
    series = means_over(raw, _STEP)
    flights = [_flight(number, raw, series, *span) for number, span in enumerate(_flown(series), start=1)]
    some = np.diff(raw.time[:50_000])
    return FlightLog(
        file=readings.file,
        rows=readings.rows,
        rate_hz=float(1.0 / np.median(some)),
        duration_s=float(raw.time[-1] - raw.time[0]),
        charge_ah=_integral(raw.current, raw.time) / 3600.0,
        flights=tuple(flights),
        faults=checked.faults,
        rows_set_aside=checked.set_aside,
        notes=tuple(_notes(readings, checked)),
        series=series,
    )


def _raw(checked: Checked) -> Series:
    time, voltage, current, throttle, rotation, acceleration, speed = map(checked.column, LOG_QUANTITIES)
    assert time is not None and voltage is not None and current is not None
    load = None if acceleration is None else acceleration / GRAVITY
    return Series(time, voltage, current, throttle, rotation, load, speed)


def _notes(readings: Readings, checked: Checked) -> Sequence[str]:
    notes = [fault.words for fault in checked.faults if not fault.set_aside and fault.quantity != "time"][:3]
    for name in LOG_QUANTITIES[3:]:
        if readings.get(name) is None:
            notes.append(f"the log has no {name}: {_WITHOUT[name]}")
    return notes


_WITHOUT = {
    "throttle": "full throttle and the prediction of current are left out",
    "rotation": "speeds of rotation are not compared",
    "acceleration": "load factors come from elsewhere",
    "speed": "the profile is taken as flown without speed, and hover cannot be told from slow flight",
}


def means_over(series: Series, step: float) -> Series:
    """Means over steps of time [s]; a column that is sampled more rarely is filled in between."""
    cell = ((series.time - series.time[0]) / step).astype(np.int64)
    first = np.concatenate(([0], np.flatnonzero(np.diff(cell)) + 1))
    count = np.diff(np.concatenate((first, [len(cell)])))
    time = np.add.reduceat(series.time, first) / count

    def mean(values: Array | None) -> Array | None:
        if values is None:
            return None
        there = np.isfinite(values)
        if there.all():
            return np.asarray(np.add.reduceat(values, first) / count)
        if not there.any():
            return None
        number = np.add.reduceat(there.astype(float), first)
        with np.errstate(invalid="ignore", divide="ignore"):
            means = np.add.reduceat(np.where(there, values, 0.0), first) / number
        known = number > 0
        return np.asarray(np.interp(time, time[known], means[known]))

    voltage, current = mean(series.voltage), mean(series.current)
    assert voltage is not None and current is not None
    return Series(time, voltage, current, *map(mean, series.columns[3:]))


def stretches_of(
    mask: NDArray[np.bool_], time: Array, pause: float = 0.0, shortest: float = 0.0
) -> list[tuple[int, int]]:
    """Runs of True as (first, stop), joined over pauses and kept from a length on [s], never across a gap in time."""
    if len(time) < 2:
        return []
    steps = np.diff(time)
    usual = float(np.median(steps))
    cut = (mask[1:] != mask[:-1]) | (steps > max(pause, 3.0 * usual))
    edges = [0, *(np.flatnonzero(cut) + 1).tolist(), len(mask)]
    runs: list[tuple[int, int]] = []
    for first, stop in pairwise(edges):
        if not mask[first]:
            continue
        if runs and time[first] - time[runs[-1][1] - 1] <= pause:
            runs[-1] = (runs[-1][0], stop)
        else:
            runs.append((first, stop))
    return [(first, stop) for first, stop in runs if time[stop - 1] - time[first] + usual >= shortest]


def _flown(series: Series) -> list[tuple[int, int]]:
    """Spans of the series in the air."""
    current = series.current
    loaded = current > 0.1 * np.quantile(current, 0.99)
    if series.throttle is not None:
        loaded &= series.throttle > 0.02
    if not loaded.any():
        return []
    active = current > _ACTIVE * np.median(current[loaded])
    if series.throttle is not None:
        active &= series.throttle > 0.02
    return stretches_of(active, series.time, _PAUSE, _SHORTEST)


def _integral(values: Array, time: Array) -> float:
    """Integral over time by trapezoids."""
    steps = np.diff(time)
    return float(0.5 * (np.dot(values[1:], steps) + np.dot(values[:-1], steps)))


def _flight(number: int, raw: Series, series: Series, first: int, stop: int) -> Flight:
    start, end = float(series.time[first]), float(series.time[stop - 1])
    a, b = np.searchsorted(raw.time, [start, end])
    own = raw.part(int(a), int(b) + 1)
    charge = _integral(own.current, own.time)
    return Flight(
        number=number,
        start_s=start,
        end_s=end,
        duration_s=end - start,
        charge_ah=charge / 3600.0,
        energy_wh=_integral(own.voltage * own.current, own.time) / 3600.0,
        mean_current_a=charge / max(float(own.time[-1] - own.time[0]), 1e-9),
        peak_current_a=float(own.current.max()),
        lowest_voltage_v=float(own.voltage.min()),
        rest_before_v=_rest(series, first, before=True),
        rest_after_v=_rest(series, stop, before=False),
        series=series.part(first, stop),
    )


def _rest(series: Series, at: int, before: bool) -> float | None:
    """Voltage with next to no load right before a flight, or the last within a minute after it."""
    near = slice(max(at - 50, 0), at) if before else slice(at, at + 600)
    calm = series.current[near] < 0.12 * np.quantile(series.current, 0.9)
    volts = series.voltage[near][calm]
    return float(np.mean(volts[-10:])) if len(volts) >= 3 else None
