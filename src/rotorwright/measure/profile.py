"""How a craft was really flown: shares of load factor, speed and throttle, as a profile that the endurance flies."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.errors import CannotCompute
from rotorwright.measure.driven import DrivenTable
from rotorwright.measure.flight_log import Flight, Series, means_over
from rotorwright.measure.stretches import STANDING, hover_stretches
from rotorwright.predict.profiles import Leg, Profile

__all__ = ["FlownProfile", "FlownShare", "flown_profile", "load_factors"]

Array = NDArray[np.float64]

_STEP = 0.5
_LOADS = (0.0, 0.5, 0.85, 1.1, 1.3, 1.7, 2.3, 3.2, 4.5, 6.5, 30.0)
_SPEEDS = (0.0, STANDING, 6.0, 12.0, 18.0, 26.0, 130.0)
_CYCLE = 60.0
_LEAST_SHARE = 0.01
# Flying the same again differs that much from flight to flight. From experience, invented.
_SCATTER = 0.08
_LIGHTEST = 0.1


@dataclass(frozen=True, slots=True)
class FlownShare:
    """One cell of the flight: its share of the time, and its means."""

    share: float
    load_factor: float
    speed_m_per_s: float
    throttle: float | None
    current_a: float


@dataclass(frozen=True, slots=True)
class FlownProfile:
    """A flight as shares, and the profile made of them."""

    profile: Profile
    shares: tuple[FlownShare, ...]
    load_from: str
    """Where the load factors come from, in words."""
    notes: tuple[str, ...]


def load_factors(series: Series, table: DrivenTable | None) -> tuple[Array, str]:
    """Load factor at every moment [1] and where it comes from: accelerometer, speed of rotation, or throttle.

    table: the craft's motors and rotors, for logs without accelerometer and without a hover
    """
    if series.load is not None:
        return series.load, "the accelerometer"
    hover = [s.rotation_rad_per_s for s in hover_stretches(series) if s.rotation_rad_per_s]
    if series.rotation is not None and hover:
        usual = float(np.median(hover))
        return np.square(series.rotation / usual), "speed of rotation over that of the hover, squared"
    if series.throttle is not None and table is not None:
        found = table.at(series.throttle, series.voltage, series.speed)
        return found.load[0], "throttle and voltage, through the craft's own model"
    raise CannotCompute(
        "no load factor: log an accelerometer, speed of rotation with a hover, or throttle and a craft"
    )


def flown_profile(flight: Flight, name: str, table: DrivenTable | None = None) -> FlownProfile:
    """The profile of one flight, in cells of load factor and speed; each cell flies at its means.

    Raises CannotCompute when the log says nothing of load factors.
    """
    series = means_over(flight.series, _STEP)
    load, source = load_factors(series, table)
    speed = np.abs(series.speed) if series.speed is not None else np.zeros_like(load)
    cells = np.digitize(load, _LOADS[1:-1]) * len(_SPEEDS) + np.digitize(speed, _SPEEDS[1:-1])
    cells = _merged(cells, load, speed)
    shares = tuple(_share(series, load, speed, cells == cell) for cell in np.unique(cells))
    legs = tuple(Leg(_CYCLE * s.share, max(s.load_factor, _LIGHTEST), s.speed_m_per_s) for s in shares)
    profile = Profile(name, f"{flight.duration_s:.0f} s as flown", f"measured: {name}", legs, _SCATTER)
    return FlownProfile(profile, shares, source, tuple(_notes(series)))


def _notes(series: Series) -> list[str]:
    notes = ["climbs and dives are not in the profile: over a flight they cancel, but for what they waste"]
    if series.speed is None:
        notes.append(
            "no speed was logged: every segment is flown standing, which overstates the power of fast flight"
        )
    return notes


def _merged(cells: NDArray[np.int64], load: Array, speed: Array) -> NDArray[np.int64]:
    """Cells of next to no time go to the nearest of those that stay."""
    numbers, counts = np.unique(cells, return_counts=True)
    kept = numbers[counts >= _LEAST_SHARE * len(cells)]
    middles = np.array([(load[cells == c].mean(), speed[cells == c].mean()) for c in kept])
    merged = cells.copy()
    for cell in np.setdiff1d(numbers, kept):
        own = cells == cell
        away = np.hypot(middles[:, 0] - load[own].mean(), 0.1 * (middles[:, 1] - speed[own].mean()))
        merged[own] = kept[int(np.argmin(away))]
    return merged


def _share(series: Series, load: Array, speed: Array, own: NDArray[np.bool_]) -> FlownShare:
    return FlownShare(
        share=float(own.mean()),
        load_factor=float(load[own].mean()),
        speed_m_per_s=float(speed[own].mean()),
        throttle=float(series.throttle[own].mean()) if series.throttle is not None else None,
        current_a=float(series.current[own].mean()),
    )
