"""Is it fed: who feeds whom, voltages against ranges, regulators against their loads, cell counts."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks.finding import Severity
from rotorwright.checks.rule import Case, Skipped, at_least, at_most, rule, same
from rotorwright.checks.view import ColumnsView, CraftView
from rotorwright.columns.power_tree import RailLoad
from rotorwright.craft.feeds import SupplyRail
from rotorwright.craft.model import PlacedPart
from rotorwright.physics.wire import resistance

__all__: list[str] = []  # rules are reached by their codes

Array = NDArray[np.float64]
View = ColumnsView | CraftView
STOP, WARN, NOTE = Severity.STOP, Severity.WARN, Severity.NOTE

# A step-down regulator needs this much above its output: typical, no source [V].
_DROPOUT = 0.5
# Heat that a small linear regulator sheds from a board: typical, no source [W].
_LINEAR_HEAT = 1.0


def _faults(view: CraftView, kind: str) -> Iterator[Case]:
    """A failed case for each fault of a kind, or one that holds when there are none."""
    found = [fault for fault in view.feeds.faults() if fault.kind == kind]
    for fault in found:
        placed = next(p for p in view.craft.parts if p.id == fault.part)
        yield same(False, kind, "one feed", placed, sentence=fault.sentence)
    if not found and view.fed:
        yield same(True, "one feed", "one feed", view.fed[0])


@rule(
    "feed-unknown",
    STOP,
    reads="flight-controller regulator video-transmitter receiver camera",
    says="{sentence}",
    fix="Name a part of the craft and one of its rails in fed_from.",
)
def feed_unknown(view: CraftView) -> Iterator[Case]:
    """Every fed_from names a part on the craft and a rail that it has.

    A consumer on a rail that does not exist stays dark.

    Source: the craft file.
    """
    yield from _faults(view, "unknown rail")


@rule(
    "feed-missing",
    WARN,
    reads="flight-controller regulator video-transmitter receiver camera",
    says="{sentence}",
    fix="Give fed_from, or a [[wire]] to its supply.",
)
def feed_missing(view: CraftView) -> Iterator[Case]:
    """Every part that needs a supply says what feeds it.

    What nobody planned is found out with the soldering iron in hand: no free pad, or the wrong voltage.

    Source: the craft file.
    """
    yield from _faults(view, "orphan")


@rule(
    "feed-loop",
    STOP,
    reads="flight-controller regulator video-transmitter",
    says="{sentence}",
    fix="Feed one of them from the battery.",
)
def feed_loop(view: CraftView) -> Iterator[Case]:
    """No part is fed, over whatever detour, from itself.

    Nothing in the ring has a source.

    Source: the craft file.
    """
    yield from _faults(view, "loop")


@rule(
    "feed-double",
    STOP,
    reads="flight-controller regulator video-transmitter receiver camera wire",
    says="{sentence}",
    fix="Take one of the two feeds away.",
)
def feed_double(view: CraftView) -> Iterator[Case]:
    """No part is fed from two rails at once.

    Two regulators in parallel drive current into each other, and one of them burns.

    Source: the craft file's fed_from keys and wires.
    """
    yield from _faults(view, "double feed")


def _supplied(view: CraftView) -> Iterator[tuple[PlacedPart, SupplyRail]]:
    """Every fed part that states a supply range, with the rail whose voltage it gets."""
    for placed in view.fed:
        rail = view.feeds.of(placed)
        if rail is not None and hasattr(placed.part, "supply_max"):
            yield placed, view.feeds.made_at(rail)


@rule(
    "supply-too-high",
    STOP,
    reads="flight-controller regulator video-transmitter receiver camera recording-camera battery",
    says="{rail} gives {value}; it bears {limit}",
    fix="Feed it from a lower rail, put a regulator before it, or take a part for this voltage.",
)
def supply_too_high(view: CraftView) -> Iterator[Case | Skipped]:
    """No part gets more than the highest supply voltage it bears, from a full pack or its rail.

    It burns the moment the pack is plugged in, and often takes its neighbours along.

    Source: the part's own range; a full cell of 4.20 V, or 4.35 V for high-voltage cells.
    """
    for placed, rail in _supplied(view):
        if getattr(placed.part, "supply_max", None) is None:
            yield Skipped(f"supply_max_v of {placed.id}", placed)
        else:
            yield at_most(_highest(view, rail), _rating(view, placed, "supply_max"), "V", placed, rail=rail.id)


@rule(
    "supply-too-low",
    STOP,
    reads="flight-controller regulator video-transmitter receiver camera recording-camera battery",
    says="{rail} gives {value} at the end of the flight; it needs {limit}",
    fix="Feed it from a higher rail, or take a part that runs at this voltage.",
)
def supply_too_low(view: CraftView) -> Iterator[Case | Skipped]:
    """No part gets less than the lowest supply voltage it needs, from a pack at landing voltage or its rail.

    It restarts in the air: the picture goes black or the link drops when the pack is nearly empty.

    Source: the part's own range; landing voltage of the craft file, else 3.5 V a cell (common practice, no source).
    """
    for placed, rail in _supplied(view):
        if getattr(placed.part, "supply_min", None) is None:
            yield Skipped(f"supply_min_v of {placed.id}", placed)
        else:
            yield at_least(_lowest(view, rail), _rating(view, placed, "supply_min"), "V", placed, rail=rail.id)


def _rating(view: CraftView, placed: PlacedPart, name: str) -> float:
    """A limit as stated: a rated range has no scatter of its own."""
    return float(view.stated(placed, name).value)


def _highest(view: CraftView, rail: SupplyRail) -> Array:
    return view.full_voltage if rail.output is None else _made(view, rail)


def _lowest(view: CraftView, rail: SupplyRail) -> Array:
    return view.draws.constant(view.landing_voltage) if rail.output is None else _made(view, rail)


def _made(view: CraftView, rail: SupplyRail) -> Array:
    """Nominal voltage of a regulated rail [V]; its tolerance is within the ranges' own."""
    assert rail.output is not None and rail.output.voltage is not None
    return view.draws.constant(rail.output.voltage.value)


@rule(
    "supply-lost-in-wire",
    NOTE,
    reads="wire regulator flight-controller video-transmitter camera",
    says="its supply wire takes {value} of the rail's voltage; {limit} is the usual most",
    fix="Use a thicker or shorter supply wire.",
)
def supply_lost_in_wire(view: CraftView) -> Iterator[Case]:
    """A supply wire takes no more than 5 % of its rail's voltage.

    A drop at the receiver or camera shows as noise or restarts when something else draws.

    Source: resistance by IEC 60028, one conductor out and one back; the 5 % are common practice, no source.
    """
    for index, run in enumerate(view.craft.wires):
        name, _, pad = run.to.partition(".")
        placed = view.called(name) if pad == "supply" else None
        rail = view.feeds.of(placed) if placed else None
        load = view.load(rail) if rail and rail.output else None
        if placed is None or load is None or not (run.gauge and run.length):
            continue
        drawn = view.drawn_at(placed)
        if drawn is not None:
            way = 2 * float(resistance(run.length.value, run.gauge.value))
            share = way * drawn / load.voltage**2
            yield at_most(share, 0.05, "share", (f"wire to {placed.id}", ("wire", index)))


def _regulated(view: CraftView) -> Iterator[tuple[RailLoad, str]]:
    """Loads of the regulated rails that feed something, and what is missing from them."""
    for load in view.loads:
        if load.rail.output is not None and load.feeds:
            yield load, ", ".join(load.unknown)


@rule(
    "regulator-overloaded",
    STOP,
    reads="regulator flight-controller speed-controller video-transmitter camera receiver",
    says="{rail} carries {value}; it is rated for {limit}",
    fix="Move a consumer to another rail, or add a regulator of a higher rating.",
    headroom=0.2,
)
def regulator_overloaded(view: CraftView) -> Iterator[Case | Skipped]:
    """A regulated rail carries no more than its rating, with a fifth to spare.

    An overloaded regulator folds back or shuts down when it is warm: the flight controller restarts in the air.

    Source: the regulator's own rating; the fifth is common practice, no source.
    """
    for load, unknown in _regulated(view):
        output, source = load.rail.output, load.rail.source
        if unknown:
            yield Skipped(f"current_a and supply_at_v of {unknown}", source)
        if output is None or output.current is None:
            yield Skipped(f"current_a of the output '{load.rail.name}' of {source.id}", source)
            continue
        rated = view.draws.of(output.current, f"{source.part.name}.{load.rail.name}.current")
        yield at_most(load.current, rated, "A", source, rail=load.rail.id)


@rule(
    "regulator-hot",
    NOTE,
    reads="regulator flight-controller speed-controller video-transmitter",
    says="{rail} turns {value} into heat; a linear regulator this small sheds about {limit}",
    fix="Take a switching regulator, or feed the linear one from a lower rail.",
)
def regulator_hot(view: CraftView) -> Iterator[Case]:
    """A linear regulator turns no more than a watt into heat.

    It burns off the difference of voltages times the current, and shuts down when it is too warm. Comparative.

    Source: P = (V_in - V_out) I; the watt is typical, no source.
    """
    for load, _ in _regulated(view):
        if load.rail.kind == "linear":
            yield at_most(load.loss, _LINEAR_HEAT, "W", load.rail.source, rail=load.rail.id)


@rule(
    "regulator-starved",
    STOP,
    reads="regulator flight-controller speed-controller video-transmitter battery",
    says="it makes {rail} from {value} at the end of the flight; it needs {limit}",
    fix="Take a pack of more cells, a lower rail, or a regulator that steps up.",
)
def regulator_starved(view: CraftView) -> Iterator[Case]:
    """A regulator's supply stays half a volt above the rail it makes, down to the landing voltage.

    A step-down regulator cannot raise a voltage: its rail sags with the pack.

    Source: the half volt is typical, no source; landing voltage of the craft file, else 3.5 V a cell.
    """
    for load, _ in _regulated(view):
        before = view.feeds.of(load.rail.source)
        if before is not None and load.rail.output is not None:
            need = _made(view, load.rail) + _DROPOUT
            yield at_least(_lowest(view, view.feeds.made_at(before)), need, "V", load.rail.source, rail=load.rail.id)


@rule(
    "cells-over-controller",
    STOP,
    reads="speed-controller battery",
    says="the pack has {value} cells in series; the controller takes up to {limit}",
    fix="Take a controller for this many cells, or a pack of fewer.",
    columns=True,
)
def cells_over_controller(view: View) -> Iterator[Case]:
    """The pack has no more cells than the speed controller takes.

    Its switches break down at once, and short the pack.

    Source: the controller's own range.
    """
    yield at_most(view.field("battery", "cells"), view.field("speed-controller", "cells_max"), "1")


@rule(
    "cells-under-controller",
    WARN,
    reads="speed-controller battery",
    says="the pack has {value} cells in series; the controller needs {limit}",
    fix="Take a controller for this pack, or a pack of more cells.",
    columns=True,
)
def cells_under_controller(view: View) -> Iterator[Case]:
    """The pack has no fewer cells than the speed controller needs.

    Its gate drivers starve, and the switches run hot or not at all.

    Source: the controller's own range.
    """
    yield at_least(view.field("battery", "cells"), view.field("speed-controller", "cells_min"), "1")


@rule(
    "cells-over-motor",
    WARN,
    reads="motor battery",
    says="the pack has {value} cells in series; the motor is sold for up to {limit}",
    fix="Take a motor of lower Kv, or a pack of fewer cells.",
    columns=True,
)
def cells_over_motor(view: View) -> Iterator[Case]:
    """The pack has no more cells than the motor is sold for.

    Too much voltage for its Kv turns the propeller faster than the winding can pay for.

    Source: the motor's own range.
    """
    yield at_most(view.field("battery", "cells"), view.field("motor", "cells_max"), "1")


@rule(
    "landing-too-low",
    STOP,
    reads="battery",
    says="it lands at {value} a cell under load; {limit} is the floor",
    fix="Set landing_voltage_v to 3.5 V, and keep a reserve for the way home.",
    headroom=0.1,
)
def landing_too_low(view: CraftView) -> Iterator[Case]:
    """The craft lands at 3.3 V a cell or more under load, and never below 3.0 V.

    Below the floor a cell is damaged for good and may swell or catch fire at its next charge.

    Source: common practice, no source; lithium-ion cells bear 2.5 V.
    """
    battery = view.part("battery")
    cells = view.stated(battery, "cells")
    floor = 2.5 if view.stated(battery, "chemistry") == "li-ion" else 3.0
    yield at_least(view.landing_voltage / cells, floor, "V", ("landing voltage", ("flight", "landing_voltage_v")))
