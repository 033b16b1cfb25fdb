"""Speed over time of a craft left to coast, discs level and height held, to its drag area and its rotors' drag.

    m dV/dt = -(N H(V) + rho V^2 A/2)

with body and rotors of the steady-flight kernel (`physics/level_flight` with level discs), each times a factor.
Over the ground the speed is V + w, w the tail wind along the track, which turns its sign with the craft.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rotorwright.columns import PowertrainColumns
from rotorwright.errors import CannotCompute
from rotorwright.measure.belief import Belief, Found, find, known_to
from rotorwright.measure.fit import Fit, SetAside, set_aside
from rotorwright.parts.estimate import Estimate

__all__ = ["Coasting", "coasting", "fit_coast_down", "speed_after"]

Array = NDArray[np.float64]

_NOISE = 0.15  # [m/s] of one reading: satellite positioning, from experience, no source
_MASS = 0.005
_WIND = 0.7  # [m/s] along the track on a calm day: from experience, no source
_SLOWEST = 1.0  # [m/s] below which nobody coasts
_GRID = 240
_COASTS = 1.0 - 1e-9  # load factor at which the kernel keeps the discs level


@dataclass(frozen=True, slots=True)
class Coasting:
    """Drag of a craft with level discs over its speed, and what is believed of it."""

    speed: Array
    """(k,) rising [m/s]."""
    rotors: Array
    """In-plane drag of all rotors (k,) [N]."""
    body: Array
    """(k,) [N]."""
    mass: float
    """[kg]."""
    beliefs: tuple[Belief, ...]


def coasting(columns: PowertrainColumns, drag_area: Estimate, in_plane: float = 0.35, top: float = 40.0) -> Coasting:
    """A craft from its rows of flight (`columns.flight_columns`), of which the first is taken.

    drag_area: believed [m2]; in_plane: ln standard deviation of the rotors' drag [-]; top: highest speed [m/s]
    """
    row = columns.craft[:1].copy()
    row["drag_area"], row["in_plane_level"] = drag_area.value, 1.0
    one = PowertrainColumns(row, columns.tables, columns.gains, columns.oblique)
    speed = np.linspace(0.0, top, _GRID)
    points = one.level(load=_COASTS, speed=speed[None, :])[0]
    there = np.isfinite(points["in_plane"])
    last = int(np.argmin(there)) if not there.all() else len(speed)
    if last < 3:
        raise CannotCompute("this craft cannot hover, let alone coast")
    beliefs = (
        Belief("the body's drag area", "craft", "drag_area", "m2", drag_area.value, known_to(drag_area, 0.05)),
        Belief(
            "the rotors' in-plane drag",
            "craft",
            "in_plane_level",
            "1",
            1.0,
            in_plane,
            note="over what the model says; no field of a craft",
        ),
        Belief("", "", "mass_gain", "1", 1.0, _MASS),
    )
    drag = float(row["motors"][0]) * points["in_plane"][:last]
    return Coasting(speed[:last], drag, points["drag"][:last], float(row["mass"][0]), beliefs)


def speed_after(craft: Coasting, numbers: Mapping[str, float], start: float, seconds: Array) -> Array:
    """Airspeed (n,) [m/s] `seconds` (n,) after `start` [m/s], from the time that each small loss of speed takes."""
    area = numbers["craft.drag_area"] / craft.beliefs[0].value
    drag = numbers["craft.in_plane_level"] * craft.rotors + area * craft.body
    V = np.linspace(min(start, craft.speed[-1]), 0.05, 400)
    inverse = craft.mass * numbers["mass_gain"] / np.maximum(np.interp(V, craft.speed, drag), 1e-9)
    taken = np.concatenate([[0.0], np.cumsum(0.5 * (inverse[1:] + inverse[:-1]) * -np.diff(V))])
    return np.asarray(np.interp(seconds, taken, V))


def fit_coast_down(
    craft: Coasting,
    time: ArrayLike,
    speed: ArrayLike,
    run: ArrayLike | None = None,
    heading: Mapping[int, int] | None = None,
    wind: Estimate | None = None,
) -> Fit:
    """Drag area and rotor drag from coasting runs.

    time: (n,) [s]; speed: over ground (n,) [m/s]; run: number of each row's run, one when None; heading: +1 or -1 of
    each run, +1 where left out; wind: tail wind on heading +1 [m/s], 0 +- 0.7 when None
    Raises CannotCompute when no run has five usable rows.
    """
    t, v = (np.atleast_1d(np.asarray(column, dtype=float)) for column in (time, speed))
    runs = np.zeros(len(t), int) if run is None else np.asarray(run, dtype=int)
    flags = _flags(t, v, runs)
    good = ~np.any(list(flags.values()), axis=0)
    numbers = [int(r) for r in np.unique(runs[good]) if (good & (runs == r)).sum() >= 5]
    if not numbers:
        raise CannotCompute("no coasting run has five rows that can be used")
    good &= np.isin(runs, numbers)
    way = {r: float((heading or {}).get(r, 1)) for r in numbers}
    along = wind or Estimate(0.0, _WIND)
    first = {r: int(np.flatnonzero(good & (runs == r))[0]) for r in numbers}
    beliefs = (
        *craft.beliefs,
        Belief("", "", "wind", "m/s", along.value, max(along.sd, 1e-3), log=False),
        *(
            Belief("", "", f"start_{r}", "m/s", float(v[first[r]]) - way[r] * along.value, 2.0, log=False)
            for r in numbers
        ),
    )

    def ground(values: dict[str, float]) -> Array:
        out = np.full(len(t), np.nan)
        for r in numbers:
            own = good & (runs == r)
            air = speed_after(craft, values, values[f"start_{r}"], t[own] - t[first[r]])
            out[own] = air + way[r] * values["wind"]
        return out

    found = find(beliefs, lambda values: np.asarray((v - ground(values)) / _NOISE), ordered=True)
    left = np.where(found.solution.marked, np.nan, v - ground(found.mean()))
    aside = [
        SetAside(int(r), "speed does not follow from the rest of the run")
        for r in np.flatnonzero(found.solution.marked)
    ]
    return Fit(
        name="coast-down",
        values=found.values,
        covariance=found.covariance,
        rows_used=int(np.isfinite(left).sum()),
        rows_set_aside=tuple(sorted((*set_aside(flags), *aside), key=lambda s: s.row)),
        residual_sd={"speed_m_per_s": float(np.sqrt(np.nanmean(np.square(left))))},
        residuals={"speed_m_per_s": left},
        identifies=found.identifies,
        notes=_notes(found, set(way.values())),
        aside={"speed_m_per_s": np.where(found.solution.marked, v - ground(found.mean()), np.nan)},
    )


def _flags(time: Array, speed: Array, run: NDArray[np.int64]) -> dict[str, NDArray[np.bool_]]:
    """Rows that cannot be part of a coasting run, by reason."""
    same = np.concatenate([[False], run[1:] == run[:-1]])
    with np.errstate(invalid="ignore"):
        behind = same & np.concatenate([[False], ~(np.diff(time) > 0)])
        rises = np.zeros(len(time), bool)
        for r in np.unique(run):
            own = np.flatnonzero(run == r)
            least = np.fmin.accumulate(speed[own])
            rises[own] = speed[own] > least + 6.0 * _NOISE
        return {
            "time or speed is missing": ~(np.isfinite(time) & np.isfinite(speed)),
            "time does not go on": behind,
            "slower than a craft coasts": speed < _SLOWEST,
            "speed rises: a gust, or somebody flew": rises,
        }


def _notes(found: Found, ways: set[float]) -> tuple[str, ...]:
    notes = ["Discs level and height held by throttle are taken for granted: a nose held up brakes."]
    if len(ways) < 2:
        notes.append("Runs go one way only: wind along the track passes for drag. Coast both ways.")
    if found.solution.waves[0] > 2.0:
        notes.append(
            f"Neighbouring readings err together: the bars count {found.solution.waves[0]:.0f} of them as one."
        )
    return tuple(notes)
