"""Currents against ratings: pack, controllers, motors, connectors, leads and capacitors."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks.finding import Severity
from rotorwright.checks.rule import Case, Missing, at_least, at_most, rule, told
from rotorwright.checks.view import ColumnsView, CraftView

__all__: list[str] = []  # rules are reached by their codes

Array = NDArray[np.float64]
View = ColumnsView | CraftView
STOP, WARN, NOTE = Severity.STOP, Severity.WARN, Severity.NOTE


def _burst(view: View) -> Array:
    """Burst rating of a controller channel, or its continuous rating [A]."""
    try:
        return view.field("speed-controller", "burst")
    except Missing:
        return view.field("speed-controller", "current")


@rule(
    "pack-overdrawn",
    WARN,
    reads="battery motor propeller",
    says="full throttle draws {value} from a pack rated for {limit}",
    fix="Take a pack of more capacity or rating, or less propeller or Kv.",
    columns=True,
)
def pack_overdrawn(view: View) -> Iterator[Case]:
    """The pack is rated for the current that full throttle draws from it.

    A rating is a seller's promise, not a measurement; beyond it a pack warms, swells and ages within a few flights.

    Source: the pack's own rating, capacity times its C figure; ratings are not standardised.
    """
    rated = view.field("battery", "rating") * view.rows["capacity"] / 3600.0
    yield at_most(view.full["battery_current"], rated, "A")


@rule(
    "pack-sags",
    STOP,
    reads="battery motor propeller",
    says="at full throttle, fresh, each cell is pulled down to {value}; {limit} is the floor",
    fix="Take a pack with less resistance (larger, newer, warmer), or less propeller or Kv.",
    headroom=0.1,
    columns=True,
)
def pack_sags(view: View) -> Iterator[Case]:
    """A fresh pack holds its cells above 3.0 V at full throttle by its resistance, whatever its label promises.

    Its resistance sets what a pack can give: below 3 V a cell is damaged, and the controllers may restart in the air.

    Source: common practice, no source; the resistance is the pack's own or that of the scaling law for its capacity.
    """
    yield at_least(view.full["battery_voltage"] / view.rows["cells"], 3.0, "V")


@rule(
    "controller-overloaded",
    WARN,
    reads="speed-controller motor propeller battery",
    says="each motor draws {value} at full throttle; a channel is rated for {limit} all the time",
    fix="Take a controller of a higher rating, or less propeller or Kv.",
    columns=True,
)
def controller_overloaded(view: View) -> Iterator[Case]:
    """A controller channel carries no more at full throttle than its continuous rating.

    Its switches warm with the square of the current, and the rating assumes air moving over the board.

    Source: the controller's own rating.
    """
    yield at_most(view.full["motor_current"], view.field("speed-controller", "current"), "A")


@rule(
    "controller-burst-exceeded",
    STOP,
    reads="speed-controller motor propeller battery",
    says="each motor draws {value} at full throttle; a channel bears {limit} for seconds only",
    fix="Take a controller of a higher rating, or less propeller or Kv.",
    columns=True,
)
def controller_burst_exceeded(view: View) -> Iterator[Case]:
    """A controller channel carries no more at full throttle than its burst rating.

    Past the burst rating a channel does not warm up, it fails, and the craft falls.

    Source: the controller's own rating; its continuous one where no burst is stated.
    """
    yield at_most(view.full["motor_current"], _burst(view), "A")


@rule(
    "motor-overloaded",
    WARN,
    reads="motor propeller battery",
    says="each motor draws {value} at full throttle; {limit} is the most it is sold for",
    fix="Take less pitch, diameter or Kv, or a larger stator.",
    columns=True,
)
def motor_overloaded(view: View) -> Iterator[Case]:
    """A motor draws no more at full throttle than the largest current it is sold for.

    The winding's insulation and the magnets' glue give way to heat that rises with the square of the current.

    Source: the motor's own short-time limit.
    """
    yield at_most(view.full["motor_current"], view.field("motor", "current_max"), "A")


@rule(
    "motor-power-exceeded",
    WARN,
    reads="motor propeller battery",
    says="each motor takes {value} at full throttle; {limit} is the most it is sold for",
    fix="Take less pitch, diameter or Kv, or a larger stator.",
    columns=True,
)
def motor_power_exceeded(view: View) -> Iterator[Case]:
    """A motor takes no more electrical power at full throttle than it is sold for.

    Power that is not turned into thrust warms the winding; a small stator cannot shed it.

    Source: the motor's own short-time limit.
    """
    power = view.full["motor_current"] * view.full["motor_voltage"]
    yield at_most(power, view.field("motor", "power_max"), "W")


@rule(
    "electrical-speed-exceeded",
    STOP,
    reads="speed-controller motor propeller battery",
    says="full throttle turns the field at {value}; the controller follows up to {limit}",
    fix="Take a controller for a higher electrical speed, less Kv, or a motor with fewer poles.",
    headroom=0.1,
    columns=True,
)
def electrical_speed_exceeded(view: View) -> Iterator[Case]:
    """The controller can follow the motor's electrical speed, pole pairs times shaft speed, at full throttle.

    A controller that falls behind loses step: the motor stops in the air.

    Source: the controller's own limit.
    """
    turning = np.maximum(view.full["rotation"], view.in_flight["rotation"])
    electrical = view.field("motor", "poles") / 2.0 * turning
    yield at_most(electrical, view.field("speed-controller", "electrical_rotation_max"), "rad/s")


@rule(
    "packs-in-parallel",
    NOTE,
    reads="battery",
    says="{value} packs share the load",
    fix="Join packs only when their voltages agree within a tenth of a volt, same type and age.",
)
def packs_in_parallel(view: CraftView) -> Iterator[Case]:
    """Packs in parallel are alike and equally charged when they are joined.

    The fuller pack charges the other at whatever current their resistances let through.

    Source: common practice, no source.
    """
    battery = view.part("battery")
    if battery.count > 1:
        yield told(battery, float(battery.count), "1")
