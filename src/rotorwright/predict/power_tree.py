"""What each rail of a craft carries, how far it is from its rating, and what is wrong with who feeds whom."""

import math
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from rotorwright.columns import Draws
from rotorwright.columns.power_tree import RailLoad, rail_loads
from rotorwright.craft.feeds import FeedFault, Feeds
from rotorwright.craft.model import Craft
from rotorwright.predict.result import Prediction, plain

__all__ = ["FeedFault", "PowerTree", "Rail", "power_tree"]


@dataclass(frozen=True, slots=True)
class Rail:
    """One rail in flight, motors left out; `margin` is rated over load current, `loss_w` the heat of its regulator.

    `kind` is battery, through (a pad that hands the supply on), switching or linear. `feeds` are the ids of the parts
    on it.
    """

    id: str
    source: str
    kind: str
    voltage_v: float
    rated_current_a: float | None
    load_current_a: Prediction
    margin: Prediction
    loss_w: Prediction
    feeds: tuple[str, ...]

    def printed(self) -> dict[str, Any]:
        """The record as JSON holds it: null for a voltage that is not known, which the load's reason speaks of."""
        values = {one.name: plain(getattr(self, one.name)) for one in fields(self)}
        return values | {"voltage_v": self.voltage_v if math.isfinite(self.voltage_v) else None}


@dataclass(frozen=True, slots=True)
class PowerTree:
    """All rails, what the electronics draw from the battery in flight, what of it regulators turn to heat, faults."""

    rails: tuple[Rail, ...]
    power_w: Prediction
    loss_w: Prediction
    faults: tuple[FeedFault, ...]


def power_tree(craft: Craft, draws: Draws | None = None) -> PowerTree:
    """Rails of `craft`: load = sum of what its parts take in over its voltage, loss = load (1/efficiency - 1).

    Buzzers are silent in flight and draw nothing. Where the feed of a part is not known it is missing from every rail
    and named among the faults.
    """
    draws = draws or Draws()
    loads = rail_loads(craft, draws)
    battery = next((load for load in loads if load.rail.kind == "battery"), None)
    loss = np.sum([load.loss for load in loads], axis=0) if loads else draws.constant(np.nan)
    drawn = battery.current * battery.voltage if battery else draws.constant(np.nan)
    reason = _reason(battery) if battery else "not computed: there is no battery"
    return PowerTree(
        rails=tuple(_rail(load, draws) for load in loads),
        power_w=Prediction.of(drawn, "W", reason),
        loss_w=Prediction.of(loss, "W", reason),
        faults=Feeds(craft).faults(),
    )


def _rail(load: RailLoad, draws: Draws) -> Rail:
    output = load.rail.output
    rated = output.current if output else None
    reason = _reason(load)
    if rated is None:
        margin = Prediction.absent("1", _unrated(load))
    elif load.current[0] == 0.0:
        margin = Prediction.absent("1", reason or "nothing draws on it in flight")
    else:
        most = draws.of(rated, f"{load.rail.source.part.name}.{load.rail.name}.current")
        margin = Prediction.of(most / load.current, "1", reason)
    return Rail(
        id=load.rail.id,
        source=load.rail.source.id,
        kind=load.rail.kind,
        voltage_v=float(load.voltage[0]),
        rated_current_a=rated.value if rated else None,
        load_current_a=Prediction.of(load.current, "A", reason),
        margin=margin,
        loss_w=Prediction.of(load.loss, "W", reason),
        feeds=load.feeds,
    )


def _unrated(load: RailLoad) -> str:
    if load.rail.output is None:
        return f"a {load.rail.kind} rail has no rating of its own"
    return f"not computed: give current_a of the output '{load.rail.name}' of {load.rail.source.id}"


def _reason(load: RailLoad) -> str | None:
    """What is missing from a load, if anything."""
    if not np.isfinite(load.voltage[0]):
        return "not computed: the voltage is not known without a battery"
    if not np.isfinite(load.current[0]):
        return "not computed: rails feed each other in a ring"
    if not np.isfinite(load.loss[0]):
        return "the loss is not known without a battery"
    if load.unknown:
        return (
            f"without {', '.join(load.unknown)}, whose draw is not known: give current_a and supply_at_v, or power_w"
        )
    return None
