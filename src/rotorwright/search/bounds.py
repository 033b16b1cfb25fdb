"""What no craft with a given core can do better: each goal and limit at the corner of the rest that suits it best.

The core are the places that take part in the balance of motor, rotor and pack; the rest adds mass, cost, draw and a
series resistance, and states ratings. Every measure declares which way it moves with each of them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks.rule import Missing, rule_named
from rotorwright.physics.powertrain import COLLAPSED, TOO_HEAVY
from rotorwright.search.grid import Combos, Grid
from rotorwright.search.measures import IN_TIME, MEASURES, TURNS
from rotorwright.search.moments import extreme_inertia
from rotorwright.search.moves import MOVES, OF_HOVER, RATINGS, READ, RULE_MOVES
from rotorwright.search.quickest import quickest
from rotorwright.search.space import Goal, Limit

__all__ = ["SLACK", "Corners", "Rest", "at_best", "loosened", "margins", "oriented"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]

SLACK = 1e-6
"""Share by which a bound is loosened, far above the solver's tolerance of 1e-9."""

_GIVEN = {"mass": "mass", "cost": "cost", "resistance": "controller_resistance", "power": "electronics_power"}


@dataclass(frozen=True)
class Rest:
    """Combinations of the places outside the core, and the least and most they add and state.

    index: (n, places), 0 where the place belongs to the core
    """

    index: Index
    low: dict[str, float]
    high: dict[str, float]


def at_best(measure: str, way: int, light: Combos, heavy: Combos) -> Array:
    """What is integrated in time, no worse than any mass from `light` to `heavy` makes it; infinite where unknown."""
    if measure == "flight-time" and way > 0:
        return light.longest(heavy.masses)
    if measure == "thrust-rise" and way < 0:
        return quickest(light, heavy)
    return np.full(len(light.index), way * np.inf)


def _values(view: Combos, measure: str, way: int, bounded: bool) -> Array:
    if bounded and measure in IN_TIME:
        return at_best(measure, way, view, view)
    values: Array = MEASURES[measure].values(view)
    return values


def oriented(view: Combos, goals: Sequence[Goal], bounded: bool = False) -> Array:
    """Goals of every combination (n, goals), turned so that smaller is better; NaN where one does not exist.

    What cannot be built has none.
    bounded: what is integrated in time is not, but bounded
    """
    points = np.stack([-goal.way * _values(view, goal.measure, goal.way, bounded) for goal in goals], axis=1)
    if view.grid.barred:
        points[~view.grid.possible(view.index)] = np.nan
    return points


def loosened(points: Array, goals: Sequence[Goal]) -> Array:
    """Bounds on oriented goals, less what the solver cannot see; a cost is exact."""
    loose = [0.0 if goal.measure == "cost" else SLACK for goal in goals]
    with np.errstate(invalid="ignore"):
        return np.where(np.isinf(points), points, points - np.array(loose) * np.abs(points))


def margins(view: Combos, limits: Sequence[Limit], bounded: bool = False) -> Array:
    """Margin of every limit (n, limits), negative where it is broken; a limit that cannot be looked at is broken.

    bounded: what is integrated in time is not, but bounded
    """
    found = np.empty((len(view.index), len(limits)))
    with np.errstate(
        invalid="ignore", divide="ignore", over="ignore"
    ):  # of a bound next to nought a share is endless
        for k, limit in enumerate(limits):
            found[:, k] = _margin(view, limit, bounded)
    return np.where(np.isnan(found), -np.inf, found)


def _margin(view: Combos, limit: Limit, bounded: bool = False) -> Array:
    if not limit.is_rule:
        values = _values(view, limit.name, limit.way, bounded)
        return limit.way * (values - limit.bound) / (abs(limit.bound) or 1.0)
    rule = rule_named(limit.name)
    assert rule is not None
    try:
        return rule.margin(view)
    except Missing:  # of none of these
        return np.full(len(view.index), np.nan)


class Corners:
    """Bounds of a block of cores, each solved at the corners of the rest that its measures ask for."""

    def __init__(self, grid: Grid, rest: Rest, core: Index) -> None:
        self.grid, self.rest, self.core = grid, rest, core
        self._views: dict[tuple[int, ...], Combos] = {}
        self._turned: dict[int, Array] = {}

    def view(self, mass: int, resistance: int, power: int, cost: int = -1, inertia: int = -1) -> Combos:
        """The cores with each sum of the rest at its least (-1) or most (1), and its ratings at their best."""
        key = (mass, resistance, power, cost, inertia)
        if key not in self._views:
            given = {
                _GIVEN[name]: self._end(name, way)
                for name, way in (("mass", mass), ("resistance", resistance), ("power", power), ("cost", cost))
                if name in self.rest.low
            }
            for name, way in RATINGS.items():
                if name in self.rest.low:
                    given[name] = np.full(len(self.core), (self.rest.high if way > 0 else self.rest.low)[name])
            if self.grid.moments is not None:
                given["inertia"] = self._inertia(inertia)
            self._views[key] = view = self.grid.combos(self.core, **given)
            view.__dict__["hovers"] = np.ones(len(self.core), dtype=bool)  # a lighter rest may
        return self._views[key]

    def _inertia(self, way: int) -> Array:
        """Least or greatest inertia of each core with any rest (n, 3)."""
        if way not in self._turned:
            moments, places = self.grid.moments, self.grid.places
            assert moments is not None
            core, apart = (
                [k for k, place in enumerate(places) if place.is_core is is_core] for is_core in (True, False)
            )
            rest = moments.of_places(self.rest.index, apart)
            mass = sum((places[k].mass[self.rest.index[:, k]] for k in apart), start=np.zeros(len(rest)))
            sums, own = moments.of_core(self.core, core), self.grid.core_sum("mass", self.core)
            self._turned[way] = np.full((3, len(self.core)), np.nan)
            for axis in moments.axes:
                extreme_inertia(sums, own, rest, mass, axis, way, self._turned[way][axis])
        return self._turned[way].T

    def _end(self, name: str, way: int) -> Array:
        """The core's own sum and the least or most of the rest; a resistance is the rest's alone."""
        end = (self.rest.high if way > 0 else self.rest.low)[name]
        if name == "resistance":
            return np.full(len(self.core), end)
        return self.grid.core_sum(name, self.core) + end

    def best(self, measure: str, way: int) -> Array:
        """The most (`way` 1) or least (-1) that a measure can be with each core."""
        if measure in IN_TIME:
            return at_best(measure, way, self.view(-1, -1, -1), self.view(1, -1, -1))
        ends = self._ends(measure, way)
        values: Array = MEASURES[measure].values(self.view(*ends))
        if measure in OF_HOVER and ends[:3] == (-1, -1, -1):
            # what cannot hover with the least to carry cannot hover with more; nothing else is ruled out by a gap
            status = self.view(*ends).hover["status"]
            return np.where(np.isnan(values) & ~np.isin(status, (TOO_HEAVY, COLLAPSED)), way * np.inf, values)
        return np.where(np.isnan(values), way * np.inf, values)

    def _ends(self, measure: str, way: int) -> tuple[int, ...]:
        """Which end of each sum of the rest suits a measure."""
        moves = MOVES[measure]
        return tuple(way * moves.get(n, -way) for n in ("mass", "resistance", "power", "cost", "inertia"))

    def turning(self, goal: Goal) -> Array:
        """Moment about roll or pitch that each core turns with at best, or at least where less is wanted [N m]."""
        view = self.view(*self._ends(goal.measure, goal.way))
        return np.asarray((view.accelerations * view.inertia.T)[TURNS.index(goal.measure)])

    def goals(self, goals: Sequence[Goal]) -> Array:
        """Bounds on the oriented goals (n, goals): nothing with this core is smaller; NaN where it cannot hover."""
        bounds = np.stack([-goal.way * self.best(goal.measure, goal.way) for goal in goals], axis=1)
        return loosened(bounds, goals)

    def some(self, picked: NDArray[Any]) -> "Corners":
        """The bounds of some of the cores, with what has been solved already."""
        part = Corners(self.grid, self.rest, self.core[picked])
        part._views = {key: view.some(picked) for key, view in self._views.items()}
        part._turned = {way: found[:, picked] for way, found in self._turned.items()}
        return part

    def limit(self, limit: Limit) -> Array:
        """Bound on the margin of a limit (n,): no rest gives more; infinite where nothing is known."""
        if limit.is_rule:
            if not self._is_bounded(limit.name):
                return np.full(len(self.core), np.inf)
            found = self._rule(limit)
        else:
            found = limit.way * (self.best(limit.name, limit.way) - limit.bound) / (abs(limit.bound) or 1.0)
        room = found + SLACK * (1.0 + np.abs(found))
        return np.where(np.isnan(room), np.inf, room)

    def _rule(self, limit: Limit) -> Array:
        """Margin at the corner that suits the rule."""
        moves = RULE_MOVES[limit.name]
        view = self.view(*(moves.get(name, -1) for name in ("mass", "resistance", "power")))
        with np.errstate(invalid="ignore", divide="ignore"):
            return _margin(view, limit)

    def _is_bounded(self, code: str) -> bool:
        """Whether the rule's moves are declared, and each rating of the rest it reads has a best end."""
        rule = rule_named(code)
        if rule is None or code not in RULE_MOVES:
            return False
        ends = [n for n in self.rest.low if "." in n and n.split(".")[0] in rule.reads and n not in RATINGS]
        return all(self.rest.low[n] == self.rest.high[n] for n in ends if n.split(".")[1] in READ)
