"""Steps of a rotor's speed to the time constants of its lag, up and down.

Each step is taken as omega = a + (b - a)(1 - exp(-(t - t0)/tau)) from t0 on. That describes the record; how the lag
follows from motor, propeller and supply is fitted in `rotor_inertia`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rotorwright.errors import CannotCompute
from rotorwright.measure.fit import Fit, FittedValue, SetAside, set_aside
from rotorwright.measure.least_squares import Solution, solve

__all__ = ["Step", "fit_steps", "steps_of"]

Array = NDArray[np.float64]

_LONGEST = 0.4  # [s] looked at on either side of a step
_LEAST_ROWS = 8
_SMALLEST = 0.05  # of the highest speed, for a change to be a step
_NOISE = 0.005  # of the change, assumed scatter of one reading


@dataclass(frozen=True, slots=True)
class Step:
    """Rows of one step: from `first` to before `last`, `middle` the row at which half of it is done."""

    first: int
    middle: int
    last: int
    up: bool


def steps_of(time: Array, rotation: Array) -> list[Step]:
    """Steps between low and high speeds: where the speed crosses from a third of its range to two thirds, or back."""
    low, high = (float(q) for q in np.nanquantile(rotation, (0.05, 0.95)))
    if not high - low > _SMALLEST * high:
        return []
    share = (rotation - low) / (high - low)
    state, crossings = bool(share[np.isfinite(share)][0] > 0.5), []
    for i, s in enumerate(share):
        if (s > 2 / 3 and not state) or (s < 1 / 3 and state):
            state = not state
            crossings.append((_half(share, i, state), state))
    moments = [time[0] - _LONGEST, *(time[i] for i, _ in crossings), time[-1] + _LONGEST]
    found = []
    for k, (middle, up) in enumerate(crossings):
        before = max(time[middle] - _LONGEST, 0.5 * (moments[k] + time[middle]))
        after = min(time[middle] + _LONGEST, 0.5 * (time[middle] + moments[k + 2]))
        first, last = np.searchsorted(time, (before, after))
        found.append(Step(int(first), middle, int(last), up))
    return found


def _half(share: Array, row: int, up: bool) -> int:
    """The row at or before `row` at which half of a step is done."""
    while row > 0 and ((share[row - 1] > 0.5) == up):
        row -= 1
    return row


def fit_steps(time: ArrayLike, rotation: ArrayLike, command: ArrayLike | None = None) -> Fit:
    """Time constants up and down of the steps in a record of a rotor's speed.

    time: (n,) [s]; rotation: (n,) [rad/s] (any unit will do: only its changes count); command: throttle asked for
    (n,), which shows the delay before the rotor moves
    valid: at least four rows within a time constant; steps held for five time constants
    Raises CannotCompute when the record shows no step that can be fitted.
    """
    t, w = (np.atleast_1d(np.asarray(column, dtype=float)) for column in (time, rotation))
    with np.errstate(invalid="ignore"):
        behind = np.concatenate([[False], ~(np.diff(t) > 0)])
        flags = {"time is missing or does not go on": ~np.isfinite(t) | behind, "speed is missing": ~np.isfinite(w)}
        flags["the rotor turns backwards"] = w < 0
    good = np.flatnonzero(~np.any(list(flags.values()), axis=0))
    asked = None if command is None else np.asarray(command, dtype=float)[good]
    fits, aside = [], list(set_aside(flags))
    left = np.full(len(t), np.nan)
    for step in steps_of(t[good], w[good]) if len(good) else []:
        rows = good[step.first : step.last]
        found = _fit(t[rows], w[rows], t[good[step.middle]])
        if isinstance(found, str):
            aside.append(SetAside(int(good[step.middle]), found))
            continue
        fits.append((step, found, _delay(step, found, t[good], asked)))
        left[rows] = found.residuals * _NOISE * abs(found.values[1] - found.values[0])
    values = tuple(v for up in (True, False) if (v := _together(fits, up)) is not None)
    if not values:
        raise CannotCompute("no step of the rotor's speed can be fitted: steps need plateaus and a fast record")
    return Fit(
        name="step response",
        values=values,
        covariance=np.diag([v.sd**2 for v in values]),
        rows_used=int(np.isfinite(left).sum()),
        rows_set_aside=tuple(sorted(aside, key=lambda s: s.row)),
        residual_sd={"rotation_rad_per_s": float(np.sqrt(np.nanmean(np.square(left))))},
        residuals={"rotation_rad_per_s": left},
        identifies="The steps find how fast the rotor follows, not why: motor, inertia and supply act as one.",
        notes=_notes(fits, float(np.median(np.diff(t[good])))),
    )


_Fits = list[tuple[Step, Solution, float]]


def _fit(time: Array, rotation: Array, middle: float) -> Solution | str:
    """a, b, t0, ln tau of one step, or why it cannot be fitted."""
    if len(time) < _LEAST_ROWS:
        return "too few rows about this step"
    a, b = float(np.median(rotation[: max(len(time) // 8, 2)])), float(np.median(rotation[-max(len(time) // 8, 2) :]))
    if a == b:
        return "no change between the plateaus of this step"
    usual = float(np.median(np.diff(time)))

    def residuals(x: Array) -> Array:
        age = np.clip(time - x[2], 0.0, None) * np.exp(-np.clip(x[3], -12.0, 6.0))
        return np.asarray((rotation - x[0] - (x[1] - x[0]) * (1.0 - np.exp(-age))) / (_NOISE * abs(b - a)))

    guesses = [np.array([a, b, middle - 0.7 * tau, np.log(tau)]) for tau in (0.015, 0.05, 0.15)]
    found = min((solve(residuals, guess, ordered=True) for guess in guesses), key=lambda s: s.sum_of_squares)
    tau = float(np.exp(found.values[3]))
    if not usual / 4 < tau < 0.5 * (time[-1] - time[0]):
        return "the step is faster than the record or slower than the plateau after it is long"
    return found


def _delay(step: Step, found: Solution, time: Array, asked: Array | None) -> float:
    """Time from the command's change to the rotor's first move [s]; NaN when no command was recorded."""
    if asked is None:
        return float("nan")
    window = slice(step.first, step.last)
    jumps = np.abs(np.diff(asked[window]))
    if not np.isfinite(jumps).any() or np.nanmax(jumps) < 0.02:
        return float("nan")
    return float(found.values[2] - time[window][int(np.nanargmax(jumps)) + 1])


def _together(fits: _Fits, up: bool) -> FittedValue | None:
    """Mean of the steps of one direction; its bar is the larger of what each step and what their scatter says."""
    own = [found for step, found, _ in fits if step.up == up]
    if not own:
        return None
    logs = np.array([found.values[3] for found in own])
    weights = 1.0 / np.maximum([found.covariance[3, 3] for found in own], 1e-12)
    mean = float(np.sum(weights * logs) / weights.sum())
    variance = 1.0 / float(weights.sum())
    if len(own) > 2:
        scatter = float(np.sum(weights * np.square(logs - mean)) / (weights.sum() * (len(own) - 1)))
        variance = max(variance, scatter)
    tau = float(np.exp(mean))
    note = f"of {len(own)} step{'s' if len(own) > 1 else ''}; no field of a part"
    return FittedValue("craft", f"lag_{'up' if up else 'down'}", tau, tau * float(np.sqrt(variance)), "s", note)


def _notes(fits: _Fits, usual: float) -> tuple[str, ...]:
    notes = []
    taus = [float(np.exp(found.values[3])) for _, found, _ in fits]
    if usual > 0.25 * min(taus):
        notes.append(f"The record has a row every {usual * 1e3:.0f} ms: a faster one would fix the lag better.")
    delays = [delay for _, _, delay in fits if np.isfinite(delay)]
    if delays:
        notes.append(f"The rotor begins to move {np.median(delays) * 1e3:.0f} ms after the command: not in the lag.")
    if max(found.waves[0] for _, found, _ in fits) > 2.0:
        notes.append("The steps are not quite exponential, as torque grows with the square of speed.")
    return tuple(notes)
