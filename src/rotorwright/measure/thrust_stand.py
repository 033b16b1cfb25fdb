"""Thrust-stand rows to the motor's and the propeller's numbers.

At a measured rotation omega and voltage V the stand's row (`stand_model`) says thrust, torque, current and duty:

    T = CT rho n^2 D^4,  Q = CP rho n^3 D^5/omega,  I = I0(omega) + Q/Kt
    d V = Kt omega + I (R + Rc),  amps = d I + controller/V

with CT, CP of the rotor's table times level and Reynolds slope. Readings of all instruments are fitted together with
what the parts' files say (`belief`), and with a calibration factor for each instrument.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.errors import CannotCompute
from rotorwright.measure.belief import Found, find
from rotorwright.measure.fit import Fit, SetAside, set_aside
from rotorwright.measure.stand_model import Bench, StandRows, bench_row, stand_readings

__all__ = ["StandPoint", "bench_points", "fit_stand", "fit_stand_points", "solve_stand"]

Array = NDArray[np.float64]

_INSTRUMENTS = ("thrust", "torque", "current", "throttle")
_UNIT = {"thrust": "thrust_n", "torque": "torque_n_m", "current": "amps_a", "throttle": "throttle_1"}
# Scatter of one reading, a share of it and a floor [SI]: from experience with such tools, no source. The rows' own
# scatter replaces them where there are enough rows.
_RELATIVE = {"thrust": 0.01, "torque": 0.015, "current": 0.01, "throttle": 0.0}
_FLOOR = {"thrust": 0.015, "torque": 4e-4, "current": 0.03, "throttle": 0.01}
_FULL = 0.995  # throttle from which duty is one, whatever the controller makes of smaller ones
_FULL_SD = 2e-3


@dataclass(frozen=True, slots=True)
class StandPoint:
    """One static point of a propeller as a fit says it, for the bench points of its file."""

    rotation: float
    """[rad/s]."""
    thrust: float
    """[N]."""
    power: float
    """At the shaft [W]; NaN where the fit does not know it."""


def fit_stand(rows: StandRows, bench: Bench) -> Fit:
    """Fit the stand's rows.

    Raises CannotCompute when no row can be used, or thrust is a factor off what such a propeller gives.
    """
    return fit_stand_points(rows, bench)[0]


def fit_stand_points(rows: StandRows, bench: Bench) -> tuple[Fit, tuple[StandPoint, ...]]:
    """The fit, and three static points that carry it into the propeller's file; as `fit_stand`."""
    found, flagged = solve_stand(rows, bench)
    left = _left_over(rows, bench, found)
    used = {name: np.where(_unused(found, rows, name), np.nan, r) for name, r in left.items()}
    there = np.any([np.isfinite(r) for r in used.values()], axis=0)
    fit = Fit(
        name="thrust stand",
        values=found.values,
        covariance=found.covariance,
        rows_used=int(there.sum()),
        rows_set_aside=tuple(sorted((*flagged, *_marked(found, rows, left)), key=lambda s: s.row)),
        residual_sd={_UNIT[name]: _spread(r) for name, r in used.items() if np.isfinite(r).any()},
        residuals={_UNIT[name]: r for name, r in used.items() if np.isfinite(r).any()},
        identifies=found.identifies,
        notes=_notes(rows, found),
        aside={_UNIT[name]: np.where(_marks(found, len(rows), name), r, np.nan) for name, r in left.items()},
    )
    return fit, bench_points(rows, bench, found)


def solve_stand(rows: StandRows, bench: Bench) -> tuple[Found, tuple[SetAside, ...]]:
    """Every number of the stand after the rows, and the rows that were set aside before the fit; as `fit_stand`."""
    with np.errstate(invalid="ignore"):
        _check_size(rows.part((rows.rotation > 0) & (rows.volts > 0) & (rows.thrust > 0)), bench)
    flags = _flags(rows, bench)
    bad = np.any(list(flags.values()), axis=0)
    if bad.all():
        worst = set_aside(flags)
        raise CannotCompute(f"no row of the thrust stand can be used: {worst[0].reason}" if worst else "no rows")
    kept, n = rows.part(~bad), int((~bad).sum())
    sd = _scatter(kept)

    def residuals(numbers: dict[str, float]) -> Array:
        out = np.full((4, len(rows)), np.nan)
        out[:, ~bad] = (_measured(kept) - _expected(kept, bench, numbers)) / sd
        return out.ravel()

    group = np.repeat(np.arange(4), len(rows))
    assert n > 0
    return find(bench.beliefs, residuals, group=group, correlations=bench.correlations, ordered=True), set_aside(
        flags
    )


def _measured(rows: StandRows) -> Array:
    """What the instruments read, (4, n)."""
    return np.stack([np.where(rows.bare, np.nan, rows.thrust), rows.torque, rows.amps, rows.throttle])


def _expected(rows: StandRows, bench: Bench, numbers: dict[str, float]) -> Array:
    """What they would read, (4, n): the model's numbers by the instruments' calibration."""
    volts = rows.volts / numbers["voltage_gain"]
    found = stand_readings(bench.columns, bench_row(bench, numbers), rows.rotation, volts, rows.bare).T
    full = rows.throttle >= _FULL
    gains = [numbers[f"{name}_gain"] for name in _INSTRUMENTS]
    found *= np.array(gains)[:, None]
    found[3] = np.where(full, found[3] / gains[3], found[3])
    return found


def _scatter(rows: StandRows) -> Array:
    """Assumed standard deviation of each reading, (4, n)."""
    measured = _measured(rows)
    share, floor = (np.array([table[name] for name in _INSTRUMENTS])[:, None] for table in (_RELATIVE, _FLOOR))
    sd = np.hypot(share * measured, floor)
    sd[3] = np.where(rows.throttle >= _FULL, _FULL_SD, sd[3])
    return np.asarray(sd)


def _flags(rows: StandRows, bench: Bench) -> dict[str, NDArray[np.bool_]]:
    """Rows that cannot be what they should be, by reason."""
    with np.errstate(invalid="ignore"):
        repeated = np.zeros(len(rows), bool)
        repeated[1:] = (np.diff(rows.amps) == 0) & (np.diff(rows.rotation) == 0) & (np.diff(rows.volts) == 0)
        area = np.pi / 4 * float(bench.columns.craft["diameter"][0]) ** 2
        density = float(bench.columns.craft["density"][0])
        least = np.maximum(rows.thrust, 0.0) ** 1.5 / np.sqrt(2.0 * density * area)
        return {
            "voltage, current or speed of rotation is missing": ~(
                np.isfinite(rows.volts) & np.isfinite(rows.amps) & np.isfinite(rows.rotation)
            ),
            "voltage is not positive: is the plug or the column reversed?": rows.volts <= 0,
            "current is negative: is the sensor reversed?": rows.amps < 0,
            "the rotor stands, or its speed was not read": rows.rotation <= 0,
            "thrust is negative: is the load cell reversed or not zeroed?": (rows.thrust < 0) & ~rows.bare,
            "the row repeats the one before digit for digit: the stand or its supply is at its limit": repeated,
            "throttle rises, but current and speed of rotation do not follow: at a limit": _saturated(rows),
            "less power than even an ideal rotor needs for this thrust": (least > 1.02 * rows.volts * rows.amps)
            & ~rows.bare,
        }


def _saturated(rows: StandRows) -> NDArray[np.bool_]:
    """Rows with more throttle than the one before, and neither more current nor more speed."""
    held = np.zeros(len(rows), bool)
    more = np.diff(rows.throttle) > 0.02
    held[1:] = (
        more & (np.diff(rows.amps) < 0.005 * rows.amps[:-1]) & (np.diff(rows.rotation) < 0.003 * rows.rotation[:-1])
    )
    return held


def _check_size(rows: StandRows, bench: Bench) -> None:
    """Thrust within a factor of what the table says, else columns or units are mixed up."""
    expected = stand_readings(bench.columns, bench.columns.craft, rows.rotation, rows.volts, rows.bare)[:, 0]
    with np.errstate(invalid="ignore", divide="ignore"):
        ratio = np.where(rows.bare, np.nan, rows.thrust / expected)
    if not np.isfinite(ratio).any():
        return
    middle = float(np.nanmedian(ratio))
    if not 0.4 < middle < 2.5:
        raise CannotCompute(
            f"thrust is {middle:.2g} times what a propeller of this size gives at this speed of rotation: is thrust"
            " in grams, or is the speed of rotation electrical (pole pairs times the shaft's)?"
        )


def _left_over(rows: StandRows, bench: Bench, found: Found) -> dict[str, Array]:
    """Measured less fitted of every reading [SI], flagged rows included where the model has an answer."""
    with np.errstate(invalid="ignore"):
        turning = (rows.rotation > 0) & (rows.volts > 0)
    out = np.full((4, len(rows)), np.nan)
    kept = rows.part(turning)
    out[:, turning] = _measured(kept) - _expected(kept, bench, found.mean())
    return dict(zip(_INSTRUMENTS, out, strict=True))


def _unused(found: Found, rows: StandRows, name: str) -> NDArray[np.bool_]:
    k, n = _INSTRUMENTS.index(name), len(rows)
    own = slice(k * n, (k + 1) * n)
    return found.solution.marked[own] | ~np.isfinite(found.solution.residuals[own])


def _marks(found: Found, n: int, name: str) -> NDArray[np.bool_]:
    k = _INSTRUMENTS.index(name)
    return np.asarray(found.solution.marked[k * n : (k + 1) * n])


def _marked(found: Found, rows: StandRows, left: dict[str, Array]) -> list[SetAside]:
    """Readings that no chance explains, each with how far it is off."""
    n, aside = len(rows), []
    for k, name in enumerate(_INSTRUMENTS):
        for row in np.flatnonzero(found.solution.marked[k * n : (k + 1) * n]):
            off = float(left[name][row])
            word = "above" if off > 0 else "below"
            aside.append(SetAside(int(row), f"{name} is {abs(off):.3g} {_SI[name]} {word} what the other rows say"))
    return aside


_SI = {"thrust": "N", "torque": "N m", "current": "A", "throttle": "of full"}


def _spread(left: Array) -> float:
    return float(np.sqrt(np.nanmean(np.square(left))))


def _notes(rows: StandRows, found: Found) -> tuple[str, ...]:
    notes = []
    if not np.isfinite(rows.torque).any() and not np.isfinite(rows.throttle).any():
        notes.append(
            "Without torque or throttle no reading parts the motor's losses from the propeller's torque: duty,"
            " winding resistance, idle current and torque share what the ammeter says."
        )
    elif not np.isfinite(rows.throttle).any():
        notes.append(
            "Without throttle the motor's voltage is not known: Kv rests on the heat that the ammeter shows."
        )
    elif not (rows.throttle >= _FULL).any():
        notes.append("No row at full throttle: Kv rests on the controller's duty being what the throttle says.")
    for k, name in enumerate(_INSTRUMENTS):
        if found.solution.waves[k] > 2.0:
            notes.append(
                f"What is left over of {name} runs in waves: the model's shape, not chance. The bars count"
                f" {found.solution.waves[k]:.1f} rows as one."
            )
    return tuple(notes)


def bench_points(rows: StandRows, bench: Bench, found: Found, count: int = 3) -> tuple[StandPoint, ...]:
    """Static points that carry the fit into a propeller's file, spread evenly over the speeds that were read.

    Power is given where the fit knows torque to 5 %, since bench points in a file are taken as good to 3 %.
    """
    with np.errstate(invalid="ignore"):
        turning = rows.rotation[(rows.rotation > 0) & ~rows.bare & np.isfinite(rows.thrust)]
    if not len(turning):
        return ()
    speeds = np.linspace(turning.min(), turning.max(), count + 1)[1:]
    row = bench_row(bench, found.mean())
    read = stand_readings(bench.columns, row, speeds, np.full(count, 10.0), np.zeros(count, bool))
    known = any(v.field == "power_level" and v.relative <= 0.05 for v in found.values)
    power = read[:, 1] * speeds if known else np.full(count, np.nan)
    return tuple(StandPoint(float(w), float(T), float(P)) for w, T, P in zip(speeds, read[:, 0], power, strict=True))
