"""What each kind of part is for: the measures by which its rivals are ranked, and those that only a sheet asks."""

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws
from rotorwright.columns.power_tree import rail_loads
from rotorwright.craft.model import Craft
from rotorwright.search.fleet import Fleet
from rotorwright.search.measures import MEASURES, Measure

__all__ = ["GOALS", "KNOWN", "OWN"]

Array = NDArray[np.float64]


# What a link depends on aboard: craft of one fleet with the same of these reach as far.
_RADIO = ("receiver", "video-transmitter", "antenna", "camera", "flight-controller")


def _range(direction: str) -> Callable[[Fleet], Array]:
    """Range of one link in the open [m], each set of radio parts looked at once."""

    def values(fleet: Fleet) -> Array:
        from rotorwright.predict.link import link  # it brings antennas and channels in

        known: dict[tuple[object, ...], Array | None] = {}
        found = np.full(fleet.masses.shape, np.nan)
        for k, one in enumerate(fleet.craft):
            key = tuple((p.id, p.part.name, p.set_power) for p in one.parts if p.part.kind in _RADIO)
            if key not in known:
                known[key] = getattr(link(one, fleet.draws), direction).range_m.samples
            if known[key] is not None:
                found[k] = known[key]
        return found

    return values


def _rails(fleet: Fleet) -> Array:
    """Room on the flight controller's rails, NaN where they have no rating."""
    found = np.full(fleet.masses.shape, np.nan)
    for k, one in enumerate(fleet.craft):
        room = _rail_room(one, fleet.draws)
        if room is not None:
            found[k] = room
    return found


def _rail_room(craft: Craft, draws: Draws) -> Array | None:
    """Least share of its rating that a rail of the flight controller has left in flight."""
    rooms = []
    for load in rail_loads(craft, draws):
        output = load.rail.output
        if load.rail.source.part.kind == "flight-controller" and output is not None and output.current is not None:
            most = draws.of(output.current, f"{load.rail.source.part.name}.{load.rail.name}.current")
            rooms.append(1.0 - load.current / most)
    return np.min(rooms, axis=0) if rooms else None


_LIST = (
    Measure("control-range", "range of control", "m", 1.0, "m", 1, False, _range("control")),
    Measure("picture-range", "range of the picture", "m", 1.0, "m", 1, False, _range("video")),
    Measure("rail-room", "room on the flight controller's rails", "1", 100.0, "%", 1, False, _rails),
)

OWN: Mapping[str, Measure] = {measure.name: measure for measure in _LIST}
"""Measures that no search asks for: they cost a look at every craft by itself."""

KNOWN: Mapping[str, Measure] = {**MEASURES, **OWN}
"""Every measure that an argument may name."""

_LONG = ("flight-time", "hover-time")
_LIGHT = ("weight", "cost")

# What a part of a kind is for, the first that has a value; what is equal by one is ranked by the next. Judgement, no
# source: boards that fit do the same work, and a camera's picture has no number.
GOALS: Mapping[str, tuple[str, ...]] = {
    "motor": _LONG,
    "propeller": _LONG,
    "battery": _LONG,
    "speed-controller": _LIGHT,
    "flight-controller": ("cost", "weight"),
    "receiver": ("control-range", "cost", "weight"),
    "video-transmitter": ("picture-range", "weight", "cost"),
    "camera": _LIGHT,
    "recording-camera": _LIGHT,
}
