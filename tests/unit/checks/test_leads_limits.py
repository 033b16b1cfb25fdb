"""Connectors, leads and capacitors against what flows: each rule just inside and just outside of its limit."""

import math
from collections.abc import Callable

import pytest

from rotorwright.checks import CraftView
from rotorwright.physics.wire import loop_inductance

from .conftest import Changes, Seen, lacks, least, most, same_rows, seen

Row = tuple[str, Changes, Changes, list[Seen]]


def thick(gauge: float) -> float:
    """Diameter of a gauge [m]: 0.127 mm x 92^((36 - n)/39)."""
    return 0.127e-3 * float(92 ** ((36 - gauge) / 39))


def copper(gauge: float) -> float:
    return math.pi / 4 * thick(gauge) ** 2


# k of a conductor that goes from 40 C to 200 C, so that I sqrt(10 s) = k S
K = 226e6 * math.sqrt(math.log(1 + 160 / (234.5 + 40)))
# what 10 AWG and 20 AWG bear for ten seconds, and the current of a phase over that of its motor
BEARS_10, BEARS_20 = K * copper(10) / math.sqrt(10), K * copper(20) / math.sqrt(10)
PHASE = math.sqrt(2 / 3)
# 80 mm at the pack and 60 mm on the craft, of 10 AWG side by side
LOOP = sum(loop_inductance(length, 0.6e-3 + 1.75 * thick(10), thick(10)) for length in (0.08, 0.06))
NO_LEADS = "lead_length_mm of the battery, or a [[wire]] from the battery to the speed controller"
BARE_PACK = {"+battery": {"name": "bare", "cells": 6, "capacity_mah": 1300, "mass_g": 200}, "battery.use": "bare"}
BARE_PACK |= {"battery.lead_gauge_awg": None, "battery.resistance_mohm": 40}
ONLY_PACK = {"wire": None}
# two capacitors that differ: 470 uF of 15 mohm, and two of 100 uF and 8 mohm each
SECOND = {"id": "small", "use": "capacitor-470uf-50v", "capacitance_uf": 100, "series_resistance_mohm": 8, "count": 2}
BARE_CONTROLLER = {"+speed-controller": {"name": "bare", "current_a": 45, "channels": 4}, "esc.use": "bare"}
BARE_CONTROLLER |= {"esc.voltage_max_v": 34}
PLUG_2 = {"id": "spare", "use": "connector-two-pin-60a-male", "current_a": 30, "role": "connector"}
OTHER_PLUG = {"id": "battery-lead-plug", "use": "connector-two-pin-60a-male", "current_a": 30, "role": "x"}
SIDE_PLUG = {"id": "light-plug", "use": "connector-two-pin-60a-male", "current_a": 1, "role": "x"}


def flown(current: float) -> Changes:
    """A flight of 200 s with that root mean square of the current."""
    return {"flown": {"current_square": current**2 * 200.0, "time": 200.0}}


def full(current: float) -> Changes:
    return {"full": {"battery_current": current}}


def fast(**current: float) -> Changes:
    return {"in_flight": current}


def peak(current: float, capacitance: float, resistance: float, loop: float = LOOP, volts: float = 25.2) -> float:
    """Energy of the leads in the capacitors, and the voltage over their resistance [V]."""
    return math.sqrt(volts**2 + loop * current**2 / capacitance) + resistance * current


def warmth(current: float, gauge: float) -> float:
    """I^2 R of a metre over 30 W/(m2 K) of its surface [K], from its resistance at 20 C."""
    return current**2 * 1.7241e-8 / copper(gauge) / (30 * math.pi * (0.6e-3 + 1.75 * thick(gauge)))


def spike(part: str, verdict: str, volts: float, limit: float) -> Seen:
    return most(
        part, verdict, volts, limit, "V", f"Spikes of the supply may reach {volts:.3g} V; it bears {limit:.3g} V"
    )


CONNECTORS: list[Row] = [
    ("connector-runs-hot", {}, flown(119.0), [most("plug", "kept", 119.0, 120.0, "A")]),
    (
        "connector-runs-hot",
        {"+part": [PLUG_2, OTHER_PLUG, SIDE_PLUG]},
        flown(31.0),
        [
            most("plug", "kept", 31.0, 120.0, "A"),
            *(
                most(
                    name,
                    "stop",
                    31.0,
                    30.0,
                    "A",
                    "It carries 31 A on average over the flight; it is rated for 30 A",
                )
                for name in ("spare", "battery-lead-plug")
            ),
        ],
    ),
    ("connector-runs-hot", {"plug": None}, flown(1.0), [lacks("a connector with the role battery-connector")]),
    ("connector-overloaded", {}, full(239.0), [most("plug", "kept", 239.0, 240.0, "A")]),
    (
        "connector-overloaded",
        {},
        full(241.0),
        [
            most(
                "plug",
                "warn",
                241.0,
                240.0,
                "A",
                "It carries 241 A at full throttle, more than twice the 120 A it is rated for",
            )
        ],
    ),
    ("connector-overloaded", {"plug": None}, full(241.0), []),
]

LEADS: list[Row] = [
    (
        "lead-too-thin",
        {},
        fast(battery_current=0.99 * BEARS_10),
        [
            least("battery", "kept", copper(10), 0.99 * copper(10), "m2"),
            least("wire 1", "kept", copper(10), 0.99 * copper(10), "m2"),
        ],
    ),
    (
        "lead-too-thin",
        {},
        fast(battery_current=1.01 * BEARS_10),
        [
            least(
                part,
                "stop",
                copper(10),
                1.01 * copper(10),
                "m2",
                "5.26 mm2 of copper carry the pack's current; ten seconds of full throttle need 5.31 mm2",
            )
            for part in ("battery", "wire 1")
        ],
    ),
    # two packs, and a run of two conductors each way: twice the copper
    (
        "lead-too-thin",
        {
            "battery.count": 2,
            "+wire": [
                {
                    "from": "speed-controller.supply",
                    "to": "battery.lead",
                    "gauge_awg": 10,
                    "length_mm": 60,
                    "conductors": 4,
                },
                {"from": "battery.lead", "to": "fc.supply", "gauge_awg": 28, "length_mm": 60},
                {"from": "battery.lead", "to": "nobody.supply", "gauge_awg": 28, "length_mm": 60},
            ],
        },
        fast(battery_current=BEARS_10),
        [
            least("battery", "kept", 2 * copper(10), copper(10), "m2"),
            least("wire 1", "kept", copper(10), copper(10), "m2"),
            least("wire 3", "kept", 2 * copper(10), copper(10), "m2"),
        ],
    ),
    (
        "lead-too-thin",
        BARE_PACK,
        fast(battery_current=1.0),
        [least("wire 1", "kept", copper(10), copper(10) / BEARS_10, "m2")],
    ),
    ("lead-too-thin", {"battery": None}, fast(battery_current=1.0), [lacks("a battery")]),
    # 60 K over the profile
    (
        "lead-runs-warm",
        {"battery.lead_gauge_awg": 12},
        flown(50.0),
        [most("battery", "kept", warmth(50.0, 12), 60.0, "K"), most("wire 1", "kept", warmth(50.0, 10), 60.0, "K")],
    ),
]

WARM = math.sqrt(60.0 / warmth(1.0, 12))  # the current that warms 12 AWG by 60 K
LEADS += [
    (
        "lead-runs-warm",
        {"battery.lead_gauge_awg": 12},
        flown(math.sqrt(share) * WARM),
        [
            most("battery", verdict, share * 60.0, 60.0, "K", what),
            most("wire 1", "kept", warmth(math.sqrt(share) * WARM, 10), 60.0, "K"),
        ],
    )
    for share, verdict, what in (
        (0.99, "kept", ""),
        (1.01, "note", "The flight warms it by 60.6 K; 60 K is the most to plan for"),
    )
]

MOTOR_LEADS: list[Row] = [
    (
        "motor-leads-too-thin",
        {},
        fast(motor_current=0.99 * BEARS_20 / PHASE),
        [least("motors", "kept", copper(20), 0.99 * copper(20), "m2")],
    ),
    (
        "motor-leads-too-thin",
        {},
        fast(motor_current=1.01 * BEARS_20 / PHASE),
        [
            least(
                "motors",
                "warn",
                copper(20),
                1.01 * copper(20),
                "m2",
                "0.518 mm2 of copper carry a phase; ten seconds of full throttle need 0.523 mm2",
            )
        ],
    ),
    # 4 % of 25.2 V: 1.008 V, 10 mohm at 100.8 A
    (
        "leads-drop-voltage",
        {},
        {"rows": {"lead_resistance": 0.01}, **full(100.0)},
        [most("battery", "kept", 1.0 / 25.2, 0.04, "share")],
    ),
    (
        "leads-drop-voltage",
        {},
        {"rows": {"lead_resistance": 0.01}, **full(102.0)},
        [
            most(
                "battery",
                "warn",
                1.02 / 25.2,
                0.04,
                "share",
                "Leads and connector take 4.05 % of the pack's voltage at full throttle; 4 % is the usual most",
            )
        ],
    ),
]

P120 = peak(120.0, 570e-6, 0.015)
SPIKES: list[Row] = [
    (
        "supply-spikes",
        {"esc.voltage_max_v": P120 + 0.05},
        full(120.0),
        [most("esc", "kept", P120, P120 + 0.05, "V")],
    ),
    (
        "supply-spikes",
        {"esc.voltage_max_v": P120 - 0.05},
        {"full": {"battery_current": [120.0, 90.0, 80.0, 70.0, 60.0]}},
        [
            most(
                "esc",
                "warn",
                P120,
                P120 - 0.05,
                "V",
                f"Stopping 120 A in the leads drives the supply to {P120:.3g} V; "
                f"the controller bears {P120 - 0.05:.3g} V",
            )
        ],
    ),
    # the least resistance counts, that of two pieces is half: 8 mohm / 2; all capacitance counts
    (
        "supply-spikes",
        {"+part": SECOND},
        full(100.0),
        [most("esc", "kept", peak(100.0, 770e-6, 0.004), 34.0, "V")],
    ),
    # four controllers of one channel carry 25 uF each, and nothing resists
    (
        "supply-spikes",
        {"cap": None, "esc.channels": 1, "esc.count": 4, "esc.capacitance_uf": 25},
        full(30.0),
        [most("esc", "kept", peak(30.0, 100e-6, 0.0), 34.0, "V")],
    ),
    (
        "supply-spikes",
        {**BARE_CONTROLLER, "cap": None},
        full(30.0),
        [lacks("capacitance_uf of esc, or a capacitor")],
    ),
    ("supply-spikes", {**BARE_CONTROLLER}, full(30.0), [most("esc", "kept", peak(30.0, 470e-6, 0.015), 34.0, "V")]),
    # a capacitor that states no resistance has none
    (
        "supply-spikes",
        {
            "+capacitor": {"name": "plain", "capacitance_uf": 470, "voltage_v": 50},
            "cap.use": "plain",
            "cap.series_resistance_mohm": None,
        },
        full(100.0),
        [most("esc", "kept", peak(100.0, 570e-6, 0.0), 34.0, "V")],
    ),
    # the leads of the craft alone, and none at all
    (
        "supply-spikes",
        BARE_PACK,
        full(100.0),
        [
            most(
                "esc",
                "kept",
                peak(100.0, 570e-6, 0.015, loop_inductance(0.06, 0.6e-3 + 1.75 * thick(10), thick(10))),
                34.0,
                "V",
            )
        ],
    ),
    (
        "supply-spikes",
        {**BARE_PACK, "battery.lead_gauge_awg": 12, "wire": None},
        full(100.0),
        [lacks(NO_LEADS)],
    ),
    ("supply-spikes", {**BARE_PACK, "wire": None}, full(100.0), [lacks(NO_LEADS)]),
    (
        "spikes-reach-part",
        {"fc.supply_max_v": P120 + 0.05, "rx.fed_from": "fc.supply", "rx.supply_max_v": P120 - 0.05},
        full(120.0),
        [
            most("fc", "kept", P120, P120 + 0.05, "V"),
            spike("rx", "note", P120, P120 - 0.05),
        ],
    ),
    ("spikes-reach-part", {"fc.fed_from": None}, full(120.0), []),
    # L I^2/(34^2 - 25.2^2) against 570 uF: at 34.0 V the energy of I = sqrt(570e-6 x (34^2 - 25.2^2)/L)
    *(
        (
            "capacitor-too-small",
            {},
            full(math.sqrt(share * 570e-6 * (34.0**2 - 25.2**2) / LOOP)),
            [least("esc", verdict, 570e-6, share * 570e-6, "F", what)],
        )
        for share, verdict, what in (
            (0.99, "kept", ""),
            (
                1.01,
                "note",
                "570 uF lie across the supply; the leads' energy alone needs 576 uF "
                "to stay within the controller's limit",
            ),
        )
    ),
    (
        "capacitor-too-small",
        {"+part": SECOND, "esc.channels": 1, "esc.count": 4, "esc.capacitance_uf": 25},
        full(math.sqrt(500e-6 * (34.0**2 - 25.2**2) / LOOP)),
        [least("esc", "kept", 770e-6, 500e-6, "F")],
    ),
    (
        "capacitor-too-small",
        BARE_CONTROLLER,
        full(math.sqrt(400e-6 * (34.0**2 - 25.2**2) / LOOP)),
        [least("esc", "kept", 470e-6, 400e-6, "F")],
    ),
]

CAPACITORS: list[Row] = [
    ("capacitor-missing", {}, {}, [Seen("battery", "kept", 1.0, 25.2, None, "V")]),
    (
        "capacitor-missing",
        {"cap": None, "battery.cells": 4},
        {},
        [Seen("battery", "note", -1.0, 16.8, None, "V", "No capacitor lies across a supply of 16.8 V")],
    ),
    ("capacitor-missing", {"cap": None, "battery.cells": 3}, {}, []),
    # 25.2 V, and a quarter above: 31.5 V
    ("capacitor-voltage", {"cap.voltage_v": 31.6}, {}, [least("cap", "kept", 31.6, 25.2, "V")]),
    (
        "capacitor-voltage",
        {"cap.voltage_v": 31.4, "+part": {**SECOND, "voltage_v": 25.1}},
        {},
        [
            least("cap", "warn", 31.4, 25.2, "V", "It is rated for 31.4 V; a full pack has 25.2 V"),
            least("small", "stop", 25.1, 25.2, "V", "It is rated for 25.1 V; a full pack has 25.2 V"),
        ],
    ),
    ("capacitor-voltage", {"cap": None}, {}, []),
]


@pytest.mark.parametrize(
    ("code", "changes", "known", "wanted"),
    [*CONNECTORS, *LEADS, *MOTOR_LEADS, *SPIKES, *CAPACITORS],
    ids=lambda v: str(v)[:40],
)
def test_both_sides_of_the_limit(
    code: str, changes: Changes, known: Changes, wanted: list[Seen], posed: Callable[..., CraftView]
) -> None:
    same_rows(seen(code, posed(changes, **known)), wanted)
