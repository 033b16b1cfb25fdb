"""What each part draws, through which regulators, and what each rail then carries and loses.

The one home of electrical consumption: the operating point takes its electronics from here, and so do the report of
the rails and their checks.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns.draws import Draws
from rotorwright.craft.feeds import Feeds, SupplyRail
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.parts.electronics import Buzzer, Consumer, PowerLevel, Regulator, VideoTransmitter
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.parts.propulsion import Battery

__all__ = ["CELL_NOMINAL", "RailLoad", "chosen_level", "electronics_draw", "own_power", "rail_loads"]

Array = NDArray[np.float64]

CELL_NOMINAL = 3.8
# A switching regulator of which nothing is known, and a part whose feed is not known: typical, no source.
_SWITCHING = Estimate(0.85, 0.05, Basis.TYPICAL)


@dataclass(frozen=True, slots=True)
class RailLoad:
    """One rail with its sampled voltage [V], current [A] and loss [W], shape (rows,); ids of the parts it feeds.

    `unknown` are those on it, or on what hangs on it, whose draw is not known and therefore left out.
    """

    rail: SupplyRail
    voltage: Array
    current: Array
    loss: Array
    feeds: tuple[str, ...]
    unknown: tuple[str, ...]


def chosen_level(placed: PlacedPart) -> PowerLevel | None:
    """The power setting of a video transmitter: the lowest that reaches `set_power`, else its highest."""
    if not isinstance(placed.part, VideoTransmitter) or not placed.part.levels:
        return None
    levels = placed.part.levels
    wanted = (placed.set_power or 0.0) * 0.999
    return next((level for level in levels if level.power and level.power.value >= wanted), levels[-1])


def own_power(placed: PlacedPart) -> Estimate | None:
    """Power that one piece takes in at its own supply in flight [W]; None for nothing or not known."""
    part = placed.part
    runs_alone = getattr(part, "own_battery", False) and not placed.fed_from
    if runs_alone or isinstance(part, Buzzer):  # a buzzer is silent in flight
        return None
    power: Estimate | None = getattr(part, "power", None) or getattr(part, "idle_power", None)
    if power is not None:
        return power
    level = chosen_level(placed)
    current: Estimate | None = level.current if level else getattr(part, "current", None)
    if current is None or not hasattr(part, "supply_at"):
        return None
    return current.times(part.supply_at.value if part.supply_at else 5.0)


def electronics_draw(craft: Craft) -> list[tuple[PlacedPart, Estimate]]:
    """Power that each consumer draws from the battery [W], the losses of every regulator on its way included."""
    tree = _Voltages(craft)
    drawn = []
    for placed in craft.parts:
        power = own_power(placed)
        if power is not None and power.value > 0.0:
            drawn.append((placed, power.times(placed.count / tree.path_efficiency(placed))))
    return drawn


class _Voltages:
    """Nominal voltages of a craft's rails, and what share of the power passes each."""

    def __init__(self, craft: Craft) -> None:
        self.feeds = Feeds(craft)
        battery = craft.the("battery")
        cells = battery.part.cells if battery and isinstance(battery.part, Battery) else np.nan
        self.battery = CELL_NOMINAL * cells

    def at(self, rail: SupplyRail) -> float:
        """Nominal voltage of a rail [V]; the battery's where the voltage is not known."""
        made = self.feeds.made_at(rail)
        return made.output.voltage.value if made.output and made.output.voltage else self.battery

    def efficiency(self, rail: SupplyRail) -> Estimate:
        """Power out over power in of a rail [1]; a linear regulator passes its current on: V_out/V_in."""
        if rail.output is None:
            return Estimate(1.0)
        if rail.output.kind == "linear":
            before = self.feeds.of(rail.source)
            return Estimate(min(self.at(rail) / (self.at(before) if before else self.battery), 1.0))
        return rail.output.efficiency or _SWITCHING

    def path_efficiency(self, placed: PlacedPart) -> float:
        """Power taken in over power drawn from the battery [1]."""
        path = self.feeds.path(placed)
        return float(np.prod([self.efficiency(rail).value for rail in path])) if path else _SWITCHING.value


def rail_loads(craft: Craft, draws: Draws) -> tuple[RailLoad, ...]:
    """What every rail of the craft carries in flight, motors left out.

    A rail carries what its consumers take in, and what the regulators that hang on it take in; NaN where rails feed
    each other in a ring.
    """
    tree = _Tree(craft, draws)
    return tuple(tree.load(rail) for rail in tree.rails)


class _Tree(_Voltages):
    """One pass down the tree; each rail is computed once."""

    def __init__(self, craft: Craft, draws: Draws) -> None:
        super().__init__(craft)
        self.draws, self.rails = draws, self.feeds.rails()
        self.done: dict[str, RailLoad | None] = {}  # None while it is being computed

    def load(self, rail: SupplyRail) -> RailLoad:
        """What a rail carries; NaN when the question comes from a ring below it."""
        if rail.id not in self.done:
            self.done[rail.id] = None
            self.done[rail.id] = self._load(rail)
        nothing = self.draws.constant(np.nan)
        return self.done[rail.id] or RailLoad(rail, nothing, nothing, nothing, (), ())

    def _load(self, rail: SupplyRail) -> RailLoad:
        power, unknown = self.draws.constant(0.0), []
        consumers = self.feeds.fed_by(rail)
        for placed in consumers:
            watts, names = self._taken_in(placed)
            power = power + watts
            unknown += names
        volts = self._voltage(rail)
        ids = tuple(placed.id for placed in consumers)
        return RailLoad(rail, volts, power / volts, self._loss(rail, power), ids, tuple(dict.fromkeys(unknown)))

    def _taken_in(self, placed: PlacedPart) -> tuple[Array, list[str]]:
        """Power at a part's supply [W] with all that hangs on it, and whose draw is not known."""
        own, part = own_power(placed), placed.part
        draws_something = isinstance(part, Consumer) and not isinstance(part, Buzzer | Regulator)
        unknown = [placed.id] if own is None and draws_something else []
        power = self.draws.constant(0.0)
        if own is not None:
            power = self.draws.of(own, f"{part.name}.power") * placed.count
        for below in self.rails:
            if below.source is placed:
                load = self.load(below)
                power = power + load.current * load.voltage + load.loss
                unknown += load.unknown
        return power, unknown

    def _voltage(self, rail: SupplyRail) -> Array:
        if rail.output and rail.output.voltage:
            return self.draws.of(rail.output.voltage, f"{rail.source.part.name}.{rail.name}.voltage")
        return self.draws.constant(self.at(rail))

    def _loss(self, rail: SupplyRail, power: Array) -> Array:
        estimate = self.efficiency(rail)
        sampled = self.draws.of(estimate, f"{rail.source.part.name}.{rail.name}.efficiency")
        return np.asarray(power * (1 / np.minimum(sampled, 1.0) - 1))
