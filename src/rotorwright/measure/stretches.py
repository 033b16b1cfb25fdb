"""Stretches of a flight that say one thing clearly: hover, full throttle, and steps of load on the pack."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.measure.fit import FittedValue
from rotorwright.measure.flight_log import Series, means_over, stretches_of

__all__ = ["STANDING", "Stretch", "full_throttle_stretches", "hover_stretches", "load_step_resistance"]

Array = NDArray[np.float64]

# What counts as hovering: two seconds in which the means of half seconds move no more than a tenth, or than what they
# jump by from one to the next all flight long, up to a limit: more is flying. From experience, no source.
_HOVER_SECONDS, _HALF_SECOND, _STEADY, _LEVEL = 2.0, 0.5, 0.10, 0.07
_NOISE_TIMES, _MOST_NOISE = 1.5, {"throttle": 0.15, "current with throttle": 0.6, "current alone": 0.2}
STANDING = 2.0
"""[m/s] below which a craft stands rather than flies, by its own log."""
_FULL, _FULL_SECONDS = 0.97, 0.3
_STEP_AMPS, _STEP_SHARE = 2.0, 0.08


@dataclass(frozen=True, slots=True)
class Stretch:
    """Means over one stretch; None where the log does not hold it."""

    kind: str
    start_s: float
    duration_s: float
    voltage_v: float
    current_a: float
    throttle: float | None
    rotation_rad_per_s: float | None
    load_factor: float | None
    speed_m_per_s: float | None


def _stretch(kind: str, series: Series, first: int, stop: int) -> Stretch:
    part = series.part(first, stop)
    means = [None if column is None else float(np.mean(column)) for column in part.columns]
    duration = float(part.time[-1] - part.time[0]) + _usual_step(series)
    assert means[1] is not None and means[2] is not None
    return Stretch(kind, float(part.time[0]), duration, means[1], means[2], *means[3:])


def _usual_step(series: Series) -> float:
    return float(np.median(np.diff(series.time))) if len(series.time) > 1 else 0.0


def hover_stretches(series: Series) -> tuple[Stretch, ...]:
    """Stretches of two seconds and more with current and throttle steady within their own noise, at one g and
    standing where that is logged.

    Without speed, level flight at one speed counts too.
    """
    series = means_over(series, _HALF_SECOND) if len(series.time) else series
    count = round(_HOVER_SECONDS / max(_usual_step(series), 1e-3))
    if count < 2 or len(series.time) < count:
        return ()
    alone = "current alone" if series.throttle is None else "current with throttle"
    calm = _calm(series.current, count, _steady(series.current, _MOST_NOISE[alone]))
    if series.throttle is not None:
        still = _calm(series.throttle, count, _steady(series.throttle, _MOST_NOISE["throttle"]))
        calm &= still & (series.throttle > 0.05) & (series.throttle < 0.8)
    if series.load is not None:
        calm &= _within(series.load, count, 1.0 - _LEVEL, 1.0 + _LEVEL)
    if series.speed is not None:
        calm &= np.abs(series.speed) < STANDING
    spans = stretches_of(calm, series.time, 1.5 * _usual_step(series), _HOVER_SECONDS)
    return tuple(_stretch("hover", series, first, stop) for first, stop in spans)


def _steady(values: Array, most: float) -> float:
    """Share of its mean by which a column may scatter in a hover: more where it is noisy all flight long."""
    middle = float(np.median(np.abs(values)))
    jumps = 1.4826 * float(np.median(np.abs(np.diff(values)))) / np.sqrt(2.0)
    return max(_STEADY, min(_NOISE_TIMES * jumps / middle, most)) if middle > 0.0 else _STEADY


def _windows(values: Array, count: int) -> tuple[Array, Array]:
    """Mean and standard deviation over every window of `count` rows."""
    sums = np.cumsum(np.concatenate(([0.0], values)))
    squares = np.cumsum(np.concatenate(([0.0], values * values)))
    mean = (sums[count:] - sums[:-count]) / count
    return mean, np.sqrt(np.maximum((squares[count:] - squares[:-count]) / count - mean**2, 0.0))


def _spread(good: NDArray[np.bool_], count: int, rows: int) -> NDArray[np.bool_]:
    """Every row that lies in a good window."""
    hits = np.zeros(rows + 1)
    first = np.flatnonzero(good)
    np.add.at(hits, first, 1.0)
    np.add.at(hits, first + count, -1.0)
    return np.asarray(np.cumsum(hits)[:rows] > 0.5)


def _calm(values: Array, count: int, share: float) -> NDArray[np.bool_]:
    mean, sd = _windows(values, count)
    return _spread((sd < share * np.abs(mean)) & (mean > 0.0), count, len(values))


def _within(values: Array, count: int, low: float, high: float) -> NDArray[np.bool_]:
    mean, _ = _windows(values, count)
    return _spread((mean >= low) & (mean <= high), count, len(values))


def full_throttle_stretches(series: Series) -> tuple[Stretch, ...]:
    """Stretches at 97 % throttle and more, of three tenths of a second and longer."""
    if series.throttle is None:
        return ()
    spans = stretches_of(series.throttle >= _FULL, series.time, 0.0, _FULL_SECONDS)
    return tuple(_stretch("full throttle", series, first, stop) for first, stop in spans)


def load_step_resistance(series: Series) -> FittedValue | None:
    """Resistance of the pack as log and leads see it [ohm], from how voltage follows current from second to second.

    dV = -R dI + c over neighbouring means of one second; a seconds-long step is what R0 of the pack's model means.
    None when the load never changes enough.
    """
    seconds = means_over(series, 1.0)
    if len(seconds.time) < 10:
        return None
    apart = np.diff(seconds.time) < 1.6
    dV, dI = np.diff(seconds.voltage)[apart], np.diff(seconds.current)[apart]
    stepped = np.abs(dI) > max(_STEP_AMPS, _STEP_SHARE * float(np.ptp(seconds.current)))
    if stepped.sum() < 8:
        return None
    x, y = dI[stepped], dV[stepped]
    used = np.ones(len(x), dtype=np.bool_)
    slope = error = 0.0
    for _ in range(4):
        slope, offset = np.polyfit(x[used], y[used], 1)
        left = y - slope * x - offset
        scale = 1.4826 * float(np.median(np.abs(left[used]))) + 1e-6
        error = float(np.std(left[used]) / (np.std(x[used]) * np.sqrt(max(used.sum() - 2, 1))))
        used = np.abs(left) < 3.5 * scale
        if used.sum() < 6:
            return None
    # neighbouring differences share a mean, so that fewer are independent
    note = f"from {int(used.sum())} steps of load; as warm as the pack was, with what lies between it and the sensor"
    return FittedValue("battery", "resistance", float(-slope), float(1.3 * error), "ohm", note)
