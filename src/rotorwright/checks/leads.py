"""Do leads, connectors and capacitors bear what flows: heat, voltage drop, spikes."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks.finding import Severity
from rotorwright.checks.rule import Case, Missing, Skipped, at_least, at_most, rule, told
from rotorwright.checks.view import ColumnsView, CraftView
from rotorwright.craft.model import PlacedPart
from rotorwright.craft.tables import WireRun
from rotorwright.parts.electronics import Capacitor
from rotorwright.parts.hardware import Connector
from rotorwright.parts.source_map import Key
from rotorwright.physics.conductor import adiabatic_area, held_voltage, insulated_diameter, smoothing_capacitance
from rotorwright.physics.heat import wire_rise
from rotorwright.physics.wire import loop_inductance, resistance

__all__: list[str] = []  # rules are reached by their codes

Array = NDArray[np.float64]
View = ColumnsView | CraftView
STOP, WARN, NOTE = Severity.STOP, Severity.WARN, Severity.NOTE

# A full-throttle climb lasts no longer: common practice, no source.
_PUNCH_SECONDS = 10.0
# Silicone insulation: from 40 C in the craft to 200 C (common practice, no source).
_WIRE_START, _WIRE_END = 313.15, 473.15
_WIRE_LASTING = 60.0
# Six-step drive: each phase carries sqrt(2/3) of the motor's current in root mean square.
_PHASE_SHARE = (2.0 / 3.0) ** 0.5


def _main_connectors(view: CraftView) -> list[PlacedPart]:
    return [p for p in view.of_kind(Connector) if "battery" in p.id or p.role in ("connector", "battery-connector")]


@rule(
    "connector-runs-hot",
    STOP,
    reads="connector battery motor propeller",
    says="it carries {value} on average over the flight; it is rated for {limit}",
    fix="Take the next larger connector on pack and craft.",
)
def connector_runs_hot(view: CraftView) -> Iterator[Case]:
    """The main connector carries no more than its rating in root mean square over the flight profile.

    A connector that is too small unsolders itself from its leads.

    Source: the connector's own rating; no published standard for these connectors was found, so it is an assumption.
    """
    connectors = _main_connectors(view)
    if not connectors:
        raise Missing("a connector with the role battery-connector")
    ends = view.flown
    current = np.sqrt(ends["current_square"] / ends["time"])
    for placed in connectors:
        yield at_most(current, view.of(placed, "current")[:1], "A", placed)


@rule(
    "connector-overloaded",
    WARN,
    reads="connector battery motor propeller",
    says="it carries {value} at full throttle, more than twice the {rated} it is rated for",
    fix="Take the next larger connector on pack and craft, or fly full throttle for a few seconds only.",
)
def connector_overloaded(view: CraftView) -> Iterator[Case]:
    """The main connector carries no more than twice its rating at full throttle.

    For a few seconds a connector bears more than its rating; twice is where contacts begin to mark.

    Source: common practice, no source; ratings of these connectors are their makers' claims.
    """
    for placed in _main_connectors(view):
        rated = view.of(placed, "current")
        yield at_most(view.full["battery_current"], 2 * rated, "A", placed, rated=f"{rated[0]:.0f} A")


def _main_leads(view: CraftView) -> Iterator[tuple[tuple[str, Key], float, float]]:
    """Name and key, copper area [m2] and length [m] of one way of whatever carries the pack's current."""
    battery = view.part("battery")
    if (gauge := getattr(battery.part, "lead_gauge", None)) is not None:
        length = getattr(battery.part, "lead_length", None)
        yield (battery.id, battery.key), gauge.value * battery.count, length.value if length else 0.0
    for index, run in enumerate(view.craft.wires):
        if _from_pack(view, run) and run.gauge and run.length:
            yield (f"wire {index + 1}", ("wire", index)), run.gauge.value * run.conductors / 2, run.length.value


def _from_pack(view: CraftView, run: WireRun) -> bool:
    """Whether a run joins the pack and the controllers."""
    ends = [view.called(pad.split(".")[0]) for pad in (run.from_, run.to)]
    return sorted(end.part.kind for end in ends if end) == ["battery", "speed-controller"]


@rule(
    "lead-too-thin",
    STOP,
    reads="wire battery motor propeller",
    says="{value} of copper carry the pack's current; ten seconds of full throttle need {limit}",
    fix="Use a thicker lead.",
)
def lead_too_thin(view: CraftView) -> Iterator[Case]:
    """Leads from the pack to the controllers survive ten seconds of full throttle below 200 C.

    The wire keeps all its heat for so short a time; silicone insulation and solder give way above about 200 C.

    Source: IEC 60364-4-43, I^2 t = k^2 S^2 with k for 40 to 200 C; ten seconds, at half charge and 15 m/s, are common
    practice, no source.
    """
    need = np.asarray(adiabatic_area(view.in_flight["battery_current"], _PUNCH_SECONDS, _WIRE_START, _WIRE_END))
    for at, area, _ in _main_leads(view):
        yield at_least(area, need, "m2", at)


@rule(
    "lead-runs-warm",
    NOTE,
    reads="wire battery motor propeller",
    says="the flight warms it by {value}; {limit} is the most to plan for",
    fix="Use a thicker lead, or expect warm leads.",
)
def lead_runs_warm(view: CraftView) -> Iterator[Case]:
    """The pack's leads warm by no more than 60 K over the flight profile.

    A warm lead wastes charge and softens the solder where it ends. The model is comparative.

    Source: I^2 R over a film coefficient of 30 W/(m2 K): typical, no source.
    """
    ends = view.flown
    current = float(np.sqrt(ends["current_square"] / ends["time"])[0])
    for at, area, _ in _main_leads(view):
        rise = wire_rise(current, float(resistance(1.0, area)), float(insulated_diameter(area)))
        yield at_most(rise, _WIRE_LASTING, "K", at)


@rule(
    "leads-drop-voltage",
    WARN,
    reads="wire battery motor propeller",
    says="leads and connector take {value} of the pack's voltage at full throttle; {limit} is the usual most",
    fix="Shorten or thicken the leads.",
    columns=True,
)
def leads_drop_voltage(view: View) -> Iterator[Case]:
    """Leads and connector together take no more than 4 % of the pack's voltage at full throttle.

    Every volt lost in the leads is thrust lost and heat gained.

    Source: common practice, no source; resistance by IEC 60028.
    """
    drop = view.rows["lead_resistance"] * view.full["battery_current"]
    yield at_most(drop / view.full_voltage, 0.04, "share", at="battery")


@rule(
    "motor-leads-too-thin",
    WARN,
    reads="motor propeller battery",
    says="{value} of copper carry a phase; ten seconds of full throttle need {limit}",
    fix="Take a motor with thicker leads, or less propeller or Kv.",
    columns=True,
)
def motor_leads_too_thin(view: View) -> Iterator[Case]:
    """The motor's own leads survive ten seconds of full throttle below 200 C.

    A phase carries sqrt(2/3) of the motor's current in root mean square.

    Source: IEC 60364-4-43 with k for 40 to 200 C; six-step drive; the ten seconds are common practice, no source.
    """
    phase = _PHASE_SHARE * view.in_flight["motor_current"]
    need = np.asarray(adiabatic_area(phase, _PUNCH_SECONDS, _WIRE_START, _WIRE_END))
    yield at_least(view.field("motor", "wire_gauge"), need, "m2")


def _lead_loop(view: CraftView) -> float:
    """Inductance of the pack's leads, side by side [H]."""
    total = 0.0
    for _, area, length in _main_leads(view):
        copper = float(np.sqrt(4 * area / np.pi))
        total += loop_inductance(length, float(insulated_diameter(area)), copper)
    if total == 0.0:
        raise Missing("lead_length_mm of the battery, or a [[wire]] from the battery to the speed controller")
    return total


def _held(view: CraftView) -> list[tuple[PlacedPart, float, float]]:
    """Capacitors across the supply: part, capacitance of its pieces [F], and their series resistance [ohm]."""
    found: list[tuple[PlacedPart, float, float]] = []
    for placed, part in view.pairs(Capacitor):
        if part.capacitance:
            own = part.series_resistance.value if part.series_resistance else 0.0
            found.append((placed, part.capacitance.value * placed.count, own / placed.count))
    return found


@rule(
    "supply-spikes",
    WARN,
    reads="speed-controller capacitor wire battery motor",
    says="stopping {current} in the leads drives the supply to {value}; the controller bears {limit}",
    fix="Solder a larger capacitor of low series resistance close to the controller, and shorten the leads.",
)
def supply_spikes(view: CraftView) -> Iterator[Case]:
    """The supply stays below what the controller bears when full-throttle current stops at once.

    The leads' inductance pushes its energy into what capacitance there is; without enough, the switches break down.

    Source: energy balance V2^2 = V1^2 + L I^2/C, plus I times the series resistance; inductance by Grover and Rosa.
    """
    controller = view.part("speed-controller")
    limit = view.field("speed-controller", "voltage_max")
    yield at_most(_peak(view), limit, "V", controller, current=f"{view.full['battery_current'][0]:.0f} A")


def _peak(view: CraftView) -> Array:
    """Highest voltage of the supply when the current of full throttle stops at once [V]."""
    controller = view.part("speed-controller")
    current = view.full["battery_current"]
    own = getattr(controller.part, "capacitance", None)
    C = sum(c for _, c, _ in _held(view)) + (own.value * controller.count if own else 0.0)
    if C == 0.0:
        raise Missing(f"capacitance_uf of {controller.id}, or a capacitor")
    R = min((r for _, _, r in _held(view)), default=0.0)
    return np.asarray(held_voltage(_lead_loop(view), current, view.full_voltage, C)) + R * current


@rule(
    "spikes-reach-part",
    NOTE,
    reads="flight-controller regulator video-transmitter recording-camera capacitor wire battery motor",
    says="spikes of the supply may reach {value}; it bears {limit}",
    fix="Feed it from a regulated rail, or take a larger capacitor of lower series resistance.",
)
def spikes_reach_part(view: CraftView) -> Iterator[Case]:
    """Parts that hang on the pack bear the supply's spikes, not only its full voltage.

    Video transmitters and flight controllers fail on spikes that the controller itself survives. The peak is an upper
    bound: nothing but the capacitors is taken to slow the stop of the current.

    Source: energy balance V2^2 = V1^2 + L I^2/C, plus I times the series resistance; the part's own range.
    """
    for placed in view.fed:
        rail = view.feeds.of(placed)
        most = getattr(placed.part, "supply_max", None)
        if most is not None and rail is not None and view.feeds.made_at(rail).output is None:
            yield at_most(_peak(view), float(most.value), "V", placed)


@rule(
    "capacitor-too-small",
    NOTE,
    reads="capacitor speed-controller wire battery motor",
    says="{value} lie across the supply; the leads' energy alone needs {limit} to stay within the controller's limit",
    fix="Add capacitance at the controller's supply pads.",
)
def capacitor_too_small(view: CraftView) -> Iterator[Case]:
    """Capacitance across the supply takes the leads' energy without passing the controller's voltage limit.

    Small capacitance is worked hard by the ripple of the switches as well, and dries out early.

    Source: energy balance C = L I^2/(V2^2 - V1^2), ideal.
    """
    controller = view.part("speed-controller")
    own = getattr(controller.part, "capacitance", None)
    C = sum(c for _, c, _ in _held(view)) + (own.value * controller.count if own else 0.0)
    room = view.field("speed-controller", "voltage_max")
    need = smoothing_capacitance(_lead_loop(view), view.full["battery_current"], view.full_voltage, room)
    yield at_least(C, np.asarray(need), "F", controller)


@rule(
    "capacitor-missing",
    NOTE,
    reads="capacitor battery",
    says="no capacitor lies across a supply of {value}",
    fix="Solder one of low series resistance across the controller's supply pads.",
)
def capacitor_missing(view: CraftView) -> Iterator[Case]:
    """A pack of four cells or more has a capacitor across the supply at the controllers.

    It takes the spikes of braking and keeps their noise out of picture and gyroscope.

    Source: common practice, no source.
    """
    battery = view.part("battery")
    if view.stated(battery, "cells") >= 4:
        missing = not view.of_kind(Capacitor)
        volts = float(view.full_voltage[0])
        yield told(battery, volts, "V") if missing else Case(1.0, volts, None, "V", battery)


@rule(
    "capacitor-voltage",
    STOP,
    reads="capacitor battery",
    says="it is rated for {value}; a full pack has {limit}",
    fix="Take a capacitor of a higher rated voltage: a quarter above the full pack.",
    headroom=0.25,
)
def capacitor_voltage(view: CraftView) -> Iterator[Case | Skipped]:
    """A capacitor across the supply is rated a quarter above the full pack.

    An electrolytic capacitor past its rating vents or bursts; spikes ride on top of the pack's voltage.

    Source: the capacitor's own rating; the quarter is common practice, no source.
    """
    for placed in view.of_kind(Capacitor):
        yield at_least(view.of(placed, "voltage"), view.full_voltage, "V", placed)
