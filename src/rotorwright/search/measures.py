"""What craft are compared by: each measure with its unit, which way is better, and how dear it is to compute."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from rotorwright.craft.model import Craft
from rotorwright.errors import InputError, Problem
from rotorwright.physics.powertrain import OK, TOO_HEAVY
from rotorwright.predict.powertrain import USABLE_SHARE

__all__ = [
    "FLOWN",
    "IN_TIME",
    "MEASURES",
    "RESPONSE",
    "SEARCHABLE",
    "TURNS",
    "Measure",
    "Solved",
    "measure_named",
    "unpriced",
]

Array = NDArray[np.float64]
Points = NDArray[np.void]

_GRAM_FORCE = 9.80665e-3

FLOWN = ("flight-time", "winding")
"""Measures of a flight on the craft's profile."""

TURNS = ("roll", "pitch")
"""Measures of turning, by their axis."""

RESPONSE = ("roll", "pitch", "thrust-rise")
"""Measures of how a craft answers its sticks."""

IN_TIME = ("flight-time", "winding", "thrust-rise")
"""Measures that are integrated in time, a hundred times dearer than a point."""

SEARCHABLE = (
    "weight",
    "flight-time",
    "hover-time",
    "thrust-to-weight",
    "hover-throttle",
    "roll",
    "pitch",
    "thrust-rise",
    "current",
    "motor-current",
    "controller-room",
    "pack-room",
    "winding",
    "tip-mach",
    "cost",
)
"""Measures by which every combination of parts can be compared (docs/theory/search.md)."""


class Solved(Protocol):
    """Solved craft in any number: a `Fleet` of real ones, or the combinations of a search."""

    @property
    def row(self) -> Points:
        """Rows CRAFT."""

    @property
    def masses(self) -> Array:
        """All-up mass [kg]."""

    @property
    def cost(self) -> Array:
        """What all parts cost."""

    @property
    def full(self) -> Points:
        """Full throttle, fresh and standing."""

    @property
    def hover(self) -> Points:
        """Hover at half charge."""

    @property
    def accelerations(self) -> Sequence[Array] | Array:
        """Steady angular accelerations in roll, pitch and yaw [rad/s2]."""

    @property
    def hovers(self) -> NDArray[np.bool_]:
        """Whether it hovers at the charge at which the answers to the sticks are taken."""

    @property
    def rise(self) -> Array:
        """Time in which thrust rises to one and a half times the weight [s]."""

    @property
    def flown(self) -> Points:
        """Ends of the flight on the craft's own profile."""

    def stated(self, kind: str, name: str) -> Array:
        """What the parts of a kind state [SI]; NaN where they state nothing."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One number by which craft are compared.

    unit: of the values [SI], which `factor` turns into the `shown` unit; better: 1 more, -1 less, 0 a matter of taste
    dear: whether its samples are flown or answered one by one, which takes a hundred times longer than a point
    """

    name: str
    words: str
    unit: str
    factor: float
    shown: str
    better: int
    dear: bool
    values: Callable[[Any], Array]


def _when(points: Points, name: str, worst: int = OK) -> Array:
    """A field of the points where they are solved, NaN elsewhere."""
    good = (points["status"] >= OK) & (points["status"] <= worst)
    return np.where(good, points[name], np.nan)


def _hover_time(fleet: Solved) -> Array:
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(USABLE_SHARE * fleet.row["capacity"] / _when(fleet.hover, "battery_current"))


def _lift(fleet: Solved) -> Array:
    thrust = _when(fleet.full, "thrust", TOO_HEAVY) * fleet.row["motors"]
    return np.asarray(thrust / (fleet.masses * 9.80665))


def _flown(name: str) -> Callable[[Any], Array]:
    return lambda fleet: np.where(fleet.flown["time"] > 0.0, fleet.flown[name], np.nan)


def _turned(axis: int) -> Callable[[Any], Array]:
    return lambda fleet: np.where(fleet.hovers, fleet.accelerations[axis], np.nan)


def _full(name: str) -> Callable[[Any], Array]:
    return lambda fleet: _when(fleet.full, name, TOO_HEAVY)


def _controller_room(fleet: Solved) -> Array:
    """Share of a channel's continuous rating that full throttle leaves."""
    rating = fleet.stated("speed-controller", "current")
    return np.asarray(1.0 - _when(fleet.full, "motor_current", TOO_HEAVY) / rating)


def _pack_room(fleet: Solved) -> Array:
    """Share of the pack's continuous rating that full throttle leaves."""
    rating = fleet.stated("battery", "rating")  # [1/h]
    with np.errstate(divide="ignore", invalid="ignore"):
        rate = _when(fleet.full, "battery_current", TOO_HEAVY) * 3600.0 / fleet.row["capacity"]
    return np.asarray(1.0 - rate / rating)


def unpriced(craft: Craft) -> frozenset[str]:
    """Parts without a price."""
    return frozenset(p.id for p in craft.parts if p.part.price is None and p.key[:1] != ("frame",))


_LIST = (
    Measure("weight", "all-up weight", "kg", 1e3, "g", -1, False, lambda f: f.masses),
    Measure("flight-time", "flight time as flown", "s", 1.0, "s", 1, True, _flown("time")),
    Measure("hover-time", "hover time", "s", 1.0, "s", 1, False, _hover_time),
    Measure("thrust-to-weight", "thrust to weight", "1", 1.0, "", 1, False, _lift),
    Measure("hover-throttle", "hover throttle", "1", 100.0, "%", -1, False, lambda f: _when(f.hover, "duty")),
    Measure("roll", "roll acceleration", "rad/s2", 1.0, "rad/s2", 1, False, _turned(0)),
    Measure("pitch", "pitch acceleration", "rad/s2", 1.0, "rad/s2", 1, False, _turned(1)),
    Measure(
        "thrust-rise", "thrust rise time", "s", 1e3, "ms", -1, True, lambda f: np.where(f.hovers, f.rise, np.nan)
    ),
    Measure(
        "throttle-gain", "thrust a percent of throttle", "N/%", 1 / _GRAM_FORCE, "g/%", 0, False, lambda f: f.gain
    ),
    Measure("current", "full-throttle battery current", "A", 1.0, "A", -1, False, _full("battery_current")),
    Measure("motor-current", "full-throttle motor current", "A", 1.0, "A", -1, False, _full("motor_current")),
    Measure("controller-room", "room left in the controller", "1", 100.0, "%", 1, False, _controller_room),
    Measure("pack-room", "room left in the pack's rating", "1", 100.0, "%", 1, False, _pack_room),
    Measure("winding", "highest winding temperature", "K", 1.0, "K", -1, True, _flown("winding_peak")),
    Measure("tip-mach", "tip Mach number", "1", 1.0, "", -1, False, _full("tip_mach")),
    Measure("cost", "cost", "currency", 1.0, "", -1, False, lambda f: f.cost),
)

MEASURES: dict[str, Measure] = {measure.name: measure for measure in _LIST}
"""Measures by the word that stands for them."""


def measure_named(name: str) -> Measure:
    """The measure called `name`; InputError with near names otherwise."""
    if name not in MEASURES:
        near = get_close_matches(name, MEASURES, n=3, cutoff=0.4) or list(MEASURES)
        raise InputError(Problem(f"nothing is measured by '{name}'", f"Known: {', '.join(near)}."))
    return MEASURES[name]
