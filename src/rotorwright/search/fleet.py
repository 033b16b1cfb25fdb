"""Many craft as one batch of kernel rows: each craft its nominal row and its samples, one behind the other."""

import math
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws, PowertrainColumns, drag_areas, flight_columns, mass_columns
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.part import Part
from rotorwright.parts.solids import solid_of
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.endurance import END
from rotorwright.physics.powertrain import OK, TOO_HEAVY
from rotorwright.physics.rows import CRAFT, POINT, TRIM
from rotorwright.predict.balance import centre_and_inertia
from rotorwright.predict.endurance import flown
from rotorwright.predict.flight import CHARGE
from rotorwright.predict.profiles import profile_of
from rotorwright.predict.report import site_air
from rotorwright.predict.response import steady_accelerations, step_answer, throttle_gain

__all__ = ["Fleet", "SharedDraws", "cost_of", "fleet_of", "stated"]

Array = NDArray[np.float64]
Points = NDArray[np.void]
T = TypeVar("T")

_THREADS = 4
# The craft whose thrust is held reaches it at full throttle, give or take the solver's last digits.
_FULL = 1.0 + 1e-6


class SharedDraws(Draws):
    """Draws that remember each factor: craft that share parts ask for the same ones again."""

    def __init__(self, size: int = 0, seed: int = 0) -> None:
        super().__init__(size, seed)
        self._factors: dict[tuple[float, str, str], Array] = {}

    def factor(self, relative: float, key: str, law: str = "") -> Array:
        """As `Draws.factor`."""
        wanted = (relative, key, law)
        if wanted not in self._factors:
            self._factors[wanted] = super().factor(relative, key, law)
        return self._factors[wanted]


class _Fewer(Draws):
    """The first of the samples of other draws."""

    def __init__(self, whole: Draws, size: int) -> None:
        super().__init__(size, whole.seed)
        self._whole = whole

    def normal(self, key: str) -> Array:
        """As `Draws.normal`."""
        return self._whole.normal(key)[: self.rows]


@dataclass(frozen=True)
class Fleet:
    """Craft in one batch; `columns` hold `rows` rows for each in turn, `masses` their all-up mass (craft, rows) [kg].

    `reasons` says of a craft why it has no columns; its rows are then NaN in every result. `held` is the thrust of
    the whole craft [N], (rows,), at which each stands in place of full throttle; None for full throttle itself.
    """

    craft: tuple[Craft, ...]
    rows: int
    masses: Array
    columns: PowertrainColumns | None
    solved: NDArray[np.int64]
    reasons: tuple[str, ...]
    draws: Draws
    held: Array | None = None

    def _all(self, found: Array) -> Array:
        """Values of the solved craft (n, ...) spread over all craft, NaN for the rest: (craft, rows)."""
        result = np.full((len(self.craft), self.rows), np.nan)
        result[self.solved] = found.reshape(len(self.solved), self.rows)
        return result

    def _points(self, kind: Any, points: Points | None) -> Points:
        """Points of the solved craft as (craft, rows); status -1 for the rest."""
        result = np.zeros((len(self.craft), self.rows), kind)
        result["status"] = -1
        if points is not None:
            result[self.solved] = points.reshape(len(self.solved), self.rows)
        return result

    @cached_property
    def row(self) -> Points:
        """Rows CRAFT, (craft, rows); NaN is in no field of a craft that is not solved, but its `mass` is 0."""
        result = np.zeros((len(self.craft), self.rows), CRAFT)
        if self.columns is not None:
            result[self.solved] = self.columns.craft.reshape(len(self.solved), self.rows)
        return result

    @cached_property
    def hover(self) -> Points:
        """Hover at half charge, POINT (craft, rows)."""
        c = self.columns
        weight = c.craft["mass"] * GRAVITY / c.craft["motors"] if c else 0.0
        return self._points(POINT, c.solve(thrust=weight, charge=0.5) if c else None)

    @cached_property
    def full(self) -> Points:
        """Full throttle, or the thrust held where that is reached, fresh and standing, POINT (craft, rows)."""
        if self.columns is None or self.held is None:
            return self._points(POINT, self.columns.solve(duty=1.0) if self.columns else None)
        thrust = np.tile(self.held, len(self.solved)) / self.columns.craft["motors"]
        found = self.columns.solve(thrust=thrust)
        found["status"] = np.where((found["status"] <= TOO_HEAVY) & (found["duty"] <= _FULL), OK, -1)
        return self._points(POINT, found)

    def at_thrust_of(self, k: int) -> "Fleet":
        """The same craft, each held at the thrust that craft `k` reaches at full throttle."""
        return replace(self, held=self.full["thrust"][k] * self.row["motors"][k])

    @cached_property
    def in_flight(self) -> Points:
        """Full throttle at half charge and 15 m/s, POINT (craft, rows)."""
        found = self.columns.solve(duty=1.0, charge=0.5, axial_speed=15.0) if self.columns else None
        return self._points(POINT, found)

    @cached_property
    def level(self) -> Points:
        """Hover as a steady flight, TRIM (craft, rows), where the answers to the sticks are taken."""
        return self._points(TRIM, self.columns.level(charge=CHARGE)[:, 0] if self.columns else None)

    @cached_property
    def hovers(self) -> NDArray[np.bool_]:
        """Whether it hovers at the charge at which the answers to the sticks are taken, (craft, rows)."""
        return np.asarray(self.level["status"] == OK)

    @cached_property
    def accelerations(self) -> tuple[Array, Array, Array]:
        """Steady angular accelerations in roll, pitch, yaw [rad/s2], (craft, rows) each."""
        if self.columns is None:
            nothing = np.full((len(self.craft), self.rows), np.nan)
            return nothing, nothing, nothing
        roll, pitch, yaw = steady_accelerations(self.columns)
        return self._all(roll), self._all(pitch), self._all(yaw)

    @cached_property
    def gain(self) -> Array:
        """Thrust a percent of throttle about hover [N/%], (craft, rows)."""
        if self.columns is None:
            return np.full((len(self.craft), self.rows), np.nan)
        with np.errstate(invalid="ignore"):
            return self._all(throttle_gain(self.columns, self.level[self.solved].reshape(-1))[0])

    @cached_property
    def rise(self) -> Array:
        """Time in which thrust rises to one and a half times the weight [s], (craft, rows)."""
        if self.columns is None:
            return np.full((len(self.craft), self.rows), np.nan)
        whole, level = self.columns, self.level[self.solved].reshape(-1)
        parts = [slice(k * self.rows, (k + 1) * self.rows) for k in range(len(self.solved))]
        found = _side_by_side(
            lambda own: step_answer(replace(whole, craft=whole.craft[own]), level[own])[:, 0], parts
        )
        return self._all(np.concatenate(found))

    @cached_property
    def flown(self) -> Points:
        """Ends of the flight on each craft's own profile, END (craft, rows); time 0 where there is none."""
        result = np.zeros((len(self.craft), self.rows), END)
        for one in self.solved[:1]:  # what is remembered of the draws is drawn before threads share it
            result[one] = self._fly(0)
        rest = range(1, len(self.solved))
        for place, ends in zip(rest, _side_by_side(self._fly, rest), strict=True):
            result[self.solved[place]] = ends
        return result

    def _fly(self, place: int) -> Points:
        """Ends of the flight of one solved craft, (rows,)."""
        assert self.columns is not None
        craft = self.craft[self.solved[place]]
        own = replace(self.columns, craft=self.columns.craft[place * self.rows : (place + 1) * self.rows])
        try:
            flight = flown(craft, own, profile_of(craft), self.draws)
        except CannotCompute:
            return np.zeros(self.rows, END)
        ends = np.array(flight.ends)
        if flight.beyond:  # of the nominal craft, as in the report
            ends[0]["time"] = 0.0
        return ends

    @cached_property
    def cost(self) -> Array:
        """What the parts cost that have a price, (craft, rows)."""
        totals = [float(np.nansum([cost_of(p) for p in one.parts])) for one in self.craft]
        return np.repeat(np.array(totals)[:, None], self.rows, axis=1)

    def stated(self, kind: str, name: str) -> Array:
        """What the first part of a kind states [SI], (craft, 1)."""
        parts = [next((p.part for p in one.parts if p.part.kind == kind), None) for one in self.craft]
        return np.array([stated(part, name) for part in parts])[:, None]

    def some(self, chosen: Sequence[int], samples: int) -> "Fleet":
        """Some of these craft, with the first of their samples, or more of their own where there are not as many."""
        if samples > self.draws.size:
            return fleet_of([self.craft[k] for k in chosen], samples, self.draws.seed)
        draws = self.draws if samples == self.draws.size else _Fewer(self.draws, samples)
        at = {int(k): place for place, k in enumerate(self.solved)}
        places = np.array([at[k] for k in chosen if k in at], np.int64)
        columns = None
        if self.columns is not None and len(places):
            rows = self.columns.craft.reshape(len(self.solved), self.rows)[places, : draws.rows]
            columns = replace(self.columns, craft=rows.reshape(-1))
        return Fleet(
            craft=tuple(self.craft[k] for k in chosen),
            rows=draws.rows,
            masses=self.masses[list(chosen), : draws.rows],
            columns=columns,
            solved=np.array([n for n, k in enumerate(chosen) if k in at], np.int64),
            reasons=tuple(self.reasons[k] for k in chosen),
            draws=draws,
            held=None if self.held is None else self.held[: draws.rows],
        )


def _side_by_side(work: Callable[[T], NDArray[Any]], parts: Sequence[T]) -> list[NDArray[Any]]:
    """`work` on every part in as many threads as there are cores: compiled kernels run side by side."""
    if len(parts) < 2:
        return [work(part) for part in parts]
    with ThreadPoolExecutor(min(os.cpu_count() or 1, _THREADS)) as pool:
        return list(pool.map(work, parts))


def stated(part: Part | None, name: str) -> float:
    """One number that a part states [SI], NaN when it does not."""
    value = getattr(part, name, None)
    if isinstance(value, Estimate):
        return value.value
    return float(value) if isinstance(value, int | float) else math.nan  # a piece that the frame draws, a word


def cost_of(placed: PlacedPart) -> float:
    """What the pieces of one part cost, whole packs bought; NaN without a price."""
    if placed.part.price is None:
        return math.nan
    return placed.part.price * math.ceil(placed.count / placed.part.pieces)


def fleet_of(craft: Sequence[Craft], samples: int = 0, seed: int = 0) -> Fleet:
    """One batch of `craft`, sampled with common draws, so that what two craft share cancels in their difference."""
    draws = SharedDraws(samples, seed)
    areas: dict[Any, tuple[Estimate, Estimate]] = {}
    tables: dict[Any, tuple[int, PowertrainColumns]] = {}
    parts, solved, reasons = [], [], []
    masses = np.full((len(craft), draws.rows), np.nan)
    for k, one in enumerate(craft):
        found, reason = _columns(one, draws, masses[k], areas)
        reasons.append(reason)
        if found is None:
            continue
        propeller = one.the("propeller")
        index, _ = tables.setdefault(propeller and propeller.part, (len(tables), found))
        found.craft["propeller"] = index
        parts.append(found.craft)
        solved.append(k)
    first = [found for _, found in tables.values()]
    columns = None
    if parts:
        stacked = [np.concatenate([getattr(f, name) for f in first]) for name in ("tables", "gains", "oblique")]
        columns = PowertrainColumns(np.concatenate(parts), *stacked)
    return Fleet(tuple(craft), draws.rows, masses, columns, np.array(solved, np.int64), tuple(reasons), draws)


def _columns(
    craft: Craft, draws: Draws, mass: Array, areas: dict[Any, tuple[Estimate, Estimate]]
) -> tuple[PowertrainColumns | None, str]:
    """Rows of one craft, or why there are none; its all-up mass is written into `mass`."""
    masses = mass_columns(craft, draws)
    mass[:] = masses.total()
    found = centre_and_inertia(craft, masses)
    if found is None:
        return None, "nothing on the craft has a known mass"
    try:
        return flight_columns(_with_drag(craft, areas), mass, found[1], site_air(craft), draws), ""
    except CannotCompute as error:
        return None, str(error)


def _with_drag(craft: Craft, areas: dict[Any, tuple[Estimate, Estimate]]) -> Craft:
    """`craft` with its drag areas stated: casting a shadow takes longer than all the rest, and many cast the same."""
    key = tuple((tuple(solid_of(p.part).extent()), p.places) for p in craft.parts if p.part.kind != "propeller")
    if key not in areas:
        areas[key] = drag_areas(craft)
    ahead, above = areas[key]
    return replace(craft, flight=replace(craft.flight, drag_area=ahead, drag_area_top=above))
