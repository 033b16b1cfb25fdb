"""Ports, signals, video and antennas: what fits and what does not, of several parts the right one."""

from collections.abc import Callable
from typing import Any

import pytest

from rotorwright.checks import CraftView

from .conftest import Changes, Seen, lacks, least, same_rows, seen, skipped, word

Row = tuple[str, Changes, list[Seen]]
NEEDED = ("motor", "propeller", "speed-controller", "flight-controller", "battery", "receiver")
HOME = ("motors", "propellers", "esc", "fc", "battery", "rx")


def missing(gone: str) -> list[Seen]:
    rows = []
    for role, part in zip(NEEDED, HOME, strict=True):
        name = role.replace("-", " ")
        told = word(role, "stop", name, "one", f"No {name} is on the craft")
        rows.append(told if part == gone else word(role, "kept", name, "one"))
    return rows


def bare(kind: str, part: str, **fields: Any) -> Changes:
    """A part of which nothing is known but `fields`."""
    return {f"+{kind}": {"name": "bare", **fields}, f"{part}.use": "bare"}


BARE_FC = bare("flight-controller", "fc")
BARE_RX = bare("receiver", "rx")
BARE_ESC = bare("speed-controller", "esc", current_a=45, channels=4)
BARE_CAMERA = bare("camera", "camera")
BARE_VTX = {**bare("video-transmitter", "vtx"), "vtx.set_power_mw": None, "camera.fed_from": None}
GPS = {"id": "gps", "use": "satellite-positioning", "count": 2}
BUSES = {"+satellite-positioning": {"name": "satellite-positioning", "takes": ["serial", "bus"]}, "+part": GPS}
LIGHTS = {"id": "lights", "use": "light-8-lamps-5v", "fed_from": "fc.5V"}
SECOND_ESC = {"id": "second", "use": "esc-4in1-45a-30x30", "channels": 1, "role": "tail"}
SECOND_FC = {"id": "second", "use": "fc-30x30-5v3a-9v3a-log", "role": "spare"}
PORTS: list[Row] = [
    ("part-missing", {}, missing("")),
    *(("part-missing", {part: None}, missing(part)) for part in HOME),
    # another role of the kind is one all the same
    ("part-missing", {"rx.role": "spare"}, [*missing("")[:5], word("receiver", "kept", "receiver", "one")]),
    # receiver, transmitter and telemetry take a serial port each, two positioning receivers one each and a bus
    ("ports-short", {"fc.serial_ports": 3}, [least("fc", "kept", 3.0, 3.0, "1")]),
    (
        "ports-short",
        {"fc.serial_ports": 2},
        [least("fc", "stop", 2.0, 3.0, "1", "Parts take 3 serial ports; it has 2")],
    ),
    (
        "ports-short",
        {**BUSES, "fc.serial_ports": 5, "fc.bus_ports": 1},
        [
            least("fc", "kept", 5.0, 5.0, "1"),
            least("fc", "stop", 1.0, 2.0, "1", "Parts take 2 bus ports; it has 1"),
        ],
    ),
    (
        "ports-short",
        {**BUSES, "esc.telemetry": False, "fc.serial_ports": 3, "fc.bus_ports": 2},
        [
            least("fc", "stop", 3.0, 4.0, "1", "Parts take 4 serial ports; it has 3"),
            least("fc", "kept", 2.0, 2.0, "1"),
        ],
    ),
    ("ports-short", BARE_FC, [lacks("serial_ports of fc")]),
    ("ports-short", {"fc": None}, [lacks("a flight controller")]),
    ("ports-short", {"esc": None, "rx": None, "vtx": None, "camera.fed_from": None}, []),
    ("pad-missing", {}, []),
    ("pad-missing", {"+part": LIGHTS}, [word("lights", "kept", "light", "video, buzzer, light")]),
    (
        "pad-missing",
        {"+part": LIGHTS, "fc.pads": ["video", "buzzer"], "camera.takes": ["video", "serial"]},
        [
            word("camera", "kept", "video", "video, buzzer"),
            word(
                "lights",
                "stop",
                "light",
                "video, buzzer",
                "It takes a light pad; the flight controller has video, buzzer",
            ),
        ],
    ),
    (
        "pad-missing",
        {**BARE_FC, "+part": LIGHTS},
        [word("lights", "stop", "light", "none", "It takes a light pad; the flight controller has none")],
    ),
    ("motor-outputs-short", {"fc.motor_outputs": 4}, [least("fc", "kept", 4.0, 4.0, "1")]),
    (
        "motor-outputs-short",
        {"fc.motor_outputs": 3},
        [least("fc", "stop", 3.0, 4.0, "1", "It drives 3 motors; the craft has 4")],
    ),
    ("motor-outputs-short", BARE_FC, [lacks("motor_outputs of fc")]),
    # a controller of three channels or two of one, and one more of one
    ("channels-short", {"esc.channels": 3, "+part": SECOND_ESC}, [least("esc", "kept", 4.0, 4.0, "1")]),
    (
        "channels-short",
        {"esc.channels": 1, "esc.count": 2, "+part": SECOND_ESC},
        [least("esc", "stop", 3.0, 4.0, "1", "The controllers drive 3 motors; the craft has 4")],
    ),
    ("channels-short", {"esc": None}, [lacks("a speed controller")]),
]

SPEAKS: list[Row] = [
    (
        "receiver-protocol",
        {"rx.protocol": "serial-inverted"},
        [word("rx", "kept", "serial-inverted", "serial-packet, serial-inverted")],
    ),
    (
        "receiver-protocol",
        {"rx.protocol": "serial"},
        [
            word(
                "rx",
                "stop",
                "serial",
                "serial-packet, serial-inverted",
                "It speaks serial; the flight controller understands serial-packet, serial-inverted",
            )
        ],
    ),
    ("receiver-protocol", BARE_RX, [lacks("protocol of rx")]),
    ("receiver-protocol", BARE_FC, [lacks("protocols of fc")]),
    (
        "motor-signal",
        {"esc.signals": ["a", "b"], "fc.signals": ["b", "c"]},
        [word("esc", "kept", "a, b", "b, c")],
    ),
    (
        "motor-signal",
        {"esc.signals": ["a", "b"], "fc.signals": ["c", "d"]},
        [word("esc", "stop", "a, b", "c, d", "It understands a, b; the flight controller sends c, d")],
    ),
    ("motor-signal", BARE_ESC, [lacks("signals of esc")]),
    ("motor-signal", BARE_FC, [lacks("signals of fc")]),
    ("gyroscope-missing", {"fc.sensors": ["a", "gyroscope"]}, [word("fc", "kept", "a, gyroscope", "gyroscope")]),
    (
        "gyroscope-missing",
        {"fc.sensors": ["a", "barometer"]},
        [word("fc", "stop", "a, barometer", "gyroscope", "It lists a, barometer, no gyroscope")],
    ),
    ("gyroscope-missing", BARE_FC, [lacks("sensors of fc")]),
    (
        "telemetry-missing",
        {"+part": {**SECOND_ESC, "telemetry": False}},
        [
            word("esc", "kept", "no telemetry", "telemetry"),
            word("second", "note", "no telemetry", "telemetry", "It sends no telemetry"),
        ],
    ),
    # one sensor is enough
    (
        "current-unmeasured",
        {"esc.current_sensor": False, "+part": SECOND_ESC},
        [word("esc", "kept", "none", "a current sensor")],
    ),
    (
        "current-unmeasured",
        {"esc.current_sensor": False, "+part": {**SECOND_ESC, "current_sensor": False}},
        [word("esc", "note", "none", "a current sensor", "Nothing on the craft measures the pack's current")],
    ),
    ("current-unmeasured", {"esc": None}, []),
]

SECOND_VTX = {"id": "second", "use": "vtx-digital-a-25-700mw-20x20", "system": "digital-c", "role": "spare"}
VIDEO: list[Row] = [
    ("video-system", {"+part": SECOND_VTX}, [word("camera", "kept", "digital-a", "digital-a, digital-c")]),
    (
        "video-system",
        {"camera.system": "digital-b", "+part": SECOND_VTX},
        [
            word(
                "camera",
                "stop",
                "digital-b",
                "digital-a, digital-c",
                "It speaks digital-b; the transmitter speaks digital-a, digital-c",
            )
        ],
    ),
    # the kind of video speaks where no system is named
    (
        "video-system",
        {"camera.system": "", "camera.video": "analog", "vtx.system": "", "vtx.video": "analog"},
        [word("camera", "kept", "analog", "analog")],
    ),
    ("video-system", {**BARE_CAMERA}, [lacks("system of camera and of the video transmitter")]),
    ("video-system", {**BARE_VTX}, [lacks("system of camera and of the video transmitter")]),
    ("video-system", {"vtx": None, "camera.fed_from": None}, [lacks("a video transmitter")]),
    ("video-system", {"camera": None}, []),
    ("goggles-system", {}, [word("vtx", "kept", "digital-a", "goggles, digital-a")]),
    (
        "goggles-system",
        {"ground.view": "goggles, digital-b"},
        [
            word(
                "vtx",
                "warn",
                "digital-a",
                "goggles, digital-b",
                "It sends digital-a; [ground] names goggles, digital-b",
            )
        ],
    ),
    ("goggles-system", {"ground.view": None}, [lacks("view in [ground]")]),
    ("goggles-system", {"vtx.video": "analog", "ground.view": None}, []),
    # only over an analog picture
    (
        "overlay-missing",
        {"camera.video": "analog", "fc.overlay": True, "+part": SECOND_FC},
        [
            word("fc", "kept", "no overlay", "overlay"),
            word("second", "note", "no overlay", "overlay", "It writes nothing over an analog picture"),
        ],
    ),
    ("overlay-missing", {}, []),
    ("overlay-missing", {**BARE_CAMERA}, []),
    ("picture-unsent", {}, [word("camera", "kept", "none", "a video transmitter")]),
    (
        "picture-unsent",
        {"vtx": None, "camera.fed_from": None},
        [
            word(
                "camera",
                "warn",
                "none",
                "a video transmitter",
                "A camera is on the craft and no video transmitter",
            )
        ],
    ),
    ("picture-unsent", {"camera": None, "vtx": None}, []),
]


def plug(name: str, role: str, family: str = "") -> Changes:
    use = "connector-two-pin-60a-male" if family else "no-name"
    return {"id": name, "use": use, "role": role, **({"family": family} if family else {})}


NO_NAME = {"+connector": {"name": "no-name", "current_a": 60}}
PLUGS: list[Row] = [
    ("battery-connector", {}, [word("plug", "kept", "two-pin-60a", "two-pin-60a")]),
    # an adapter brings the pack's family; a light's plug does not
    (
        "battery-connector",
        {"plug.family": "other", "+part": [plug("adapter", "connector", "two-pin-60a"), plug("light", "x", "third")]},
        [word("plug", "kept", "two-pin-60a", "other"), word("adapter", "kept", "two-pin-60a", "two-pin-60a")],
    ),
    (
        "battery-connector",
        {"plug.family": "other", "+part": plug("light", "x", "two-pin-60a")},
        [word("plug", "stop", "two-pin-60a", "other", "The pack has two-pin-60a; the craft has other")],
    ),
    (
        "battery-connector",
        {**NO_NAME, "+part": plug("battery-lead", "x")},
        [word("plug", "kept", "two-pin-60a", "two-pin-60a"), skipped("battery-lead", "family of battery-lead")],
    ),
    ("battery-connector", {"plug": None}, [lacks("a connector with the role battery-connector")]),
    (
        "battery-connector",
        {**bare("battery", "battery", cells=6, capacity_mah=1300), "battery.lead_gauge_awg": None},
        [lacks("connector of battery")],
    ),
]

ANTENNA_58 = {"id": "more", "use": "antenna-5.8ghz-right-short", "role": "spare"}
WHIP = {"+antenna": {"name": "whip", "mass_g": 1}}
POWERS = "25, 200, 700 mW"
RADIOS: list[Row] = [
    # within a hundredth of one of its levels
    *(
        ("power-level-unknown", {"vtx.set_power_mw": p}, [word("vtx", "kept", f"{p:g} mW", POWERS)])
        for p in (198.1, 201.9, 700)
    ),
    *(
        (
            "power-level-unknown",
            {"vtx.set_power_mw": p},
            [word("vtx", "warn", f"{p:g} mW", POWERS, f"It is set to {p:g} mW; it has {POWERS}")],
        )
        for p in (197.9, 202.1)
    ),
    ("power-level-unknown", {"vtx.set_power_mw": None}, []),
    ("power-level-unknown", {**BARE_VTX, "vtx.set_power_mw": 5}, []),
    # a tenth of the frequency either way: 5800 MHz / 1.1 and x 1.1
    *(
        (
            "transmitter-without-antenna",
            {"vtx-antenna.frequency_mhz": f, "rx-antenna.frequency_mhz": 5000},
            [word("vtx", "kept", "none", "an antenna")],
        )
        for f in (5273, 6379)
    ),
    *(
        (
            "transmitter-without-antenna",
            {"vtx-antenna.frequency_mhz": f},
            [word("vtx", "stop", "none", "an antenna", "No antenna for its band is on the craft")],
        )
        for f in (5272, 6381)
    ),
    # without a frequency on either side the role speaks
    ("transmitter-without-antenna", {**WHIP, "vtx-antenna.use": "whip"}, [word("vtx", "kept", "none", "an antenna")]),
    ("transmitter-without-antenna", BARE_VTX, [word("vtx", "kept", "none", "an antenna")]),
    *(
        (
            "transmitter-without-antenna",
            {**more, "vtx-antenna.role": "control-antenna"},
            [word("vtx", "stop", "none", "an antenna", "No antenna for its band is on the craft")],
        )
        for more in ({**WHIP, "vtx-antenna.use": "whip"}, BARE_VTX)
    ),
    ("transmitter-without-antenna", {"vtx": None, "camera.fed_from": None}, []),
    # both radios with their own; a pigtail is tried elsewhere
    (
        "antenna-connector",
        {"+part": {**ANTENNA_58, "connector": "coax-screw"}},
        [
            word("rx-antenna", "kept", "coax-push-mini", "coax-push-mini"),
            word("vtx-antenna", "kept", "coax-push-small", "coax-push-small"),
            word(
                "more",
                "stop",
                "coax-screw",
                "coax-push-small",
                "It has coax-screw; its radio has coax-push-small",
            ),
        ],
    ),
    (
        "antenna-connector",
        {"rx-antenna.connector": "a"},
        [
            word("rx-antenna", "stop", "a", "coax-push-mini", "It has a; its radio has coax-push-mini"),
            word("vtx-antenna", "kept", "coax-push-small", "coax-push-small"),
        ],
    ),
    (
        "antenna-connector",
        {**WHIP, "vtx-antenna.use": "whip", **BARE_RX},
        [
            skipped("rx-antenna", "antenna connectors of rx and rx-antenna"),
            skipped("vtx-antenna", "antenna connectors of vtx and vtx-antenna"),
        ],
    ),
    # a pigtail joins the two only when both of its ends fit
    *(
        (
            "antenna-connector",
            {
                "vtx-antenna.connector": "m",
                "+pigtail": {"name": "lead", "board_connector": board, "antenna_connector": end, "mass_g": 1},
                "+part": {"id": "lead", "use": "lead"},
            },
            [
                word("rx-antenna", "kept", "coax-push-mini", "coax-push-mini"),
                word("vtx-antenna", verdict, "m", "coax-push-small", what),
            ],
        )
        for board, end, verdict, what in (
            ("coax-push-small", "m", "kept", ""),
            *(
                (board, end, "stop", "It has m; its radio has coax-push-small")
                for board, end in (("coax-push-small", "a"), ("coax-push-small", "z"), ("a", "m"), ("z", "m"))
            ),
        )
    ),
    # antennas of the receiver's band count, in pieces
    ("receiver-antennas-few", {"rx.antennas": 2, "rx-antenna.count": 2}, [least("rx", "kept", 2.0, 2.0, "1")]),
    (
        "receiver-antennas-few",
        {"rx.antennas": 2, "+part": ANTENNA_58},
        [least("rx", "stop", 1.0, 2.0, "1", "Antennas it takes: 2; on the craft: 1")],
    ),
    (
        "receiver-antennas-few",
        {**BARE_RX, "rx-antenna": None},
        [least("rx", "stop", 0.0, 1.0, "1", "Antennas it takes: 1; on the craft: 0")],
    ),
    ("receiver-antennas-few", {"rx.antennas": 2, "rx.antenna_connector": "on board"}, []),
    ("receiver-antennas-few", {"rx": None}, [lacks("a receiver")]),
    # each antenna on the ground meets each video antenna on the craft
    (
        "antenna-hands",
        {
            "ground.antennas": ["antenna-5.8ghz-right", "rx-link"],
            "+antenna": {"name": "rx-link", "polarisation": "left"},
            "+part": {"id": "more", "use": "rx-link", "role": "video-spare"},
        },
        [
            word("vtx-antenna", "kept", "right", "right"),
            word(
                "more",
                "warn",
                "left",
                "right",
                "It is left-polarised; antenna-5.8ghz-right on the ground is right",
            ),
            word("vtx-antenna", "warn", "right", "left", "It is right-polarised; rx-link on the ground is left"),
            word("more", "kept", "left", "left"),
        ],
    ),
    (
        "antenna-hands",
        {**WHIP, "vtx-antenna.use": "whip"},
        [skipped("vtx-antenna", "polarisation of vtx-antenna and of antenna-5.8ghz-right")],
    ),
    (
        "antenna-hands",
        {**WHIP, "ground.antennas": ["whip"], "+part": {"id": "more", "use": "whip", "role": "x"}},
        [skipped("vtx-antenna", "polarisation of vtx-antenna and of whip")],
    ),
    ("antenna-hands", {"ground.antennas": []}, [lacks("antennas in [ground]")]),
    ("antenna-hands", {"ground.antennas": ["nothing"], "vtx-antenna.role": "x"}, []),
    # 2 x 5740 - 5700 MHz lies 20.1 or 19.9 MHz from the third
    *(
        (
            "channels-clash",
            {"ground.channels_mhz": [5700, 5740, 5780 + off]},
            [least("channels", verdict, off * 1e6, 20e6, "Hz", what)],
        )
        for off, verdict, what in (
            (20.1, "kept", ""),
            (
                19.9,
                "warn",
                "Products of the pilots' channels come within 19.9 MHz of a used one; 20 MHz are a channel's width",
            ),
        )
    ),
    ("channels-clash", {"ground.channels_mhz": [5700, 5720.1]}, [least("channels", "kept", 20.1e6, 20e6, "Hz")]),
    ("channels-clash", {"ground.channels_mhz": [5700]}, []),
    ("channels-clash", {}, []),
]


@pytest.mark.parametrize(
    ("code", "changes", "wanted"), [*PORTS, *SPEAKS, *VIDEO, *PLUGS, *RADIOS], ids=lambda v: str(v)[:40]
)
def test_what_fits_and_what_does_not(
    code: str, changes: Changes, wanted: list[Seen], posed: Callable[..., CraftView]
) -> None:
    same_rows(seen(code, posed(changes)), wanted)
