"""What rules compare: each value and limit worked out by hand from the sound craft's own figures."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from rotorwright.checks import CraftView, all_rules
from rotorwright.checks.rule import Case
from rotorwright.craft.model import Craft
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.conductor import adiabatic_area
from rotorwright.physics.heat import wire_rise
from rotorwright.physics.wire import resistance

Changes = dict[str, Any]
EU, US = {"site.region": "eu"}, {"site.region": "us"}
TUBES = {"arms.use": "tube-12x10-120"}
SCREWED = {"propellers.mount": "screws", "motors.propeller_mount": "screws", "motors.propeller_spacing_mm": 5}
# The motors stand 113 mm from the middle, on diagonals.
SIDE = 0.226 / math.sqrt(2)
# 26 AWG is 0.405 mm thick, 10 AWG 2.588 mm, 20 AWG 0.812 mm (ASTM).
COPPER_26 = 1.724e-8 / (math.pi / 4 * 0.4049e-3**2)

# Motors that lie farther ahead than behind, and farther to the right.
UNEVEN = [
    {"name": name, "at_mm": [x, y, 0], "spin": spin}
    for name, x, y, spin in (
        ("a", 100, 70, "clockwise"),
        ("b", 100, -80, "counter-clockwise"),
        ("c", -60, 70, "counter-clockwise"),
        ("d", -60, -80, "clockwise"),
    )
]

# code, what is changed, which of the rule's cases, value, limit
ROWS: list[tuple[str, Changes, int, float | None, float | None]] = [
    # six cells of 4.2 V; landing at 3.5 V; half a volt above the rail for a regulator that steps down
    ("supply-too-high", {}, 0, 25.2, 28.0),
    ("supply-too-high", {}, 1, 5.0, 5.5),
    ("supply-too-low", {}, 0, 21.0, 6.0),
    ("supply-too-low", {}, 3, 9.0, 7.4),
    ("regulator-starved", {}, 0, 21.0, 5.5),
    ("regulator-starved", {}, 1, 21.0, 9.5),
    ("regulator-starved", {}, 2, 9.0, 5.5),
    # two ways of 80 mm of 26 AWG, 0.75 A at 9 V
    ("supply-lost-in-wire", {}, 0, 0.16 * COPPER_26 * 0.75 / 9.0, 0.05),
    # the transmitter's 0.75 A and, through its regulator of 88 %, the camera's 0.4 A at 5 V
    ("regulator-overloaded", {}, 0, 0.09, 3.0),
    ("regulator-overloaded", {}, 1, 0.75 + 0.4 * 5.0 / 0.88 / 9.0, 3.0),
    ("regulator-overloaded", {}, 2, 0.4, 0.6),
    ("cells-over-controller", {}, 0, 6.0, 6.0),
    ("cells-under-controller", {}, 0, 6.0, 3.0),
    ("cells-over-motor", {}, 0, 6.0, 6.0),
    ("landing-too-low", {}, 0, 3.5, 3.0),
    ("landing-too-low", {"battery.chemistry": "li-ion"}, 0, 3.5, 2.5),
    # 150 C of 1.3 Ah
    ("pack-overdrawn", {}, 0, None, 195.0),
    ("pack-sags", {}, 0, None, 3.0),
    ("controller-overloaded", {}, 0, None, 45.0),
    ("controller-burst-exceeded", {}, 0, None, 55.0),
    ("motor-overloaded", {}, 0, None, 38.0),
    ("motor-power-exceeded", {}, 0, None, 850.0),
    ("electrical-speed-exceeded", {}, 0, None, 450000 * math.pi / 30),
    ("propeller-overspeed", {}, 0, None, 45000 * math.pi / 30),
    ("packs-in-parallel", {"battery.count": 2}, 0, 2.0, None),
    ("connector-overloaded", {}, 0, None, 240.0),
    ("lead-too-thin", {}, 0, math.pi / 4 * 2.588e-3**2, None),
    ("lead-too-thin", {}, 1, math.pi / 4 * 2.588e-3**2, None),
    ("lead-too-thin", {"battery.count": 2}, 0, math.pi / 2 * 2.588e-3**2, None),
    ("lead-runs-warm", {}, 0, None, 60.0),
    ("leads-drop-voltage", {}, 0, None, 0.04),
    ("motor-leads-too-thin", {}, 0, math.pi / 4 * 0.8118e-3**2, None),
    ("supply-spikes", {}, 0, None, 34.0),
    ("spikes-reach-part", {}, 0, None, 28.0),
    # the capacitor and what the controller carries itself
    ("capacitor-too-small", {}, 0, 570e-6, None),
    ("capacitor-too-small", {"cap.count": 3}, 0, 1510e-6, None),
    ("capacitor-too-small", {"esc.capacitance_uf": 20, "cap.count": 2}, 0, 960e-6, None),
    ("capacitor-missing", {}, 0, 25.2, None),
    ("capacitor-voltage", {}, 0, 50.0, 25.2),
    # 8 mm of screw through 5 mm of arm; 3.5 mm to the winding, half a millimetre of room; 0.95 of the thread
    ("motor-hole", {}, 0, 3.2e-3, 3.0e-3),
    ("motor-screw-reaches-winding", {}, 0, 3e-3, 3e-3),
    ("motor-screw-reaches-winding", {"motors.mount_depth_mm": 0.4}, 0, 3e-3, 1e-4),
    ("motor-screw-short", {}, 0, 3e-3, 2.85e-3),
    ("motor-screws-few", {}, 0, 16.0, 16.0),
    ("motor-screws-few", {"motor-screws.count": 7}, 0, 7.0, 16.0),
    ("propeller-bore", {}, 0, 5e-3, 5e-3),
    ("propeller-screw-spacing", {**SCREWED, "propellers.mount_spacing_mm": 5.2}, 0, 5.2e-3, 5e-3),
    # the hub's 6.5 mm and two fifths of the thread's 5 mm
    ("propeller-shaft-short", {}, 0, 13e-3, 8.5e-3),
    ("propeller-nut", {"nuts.count": 3}, 0, 3.0, 4.0),
    # from the motor's can, 14.5 mm in radius, to the board's nearer side, 21 mm from its middle, and a centimetre
    ("motor-leads-short", {}, 0, 0.15, 0.113 - 0.0145 - 0.021 + 0.01),
    (
        "motor-leads-short",
        {"esc.at_mm": [10, 4, -14]},
        0,
        0.15,
        math.hypot(SIDE / 2 + 0.010, SIDE / 2 + 0.004) - 0.0145 - 0.021 + 0.01,
    ),
    (
        "motor-leads-short",
        {"frame.layout": "free", "frame.motor_spacing_mm": None, "frame.motor": UNEVEN, "esc.at_mm": [10, 5, -14]},
        0,
        0.15,
        math.hypot(0.090, 0.085) - 0.0145 - 0.021 + 0.01,
    ),
    # three circles in a circle, of 0.6 mm + 1.75 d each
    ("wires-through-arm", TUBES, 0, 0.01, 2.1547 * (0.6e-3 + 1.75 * 0.8118e-3)),
    # boards of 7 and 8 mm, and a millimetre; apart from them the transmitter of 9 mm
    ("stack-too-high", {}, 0, 16e-3, 30e-3),
    ("stack-too-high", {}, 1, 10e-3, 30e-3),
    ("stack-too-high", {"esc.at_mm": [3, 3, -14]}, 0, 16e-3, 30e-3),
    ("stack-too-high", {"esc.at_mm": [25, 10, -14], "fc.at_mm": [25, 10, -4]}, 0, 16e-3, 30e-3),
    ("stack-too-high", {"esc.at_mm": [6, 0, -14]}, 0, 8e-3, 30e-3),
    ("stack-too-high", {"esc.at_mm": [0, 6, -14]}, 1, 9e-3, 30e-3),
    # both screws less their deck of 2 mm; the thinnest deck counts, and without decks the whole screw
    ("standoff-screws-meet", {}, 0, 12e-3, 30e-3),
    ("standoff-screws-meet", {"brace.thickness_mm": 1.5}, 0, 13e-3, 30e-3),
    ("standoff-screws-meet", {"main": None, "brace": None, "top": None}, 0, 16e-3, 30e-3),
    ("standoffs-uneven", {}, 0, 30e-3, 30e-3),
    ("camera-width", {"camera.width_mm": 18.5}, 0, 18.5e-3, 19e-3),
    ("camera-tilt", {}, 0, math.radians(30), math.radians(45)),
    # round 36 x 41 mm and a deck of 2 mm, twice, with 30 mm over
    ("strap-short", {}, 0, 0.25, 2 * (36e-3 + 41e-3 + 2e-3) + 30e-3),
    ("strap-short", {"top.thickness_mm": 3}, 0, 0.25, 2 * (36e-3 + 41e-3 + 3e-3) + 30e-3),
    ("strap-short", {"main": None, "brace": None, "top": None}, 0, 0.25, 2 * (36e-3 + 41e-3 + 2e-3) + 30e-3),
    # a pack of 74 mm, on the deck of 130 mm below it; moved back by 70 mm it lies on it with 32 mm, ahead with 42
    ("pack-off-deck", {}, 0, 1.0, 2 / 3),
    ("pack-off-deck", {"battery.at_mm": [-70, 0, 34]}, 0, 32 / 74, 2 / 3),
    ("pack-off-deck", {"battery.at_mm": [60, 0, 34]}, 0, 42 / 74, 2 / 3),
    ("pack-off-deck", {"battery.at_mm": [60, 0, 34], "top.at_mm": [10, 0, 11.25]}, 0, 52 / 74, 2 / 3),
    ("pack-off-deck", {"battery.at_mm": [140, 0, 34]}, 0, 0.0, 2 / 3),
    ("discs-overlap", {}, 0, SIDE - 0.127, 0.0),
    ("antenna-shadowed", {}, 0, None, 0.05 * 299792458 / 2.44e9),
    ("antenna-shadowed", {}, 1, None, 0.05 * 299792458 / 5.8e9),
    ("propellers-in-picture", {}, 0, None, 0.1),
    ("propellers-in-recording", {}, 0, 0.0, 0.02),
    # receiver, transmitter, and the controller's telemetry
    ("ports-short", {}, 0, 8.0, 3.0),
    ("ports-short", {"esc.telemetry": False}, 0, 8.0, 2.0),
    ("motor-outputs-short", {}, 0, 8.0, 4.0),
    ("channels-short", {"esc.channels": 2, "esc.count": 2}, 0, 4.0, 4.0),
    ("channels-short", {"esc.channels": 3, "esc.count": 2}, 0, 6.0, 4.0),
    ("receiver-antennas-few", {}, 0, 1.0, 1.0),
    ("receiver-antennas-few", {"rx.antennas": 2}, 0, 1.0, 2.0),
    ("cannot-hover", {}, 0, None, 1.3),
    ("lift-below-profile", {"flight.profile": None, "flight.segment": []}, 0, None, None),
    (
        "lift-below-profile",
        {"flight.segment": [{"duration_s": 9, "load_factor": 6, "speed_m_per_s": 5}], "flight.profile": None},
        0,
        None,
        9.0,
    ),
    (
        "lift-below-profile",
        {"flight.segment": [{"duration_s": 9, "load_factor": 1.1, "speed_m_per_s": 5}], "flight.profile": None},
        0,
        None,
        2.0,
    ),
    ("hover-throttle-high", {}, 0, None, 0.5),
    ("hover-throttle-low", {}, 0, None, 0.12),
    ("tip-speed", {}, 0, None, 0.65),
    # 1750 rpm/V at 25.2 V and 63.5 mm of radius, over the speed of sound at 20 C
    ("kv-too-high", {}, 0, 25.2 * 1750 * math.pi / 30 * 0.0635 / 343.2, 1.0),
    ("places-assumed", {"battery.at_mm": None, "recorder.at_mm": None}, 0, 2.0, 0.0),
    ("motor-hot", {}, 0, None, 110.0),
    # 0.55 lb; 250 g; 19 m/s
    ("mass-registration", {**US, "weighed.all_up_g": 400}, 0, 0.4, 0.24947580),
    ("mass-class", {**EU, "weighed.all_up_g": 400}, 0, 0.4, 0.25),
    ("speed-class", {**EU, "weighed.all_up_g": 240}, 0, None, 19.0),
    ("video-power", EU, 0, None, 13.98),
    ("video-power", US, 0, None, -1.25),
    ("telemetry-power", EU, 0, None, 20.0),
    ("telemetry-power", US, 0, None, 36.0),
    # 1.3 Ah of six cells at 3.7 V
    ("pack-care", {}, 0, 28.86, None),
    ("pack-care", {"battery.count": 2}, 0, 57.72, None),
    ("pack-cold", {"site.temperature_degc": 2}, 0, 2.0, 10.0),
    ("pack-cold", {"flight.pack_temperature_degc": 31}, 0, 31.0, 10.0),
]


def cases(code: str, craft: Craft) -> tuple[CraftView, list[Any]]:
    view = CraftView(craft, samples=0)
    return view, [case for case in all_rules()[code].cases(view) if isinstance(case, Case)]


def number(value: Any) -> float:
    return float(np.asarray(value, dtype=float).flat[0])


@pytest.mark.parametrize(
    ("code", "changes", "which", "value", "limit"),
    [row for row in ROWS if row[3] is not None or row[4] is not None],
    ids=lambda v: str(v)[:30],
)
def test_value_and_limit(
    code: str, changes: Changes, which: int, value: float | None, limit: float | None, sound: Callable[..., Craft]
) -> None:
    case = cases(code, sound(changes))[1][which]
    if value is not None:
        assert number(case.value) == pytest.approx(value, rel=2e-3, abs=1e-9)
    if limit is not None:
        assert number(case.limit) == pytest.approx(limit, rel=2e-3, abs=1e-9)


def only(code: str, craft: Craft) -> tuple[CraftView, Any]:
    view, found = cases(code, craft)
    return view, found[0]


def test_without_a_burst_rating_the_lasting_one_counts(sound: Callable[..., Craft]) -> None:
    craft = sound({"esc.use": "esc-4in1-45a-30x30", "esc.burst_a": 45})
    assert number(only("controller-burst-exceeded", craft)[1].limit) == 45.0


def test_full_throttle_figures(sound: Callable[..., Craft]) -> None:
    """Currents, power, voltage a cell, lift and speeds are those of the operating point."""
    view, case = only("pack-overdrawn", sound())
    full, fast, row = view.full, view.in_flight, view.rows
    got = {code: number(cases(code, sound())[1][0].value) for code in FULL}
    assert number(case.value) == full["battery_current"][0]
    assert got["pack-sags"] == pytest.approx(full["battery_voltage"][0] / 6)
    assert got["controller-overloaded"] == got["motor-overloaded"] == full["motor_current"][0]
    assert got["motor-power-exceeded"] == pytest.approx(full["motor_current"][0] * full["motor_voltage"][0])
    assert got["cannot-hover"] == pytest.approx(4 * full["thrust"][0] / (row["mass"][0] * GRAVITY))
    turning = max(full["rotation"][0], fast["rotation"][0])
    assert got["propeller-overspeed"] == turning
    assert got["electrical-speed-exceeded"] == pytest.approx(7 * turning)
    assert got["tip-speed"] == pytest.approx(max(full["tip_mach"][0], fast["tip_mach"][0]))
    assert got["hover-throttle-high"] == got["hover-throttle-low"] == view.hover["duty"][0]
    assert got["leads-drop-voltage"] == pytest.approx(row["lead_resistance"][0] * full["battery_current"][0] / 25.2)


FULL = (
    "pack-sags",
    "controller-overloaded",
    "motor-overloaded",
    "motor-power-exceeded",
    "cannot-hover",
    "propeller-overspeed",
    "electrical-speed-exceeded",
    "tip-speed",
    "hover-throttle-high",
    "hover-throttle-low",
    "leads-drop-voltage",
)


def test_leads_bear_ten_seconds_of_full_throttle_in_flight(sound: Callable[..., Craft]) -> None:
    """From 40 C to 200 C; a phase carries sqrt(2/3) of its motor's current."""
    view, case = only("lead-too-thin", sound())
    fast = view.in_flight
    assert number(case.limit) == pytest.approx(adiabatic_area(fast["battery_current"][0], 10.0, 313.15, 473.15))
    phase = math.sqrt(2 / 3) * fast["motor_current"][0]
    limit = number(only("motor-leads-too-thin", sound())[1].limit)
    assert limit == pytest.approx(adiabatic_area(phase, 10.0, 313.15, 473.15))


def test_what_lasts_is_the_root_mean_square_of_the_flight(sound: Callable[..., Craft]) -> None:
    view, case = only("connector-runs-hot", sound())
    end = view.flown
    current = math.sqrt(end["current_square"][0] / end["time"][0])
    assert number(case.value) == pytest.approx(current)
    area = math.pi / 4 * 2.588e-3**2
    rise = wire_rise(current, float(resistance(1.0, area)), 0.6e-3 + 1.75 * 2.588e-3)
    assert number(only("lead-runs-warm", sound())[1].value) == pytest.approx(rise, rel=2e-3)


def test_spikes_of_the_supply(sound: Callable[..., Craft]) -> None:
    """V = sqrt(V0^2 + L I^2/C) + R I: two capacitors halve the resistance."""
    view, case = only("supply-spikes", sound())
    current = view.full["battery_current"][0]
    one = number(case.value) - 0.015 * current
    two = number(only("supply-spikes", sound({"cap.count": 2}))[1].value) - 0.0075 * current
    # L I^2/C of each; the same loop and current, 570 and 1040 uF
    energy = [held**2 - 25.2**2 for held in (one, two)]
    assert energy[0] / energy[1] == pytest.approx(1040 / 570, rel=1e-3)
    assert case.words == {"current": f"{current:.0f} A"}


def test_margins_that_are_no_shares_of_a_limit(sound: Callable[..., Craft]) -> None:
    """A fit within a play is kept from edge to edge of the play."""

    def margin(code: str, changes: Changes) -> float:
        return cases(code, sound(changes))[1][0].nominal  # type: ignore[no-any-return]

    assert margin("propeller-bore", {"propellers.bore_mm": 5.1}) == pytest.approx(0.6)
    assert margin("propeller-bore", {"propellers.bore_mm": 4.9}) == pytest.approx(0.6)
    assert margin("propeller-screw-spacing", {**SCREWED, "propellers.mount_spacing_mm": 5.2}) == pytest.approx(1 / 3)
    assert margin("camera-width", {"camera.width_mm": 18.5}) == pytest.approx(0.5)
    assert margin("camera-tilt", {}) == pytest.approx(math.radians(17))
    assert margin("camera-tilt", {"camera.tilt_deg": 10}) == pytest.approx(math.radians(12))
    assert margin("camera-tilt", {"camera.tilt_deg": 46}) == pytest.approx(math.radians(1))
    assert margin("discs-overlap", {}) == pytest.approx((SIDE - 0.127) / 0.127)
    assert margin("pack-cold", {"site.temperature_degc": 2}) == pytest.approx(-8.0)
    assert margin("standoffs-uneven", {}) == 1.0
    odd = {"+part": {"id": "odd", "use": "standoff-m3x30", "length_mm": 29.9, "at_mm": [40, 0, -4.75]}}
    assert cases("standoffs-uneven", sound(odd))[1][-1].nominal == pytest.approx(0.6)


@pytest.mark.parametrize(
    ("place", "side", "row", "axis", "way"),
    [
        ([40, 0, 34], "ahead of", "front", 0, 1),
        ([-40, 0, 34], "behind", "rear", 0, -1),
        ([0, 40, 34], "left of", "left", 1, 1),
        ([0, -40, 34], "right of", "right", 1, -1),
    ],
)
def test_the_motors_on_the_heavy_side(
    place: list[int], side: str, row: str, axis: int, way: int, sound: Callable[..., Craft]
) -> None:
    """Four motors at +-b carry (1 +- x/b)/4 of a weight whose centre lies at x."""
    view, found = cases("centre-off", sound({"battery.at_mm": place}))
    offset = view.centre[0, axis]
    assert math.copysign(1, offset) == way
    case = found[axis]
    assert number(case.value) == pytest.approx(abs(offset) / (SIDE / 2))
    assert (case.words["side"], case.words["row"], case.limit) == (side, row, 0.10)
    assert case.words["offset"] == f"{abs(offset) * 1e3:.1f} mm"


def test_radiated_power_is_told_in_milliwatts(sound: Callable[..., Craft]) -> None:
    """25 mW through an antenna: 10^(dBm/10) mW; the limit of 13.98 dBm is 25 mW."""
    _, case = only("video-power", sound(EU))
    assert case.words["limit"] == "25 mW"
    assert case.words["value"] == f"{10 ** (number(case.value) / 10):.3g} mW"
    assert case.nominal == pytest.approx(13.98 - number(case.value))


@pytest.mark.parametrize(
    ("code", "changes", "value", "limit"),
    [
        ("power-level-unknown", {}, "25 mW", "25, 200, 700 mW"),
        ("motor-pattern", {}, "16 x 16 mm", "16 mm"),
        ("board-pattern", {}, "30.5 mm", "20, 30.5 mm"),
        ("motor-screw-thread", {"motor-screws.use": "screw-m2x8-button"}, "2", "3"),
        ("screw-without-thread", {}, "3", "a screw"),
        ("grommet-hole", {}, "4 mm", "2 x 4 mm"),
        ("band-elsewhere", EU, "2440 MHz", "eu"),
        ("spins-unbalanced", {}, "2", "2"),
        ("receiver-protocol", {}, "serial-packet", "serial-packet, serial-inverted"),
        ("battery-connector", {}, "two-pin-60a", "two-pin-60a"),
        ("rules-by-place", US, "us", "eu, us"),
    ],
)
def test_sizes_are_told_as_people_say_them(
    code: str, changes: Changes, value: str, limit: str, sound: Callable[..., Craft]
) -> None:
    case = only(code, sound(changes))[1]
    assert (case.value, case.limit) == (value, limit)


@pytest.mark.parametrize(
    ("code", "changes", "words"),
    [
        ("connector-overloaded", {}, {"rated": "120 A"}),
        ("camera-tilt", {}, {"lowest": "0"}),
        ("camera-width", {}, {"holder": "mount"}),
        ("regulator-overloaded", {}, {"rail": "fc.5V"}),
        ("places-assumed", {"battery.at_mm": None, "recorder.at_mm": None}, {"names": "battery, recorder"}),
        ("pack-cold", {"site.temperature_degc": 25}, {"times": "1.0"}),
    ],
)
def test_words_that_fill_the_sentence(
    code: str, changes: Changes, words: dict[str, str], sound: Callable[..., Craft]
) -> None:
    assert only(code, sound(changes))[1].words == words
