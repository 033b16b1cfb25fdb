"""Which way each measure and each rule moves with what the rest adds; property tests hold it against the models.

The core are the places that take part in the balance of motor, rotor and pack; the rest adds mass, cost, draw,
inertia and a series resistance, and states ratings.
"""

from collections.abc import Sequence

from rotorwright.search.measures import FLOWN, RESPONSE
from rotorwright.search.space import Limit

__all__ = ["DECIDES", "MOVES", "OF_HOVER", "RATINGS", "READ", "RULE_MOVES", "cheapest_first", "existence"]

OF_HOVER = ("hover-time", "hover-throttle")
"""Measures that only what hovers has, at half charge."""

MOVES: dict[str, dict[str, int]] = {
    "weight": {"mass": 1},
    "cost": {"cost": 1},
    "hover-time": {"mass": -1, "resistance": -1, "power": -1},
    "thrust-to-weight": {"mass": -1, "resistance": -1, "power": -1},
    "roll": {"inertia": -1, "resistance": -1, "power": -1},
    "pitch": {"inertia": -1, "resistance": -1, "power": -1},
    "hover-throttle": {"mass": 1, "resistance": 1, "power": 1},
    "current": {"resistance": -1, "power": 1},
    "motor-current": {"resistance": -1, "power": -1},
    "controller-room": {"resistance": 1, "power": 1, "speed-controller.current": 1},
    "pack-room": {"resistance": 1, "power": -1},
    "tip-mach": {"resistance": -1, "power": -1},
}
"""How each measure's value moves when the rest adds more: 1 up, -1 down; what is not named does not move it.

What is integrated in time (`IN_TIME`) is declared nowhere: combinations of the rest are compared by it only where
they are equal, and it has bounds of its own (`longest.py`, `quickest.py`).
"""

DECIDES: dict[str, tuple[str, ...]] = {
    "flight-time": ("mass", "resistance", "power", "shape"),
    "winding": ("mass", "resistance", "power", "shape"),
    "thrust-rise": ("mass", "resistance", "power", "current_limit"),
}
"""What of the rest decides each measure that is integrated in time."""

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
    if name in (*OF_HOVER, *RESPONSE, *FLOWN, "hover-throttle-high", "hover-throttle-low"):
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

READ = ("rating", "current_max", "power_max", "poles", "cells", "rotation_max", "bore", "shaft", "wire_gauge")
"""Numbers of parts that rules over columns read, beside those in RATINGS."""

_IN_FLIGHT = ("tip-speed", "electrical-speed-exceeded", "propeller-overspeed")


def cheapest_first(limits: Sequence[Limit]) -> list[Limit]:
    """Limits in the order of what they have to solve: nothing, full throttle, another state besides."""
    dear = (*_IN_FLIGHT, *OF_HOVER, *RESPONSE, *FLOWN)
    return sorted(limits, key=lambda x: 2 if x.name in dear else bool(RULE_MOVES.get(x.name, 1)))
