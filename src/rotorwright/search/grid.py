"""A space as plain arrays: what each candidate sets in a craft's row, adds to its mass, draw and cost, and states."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks.rule import Missing
from rotorwright.columns import Draws, PowertrainColumns, mass_columns, powertrain_columns
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute, InputError, Problem
from rotorwright.parts.part import Part
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.battery import CHEMISTRIES, open_circuit_voltage
from rotorwright.physics.rows import CRAFT
from rotorwright.predict.report import site_air
from rotorwright.search.fleet import cost_of, stated
from rotorwright.search.space import Choice, Space
from rotorwright.search.swapped import swapped

__all__ = ["Combos", "Grid", "Joint", "Place", "grid_of", "verified"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]
Points = NDArray[np.void]

_FULL = np.array([open_circuit_voltage(1.0, index) for index in range(len(CHEMISTRIES))])
# Sizes by which motor, propeller and arm decide how much of its thrust an arm takes from a rotor.
_SIZES = ("diameter", "height", "hub_height", "hub_diameter", "width", "thickness", "outer_diameter")
# Real craft that are built for one joint field.
_MOST_JOINT = 8000
# What a part adds rather than sets.
_ADDED = ("mass", "electronics_power")


@dataclass(frozen=True)
class Place:
    """One place and its candidates: fields of the row they set, and what they add to the craft without the place.

    states: numbers of each candidate by their names, NaN where it does not say
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

    @property
    def count(self) -> int:
        """How many candidates there are."""
        return len(self.names)


@dataclass(frozen=True)
class Joint:
    """A field of the row that several places decide together: a table over classes of their candidates."""

    field: str
    places: tuple[int, ...]
    classes: tuple[Index, ...]
    table: Array

    def of(self, index: Index) -> Array:
        """The field for combinations (n, places)."""
        picked = tuple(own[index[:, k]] for k, own in zip(self.places, self.classes, strict=True))
        return np.asarray(self.table[picked])


@dataclass(frozen=True)
class Grid:
    """All places over one base: its row, its mass, draw and cost without any of the places, and the rotor tables."""

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

    @property
    def counts(self) -> tuple[int, ...]:
        """Candidates by place."""
        return tuple(place.count for place in self.places)

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
        for name in ("masses", "cost", "rows", "full", "in_flight", "hover"):
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
        for joint in self.grid.joints:
            rows[joint.field] = joint.of(self.index)
        rows["electronics_power"] = self._sum("power")
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
        return PowertrainColumns(self.rows, self.grid.tables, self.grid.gains)

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


def grid_of(space: Space) -> Grid:
    """The arrays of a space; InputError when a place has no candidate left that can be computed.

    Raises CannotCompute when two places set the same field of the row.
    """
    base = space.craft
    row, mass, cost = _solved_row(base)
    places, tables, gains, dropped = [], row.tables, row.gains, []
    for choice in space.choices:
        place, own, lost = _place(base, choice, row, mass)
        dropped += lost
        if place is None:
            what = f"no candidate for '{choice.placed.id}' can be computed: {lost[0]}"
            raise InputError(Problem(what, "Give what is missing.", "", space.file))
        if own is not None:
            tables, gains = own
        places.append(place)
    owned = [name for place in places for name in place.sets]
    joints = [_joint(space, places, name) for name in sorted({n for n in owned if owned.count(n) > 1})]
    for k, place in enumerate(places):
        for joint in joints:
            if k in joint.places:
                places[k] = place = replace(place, sets={n: x for n, x in place.sets.items() if n != joint.field})
    power = float(row.craft["electronics_power"][0])
    own_cost = sum(cost_of(c.placed) if c.placed.part.price is not None else 0.0 for c in space.choices)
    return Grid(
        places=tuple(places),
        joints=tuple(joints),
        base=row.craft[:1].copy(),
        mass=mass - sum(_mass_of(c.placed) for c in space.choices),
        power=power,
        cost=cost - own_cost,
        fixed=_fixed(base, space.choices),
        tables=tables,
        gains=gains,
        dropped=tuple(dropped),
    )


def _mass_of(placed: PlacedPart) -> float:
    return placed.part.mass.value * placed.count if placed.part.mass else 0.0


def _solved_row(craft: Craft) -> tuple[PowertrainColumns, float, float]:
    draws = Draws(0)
    mass = mass_columns(craft, draws).total()
    columns = powertrain_columns(craft, mass, site_air(craft), draws)
    return columns, float(mass[0]), float(np.nansum([cost_of(p) for p in craft.parts]))


def _place(
    base: Craft, choice: Choice, row: PowertrainColumns, mass: float
) -> tuple[Place | None, tuple[Array, Array] | None, list[str]]:
    """Every candidate put on the base craft by itself: what changes in its row is what the place sets."""
    found, lost = [], []
    for part in choice.parts:
        try:
            craft = swapped(base, choice.placed, part)
            found.append((part, next(p for p in craft.parts if p.id == choice.placed.id), *_solved_row(craft)))
        except CannotCompute as error:
            lost.append(f"{part.name}: {error}")
    if not found:
        return None, None, lost
    rows = np.concatenate([columns.craft[:1] for _, _, columns, _, _ in found])
    names = [n for n in CRAFT.names or () if n not in _ADDED and np.any(rows[n] != row.craft[n][0])]
    own = None
    if choice.placed.part.kind == "propeller":
        rows["propeller"] = np.arange(len(found))
        names = list(dict.fromkeys(["propeller", *names]))
        own = tuple(np.concatenate([getattr(c, t) for _, _, c, _, _ in found]) for t in ("tables", "gains"))
    parts = [part for part, *_ in found]
    keys = sorted({name for part in parts for name in vars(part) if not np.isnan(stated(part, name))})
    place = Place(
        id=choice.placed.id,
        kind=choice.placed.part.kind,
        names=tuple(part.name for part in parts),
        sets={name: np.ascontiguousarray(rows[name]) for name in names},
        mass=np.array([m - mass for *_, m, _ in found]) + _mass_of(choice.placed),
        power=rows["electronics_power"] - row.craft["electronics_power"][0],
        cost=np.array([cost_of(placed) for _, placed, *_ in found]),
        states={name: np.array([stated(part, name) for part in parts]) for name in keys},
        is_core=bool(set(names) - {"controller_resistance"}),
    )
    return place, own, lost  # type: ignore[return-value]


def _joint(space: Space, places: Sequence[Place], field: str) -> Joint:
    """A field that several places decide, from a real craft for every combination of classes of their candidates."""
    own = tuple(k for k, place in enumerate(places) if field in place.sets)
    parts = [{part.name: part for part in space.choices[k].parts} for k in own]
    signs = [[_sign(parts[i][name], field) for name in places[k].names] for i, k in enumerate(own)]
    kinds = [sorted(set(sign), key=sign.index) for sign in signs]
    classes = tuple(np.array([kind.index(x) for x in sign]) for kind, sign in zip(kinds, signs, strict=True))
    shape = tuple(len(kind) for kind in kinds)
    if math.prod(shape) > _MOST_JOINT:
        named = " and ".join(places[k].id for k in own)
        raise CannotCompute(f"{named} decide {field} together, in {math.prod(shape)} ways: choose from fewer of them")
    table = np.empty(shape)
    for at in np.ndindex(shape):
        craft = space.craft
        for i, k in enumerate(own):
            name = places[k].names[signs[i].index(kinds[i][at[i]])]
            craft = swapped(craft, next(p for p in craft.parts if p.id == places[k].id), parts[i][name])
        table[at] = _solved_row(craft)[0].craft[field][0]
    return Joint(field, own, classes, table)


def _sign(part: Part, field: str) -> str:
    """What of a part takes part in a joint field: its sizes, where the wake of a rotor meets an arm; else all of it."""
    if field != "thrust_level" or getattr(part, "bench", ()):
        return part.name
    return repr([(name, stated(part, name)) for name in _SIZES] + [getattr(part, "section", "")])


def verified(space: Space, grid: Grid, tries: int = 6) -> None:
    """Build some combinations as real craft; CannotCompute when a row of the grid is not theirs."""
    rng = np.random.default_rng(0)
    for _ in range(tries):
        picked = [int(rng.integers(count)) for count in grid.counts]
        craft = space.craft
        for place, choice, i in zip(grid.places, space.choices, picked, strict=True):
            part = next(p for p in choice.parts if p.name == place.names[i])
            craft = swapped(craft, next(p for p in craft.parts if p.id == place.id), part)
        real = _solved_row(craft)[0].craft
        mine = grid.combos(np.array([picked])).rows
        for name in CRAFT.names or ():
            if name != "propeller" and not np.allclose(real[name][0], mine[name][0], rtol=1e-9, atol=0.0):
                raise CannotCompute(f"{name} does not follow from the places one by one: choose from fewer places")


def _fixed(craft: Craft, choices: Sequence[Choice]) -> dict[tuple[str, str], float]:
    """What the parts state that are not chosen, by kind and name."""
    chosen = {choice.placed.id for choice in choices}
    fixed: dict[tuple[str, str], float] = {}
    for placed in craft.parts:
        if placed.id not in chosen:
            for name in vars(placed.part):
                fixed.setdefault((placed.part.kind, name), stated(placed.part, name))
    return fixed
