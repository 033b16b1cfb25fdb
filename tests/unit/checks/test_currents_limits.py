"""Currents, lift and speeds against their limits: points given by hand, each rule just inside and just outside."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from rotorwright.checks import ColumnsView, CraftView, all_rules

from .conftest import Changes, Seen, lacks, least, most, record, same_rows, seen, skipped

RPM = math.pi / 30
NO_FIGURE = "what its figures need to be computed"
TOO_HEAVY, COLLAPSED = 1, 2

# code, changes, what is given in place of solved points, what comes of it
Row = tuple[str, Changes, Changes, list[Seen]]


def full(**fields: Any) -> Changes:
    return {"full": fields}


def turning(full: float, in_flight: float, field: str = "rotation") -> Changes:
    return {"full": {field: full}, "in_flight": {field: in_flight}}


def lifting(thrust: float, status: int = 0) -> Changes:
    """Four motors of `thrust` each, and 1 kg of 9.80665 N."""
    return {"rows": {"motors": 4, "mass": 1.0}, "full": {"thrust": thrust, "status": status}}


def hovering(duty: float, status: int = 0) -> Changes:
    return {"hover": {"duty": duty, "status": status}}


def tip(torque_constant: float) -> Changes:
    return {"rows": {"torque_constant": torque_constant, "diameter": 0.127, "sound_speed": 340.0}}


BARE = {"+speed-controller": {"name": "bare", "current_a": 45, "channels": 4}, "esc.use": "bare"}
SHORT = [{"duration_s": 5, "load_factor": f, "speed_m_per_s": 5} for f in (1.2, 1.6, 1.4)]
OWN = {"flight.profile": None, "flight.segment": SHORT}

PACK = {"battery.rating_c": 100}
SPARE = {"rows": {"capacity": 2.0 * 3600}}
CURRENTS: list[Row] = [
    # 100 C of 2 Ah
    ("pack-overdrawn", PACK, {**SPARE, **full(battery_current=199.0)}, [most("battery", "kept", 199.0, 200.0, "A")]),
    (
        "pack-overdrawn",
        PACK,
        {**SPARE, **full(battery_current=201.0)},
        [most("battery", "warn", 201.0, 200.0, "A", "Full throttle draws 201 A from a pack rated for 200 A")],
    ),
    # 3.0 V a cell, and a tenth above: 18 V and 19.8 V for six
    (
        "pack-sags",
        {},
        {"rows": {"cells": 6}, **full(battery_voltage=19.86)},
        [least("battery", "kept", 3.31, 3.0, "V")],
    ),
    (
        "pack-sags",
        {},
        {"rows": {"cells": 6}, **full(battery_voltage=19.74)},
        [
            least(
                "battery",
                "warn",
                3.29,
                3.0,
                "V",
                "At full throttle, fresh, each cell is pulled down to 3.29 V; 3 V is the floor",
            )
        ],
    ),
    (
        "pack-sags",
        {},
        {"rows": {"cells": 6}, **full(battery_voltage=17.94)},
        [
            least(
                "battery",
                "stop",
                2.99,
                3.0,
                "V",
                "At full throttle, fresh, each cell is pulled down to 2.99 V; 3 V is the floor",
            )
        ],
    ),
    ("controller-overloaded", {}, full(motor_current=44.9), [most("esc", "kept", 44.9, 45.0, "A")]),
    (
        "controller-overloaded",
        {},
        full(motor_current=45.1),
        [
            most(
                "esc",
                "warn",
                45.1,
                45.0,
                "A",
                "Each motor draws 45.1 A at full throttle; a channel is rated for 45 A all the time",
            )
        ],
    ),
    ("controller-burst-exceeded", {}, full(motor_current=54.9), [most("esc", "kept", 54.9, 55.0, "A")]),
    (
        "controller-burst-exceeded",
        {},
        full(motor_current=55.1),
        [
            most(
                "esc",
                "stop",
                55.1,
                55.0,
                "A",
                "Each motor draws 55.1 A at full throttle; a channel bears 55 A for seconds only",
            )
        ],
    ),
    ("controller-burst-exceeded", BARE, full(motor_current=44.0), [most("esc", "kept", 44.0, 45.0, "A")]),
    ("controller-burst-exceeded", {"esc": None}, full(motor_current=44.0), [lacks("a speed controller")]),
    ("motor-overloaded", {}, full(motor_current=37.9), [most("motors", "kept", 37.9, 38.0, "A")]),
    (
        "motor-overloaded",
        {},
        full(motor_current=38.1),
        [
            most(
                "motors",
                "warn",
                38.1,
                38.0,
                "A",
                "Each motor draws 38.1 A at full throttle; 38 A is the most it is sold for",
            )
        ],
    ),
    # 40 A at 21 V and at 21.5 V
    (
        "motor-power-exceeded",
        {},
        full(motor_current=40.0, motor_voltage=21.0),
        [most("motors", "kept", 840.0, 850.0, "W")],
    ),
    (
        "motor-power-exceeded",
        {},
        full(motor_current=40.0, motor_voltage=21.5),
        [
            most(
                "motors",
                "warn",
                860.0,
                850.0,
                "W",
                "Each motor takes 860 W at full throttle; 850 W is the most it is sold for",
            )
        ],
    ),
    # seven pole pairs against 450 000 rpm: 64 286 rpm of the shaft, 57 857 rpm with a tenth to spare
    (
        "electrical-speed-exceeded",
        {},
        turning(57800 * RPM, 100.0),
        [most("esc", "kept", 7 * 57800 * RPM, 450000 * RPM, "rad/s")],
    ),
    (
        "electrical-speed-exceeded",
        {},
        turning(100.0, 57900 * RPM),
        [
            most(
                "esc",
                "warn",
                7 * 57900 * RPM,
                450000 * RPM,
                "rad/s",
                "Full throttle turns the field at 405000 rpm; the controller follows up to 450000 rpm",
            )
        ],
    ),
    (
        "electrical-speed-exceeded",
        {"motors.poles": 12},
        turning(76000 * RPM, 100.0),
        [
            most(
                "esc",
                "stop",
                6 * 76000 * RPM,
                450000 * RPM,
                "rad/s",
                "Full throttle turns the field at 456000 rpm; the controller follows up to 450000 rpm",
            )
        ],
    ),
    ("packs-in-parallel", {}, {}, []),
    (
        "packs-in-parallel",
        {"battery.count": 2},
        {},
        [Seen("battery", "note", -1.0, 2.0, None, "1", "2 packs share the load")],
    ),
    ("packs-in-parallel", {"battery": None}, {}, [lacks("a battery")]),
]

FLYING: list[Row] = [
    # 1.3 times the weight of 9.80665 N, and half as much again: 1.95
    ("cannot-hover", {}, lifting(1.96 * 9.80665 / 4), [least("motors", "kept", 1.96, 1.3, "1")]),
    (
        "cannot-hover",
        {},
        lifting(1.94 * 9.80665 / 4),
        [
            least(
                "motors",
                "warn",
                1.94,
                1.3,
                "1",
                "Full throttle lifts 1.94 times its weight; 1.3 is the least that can be steered",
            )
        ],
    ),
    (
        "cannot-hover",
        {},
        lifting(1.29 * 9.80665 / 4, TOO_HEAVY),
        [
            least(
                "motors",
                "stop",
                1.29,
                1.3,
                "1",
                "Full throttle lifts 1.29 times its weight; 1.3 is the least that can be steered",
            )
        ],
    ),
    ("cannot-hover", {}, lifting(9.0, COLLAPSED), [skipped("motors", NO_FIGURE)]),
    # the profile's hardest segment of 1.15 asks for less than twice the weight; an own one of 1.6 for 2.4
    ("lift-below-profile", {}, lifting(2.01 * 9.80665 / 4), [least("motors", "kept", 2.01, 2.0, "1")]),
    (
        "lift-below-profile",
        {},
        lifting(1.99 * 9.80665 / 4),
        [
            least(
                "motors",
                "warn",
                1.99,
                2.0,
                "1",
                "Full throttle lifts 1.99 times its weight; its profile needs 2",
            )
        ],
    ),
    ("lift-below-profile", OWN, lifting(2.41 * 9.80665 / 4), [least("motors", "kept", 2.41, 1.5 * 1.6, "1")]),
    (
        "lift-below-profile",
        OWN,
        lifting(2.39 * 9.80665 / 4),
        [
            least(
                "motors",
                "warn",
                2.39,
                1.5 * 1.6,
                "1",
                "Full throttle lifts 2.39 times its weight; its profile needs 2.4",
            )
        ],
    ),
    (
        "lift-below-profile",
        {"flight.profile": "best-range"},
        lifting(2.5 * 9.80665 / 4),
        [least("motors", "kept", 2.5, 2.0, "1")],
    ),
    ("hover-throttle-high", {}, hovering(0.49), [most("motors", "kept", 0.49, 0.5, "share")]),
    (
        "hover-throttle-high",
        {},
        hovering(0.51, TOO_HEAVY),
        [
            most(
                "motors",
                "warn",
                0.51,
                0.5,
                "share",
                "It hovers at 51 % throttle; above 50 % little is left to climb and steer",
            )
        ],
    ),
    ("hover-throttle-high", {}, hovering(0.3, COLLAPSED), [skipped("motors", NO_FIGURE)]),
    ("hover-throttle-low", {}, hovering(0.121), [least("motors", "kept", 0.121, 0.12, "share")]),
    (
        "hover-throttle-low",
        {},
        hovering(0.119),
        [
            least(
                "motors",
                "note",
                0.119,
                0.12,
                "share",
                "It hovers at 11.9 % throttle; below 12 % height is hard to hold",
            )
        ],
    ),
    ("hover-throttle-low", {}, hovering(0.3, COLLAPSED), [skipped("motors", NO_FIGURE)]),
    ("pack-collapses", {}, turning(TOO_HEAVY, TOO_HEAVY, "status"), [Seen("battery", "kept", 1.0)]),
    *(
        (
            "pack-collapses",
            {},
            turning(*states, "status"),
            [
                Seen(
                    "battery",
                    "stop",
                    -1.0,
                    what="Full throttle asks for more than the pack can give at any voltage",
                )
            ],
        )
        for states in ((COLLAPSED, 0), (0, COLLAPSED))
    ),
    ("tip-speed", {}, turning(0.64, 0.649, "tip_mach"), [most("propellers", "kept", 0.649, 0.65, "1")]),
    *(
        (
            "tip-speed",
            {},
            turning(*mach, "tip_mach"),
            [
                most(
                    "propellers",
                    "note",
                    0.651,
                    0.65,
                    "1",
                    "Blade tips reach Mach 0.651 at full throttle; above 0.65 they are loud and lose efficiency",
                )
            ],
        )
        for mach in ((0.651, 0.6), (0.6, 0.651))
    ),
    # 25.2 V over 0.0047 and 0.0048 V s, at a radius of 63.5 mm, over 340 m/s
    ("kv-too-high", {}, tip(0.0048), [most("motors", "kept", 25.2 / 0.0048 * 0.0635 / 340, 1.0, "1")]),
    (
        "kv-too-high",
        {},
        tip(0.0047),
        [
            most(
                "motors",
                "warn",
                25.2 / 0.0047 * 0.0635 / 340,
                1.0,
                "1",
                "Unloaded, a full pack would turn the blade tips at Mach 1; 1 is the bound",
            )
        ],
    ),
    # 45 000 rpm, 42 750 with a twentieth to spare
    (
        "propeller-overspeed",
        {},
        turning(42700 * RPM, 100.0),
        [most("propellers", "kept", 42700 * RPM, 45000 * RPM, "rad/s")],
    ),
    (
        "propeller-overspeed",
        {},
        turning(100.0, 42800 * RPM),
        [
            most(
                "propellers",
                "warn",
                42800 * RPM,
                45000 * RPM,
                "rad/s",
                "Full throttle turns it at 42800 rpm; it is made for 45000 rpm",
            )
        ],
    ),
    (
        "propeller-overspeed",
        {},
        turning(45100 * RPM, 100.0),
        [
            most(
                "propellers",
                "stop",
                45100 * RPM,
                45000 * RPM,
                "rad/s",
                "Full throttle turns it at 45100 rpm; it is made for 45000 rpm",
            )
        ],
    ),
    # 110 C, as kelvin less 273.15
    (
        "motor-hot",
        {},
        {"flown": {"winding_peak": 109.0 + 273.15}},
        [most("motors", "kept", 109.0, 110.0, "degC")],
    ),
    (
        "motor-hot",
        {},
        {"flown": {"winding_peak": 111.0 + 273.15}},
        [
            most(
                "motors",
                "note",
                111.0,
                110.0,
                "degC",
                "Its winding comes to about 111 C on the profile; it is made for 110 C",
            )
        ],
    ),
]


TOO_FAST = {"flown": {"winding_peak": [381.15, 999.0]}}
FLYING.append(("motor-hot", {}, TOO_FAST, [most("motors", "kept", 381.15 - 273.15, 110.0, "degC")]))


@pytest.mark.parametrize(("code", "changes", "known", "wanted"), [*CURRENTS, *FLYING], ids=lambda v: str(v)[:40])
def test_both_sides_of_the_limit(
    code: str, changes: Changes, known: Changes, wanted: list[Seen], posed: Callable[..., CraftView]
) -> None:
    same_rows(seen(code, posed(changes, **known)), wanted)


# Rules that read nothing but columns: rule, fields, points and rows of two craft, and both margins.
ZERO = {"rotation": [0.0, 0.0], "status": [0, 0]}
COLUMNS: list[tuple[str, Changes, Changes, Changes, Changes, Changes, list[float]]] = [
    (
        "cells-over-controller",
        {"battery cells": [6, 6], "speed-controller cells_max": [6, 4]},
        {},
        {},
        {},
        {},
        [0, -0.5],
    ),
    (
        "cells-under-controller",
        {"battery cells": [6, 2], "speed-controller cells_min": [4, 4]},
        {},
        {},
        {},
        {},
        [0.5, -0.5],
    ),
    ("cells-over-motor", {"battery cells": [6, 6], "motor cells_max": [8, 4]}, {}, {}, {}, {}, [0.25, -0.5]),
    (
        "pack-overdrawn",
        {"battery rating": [100.0, 50.0]},
        {"battery_current": [150.0, 150.0]},
        {},
        {},
        {"capacity": [7200.0, 7200.0]},
        [0.25, -0.5],
    ),
    ("pack-sags", {}, {"battery_voltage": [18.0, 9.0]}, {}, {}, {"cells": [4, 6]}, [0.5, -0.5]),
    (
        "controller-overloaded",
        {"speed-controller current": [40.0, 20.0]},
        {"motor_current": [30.0, 30.0]},
        {},
        {},
        {},
        [0.25, -0.5],
    ),
    (
        "controller-burst-exceeded",
        {"speed-controller current": [1.0, 1.0], "speed-controller burst": [40.0, 20.0]},
        {"motor_current": [30.0, 30.0]},
        {},
        {},
        {},
        [0.25, -0.5],
    ),
    (
        "controller-burst-exceeded",
        {"speed-controller current": [40.0, 20.0]},
        {"motor_current": [30.0, 30.0]},
        {},
        {},
        {},
        [0.25, -0.5],
    ),
    (
        "motor-overloaded",
        {"motor current_max": [40.0, 20.0]},
        {"motor_current": [30.0, 30.0]},
        {},
        {},
        {},
        [0.25, -0.5],
    ),
    (
        "motor-power-exceeded",
        {"motor power_max": [400.0, 200.0]},
        {"motor_current": [30.0, 30.0], "motor_voltage": [10.0, 10.0]},
        {},
        {},
        {},
        [0.25, -0.5],
    ),
    (
        "electrical-speed-exceeded",
        {"motor poles": [14, 12], "speed-controller electrical_rotation_max": [28.0, 12.0]},
        {"rotation": [3.0, 1.0]},
        {"rotation": [1.0, 3.0]},
        {},
        {},
        [0.25, -0.5],
    ),
    (
        "cannot-hover",
        {},
        {"thrust": [1.95 * 9.80665, 0.65 * 9.80665], "status": [0, 0]},
        {},
        {},
        {"motors": [4, 6], "mass": [4.0, 6.0]},
        [0.5, -0.5],
    ),
    ("hover-throttle-high", {}, {}, {}, {"duty": [0.25, 0.75], "status": [0, 1]}, {}, [0.5, -0.5]),
    ("hover-throttle-low", {}, {}, {}, {"duty": [0.18, 0.06], "status": [0, 1]}, {}, [0.5, -0.5]),
    ("pack-collapses", {}, {"status": [0, 2, 0]}, {"status": [1, 0, 2]}, {}, {}, [1.0, -1.0, -1.0]),
    ("tip-speed", {}, {"tip_mach": [0.325, 0.1]}, {"tip_mach": [0.1, 0.975]}, {}, {}, [0.5, -0.5]),
    # 3 lipo cells of 4.2 V and 3 high-voltage cells of 4.35 V, each over 1 V s, 1 m and 12.6 or 8.7 m/s
    (
        "kv-too-high",
        {},
        {},
        {},
        {},
        {
            "cells": [3, 3],
            "chemistry": [0, 1],
            "torque_constant": [1.0, 1.0],
            "diameter": [1.0, 2.0],
            "sound_speed": [12.6, 8.7],
        },
        [0.5, -0.5],
    ),
    (
        "propeller-overspeed",
        {"propeller rotation_max": [4.0, 2.0]},
        {"rotation": [3.0, 1.0]},
        {"rotation": [1.0, 3.0]},
        {},
        {},
        [0.25, -0.5],
    ),
    # 0.02 ohm and 0.06 ohm at 12.6 A, of 12.6 V: 2 % and 6 %
    (
        "leads-drop-voltage",
        {},
        {"battery_current": [12.6, 12.6]},
        {},
        {},
        {"lead_resistance": [0.02, 0.06], "cells": [3, 3], "chemistry": [0, 0]},
        [0.5, -0.5],
    ),
    # sqrt(2/3) of 30 A for 10 s: 30 sqrt(20/3)/k with k of 40 to 200 C, and half as much again or half of that
    (
        "motor-leads-too-thin",
        {
            "motor wire_gauge": [
                f * 30 * math.sqrt(20 / 3) / (226e6 * math.sqrt(math.log(1 + 160 / 274.5))) for f in (1.5, 0.5)
            ]
        },
        {},
        {"motor_current": [30.0, 30.0]},
        {},
        {},
        [0.5, -0.5],
    ),
    (
        "propeller-bore",
        {"propeller bore": [5.1e-3, 5.375e-3], "motor shaft": [5e-3, 5e-3]},
        {},
        {},
        {},
        {},
        [0.6, -0.5],
    ),
]


@pytest.mark.parametrize(
    ("code", "fields", "full", "in_flight", "hover", "rows", "margins"), COLUMNS, ids=lambda v: str(v)[:40]
)
def test_margins_of_columns(
    code: str, fields: Changes, full: Changes, in_flight: Changes, hover: Changes, rows: Changes, margins: list[float]
) -> None:
    held = {(name.split()[0], name.split()[1]): np.asarray(v) for name, v in fields.items()}
    points = (record(**(given or {"none": [0.0]})) for given in (rows, full, in_flight, hover))
    assert all_rules()[code].columns
    assert all_rules()[code].margin(ColumnsView(held, *points)) == pytest.approx(margins, abs=1e-12)


def test_which_rules_read_nothing_but_columns() -> None:
    """A search filters with these; one that is lost is no longer asked of a million craft."""
    assert {code for code, rule in all_rules().items() if rule.columns} == {row[0] for row in COLUMNS}


def test_columns_of_craft_with_other_numbers_of_motors_and_chemistries() -> None:
    rows = record(motors=[4, 6, 8], cells=[4, 6, 3], chemistry=[0, 1, 2])
    view = ColumnsView({}, rows, rows, rows, rows)
    assert view.motors.tolist() == [4, 6, 8]
    # 4.20 V a cell, 4.35 V of a high-voltage one, 4.20 V of lithium-ion
    assert view.full_voltage == pytest.approx([16.8, 26.1, 12.6])
