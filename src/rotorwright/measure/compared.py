"""A flight's log against the craft's prediction, on one time axis, with the prediction's bounds.

The product's one model is driven by what the log itself says: the pack by the measured current, motors and rotors by
the measured throttle and voltage, the flight time by the measured profile. What differs then belongs to one of them.
The bounds are those of readings: calibration of the craft's own sensors is part of them.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import PowertrainColumns
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute, RotorwrightError
from rotorwright.measure.driven import DrivenTable, driven_table
from rotorwright.measure.flight_log import Flight, Series, means_over
from rotorwright.measure.hover_points import GAINS
from rotorwright.measure.pack_model import PACK, pack_voltages
from rotorwright.measure.profile import FlownProfile, flown_profile
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.physics.battery import open_circuit_voltage
from rotorwright.predict.airborne import Airborne, airborne
from rotorwright.predict.endurance import endurance, flown
from rotorwright.predict.result import Prediction

__all__ = ["SAMPLES", "Compared", "Comparison", "NumberCompared", "compare_with_log"]

Array = NDArray[np.float64]

SAMPLES = 256
"""Samples that make the bounds."""

_POINTS = 1200
_HELD, _PARTLY = 0.9, 0.5
_CALM_LOAD = 1.5
_FULL_ENOUGH = 0.97
_AT_ONCE = 16

HELD, PARTLY, MISSED = "the bar held", "the bar held in part", "the bar did not hold"


@dataclass(frozen=True, slots=True)
class Compared:
    """One quantity over the flight: measured, predicted and the bounds of the prediction, all at `time_s`."""

    quantity: str
    unit: str
    driven_by: str
    """What of the log drove the prediction."""
    mean_error: float
    """Measured less predicted, mean [unit]."""
    rms_error: float
    within: float
    """Share of the time at which the measured value lies within the bounds [1]."""
    verdict: str
    time_s: tuple[float, ...]
    measured: tuple[float, ...]
    predicted: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class NumberCompared:
    """One number of the whole flight."""

    name: str
    measured: float | None
    predicted: Prediction
    verdict: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """A craft against one flight of a log."""

    craft: str
    flight: int
    start_charge: float
    """State of charge that the prediction starts from [1]."""
    series: tuple[Compared, ...]
    numbers: tuple[NumberCompared, ...]
    profile: FlownProfile | None
    notes: tuple[str, ...]
    samples: int


def compare_with_log(
    craft: Craft, flight: Flight, name: str = "log", samples: int = SAMPLES, seed: int = 0
) -> Comparison:
    """Predict voltage, current, speed of rotation, mean current and flight time of `flight`, and judge the bounds.

    Raises CannotCompute when the craft lacks what flying takes, or the log is that of another number of cells.
    """
    ready = airborne(craft, samples, seed)
    columns = ready.columns
    _check_cells(columns, flight)
    start, known = _start_charge(columns, flight)
    notes = [] if known else ["nothing was logged before take-off: the pack is taken to have been full"]
    coarse = means_over(flight.series, max(1.0, flight.duration_s / _POINTS))
    gains = {name: ready.draws.factor(sd, f"sensor.{name}") for name, sd in GAINS.items()}
    series = [_voltage(columns, flight.series, coarse, start, gains)]
    top = float(np.max(np.abs(flight.series.speed))) if flight.series.speed is not None else 0.0
    table = driven_table(columns, 1.05 * float(flight.series.voltage.max()), top)
    if flight.series.throttle is not None:
        series += _driven(table, flight.series, coarse, gains)
        if flight.series.speed is None:
            notes.append("no speed was logged: rotors are taken to stand in still air, which overstates the current")
    profile, numbers = None, []
    try:
        profile = flown_profile(flight, name, table)
        numbers = _numbers(ready, flight, profile, start, gains["current"])
        notes += profile.notes
    except CannotCompute as reason:
        notes.append(f"flight time is not compared: {reason}")
    return Comparison(
        craft=craft.title.full,
        flight=flight.number,
        start_charge=start,
        series=tuple(series),
        numbers=tuple(numbers),
        profile=profile,
        notes=tuple(notes),
        samples=samples,
    )


def _check_cells(columns: PowertrainColumns, flight: Flight) -> None:
    cells = int(columns.craft["cells"][0])
    volts = float(np.median(flight.series.voltage)) / cells
    if not 2.5 < volts < 4.5:
        likely = round(volts * cells / 3.8)
        what = f"the log's {volts * cells:.1f} V are {volts:.2f} V for each of this craft's {cells} cells"
        raise CannotCompute(f"{what}: was it flown with {likely} cells?")


def _start_charge(columns: PowertrainColumns, flight: Flight) -> tuple[float, bool]:
    """State of charge at take-off from the resting voltage before it, full where that says so or is not known."""
    if flight.rest_before_v is None:
        return 1.0, False
    rest = flight.rest_before_v / float(columns.craft["cells"][0])
    chemistry = int(columns.craft["chemistry"][0])
    charges = np.linspace(0.0, 1.0, 401)
    volts = np.array([open_circuit_voltage(float(charge), chemistry) for charge in charges])
    found = float(np.interp(rest, volts, charges))
    return (1.0 if found > _FULL_ENOUGH else found), True


def _voltage(
    columns: PowertrainColumns, series: Series, coarse: Series, start: float, gains: Mapping[str, Array]
) -> Compared:
    """Voltage at the controllers from the measured current: the pack's own model, less what its leads drop."""
    craft = columns.craft
    predicted = np.empty((len(craft), len(coarse.time)))
    for i, row in enumerate(craft):
        pack = np.zeros(1, PACK)
        for name in ("cells", "chemistry", "capacity", "polarisation", "relaxation"):
            pack[name] = row[name]
        pack["start"], pack["resistance"] = start, row["battery_resistance"]
        pack["heat"], pack["cooling"] = row["pack_heat"], row["pack_cooling"]
        pack["air"], pack["warm"], pack["warming"] = row["air_temperature"], row["pack_start"], 1.0
        amps = series.current / gains["current"][i]
        volts = pack_voltages(pack, series.time, amps)[:, 0] - row["lead_resistance"] * amps
        predicted[i] = _on(coarse, series, volts[None, :])[0] * gains["voltage"][i]
    return _compared("voltage", "V", "the measured current", coarse.time, coarse.voltage, predicted)


def _on(coarse: Series, series: Series, values: Array) -> Array:
    """Means of values (samples, rows of `series`) at the moments of `coarse`."""
    edges = np.searchsorted(series.time, 0.5 * (coarse.time[1:] + coarse.time[:-1]))
    first = np.concatenate(([0], edges))
    count = np.diff(np.concatenate((first, [values.shape[1]])))
    return np.asarray(np.add.reduceat(values, first, axis=1) / count)


def _driven(table: DrivenTable, series: Series, coarse: Series, gains: Mapping[str, Array]) -> list[Compared]:
    """Current and, where logged, speed of rotation from the measured throttle and voltage."""
    assert series.throttle is not None
    rows = len(table.columns.craft)
    current, rotation = (np.empty((rows, len(coarse.time))) for _ in range(2))
    for first in range(0, rows, _AT_ONCE):
        own = slice(first, first + _AT_ONCE)
        throttle, voltage, read = (gains[name][own, None] for name in ("throttle", "voltage", "current"))
        found = table.part(own).at(series.throttle / throttle, series.voltage / voltage, series.speed)
        current[own] = _on(coarse, series, found.current * read)
        rotation[own] = _on(coarse, series, found.rotation)
    by = "the measured throttle and voltage"
    pairs = [_compared("current", "A", by, coarse.time, coarse.current, current)]
    if coarse.rotation is not None:
        pairs.append(_compared("rotation", "rad/s", by, coarse.time, coarse.rotation, rotation))
    return pairs


def _compared(quantity: str, unit: str, by: str, time: Array, measured: Array, predicted: Array) -> Compared:
    low, high = np.nanquantile(predicted[1:], (0.05, 0.95), axis=0) if len(predicted) > 20 else (predicted[0],) * 2
    low, high = np.minimum(low, predicted[0]), np.maximum(high, predicted[0])
    error = measured - predicted[0]
    within = float(np.mean((measured >= low) & (measured <= high)))
    verdict = HELD if within >= _HELD else PARTLY if within >= _PARTLY else MISSED
    if len(predicted) <= 20:
        verdict = "no bar was made"
    return Compared(
        quantity,
        unit,
        by,
        float(np.mean(error)),
        float(np.sqrt(np.mean(np.square(error)))),
        within,
        verdict,
        *(tuple(column.tolist()) for column in (time, measured, predicted[0], low, high)),
    )


def _numbers(
    ready: Airborne, flight: Flight, profile: FlownProfile, start: float, gain: Array
) -> list[NumberCompared]:
    """Mean current and flight time on the measured profile, to the voltage that the log came down to."""
    landing = _landing_voltage(flight) / float(ready.columns.craft["cells"][0])
    stated = Estimate(landing, 0.0, Basis.MEASURED)
    until = replace(ready.craft.flight, landing_voltage=stated, landing_rest_voltage=None)
    craft, full = replace(ready.craft, flight=until), start >= _FULL_ENOUGH
    try:
        flight_of = flown(craft, ready.columns, profile.profile, ready.draws)
        found = endurance(craft, ready.columns, profile.profile, flight_of)
    except RotorwrightError as reason:
        absent = Prediction.absent("s", str(reason))
        return [NumberCompared("flight time", flight.duration_s, absent, absent.reason or "")]
    mean = found.mean_current_a
    if mean.samples is not None:
        mean = Prediction.of(mean.samples * gain, "A", mean.reason)
    numbers = [_judged("mean current", flight.mean_current_a, mean)]
    time = found.time_s if full else Prediction.absent("s", "the pack was not full at take-off")
    numbers.append(_judged(f"time to {landing:.2f} V a cell", flight.duration_s, time))
    return numbers


def _judged(name: str, measured: float, predicted: Prediction) -> NumberCompared:
    if predicted.value is None:
        return NumberCompared(name, measured, predicted, f"not compared: {predicted.reason}")
    if predicted.low is None or predicted.high is None:
        return NumberCompared(name, measured, predicted, "no bar was made")
    return NumberCompared(name, measured, predicted, HELD if predicted.low <= measured <= predicted.high else MISSED)


def _landing_voltage(flight: Flight) -> float:
    """Voltage under a calm load at the end of the flight: what the pilot read [V]."""
    seconds = means_over(flight.series, 1.0)
    calm = seconds.current <= 1.3 * np.median(seconds.current)
    if seconds.load is not None and (seconds.load <= _CALM_LOAD).any():
        calm = seconds.load <= _CALM_LOAD
    return float(np.median(seconds.voltage[calm][-5:]))
