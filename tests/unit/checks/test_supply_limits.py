"""What feeds whom, voltages, rails and cells: each rule just inside and just outside of its limit."""

import math
from collections.abc import Callable
from typing import Any

import pytest

from rotorwright.checks import CraftView

from .conftest import Changes, Seen, lacks, least, most, same_rows, seen, skipped, word

FED = word("esc", "kept", "one feed", "one feed")
# 26 AWG is 0.127 mm x 92^(10/39) thick; copper of 1.7241e-8 ohm m
OHM_26 = 1.7241e-8 / (math.pi / 4 * (0.127e-3 * 92 ** (10 / 39)) ** 2)


def fault(part: str, verdict: str, kind: str, what: str) -> Seen:
    return word(part, verdict, kind, "one feed", what)


def rail(name: str, volts: float, amperes: float | None = None, **more: Any) -> Changes:
    return {"name": name, "voltage_v": volts, **({"current_a": amperes} if amperes else {}), **more}


def rails(*own: Changes) -> Changes:
    return {"fc.outputs": list(own)}


BARE_CAMERA = {"+camera": {"name": "bare", "current_a": 0.4, "supply_at_v": 5, "mass_g": 9}, "camera.use": "bare"}
# a recording camera that hangs on the craft and does not say what it draws
SILENT = {"recorder.own_battery": False, "recorder.fed_from": "fc.5V"}
# 5 V from 12 V for the receiver, by a linear regulator: (12 - 5) V x 0.1 A = 0.7 W, at 0.15 A 1.05 W
TWELVE = rail("12V", 12, 3)
LINEAR = {"id": "low", "use": "regulator-3.3v-0.5a-linear", "fed_from": "fc.12V"}
LINEAR |= {"outputs": [rail("5V", 5, 0.5, kind="linear")]}


def linear(amperes: float, kind: str = "linear") -> Changes:
    low = {
        **LINEAR,
        "outputs": [rail("5V", 5, 0.5, kind=kind, **({} if kind == "linear" else {"efficiency_fraction": 0.5}))],
    }
    own = rails(rail("5V", 5, 3), rail("9V", 9, 3), TWELVE)
    return {**own, "+part": low, "rx.fed_from": "low.5V", "rx.current_a": amperes}


FAULTY = {
    "rx.fed_from": "fc.6V",
    "camera.fed_from": None,
    "+wire": {"from": "fc.5V", "to": "vtx.supply", "gauge_awg": 26, "length_mm": 50},
    "+part": [
        {"id": a, "use": "regulator-5v-2a", "fed_from": f"{b}.5V"} for a, b in (("one", "two"), ("two", "one"))
    ],
}
RING = "{} is fed from {}.5V, which is fed from {}.5V: a ring that no battery feeds"
EACH_FAULT = {
    "feed-unknown": [
        fault(
            "rx",
            "stop",
            "unknown rail",
            "Rx is fed from 'fc.6V', but fc has no rail '6V'; it could be fc.5V, fc.9V",
        )
    ],
    "feed-missing": [fault("camera", "warn", "orphan", "Nothing is said to feed camera")],
    "feed-loop": [
        fault("one", "stop", "loop", RING.format("One", "two", "one")),
        fault("two", "stop", "loop", RING.format("Two", "one", "two")),
    ],
    "feed-double": [
        fault("vtx", "stop", "double feed", "Vtx is fed from fc.9V and fc.5V: the two drive each other"),
    ],
}

ROWS: list[tuple[str, Changes, list[Seen]]] = [
    ("feed-unknown", {}, [FED]),
    (
        "feed-unknown",
        {"fc.fed_from": "esc.9V", "vtx.fed_from": "nobody.9V"},
        [
            fault("fc", "stop", "unknown rail", "Fc is fed from 'esc.9V', but esc has no rail '9V'; there is none"),
            fault(
                "vtx",
                "stop",
                "unknown rail",
                "Vtx is fed from 'nobody.9V', but no part 'nobody' feeds anything; it could be battery, fc, vtx",
            ),
        ],
    ),
    # each rule tells its own fault only
    *((code, FAULTY, told) for code, told in EACH_FAULT.items()),
    ("feed-missing", {}, [FED]),
    (
        "feed-missing",
        {"rx.fed_from": None, "fc.fed_from": None},
        [
            fault("fc", "warn", "orphan", "Nothing is said to feed fc"),
            fault("rx", "warn", "orphan", "Nothing is said to feed rx"),
        ],
    ),
    ("feed-loop", {}, [FED]),
    (
        "feed-loop",
        {"fc.fed_from": "vtx.camera", "esc.fed_from": "battery.lead"},
        [
            fault(
                "fc",
                "stop",
                "loop",
                "Fc is fed from vtx.camera, which is fed from fc.9V: a ring that no battery feeds",
            ),
            fault(
                "vtx",
                "stop",
                "loop",
                "Vtx is fed from fc.9V, which is fed from vtx.camera: a ring that no battery feeds",
            ),
        ],
    ),
    ("feed-double", {}, [FED]),
    (
        "feed-double",
        {"+wire": {"from": "fc.9V", "to": "rx.supply", "gauge_awg": 26, "length_mm": 50}},
        [fault("rx", "stop", "double feed", "Rx is fed from fc.5V and fc.9V: the two drive each other")],
    ),
    # nothing on the craft is fed: nothing to look at
    ("feed-missing", {"esc": None, "fc": None, "rx": None, "camera": None, "vtx": None}, []),
    # six full cells of 4.2 V, and rails of 5 V and 9 V
    (
        "supply-too-high",
        {"fc.supply_max_v": 25.1, "rx.supply_max_v": 4.9, "camera.supply_max_v": 5.1, "vtx.supply_max_v": 8.9},
        [
            most("fc", "stop", 25.2, 25.1, "V", "Battery.lead gives 25.2 V; it bears 25.1 V"),
            most("rx", "stop", 5.0, 4.9, "V", "Fc.5V gives 5 V; it bears 4.9 V"),
            most("camera", "kept", 5.0, 5.1, "V"),
            most("vtx", "stop", 9.0, 8.9, "V", "Fc.9V gives 9 V; it bears 8.9 V"),
        ],
    ),
    (
        "supply-too-high",
        {"fc.supply_max_v": 25.3, "rx.fed_from": "fc.supply", **BARE_CAMERA, "vtx.supply_max_v": 9.1},
        [
            most("fc", "kept", 25.2, 25.3, "V"),
            most("rx", "stop", 25.2, 5.5, "V", "Battery.lead gives 25.2 V; it bears 5.5 V"),
            skipped("camera", "supply_max_v of camera"),
            most("vtx", "kept", 9.0, 9.1, "V"),
        ],
    ),
    # high-voltage cells hold 4.35 V when full
    (
        "supply-too-high",
        {"battery.chemistry": "lihv", "rx.fed_from": None, "camera.fed_from": None},
        [most("fc", "kept", 26.1, 28.0, "V"), most("vtx", "kept", 9.0, 26.0, "V")],
    ),
    # a pack that lands at 6 x 3.5 V
    (
        "supply-too-low",
        {"fc.supply_min_v": 21.1, "rx.supply_min_v": 5.1, "camera.supply_min_v": 4.9, "vtx.supply_min_v": 9.1},
        [
            least("fc", "stop", 21.0, 21.1, "V", "Battery.lead gives 21 V at the end of the flight; it needs 21.1 V"),
            least("rx", "stop", 5.0, 5.1, "V", "Fc.5V gives 5 V at the end of the flight; it needs 5.1 V"),
            least("camera", "kept", 5.0, 4.9, "V"),
            least("vtx", "stop", 9.0, 9.1, "V", "Fc.9V gives 9 V at the end of the flight; it needs 9.1 V"),
        ],
    ),
    (
        "supply-too-low",
        {"fc.supply_min_v": 20.9, **BARE_CAMERA, "rx.fed_from": "fc.supply", "flight.landing_voltage_v": 3.5},
        [
            least("fc", "kept", 21.0, 20.9, "V"),
            least("rx", "kept", 21.0, 4.5, "V"),
            skipped("camera", "supply_min_v of camera"),
            least("vtx", "kept", 9.0, 7.4, "V"),
        ],
    ),
    # 2 x 80 mm of 26 AWG and 0.75 A at 9 V; then 2 x 5 m and 5.1 m: the limit of 5 % lies between
    ("supply-lost-in-wire", {}, [most("wire to vtx", "kept", 0.16 * OHM_26 * 0.75 * 9 / 9**2, 0.05, "share")]),
    (
        "supply-lost-in-wire",
        {
            "+wire": [
                {"from": "fc.5V", "to": "rx.supply", "gauge_awg": 26, "length_mm": 10300},
                {"from": "fc.5V", "to": "receiver.supply", "gauge_awg": 26, "length_mm": 10400},
                {"from": "fc.5V", "to": "rx.ground", "gauge_awg": 26, "length_mm": 20000},
                {"from": "fc.5V", "to": "rx.video", "gauge_awg": 26, "length_mm": 20000},
                {"from": "fc.5V", "to": "nobody.supply", "gauge_awg": 26, "length_mm": 20000},
                {"from": "vtx.camera", "to": "camera.supply", "gauge_awg": 26, "length_mm": 20},
            ]
        },
        [
            most("wire to vtx", "kept", 0.16 * OHM_26 * 0.75 * 9 / 9**2, 0.05, "share"),
            most("wire to rx", "kept", 20.6 * OHM_26 * 0.09 * 5 / 5**2, 0.05, "share"),
            most(
                "wire to rx",
                "note",
                20.8 * OHM_26 * 0.09 * 5 / 5**2,
                0.05,
                "share",
                "Its supply wire takes 5.01 % of the rail's voltage; 5 % is the usual most",
            ),
            most("wire to camera", "kept", 0.04 * OHM_26 * 0.4 * 5 / 5**2, 0.05, "share"),
        ],
    ),
    # what draws nothing that is known loses nothing that is known
    (
        "supply-lost-in-wire",
        {**SILENT, "+wire": {"from": "fc.5V", "to": "recorder.supply", "gauge_awg": 40, "length_mm": 999}},
        [most("wire to vtx", "kept", 0.16 * OHM_26 * 0.75 * 9 / 9**2, 0.05, "share")],
    ),
    # rated a fifth above its load, exactly at it, and below: 0.09 A at the receiver, 0.4 A at the camera
    (
        "regulator-overloaded",
        {
            **rails(rail("5V", 5, 0.09 / 0.79), rail("9V", 9, 9)),
            "vtx.outputs": [rail("camera", 5, 0.4 / 0.81, efficiency_fraction=0.88)],
        },
        [
            most("fc", "kept", 0.09, 0.09 / 0.79, "A"),
            most("fc", "kept", 0.75 + 0.4 * 5 / 0.88 / 9, 9.0, "A"),
            most("vtx", "warn", 0.4, 0.4 / 0.81, "A", "Vtx.camera carries 0.4 A; it is rated for 0.494 A"),
        ],
    ),
    (
        "regulator-overloaded",
        {**rails(rail("5V", 5, 0.0901), rail("9V", 9)), "vtx.outputs": [rail("camera", 5, 0.399)]},
        [
            most("fc", "warn", 0.09, 0.0901, "A", "Fc.5V carries 0.09 A; it is rated for 0.0901 A"),
            skipped("fc", "current_a of the output '9V' of fc"),
            most("vtx", "stop", 0.4, 0.399, "A", "Vtx.camera carries 0.4 A; it is rated for 0.399 A"),
        ],
    ),
    # a rail with consumers of unknown draw is judged all the same, and they are named
    (
        "regulator-overloaded",
        {**SILENT, "vtx.outputs": [rail("camera", 5)]},
        [
            skipped("fc", "current_a and supply_at_v of recorder"),
            most("fc", "kept", 0.09, 3.0, "A"),
            most("fc", "kept", 0.75 + 0.4 * 5 / 0.85 / 9, 3.0, "A"),
            skipped("vtx", "current_a of the output 'camera' of vtx"),
        ],
    ),
    ("regulator-hot", {}, []),
    ("regulator-hot", linear(0.142), [most("low", "kept", 7 * 0.142, 1.0, "W")]),
    (
        "regulator-hot",
        linear(0.144),
        [
            most(
                "low",
                "note",
                7 * 0.144,
                1.0,
                "W",
                "Low.5V turns 1.01 W into heat; a linear regulator this small sheds about 1 W",
            )
        ],
    ),
    ("regulator-hot", linear(0.9, kind="switching"), []),
    # half a volt above each rail: 21 V at the board, 9 V at the transmitter
    (
        "regulator-starved",
        {**rails(rail("5V", 20.4, 3), rail("9V", 20.6, 3)), "rx.supply_max_v": 30, "vtx.supply_max_v": 30},
        [
            least("fc", "kept", 21.0, 20.9, "V"),
            least(
                "fc", "stop", 21.0, 21.1, "V", "It makes fc.9V from 21 V at the end of the flight; it needs 21.1 V"
            ),
            least("vtx", "kept", 20.6, 5.5, "V"),
        ],
    ),
    # who hangs on nothing that is known is not judged
    ("regulator-starved", {"fc.fed_from": None}, [least("vtx", "kept", 9.0, 5.5, "V")]),
    ("cells-over-controller", {}, [most("esc", "kept", 6.0, 6.0, "1")]),
    (
        "cells-over-controller",
        {"esc.cells_max": 5},
        [most("esc", "stop", 6.0, 5.0, "1", "The pack has 6 cells in series; the controller takes up to 5")],
    ),
    ("cells-under-controller", {"esc.cells_min": 6}, [least("esc", "kept", 6.0, 6.0, "1")]),
    (
        "cells-under-controller",
        {"battery.cells": 2},
        [least("esc", "warn", 2.0, 3.0, "1", "The pack has 2 cells in series; the controller needs 3")],
    ),
    ("cells-over-motor", {}, [most("motors", "kept", 6.0, 6.0, "1")]),
    (
        "cells-over-motor",
        {"motors.cells_max": 5},
        [most("motors", "warn", 6.0, 5.0, "1", "The pack has 6 cells in series; the motor is sold for up to 5")],
    ),
    # a floor of 3.0 V, of 2.5 V for lithium-ion, and a tenth above it
    ("landing-too-low", {"flight.landing_voltage_v": 3.31}, [least("landing voltage", "kept", 3.31, 3.0, "V")]),
    (
        "landing-too-low",
        {"flight.landing_voltage_v": 3.29},
        [least("landing voltage", "warn", 3.29, 3.0, "V", "It lands at 3.29 V a cell under load; 3 V is the floor")],
    ),
    (
        "landing-too-low",
        {"flight.landing_voltage_v": 2.99, "battery.chemistry": "lihv"},
        [least("landing voltage", "stop", 2.99, 3.0, "V", "It lands at 2.99 V a cell under load; 3 V is the floor")],
    ),
    (
        "landing-too-low",
        {"flight.landing_voltage_v": 2.76, "battery.chemistry": "li-ion"},
        [least("landing voltage", "kept", 2.76, 2.5, "V")],
    ),
    (
        "landing-too-low",
        {"flight.landing_voltage_v": 2.49, "battery.chemistry": "li-ion"},
        [
            least(
                "landing voltage", "stop", 2.49, 2.5, "V", "It lands at 2.49 V a cell under load; 2.5 V is the floor"
            )
        ],
    ),
    ("landing-too-low", {"battery": None}, [lacks("a battery")]),
]


@pytest.mark.parametrize(("code", "changes", "wanted"), ROWS, ids=lambda v: str(v)[:40])
def test_both_sides_of_the_limit(
    code: str, changes: Changes, wanted: list[Seen], posed: Callable[..., CraftView]
) -> None:
    same_rows(seen(code, posed(changes)), wanted)
