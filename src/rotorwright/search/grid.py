"""A space as plain arrays: what each candidate sets in a craft's row, adds to its mass, draw and cost, and states."""

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks.rule import Missing
from rotorwright.columns import PowertrainColumns
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.battery import CHEMISTRIES, open_circuit_voltage
from rotorwright.physics.powertrain import OK
from rotorwright.physics.rows import CRAFT
from rotorwright.predict.flight import CHARGE
from rotorwright.predict.response import steady_accelerations, step_answer
from rotorwright.search.barred import Barred
from rotorwright.search.flights import Flights
from rotorwright.search.longest import Longest
from rotorwright.search.moments import Moments, about_centre
from rotorwright.search.quickest import STEP
from rotorwright.search.shadows import Shadows

__all__ = ["ADDED", "OF_SHAPE", "Combos", "Grid", "Joint", "Place"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]
Points = NDArray[np.void]

_FULL = np.array([open_circuit_voltage(1.0, index) for index in range(len(CHEMISTRIES))])

ADDED = ("mass", "electronics_power", "rotor_inertia")
"""Fields that a part adds to rather than sets."""

OF_SHAPE = ("inertia", "arm", "drag_area", "drag_area_top")
"""Fields that all parts in their places decide together."""


# What combinations have once they are solved, a row each.
_SOLVED = (
    "masses",
    "cost",
    "rows",
    "full",
    "in_flight",
    "hover",
    "inertia",
    "hovers",
    "lifting",
    "_turned",
)


@dataclass(frozen=True)
class Place:
    """One place and its candidates: fields of the row they set, and what they add to the craft without the place.

    states: numbers of each candidate by their names, NaN where it does not say
    spin: what it adds to the inertia of one motor's rotor and propeller [kg m2]
    """

    id: str
    kind: str
    names: tuple[str, ...]
    sets: dict[str, Array]
    mass: Array
    power: Array
    cost: Array
    states: dict[str, Array]
    is_core: bool
    spin: Array

    @property
    def count(self) -> int:
        """How many candidates there are."""
        return len(self.names)


@dataclass(frozen=True)
class Joint:
    """A field of the row that several places decide together: a table over classes of their candidates.

    `adds`: whether the table is what they add to the base craft, as with draws, and not the field itself.
    """

    field: str
    places: tuple[int, ...]
    classes: tuple[Index, ...]
    table: Array

    @property
    def adds(self) -> bool:
        """Whether the places add to the field rather than set it."""
        return self.field in ADDED

    def of(self, index: Index) -> Array:
        """The field for combinations (n, places)."""
        picked = tuple(own[index[:, k]] for k, own in zip(self.places, self.classes, strict=True))
        return np.asarray(self.table[picked])


@dataclass(frozen=True)
class Grid:
    """All places over one base: its row, its mass, draw and cost without any of the places, and the rotor tables.

    barred: tables that are true where candidates cannot be built together; their places belong to the core
    """

    places: tuple[Place, ...]
    joints: tuple[Joint, ...]
    base: Points
    mass: float
    power: float
    cost: float
    fixed: dict[tuple[str, str], float]
    tables: Array
    gains: Array
    dropped: tuple[str, ...]
    oblique: Array = field(default_factory=lambda: np.zeros((0, 4, 1, 1, 1)))
    moments: Moments | None = None
    shadows: Shadows | None = None
    flights: Flights | None = None
    longest: Longest | None = None
    barred: tuple[Barred, ...] = ()

    @property
    def counts(self) -> tuple[int, ...]:
        """Candidates by place."""
        return tuple(place.count for place in self.places)

    def possible(self, index: Index) -> NDArray[np.bool_]:
        """Which combinations (n, places) can be built."""
        good = np.ones(len(index), dtype=bool)
        for one in self.barred:
            good &= ~one.of(index)
        return good

    def core_sum(self, name: str, index: Index) -> Array:
        """What base and core add up to: mass, cost or power, (n,)."""
        total = np.full(len(index), getattr(self, name))
        for k, place in enumerate(self.places):
            if place.is_core:
                total += getattr(place, name)[index[:, k]]
        for joint in self.joints:
            if joint.adds and name == "power":
                total += joint.of(index)
        return total

    def combos(self, index: Index, **given: Array) -> "Combos":
        """Combinations by their candidates, (n, places); `given` values replace sums and fields of the row."""
        return Combos(self, index, given)


class Combos:
    """Any number of combinations, each solved when it is asked for: what rules and measures read."""

    def __init__(self, grid: Grid, index: Index, given: dict[str, Array]) -> None:
        self.grid, self.index, self.given = grid, index, given

    def some(self, picked: NDArray[Any]) -> "Combos":
        """Some of them, with what has been solved already."""
        part = Combos(self.grid, self.index[picked], {name: x[picked] for name, x in self.given.items()})
        for name in _SOLVED:
            if name in self.__dict__:
                part.__dict__[name] = self.__dict__[name][picked]
        return part

    def _sum(self, name: str) -> Array:
        total = np.full(len(self.index), getattr(self.grid, name))
        for k, place in enumerate(self.grid.places):
            total += getattr(place, name)[self.index[:, k]]
        return total

    @cached_property
    def masses(self) -> Array:
        """All-up mass [kg]."""
        return self.given["mass"] if "mass" in self.given else self._sum("mass")

    @cached_property
    def cost(self) -> Array:
        """What all parts cost."""
        return self.given["cost"] if "cost" in self.given else self._sum("cost")

    @cached_property
    def rows(self) -> Points:
        """Rows CRAFT."""
        rows = np.repeat(self.grid.base, len(self.index))
        for k, place in enumerate(self.grid.places):
            for name, values in place.sets.items():
                rows[name] = values[self.index[:, k]]
        rows["electronics_power"] = self._sum("power")
        rows["rotor_inertia"] += sum(place.spin[self.index[:, k]] for k, place in enumerate(self.grid.places))
        for joint in self.grid.joints:
            rows[joint.field] = joint.of(self.index) + (rows[joint.field] if joint.adds else 0.0)
        for name in self.given:
            if name in (CRAFT.names or ()):
                rows[name] = self.given[name]
        rows["mass"] = self.masses
        return rows

    @property
    def row(self) -> Points:
        """Rows CRAFT, as measures call them."""
        return self.rows

    @cached_property
    def _columns(self) -> PowertrainColumns:
        return PowertrainColumns(self.rows, self.grid.tables, self.grid.gains, self.grid.oblique)

    @cached_property
    def full(self) -> Points:
        """Full throttle, fresh and standing."""
        return self._columns.solve(duty=1.0)

    @cached_property
    def in_flight(self) -> Points:
        """Full throttle at half charge and 15 m/s."""
        return self._columns.solve(duty=1.0, charge=0.5, axial_speed=15.0)

    @cached_property
    def hover(self) -> Points:
        """Hover at half charge."""
        return self._columns.solve(thrust=self.masses * GRAVITY / self.rows["motors"], charge=0.5)

    @cached_property
    def inertia(self) -> Array:
        """Inertia about roll, pitch and yaw, (n, 3) [kg m2]."""
        if "inertia" in self.given:
            return self.given["inertia"]
        assert self.grid.moments is not None
        found = np.empty((len(self.index), 3))
        about_centre(self.grid.moments.of(self.index), self.masses, found)
        return found

    @cached_property
    def _turned(self) -> Array:
        rows = self.rows.copy()
        rows["inertia"] = self.inertia
        return np.stack(steady_accelerations(replace(self._columns, craft=rows)), axis=1)

    @property
    def accelerations(self) -> Array:
        """Steady angular accelerations in roll, pitch and yaw, (3, n) [rad/s2]."""
        return self._turned.T

    @cached_property
    def hovers(self) -> NDArray[np.bool_]:
        """Whether it hovers at the charge at which the answers to the sticks are taken."""
        weight = self.masses * GRAVITY / self.rows["motors"]
        return np.asarray(self._columns.solve(thrust=weight, charge=CHARGE)["status"] == OK)

    @cached_property
    def lifting(self) -> Points:
        """What holds the weight that the answer to the stick steps to, at the same charge."""
        weight = self.masses * GRAVITY / self.rows["motors"]
        return self._columns.solve(thrust=STEP * weight, charge=CHARGE)

    @cached_property
    def rise(self) -> Array:
        """Time in which thrust rises to one and a half times the weight [s]."""
        return step_answer(self._columns, self._columns.level(charge=CHARGE)[:, 0])[:, 0]

    @cached_property
    def flying(self) -> PowertrainColumns:
        """Columns with everything that flight needs."""
        assert self.grid.shadows is not None
        rows = self.rows.copy()
        rows["drag_area"], rows["drag_area_top"] = self.grid.shadows.areas(self.index).T
        return replace(self._columns, craft=rows)

    @cached_property
    def flown(self) -> Points:
        """Ends of the flight on the craft's profile, END; time 0 where there is none."""
        assert self.grid.flights is not None
        return self.grid.flights.fly(self.flying)

    def longest(self, heaviest: Array) -> Array:
        """Flight time that no such combination exceeds, nor a heavier one up to `heaviest` [kg]: [s]."""
        if self.grid.longest is None:
            return np.full(len(self.index), np.inf)
        return self.grid.longest.times(self.rows, heaviest)

    @property
    def full_voltage(self) -> Array:
        """Voltage of a full pack [V]."""
        return np.asarray(self.rows["cells"] * _FULL[self.rows["chemistry"]])

    @property
    def motors(self) -> Array:
        """How many motors there are."""
        return np.asarray(self.rows["motors"])

    def stated(self, kind: str, name: str) -> Array:
        """What the parts of a kind state [SI]; NaN where they do not."""
        key = f"{kind}.{name}"
        if key in self.given:
            return self.given[key]
        for k, place in enumerate(self.grid.places):
            if place.kind == kind and name in place.states:
                return place.states[name][self.index[:, k]]
        return np.full(len(self.index), self.grid.fixed.get((kind, name), np.nan))

    def field(self, role: str, name: str) -> Array:
        """As `stated`, for rules: Missing when no part states it."""
        values = self.stated(role, name)
        if np.isnan(values).all():
            raise Missing(f"{name} of the {role}")
        return values
