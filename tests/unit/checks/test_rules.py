"""Every rule has a craft that trips it and one that keeps it."""

from collections.abc import Callable
from typing import Any

import pytest

from rotorwright.checks import CraftView, Severity, all_rules
from rotorwright.checks.rule import Case
from rotorwright.checks.run import apply
from rotorwright.craft.model import Craft

Changes = dict[str, Any]
STOP, WARN, NOTE = Severity.STOP, Severity.WARN, Severity.NOTE

EU, US = {"site.region": "eu"}, {"site.region": "us"}
LINEAR = {"name": "3V", "voltage_v": 3.3, "current_a": 2.0, "kind": "linear"}
REGULATOR = {"id": "reg", "use": "regulator-5v-2a", "fed_from": "battery.lead"}
LIGHT = {"id": "light", "use": "light-8-lamps-5v", "fed_from": "fc.5V"}
TUBE_ARMS = {"arms.use": "tube-12x10-120"}
# a craft of less than 250 g that is slow enough, and one that is not
LIGHT_CRAFT = {"weighed.all_up_g": 240, **EU}
SCREWED = {"propellers.mount": "screws", "motors.propeller_mount": "screws", "motors.propeller_spacing_mm": 5}
SEGMENT = [{"duration_s": 10, "load_factor": 6, "speed_m_per_s": 5}]

# code, severity of the trip, what trips it, what must be so that it can be kept (nothing: the sound craft)
ROWS: list[tuple[str, Severity, Changes, Changes]] = [
    # supply
    ("feed-unknown", STOP, {"rx.fed_from": "fc.6V"}, {}),
    ("feed-missing", WARN, {"rx.fed_from": None}, {}),
    ("feed-loop", STOP, {"vtx.fed_from": "vtx.camera"}, {}),
    ("feed-double", STOP, {"+wire": {"from": "fc.5V", "to": "vtx.supply", "gauge_awg": 26, "length_mm": 50}}, {}),
    ("supply-too-high", STOP, {"rx.fed_from": "fc.9V"}, {}),
    ("supply-too-low", STOP, {"vtx.fed_from": "fc.5V"}, {}),
    (
        "supply-lost-in-wire",
        NOTE,
        {"+wire": {"from": "fc.5V", "to": "rx.supply", "gauge_awg": 40, "length_mm": 2000}},
        {},
    ),
    (
        "regulator-overloaded",
        STOP,
        {
            "fc.outputs": [
                {"name": "5V", "voltage_v": 5.0, "current_a": 0.05},
                {"name": "9V", "voltage_v": 9.0, "current_a": 3.0},
            ]
        },
        {},
    ),
    (
        "regulator-hot",
        NOTE,
        {
            "fc.outputs": [
                {"name": "5V", "voltage_v": 5.0, "current_a": 3.0, "kind": "linear"},
                {"name": "9V", "voltage_v": 9.0, "current_a": 3.0},
            ],
            "rx.current_a": 0.5,
        },
        {
            "+part": {"id": "low", "use": "regulator-3.3v-0.5a-linear", "fed_from": "fc.5V", "outputs": [LINEAR]},
            "rx.fed_from": "low.3V",
            "rx.supply_min_v": 3.0,
        },
    ),
    ("regulator-starved", STOP, {"battery.cells": 2}, {}),
    ("cells-over-controller", STOP, {"esc.cells_max": 4}, {}),
    ("cells-under-controller", WARN, {"battery.cells": 2}, {}),
    ("cells-over-motor", WARN, {"motors.cells_max": 4}, {}),
    ("landing-too-low", STOP, {"flight.landing_voltage_v": 2.8}, {}),
    ("pack-overdrawn", WARN, {"battery.rating_c": 30}, {}),
    ("pack-sags", STOP, {"battery.resistance_mohm": 150}, {}),
    ("controller-overloaded", WARN, {"esc.current_a": 20}, {}),
    ("controller-burst-exceeded", STOP, {"esc.current_a": 15, "esc.burst_a": 18}, {}),
    ("motor-overloaded", WARN, {"motors.current_max_a": 12}, {}),
    ("motor-power-exceeded", WARN, {"motors.power_max_w": 150}, {}),
    ("electrical-speed-exceeded", STOP, {"esc.electrical_rotation_max_rpm": 100000}, {}),
    ("packs-in-parallel", NOTE, {"battery.count": 2}, {}),
    ("connector-runs-hot", STOP, {"plug.current_a": 2}, {}),
    ("connector-overloaded", WARN, {"plug.current_a": 20}, {}),
    ("lead-too-thin", STOP, {"battery.lead_gauge_awg": 18}, {}),
    ("lead-runs-warm", NOTE, {"battery.lead_gauge_awg": 30}, {}),
    ("leads-drop-voltage", WARN, {"battery.lead_gauge_awg": 20, "battery.lead_length_mm": 300}, {}),
    ("motor-leads-too-thin", WARN, {"motors.wire_gauge_awg": 28}, {}),
    ("supply-spikes", WARN, {"cap": None, "esc.capacitance_uf": 1, "battery.lead_length_mm": 300}, {}),
    ("spikes-reach-part", NOTE, {"fc.supply_max_v": 25.5}, {}),
    ("capacitor-too-small", NOTE, {"cap.capacitance_uf": 0.1, "esc.capacitance_uf": 0.1}, {}),
    ("capacitor-missing", NOTE, {"cap": None}, {}),
    ("capacitor-voltage", STOP, {"cap.voltage_v": 16}, {}),
    # mechanics
    ("motor-pattern", STOP, {"motors.mount_pattern_mm": [12, 12]}, {}),
    ("motor-hole", STOP, {"arms.mount_hole_mm": 2.2}, {}),
    ("motor-screw-reaches-winding", STOP, {"motor-screws.use": "screw-m3x10-button"}, {}),
    ("motor-screw-short", WARN, {"motor-screws.use": "screw-m3x6-button"}, {}),
    ("motor-screw-thread", STOP, {"motor-screws.use": "screw-m2x8-button"}, {}),
    ("motor-screws-few", WARN, {"motor-screws.count": 8}, {}),
    ("screw-without-thread", NOTE, {"standoffs.thread_mm": 2.5}, {}),
    ("grommet-hole", WARN, {"grommets.use": "grommet-m2-3mm-hole", "vtx.mount_hole_mm": 4}, {}),
    ("propeller-bore", STOP, {"propellers.bore_mm": 6}, {}),
    ("propeller-mount", STOP, {"propellers.mount": "screws"}, {}),
    (
        "propeller-screw-spacing",
        STOP,
        {**SCREWED, "propellers.mount_spacing_mm": 7},
        {**SCREWED, "propellers.mount_spacing_mm": 5},
    ),
    ("propeller-shaft-short", STOP, {"motors.shaft_length_mm": 6}, {}),
    ("propeller-nut", STOP, {"nuts": None}, {}),
    ("propeller-hand", STOP, {"propellers.handedness": "left"}, {}),
    (
        "spins-unbalanced",
        STOP,
        {
            "frame.layout": "free",
            "frame.motor_spacing_mm": None,
            "frame.motor": [
                {"name": "a", "at_mm": [80, 80, 0], "spin": "clockwise"},
                {"name": "b", "at_mm": [80, -80, 0], "spin": "clockwise"},
                {"name": "c", "at_mm": [-80, 0, 0], "spin": "counter-clockwise"},
            ],
            "arms.count": 3,
        },
        {},
    ),
    ("motor-leads-short", WARN, {"motors.wire_length_mm": 30}, {}),
    ("wires-through-arm", STOP, {**TUBE_ARMS, "arms.inner_diameter_mm": 3}, TUBE_ARMS),
    ("arm-breaks", STOP, {"arms.thickness_mm": 0.5}, {}),
    ("arm-bends", WARN, {"arms.thickness_mm": 1}, {}),
    ("frame-sings-in-hover", NOTE, {}, {"arms.thickness_mm": 9, "motor-screws.use": "screw-m3x12-button"}),
    ("board-pattern", STOP, {"fc.mount_pattern_mm": [25.5, 25.5]}, {}),
    ("stack-too-high", STOP, {"standoffs.use": "standoff-m3x15"}, {}),
    ("standoffs-uneven", WARN, {"+part": {"id": "odd", "use": "standoff-m3x25", "at_mm": [40, 0, -4.75]}}, {}),
    ("standoff-screws-meet", STOP, {"standoff-screws.length_mm": 20}, {}),
    ("camera-width", STOP, {"camera.width_mm": 28}, {}),
    ("camera-tilt", WARN, {"camera.tilt_deg": 60}, {}),
    ("strap-short", STOP, {"strap.use": "strap-150x12"}, {}),
    ("pack-off-deck", WARN, {"battery.at_mm": [-70, 0, 34]}, {}),
    ("soft-mount-rings", NOTE, {"grommets.hardness": 90}, {}),
    # clearance
    ("discs-overlap", STOP, {"frame.motor_spacing_mm": 170}, {}),
    ("propeller-meets-frame", STOP, {"mount.at_mm": [70, 12, 0]}, {}),
    ("propeller-meets-pack", STOP, {"battery.at_mm": [0, 40, 0]}, {}),
    ("propeller-meets-antenna", STOP, {"vtx-antenna.at_mm": [-80, 40, 0]}, {}),
    ("propeller-meets-camera", STOP, {"recorder.at_mm": [66, 40, 0]}, {}),
    ("antenna-shadowed", NOTE, {"vtx-antenna.at_mm": [-60, 0, 13]}, {}),
    ("propellers-in-picture", NOTE, {"camera.at_mm": [-40, 0, 30], "camera.tilt_deg": 0}, {}),
    ("propellers-in-recording", WARN, {"recorder.at_mm": [-20, 0, 40], "recorder.tilt_deg": 0}, {}),
    # signals
    ("part-missing", STOP, {"rx": None}, {}),
    ("ports-short", STOP, {"fc.serial_ports": 2}, {}),
    ("pad-missing", STOP, {"+part": LIGHT, "fc.pads": ["video"]}, {"+part": LIGHT}),
    ("motor-outputs-short", STOP, {"fc.motor_outputs": 3}, {}),
    ("channels-short", STOP, {"esc.channels": 2}, {}),
    ("receiver-protocol", STOP, {"rx.protocol": "shouting"}, {}),
    ("motor-signal", STOP, {"esc.signals": ["semaphore"]}, {}),
    ("gyroscope-missing", STOP, {"fc.sensors": ["barometer"]}, {}),
    ("telemetry-missing", NOTE, {"esc.telemetry": False}, {}),
    ("current-unmeasured", NOTE, {"esc.current_sensor": False}, {}),
    ("video-system", STOP, {"camera.system": "digital-b"}, {}),
    ("goggles-system", WARN, {"ground.view": "goggles, digital-b"}, {}),
    (
        "overlay-missing",
        NOTE,
        {"camera.video": "analog", "fc.overlay": False},
        {"camera.video": "analog", "fc.overlay": True},
    ),
    ("picture-unsent", WARN, {"vtx": None}, {}),
    ("battery-connector", STOP, {"plug.family": "three-pin"}, {}),
    ("power-level-unknown", WARN, {"vtx.set_power_mw": 300}, {}),
    ("transmitter-without-antenna", STOP, {"vtx-antenna": None}, {}),
    ("antenna-connector", STOP, {"vtx-antenna.connector": "coax-screw"}, {}),
    ("receiver-antennas-few", STOP, {"rx.antennas": 2}, {}),
    ("antenna-hands", WARN, {"vtx-antenna.polarisation": "left"}, {}),
    (
        "channels-clash",
        WARN,
        {"ground.channels_mhz": [5658, 5695, 5732]},
        {"ground.channels_mhz": [5658, 5806, 5843, 5917]},
    ),
    # flying
    ("cannot-hover", STOP, {"battery.mass_g": 5000}, {}),
    ("lift-below-profile", WARN, {"flight.segment": SEGMENT, "flight.profile": None}, {}),
    ("hover-throttle-high", WARN, {"battery.mass_g": 2200}, {}),
    (
        "hover-throttle-low",
        NOTE,
        {"motors.kv_rpm_per_v": 4000, "motors.resistance_mohm": 15, "battery.mass_g": 60},
        {},
    ),
    (
        "pack-collapses",
        STOP,
        {
            "battery.resistance_mohm": 4000,
            "vtx.set_power_mw": 700,
            "+part": {"id": "heater", "use": "light-8-lamps-5v", "current_a": 40, "fed_from": "fc.5V"},
        },
        {},
    ),
    (
        "tip-speed",
        NOTE,
        {"motors.kv_rpm_per_v": 3000, "motors.resistance_mohm": 20, "battery.resistance_mohm": 5},
        {},
    ),
    ("kv-too-high", WARN, {"motors.kv_rpm_per_v": 2450}, {}),
    ("propeller-overspeed", STOP, {"propellers.rotation_max_rpm": 15000}, {}),
    ("centre-off", WARN, {"battery.at_mm": [40, 0, 34]}, {}),
    ("places-assumed", NOTE, {"battery.at_mm": None}, {}),
    ("motor-hot", NOTE, {"motors.temperature_max_degc": 30}, {}),
    ("mass-unknown", WARN, {"+part": {"id": "thing", "use": "thing"}, "+other": {"name": "thing"}}, {}),
    ("weighing-disagrees", WARN, {"weighed.all_up_g": 900}, {"weighed.all_up_g": 565}),
    # law
    ("rules-by-place", NOTE, {"site.region": "moon"}, EU),
    ("mass-registration", NOTE, US, {"weighed.all_up_g": 240, **US}),
    ("mass-class", NOTE, EU, LIGHT_CRAFT),
    ("speed-class", NOTE, LIGHT_CRAFT, {**LIGHT_CRAFT, "flight.drag_area_cm2": 9500}),
    ("video-power", NOTE, {"vtx.set_power_mw": 700, **EU}, {"vtx-antenna.gain_dbi": -3, **EU}),
    ("telemetry-power", NOTE, {"rx.telemetry_power_mw": 500, **EU}, {"rx.telemetry_power_mw": 25, **EU}),
    ("band-elsewhere", NOTE, {"rx.frequency_mhz": 915, **EU}, EU),
    ("goggles-observer", NOTE, EU, {}),
    ("pack-care", NOTE, {}, {}),
    ("pack-cold", NOTE, {"site.temperature_degc": 2}, {}),
]

# Told whenever there is something to tell: no craft with a pack or a picture keeps them.
ALWAYS = {"goggles-observer", "pack-care", "packs-in-parallel"}


def test_every_rule_has_a_row() -> None:
    codes = [code for code, *_ in ROWS]
    assert sorted(codes) == sorted(set(codes))
    assert set(codes) == set(all_rules())


@pytest.mark.parametrize(("code", "severity", "changes"), [row[:3] for row in ROWS], ids=[row[0] for row in ROWS])
def test_trips(code: str, severity: Severity, changes: Changes, sound: Callable[..., Craft]) -> None:
    found = apply(all_rules()[code], CraftView(sound(changes), samples=0)).findings
    assert found, f"{code} is not tripped"
    assert min(found, key=lambda f: list(Severity).index(f.severity)).severity is severity
    for finding in found:
        assert "{" not in finding.what
        assert finding.margin < all_rules()[code].headroom or finding.margin < 0
        assert finding.where.part


@pytest.mark.parametrize(
    ("code", "changes"), [(row[0], row[3]) for row in ROWS if row[0] not in ALWAYS], ids=lambda v: str(v)[:40]
)
def test_keeps(code: str, changes: Changes, sound: Callable[..., Craft]) -> None:
    view = CraftView(sound(changes), samples=0)
    cases = list(all_rules()[code].cases(view))
    assert cases, f"{code} looked at nothing"
    for case in cases:
        assert isinstance(case, Case), case
        assert case.nominal >= 0, case


@pytest.mark.parametrize("code", sorted(ALWAYS))
def test_told_without_its_subject(code: str, sound: Callable[..., Craft]) -> None:
    missing = {"goggles-observer": {"vtx": None, **EU}, "pack-care": {"battery": None}, "packs-in-parallel": {}}
    assert apply(all_rules()[code], CraftView(sound(missing[code]), samples=0)).findings == []


def test_documented() -> None:
    for rule in all_rules().values():
        assert rule.check.__doc__ is not None
        assert rule.fact.endswith(".") and rule.why.endswith(".") and rule.source.endswith("."), rule.code
        assert len(rule._paragraphs()) == 3, rule.code
        assert rule.fix.endswith("."), rule.code
