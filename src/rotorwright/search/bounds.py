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
from rotorwright.search.measures import MEASURES
from rotorwright.search.space import Goal, Limit

__all__ = [
    "MOVES",
    "RATINGS",
    "READ",
    "RULE_MOVES",
    "SLACK",
    "Corners",
    "Rest",
    "cheapest_first",
    "existence",
    "margins",
    "oriented",
]

Array = NDArray[np.float64]
Index = NDArray[np.int64]

MOVES: dict[str, dict[str, int]] = {
    "weight": {"mass": 1},
    "cost": {"cost": 1},
    "hover-time": {"mass": -1, "resistance": -1, "power": -1},
    "thrust-to-weight": {"mass": -1, "resistance": -1, "power": -1},
    "hover-throttle": {"mass": 1, "resistance": 1, "power": 1},
    "current": {"resistance": -1, "power": 1},
    "motor-current": {"resistance": -1, "power": -1},
    "controller-room": {"resistance": 1, "power": 1, "speed-controller.current": 1},
    "pack-room": {"resistance": 1, "power": -1},
    "tip-mach": {"resistance": -1, "power": -1},
}
"""How each measure's value moves when the rest adds more: 1 up, -1 down; what is not named does not move it."""

_LOSS = {"resistance": 1, "power": 1}
_DRAW = {"resistance": 1, "power": -1}
_LIFT = {"mass": -1, "resistance": -1, "power": -1}
RULE_MOVES: dict[str, dict[str, int]] = {
    "pack-overdrawn": _DRAW,
    "pack-sags": _DRAW,
    "leads-drop-voltage": _DRAW,
    "controller-overloaded": _LOSS,
    "controller-burst-exceeded": _LOSS,
    "motor-overloaded": _LOSS,
    "electrical-speed-exceeded": _LOSS,
    "tip-speed": _LOSS,
    "propeller-overspeed": _LOSS,
    "cannot-hover": _LIFT,
    "hover-throttle-high": _LIFT,
    "hover-throttle-low": {"mass": 1, "resistance": 1, "power": 1},
    "kv-too-high": {},
    "propeller-bore": {},
    "cells-over-controller": {},
    "cells-under-controller": {},
    "cells-over-motor": {},
}
"""How each rule's margin moves when the rest adds more; a rule not named is neither bounded nor reduced by."""

_HOVERS = {"mass": -1, "resistance": -1, "power": -1}
_RUNS = {"resistance": 1, "power": -1}


def existence(name: str) -> dict[str, int]:
    """How having a value at all moves with the rest, of a measure or a rule.

    What hovers goes on hovering with less to carry and to lose; a pack that does not collapse at full throttle does
    not with more resistance either, which lowers the current, nor with less draw.
    """
    if name in (*_OF_HOVER, "hover-throttle-high", "hover-throttle-low"):
        return _HOVERS
    needs_power = bool(RULE_MOVES.get(name)) or (name in MOVES and name not in ("weight", "cost"))
    return _RUNS if needs_power else {}


RATINGS = {
    "speed-controller.current": 1,
    "speed-controller.burst": 1,
    "speed-controller.cells_max": 1,
    "speed-controller.cells_min": -1,
    "speed-controller.voltage_max": 1,
    "speed-controller.electrical_rotation_max": 1,
}
"""Ratings of parts of the rest of which more (1) or less (-1) never breaks a rule."""

SLACK = 1e-6
"""Share by which a bound is loosened, far above the solver's tolerance of 1e-9."""

_OF_HOVER = ("hover-time", "hover-throttle")

_IN_FLIGHT = ("tip-speed", "electrical-speed-exceeded", "propeller-overspeed")


def cheapest_first(limits: Sequence[Limit]) -> list[Limit]:
    """Limits in the order of what they have to solve: nothing, full throttle, another state besides."""
    return sorted(limits, key=lambda x: 2 if x.name in (*_IN_FLIGHT, *_OF_HOVER) else bool(RULE_MOVES.get(x.name, 1)))


# Numbers of parts that rules over columns read, beside those in RATINGS.
READ = ("rating", "current_max", "power_max", "poles", "cells", "rotation_max", "bore", "shaft", "wire_gauge")

_GIVEN = {"mass": "mass", "cost": "cost", "resistance": "controller_resistance", "power": "electronics_power"}


@dataclass(frozen=True)
class Rest:
    """Combinations of the places outside the core, and the least and most they add and state.

    index: (n, places), 0 where the place belongs to the core
    """

    index: Index
    low: dict[str, float]
    high: dict[str, float]


def oriented(view: Combos, goals: Sequence[Goal]) -> Array:
    """Goals of every combination (n, goals), turned so that smaller is better; NaN where one does not exist."""
    return np.stack([-goal.way * MEASURES[goal.measure].values(view) for goal in goals], axis=1)


def margins(view: Combos, limits: Sequence[Limit]) -> Array:
    """Margin of every limit (n, limits), negative where it is broken; a limit that cannot be looked at is broken."""
    found = np.empty((len(view.index), len(limits)))
    with np.errstate(invalid="ignore", divide="ignore"):
        for k, limit in enumerate(limits):
            found[:, k] = _margin(view, limit)
    return np.where(np.isnan(found), -np.inf, found)


def _margin(view: Combos, limit: Limit) -> Array:
    if not limit.is_rule:
        values: Array = MEASURES[limit.name].values(view)
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

    def view(self, mass: int, resistance: int, power: int, cost: int = -1) -> Combos:
        """The cores with each sum of the rest at its least (-1) or most (1), and its ratings at their best."""
        key = (mass, resistance, power, cost)
        if key not in self._views:
            given = {
                _GIVEN[name]: self._end(name, way)
                for name, way in (("mass", mass), ("resistance", resistance), ("power", power), ("cost", cost))
                if name in self.rest.low
            }
            for name, way in RATINGS.items():
                if name in self.rest.low:
                    given[name] = np.full(len(self.core), (self.rest.high if way > 0 else self.rest.low)[name])
            self._views[key] = self.grid.combos(self.core, **given)
        return self._views[key]

    def _end(self, name: str, way: int) -> Array:
        """The core's own sum and the least or most of the rest; a resistance is the rest's alone."""
        end = (self.rest.high if way > 0 else self.rest.low)[name]
        if name == "resistance":
            return np.full(len(self.core), end)
        return self.grid.core_sum(name, self.core) + end

    def best(self, measure: str, way: int) -> Array:
        """The most (`way` 1) or least (-1) that a measure can be with each core."""
        moves = MOVES[measure]
        mass, resistance, power, cost = (way * moves.get(n, -way) for n in ("mass", "resistance", "power", "cost"))
        values: Array = MEASURES[measure].values(self.view(mass, resistance, power, cost))
        if measure in _OF_HOVER and (mass, resistance, power) == (-1, -1, -1):
            # what cannot hover with the least to carry cannot hover with more; nothing else is ruled out by a gap
            status = self.view(mass, resistance, power, cost).hover["status"]
            return np.where(np.isnan(values) & ~np.isin(status, (TOO_HEAVY, COLLAPSED)), way * np.inf, values)
        return np.where(np.isnan(values), way * np.inf, values)

    def goals(self, goals: Sequence[Goal]) -> Array:
        """Bounds on the oriented goals (n, goals): nothing with this core is smaller; NaN where it cannot hover."""
        bounds = np.stack([-goal.way * self.best(goal.measure, goal.way) for goal in goals], axis=1)
        loose = [0.0 if goal.measure == "cost" else SLACK for goal in goals]
        with np.errstate(invalid="ignore"):
            return np.where(np.isinf(bounds), bounds, bounds - np.array(loose) * np.abs(bounds))

    def some(self, picked: NDArray[Any]) -> "Corners":
        """The bounds of some of the cores, with what has been solved already."""
        part = Corners(self.grid, self.rest, self.core[picked])
        part._views = {key: view.some(picked) for key, view in self._views.items()}
        return part

    def limit(self, limit: Limit) -> Array:
        """Bound on the margin of a limit (n,): no rest gives more; infinite where nothing is known."""
        if limit.is_rule:
            if not self._is_bounded(limit.name):
                return np.full(len(self.core), np.inf)
            found = self._rule(limit)
        else:
            found = limit.way * (self.best(limit.name, limit.way) - limit.bound) / (abs(limit.bound) or 1.0)
        loosened = found + SLACK * (1.0 + np.abs(found))
        return np.where(np.isnan(loosened), np.inf, loosened)

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
