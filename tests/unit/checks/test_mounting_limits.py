"""Boards, decks, camera, strap, pack and arms: each rule just inside and just outside of its limit."""

import math
from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from rotorwright.checks import CraftView
from rotorwright.craft.model import Craft, Place
from rotorwright.parts.estimate import Estimate
from rotorwright.predict.soft_mounts import soft_mounts

from .conftest import Changes, Seen, lacks, least, most, record, same_rows, seen, skipped, word

Row = tuple[str, Changes, list[Seen]]
NO_DECKS = {"main": None, "brace": None, "top": None}
SAME_DECKS = {f"{deck}.mount_pattern_mm": [30.5] for deck in ("brace", "top")}


def boards(verdict: str, own: float, what: str = "") -> list[Seen]:
    """All three boards on decks of 20, 25 and 30.5 mm, the flight controller's holes `own` apart."""
    return [
        word("esc", "kept", "30.5 mm", "20, 25, 30.5 mm"),
        word("fc", verdict, f"25, {own:g} mm", "20, 25, 30.5 mm", what),
        word("vtx", "kept", "20 mm", "20, 25, 30.5 mm"),
    ]


def on_decks(own: float) -> Changes:
    return {"main.mount_pattern_mm": [20, 25, 30.5], **SAME_DECKS, "fc.mount_pattern_mm": [25, own]}


PATTERNS: list[Row] = [
    *(("board-pattern", on_decks(own), boards("kept", own)) for own in (30.21, 30.79)),
    *(
        (
            "board-pattern",
            on_decks(own),
            boards("stop", own, f"Its holes are 25, {own} mm apart; the decks take 20, 25, 30.5 mm"),
        )
        for own in (30.19, 30.81)
    ),
    # both spacings have to lie on one deck
    (
        "board-pattern",
        {"main.mount_pattern_mm": [20, 25], **SAME_DECKS, "fc.mount_pattern_mm": [25, 30.5]},
        boards("stop", 30.5, "Its holes are 25, 30.5 mm apart; the decks take 20, 25, 30.5 mm"),
    ),
    ("board-pattern", NO_DECKS, [lacks("mount_pattern_mm of a deck, or [[frame.deck.pattern]]")]),
]


def stacks(code_at: list[float], pillar: float, **more: Any) -> Changes:
    """The speed controller off the middle, the flight controller somewhere near, on pillars of a length."""
    return {"esc.at_mm": [20, 10, -14], "fc.at_mm": code_at, "standoffs.length_mm": pillar, **more}


TOO_HIGH = "Its boards take {} mm with their parts; the decks are {} mm apart"
# 7 and 8 mm of boards and a millimetre; 9 mm of the transmitter, and a millimetre
ALONE = most("vtx", "kept", 10e-3, 16.01e-3, "m")
APART = [most("esc", "kept", 8e-3, 16.01e-3, "m"), most("fc", "kept", 9e-3, 16.01e-3, "m"), ALONE]
SIZELESS = {"+speed-controller": {"name": "flat", "current_a": 45, "channels": 4, "mount_pattern_mm": [30.5, 30.5]}}
SIZELESS |= {"+flight-controller": {"name": "bare", "mount_pattern_mm": [30.5, 30.5]}}
STACKS: list[Row] = [
    *(
        ("stack-too-high", stacks([*at, -4], 16.01), [most("fc", "kept", 16e-3, 16.01e-3, "m"), ALONE])
        for at in ([24.9, 10], [20, 14.9], [15.1, 10], [20, 5.1], [23.5, 13.5])
    ),
    *(
        ("stack-too-high", stacks([*at, -4], 16.01), APART)
        for at in ([25.1, 10], [20, 15.1], [14.9, 10], [20, 4.9], [23.6, 13.6])
    ),
    (
        "stack-too-high",
        stacks([20, 10, -4], 15.99),
        [
            most("fc", "stop", 16e-3, 15.99e-3, "m", TOO_HIGH.format(16, 16)),
            most("vtx", "kept", 10e-3, 15.99e-3, "m"),
        ],
    ),
    # the longest pillar counts
    (
        "stack-too-high",
        stacks([20, 10, -4], 12, **{"+part": {"id": "tall", "use": "standoff-m3x30", "length_mm": 14}}),
        [
            most("fc", "stop", 16e-3, 14e-3, "m", TOO_HIGH.format(16, 14)),
            most("vtx", "kept", 10e-3, 14e-3, "m"),
        ],
    ),
    # a board on the transmitter joins its stack; one whose place nobody gave, none
    (
        "stack-too-high",
        stacks(
            [20, 10, -4],
            20,
            **{
                "+part": [
                    {"id": "reg", "use": "regulator-5v-2a", "mount_pattern_mm": [20], "at_mm": [-44, 0, 0]},
                    {"id": "lost", "use": "regulator-5v-2a", "mount_pattern_mm": [20]},
                    {"id": "taped", "use": "regulator-5v-2a", "at_mm": [-44, 0, 5]},
                ]
            },
        ),
        [most("fc", "kept", 16e-3, 20e-3, "m"), most("reg", "kept", 15e-3, 20e-3, "m")],
    ),
    (
        "stack-too-high",
        {**SIZELESS, "esc.use": "flat", "fc.use": "bare"},
        [skipped("esc", "size_mm of esc"), most("vtx", "kept", 10e-3, 30e-3, "m")],
    ),
    (
        "stack-too-high",
        {**SIZELESS, "fc.use": "bare"},
        [skipped("fc", "size_mm of fc"), most("vtx", "kept", 10e-3, 30e-3, "m")],
    ),
    (
        "stack-too-high",
        {"esc.at_mm": None},
        [most("fc", "kept", 9e-3, 30e-3, "m"), most("vtx", "kept", 10e-3, 30e-3, "m")],
    ),
    ("stack-too-high", {"standoffs": None}, [lacks("the standoffs between the decks")]),
]


def odd(length: float, z: float = -4.75) -> Changes:
    return {"+part": {"id": "odd", "use": "standoff-m3x30", "length_mm": length, "at_mm": [40, 5, z]}}


def pillar(part: str, verdict: str, length: float, longest: float) -> Seen:
    """A quarter of a millimetre is no matter."""
    what = "" if verdict == "kept" else f"It is {length:g} mm long; the longest at its height is {longest:g} mm"
    margin = (0.25 - (longest - length)) / 0.25
    return Seen(part, verdict, margin, length / 1e3, longest / 1e3, "m", what)


LONG = {"standoff-screws.length_mm": 8, "standoffs.length_mm": 12.01}
STANDOFFS: list[Row] = [
    ("standoffs-uneven", odd(29.76), [pillar("standoffs", "kept", 30, 30), pillar("odd", "kept", 29.76, 30)]),
    ("standoffs-uneven", odd(29.7), [pillar("standoffs", "kept", 30, 30), pillar("odd", "warn", 29.7, 30)]),
    # half of the longer one's 40 mm apart they are at one height: -4.75 + 19.9, - 19.9, and beyond
    *(
        (
            "standoffs-uneven",
            odd(40, z),
            [pillar("standoffs", verdict, 30, longest), pillar("odd", "kept", 40, 40)],
        )
        for z, verdict, longest in (
            (15.15, "warn", 40),
            (-24.65, "warn", 40),
            (15.35, "kept", 30),
            (-24.85, "kept", 30),
        )
    ),
    # twice 8 mm less 2 mm of deck
    ("standoff-screws-meet", LONG, [most("standoff-screws", "kept", 12e-3, 12.01e-3, "m")]),
    (
        "standoff-screws-meet",
        {
            "standoffs.length_mm": 30,
            "+part": [
                {"id": "short", "use": "standoff-m3x30", "length_mm": 11.9},
                {"id": "more", "use": "screw-m3x8-button", "role": "standoff-screw", "length_mm": 7.9},
                {"id": "others", "use": "screw-m3x8-button", "length_mm": 20},
            ],
        },
        [
            most("standoff-screws", "stop", 12e-3, 11.9e-3, "m", "Two screws reach 12 mm into a standoff of 11.9 mm"),
            most("more", "kept", 11.8e-3, 11.9e-3, "m"),
        ],
    ),
    # of decks of 2, 3 and 1.5 mm the thinnest
    (
        "standoff-screws-meet",
        {"brace.thickness_mm": 1.5, "main.thickness_mm": 3},
        [most("standoff-screws", "kept", 13e-3, 30e-3, "m")],
    ),
    ("standoff-screws-meet", NO_DECKS, [most("standoff-screws", "kept", 16e-3, 30e-3, "m")]),
]


def mounts(*widths: float) -> Changes:
    rows = [
        {"id": f"m{w:g}", "use": "print-camera-mount-19mm", "role": "camera-mount", "holds_width_mm": w}
        for w in widths
    ]
    return {"mount": None, "+part": [*rows, {"id": "other", "use": "print-camera-mount-19mm", "role": "x"}]}


def width(verdict: str, own: float, inside: float, what: str = "") -> list[Seen]:
    return [Seen("camera", verdict, 1 - abs(own - inside), own / 1e3, inside / 1e3, "m", what)]


def tilted(tilt: float, low: float, high: float) -> Changes:
    return {"camera.tilt_deg": tilt, "mount.tilt_deg": low, "mount.tilt_max_deg": high}


def leaning(verdict: str, tilt: float, low: float, high: float) -> list[Seen]:
    """Two degrees are a mount's play."""
    what = "" if verdict == "kept" else f"It is set to {tilt:g} deg; its mount goes from {low:g} to {high:g} deg"
    margin = math.radians(min(tilt - low, high - tilt) + 2)
    return [Seen("camera", verdict, margin, math.radians(tilt), math.radians(high), "rad", what)]


PLAIN_MOUNT = {"+printed-part": {"name": "wedge", "tilt_deg": 30, "mass_g": 1}, "mount.use": "wedge"}
CAMERAS: list[Row] = [
    *(
        ("camera-width", {**mounts(14, 22, 30), "camera.width_mm": own}, width("kept", own, 22))
        for own in (21.01, 22.99)
    ),
    *(
        (
            "camera-width",
            {**mounts(14, 22, 30), "camera.width_mm": own},
            width("stop", own, 22, f"It is {own} mm wide; m22 takes 22 mm"),
        )
        for own in (20.9, 23.1)
    ),
    ("camera-width", {"mount": None}, [lacks("holds_width_mm of the camera's mount, or inside_mm of [frame.cage]")]),
    ("camera-width", {"mount": None, "camera": None}, []),
    *(("camera-tilt", tilted(t, 20, 40), leaning("kept", t, 20, 40)) for t in (18.1, 30, 41.9)),
    *(("camera-tilt", tilted(t, 20, 40), leaning("warn", t, 20, 40)) for t in (17.9, 42.1)),
    # a mount of one tilt holds that alone; of several the first counts; one that states none says nothing
    ("camera-tilt", {**PLAIN_MOUNT, "camera.tilt_deg": 31.9}, leaning("kept", 31.9, 30, 30)),
    ("camera-tilt", {**PLAIN_MOUNT, "camera.tilt_deg": 32.1}, leaning("warn", 32.1, 30, 30)),
    (
        "camera-tilt",
        {
            **tilted(25, 20, 40),
            "+printed-part": {"name": "wedge", "tilt_deg": 5, "mass_g": 1},
            "+part": {"id": "second", "use": "wedge", "role": "camera-mount"},
        },
        leaning("kept", 25, 20, 40),
    ),
    (
        "camera-tilt",
        {
            **tilted(25, 20, 40),
            "+part": {"id": "second", "use": "print-camera-mount-19mm", "role": "camera-mount", "tilt_max_deg": 10},
        },
        leaning("kept", 25, 20, 40),
    ),
    ("camera-tilt", {"mount.role": "holder"}, []),
    ("camera-tilt", {"camera.tilt_deg": None}, [lacks("tilt_deg of camera")]),
]


def strap(length: float, verdict: str, need: float, changes: Changes) -> Row:
    what = f"It is {length:.3g} mm long; once round pack and deck with 30 mm over takes {need:g} mm"
    row = least("strap", verdict, length / 1e3, need / 1e3, "m", "" if verdict == "kept" else what)
    return "strap-short", {"strap.length_mm": length, **changes}, [row]


def lying(x: float, on: float, verdict: str, share: str = "", **changes: Any) -> Row:
    """A pack of 74 mm of which `on` lie on a deck."""
    what = f"{share} % of its length lie on the deck; 66.7 % should" if verdict == "warn" else ""
    at = changes.pop("z", 34)
    more = {name.replace("__", "."): value for name, value in changes.items()}
    row = least("battery", verdict, on / 74, 2 / 3, "share", what)
    return "pack-off-deck", {"battery.at_mm": [x, 3, at], **more}, [row]


THICK = {"top.thickness_mm": 3.5, "main.thickness_mm": 1}
PACKS: list[Row] = [
    # round 36 x 41 mm and 2 mm of deck: 2 x 79 and 30 mm; the thickest deck counts, 2 mm without any
    strap(188.1, "kept", 188, {}),
    strap(187.9, "stop", 188, {}),
    strap(191.1, "kept", 191, THICK),
    strap(190.9, "stop", 191, THICK),
    strap(188.1, "kept", 188, NO_DECKS),
    ("strap-short", {"strap": None}, [lacks("the strap")]),
    # on 130 mm of deck: 65 - (x - 37) mm lie on it, two thirds are 49.33 mm
    lying(52.6, 49.4, "kept"),
    lying(52.8, 49.2, "warn", "66.5"),
    lying(-52.6, 49.4, "kept"),
    lying(-52.8, 49.2, "warn", "66.5"),
    lying(62.6, 49.4, "kept", top__at_mm=[10, 0, 11.25]),
    lying(-42.8, 49.2, "warn", "66.5", top__at_mm=[10, 0, 11.25]),
    lying(150, 0, "warn", "0"),
    # below, nearest to the main deck of 150 mm: 75 - (x - 37)
    lying(62.6, 49.4, "kept", z=-12),
    lying(-62.8, 49.2, "warn", "66.5", z=-12),
    # a deck shorter than the pack: 70 mm
    lying(1, 70, "kept", z=-40),
    ("pack-off-deck", {"battery.at_mm": None}, [lacks("at_mm of battery")]),
    ("pack-off-deck", NO_DECKS, [lacks("a deck with size_mm and at_mm")]),
]


@pytest.mark.parametrize(
    ("code", "changes", "wanted"), [*PATTERNS, *STACKS, *STANDOFFS, *CAMERAS, *PACKS], ids=lambda v: str(v)[:40]
)
def test_both_sides_of_the_limit(
    code: str, changes: Changes, wanted: list[Seen], posed: Callable[..., CraftView]
) -> None:
    same_rows(seen(code, posed(changes)), wanted)


def drawn(view: CraftView, **tables: Any) -> CraftView:
    """The craft with tables of a drawn frame, and no plates."""
    view.craft = replace(view.craft, frame=replace(view.craft.frame, **tables))
    return view


def deck(name: str, *spacings: tuple[float, float]) -> Any:
    return SimpleNamespace(name=name, pattern=[SimpleNamespace(spacing=s) for s in spacings])


def test_holes_of_drawn_decks(posed: Callable[..., CraftView]) -> None:
    """A spacing of 0 is no spacing; a deck's holes add to those of its plate."""
    decks = (deck("low", (0.0, 0.0), (30.5e-3, 0.0)), deck("high", (0.0, 20e-3)), deck("bare", (0.0, 0.0)))
    fits = [
        word(name, "kept", f"{own} mm", "20, 30.5 mm") for name, own in (("esc", 30.5), ("fc", 30.5), ("vtx", 20))
    ]
    same_rows(seen("board-pattern", drawn(posed(NO_DECKS), deck=decks)), fits)
    both = {"main.mount_pattern_mm": [25], "brace": None, "top": None, "fc.mount_pattern_mm": [25, 30.5]}
    view = drawn(posed({**both, "esc": None, "vtx": None}), deck=(deck("main", (30.5e-3, 30.5e-3)),))
    same_rows(seen("board-pattern", view), [word("fc", "kept", "25, 30.5 mm", "25, 30.5 mm")])


def test_a_cage_holds_a_camera(posed: Callable[..., CraftView]) -> None:
    """The nearer of the cage's 20 mm and the mount's 25 mm."""
    changes = {"mount.holds_width_mm": 25, "camera.width_mm": 21.2}
    cage = SimpleNamespace(inside=Estimate(0.020))
    what = "It is 21.2 mm wide; the cage takes 20 mm"
    same_rows(seen("camera-width", drawn(posed(changes), cage=cage)), width("stop", 21.2, 20, what))


# arms: what the structure says is given


def arm(strength: float | None, stress: float | None, bent: float | None, reason: str | None = None) -> Any:
    return SimpleNamespace(
        strength_pa=strength,
        stress_at_full_thrust_pa=SimpleNamespace(value=stress, reason=reason),
        deflection_at_full_thrust_m=SimpleNamespace(value=bent, reason=reason),
        free_length_m=0.1,
    )


def standing(*arms: Any, hover: float = 6000.0, modes: Any = ()) -> Any:
    found = [SimpleNamespace(frequency_hz=SimpleNamespace(value=f), kind=kind) for f, kind in modes]
    return SimpleNamespace(arms=arms, speeds=SimpleNamespace(hover_rpm=hover), modes=found)


BREAKS = "Full thrust strains it to {} MPa; half of its strength is 300 MPa"
BENDS = "Full thrust lifts its end by {} mm; a hundredth of its free length is 1 mm"
SINGS = "Rotors that turn at 100 Hz in hover shake its {}"


@pytest.mark.parametrize(
    ("code", "structure", "wanted"),
    [
        (
            "arm-breaks",
            standing(arm(600e6, 299e6, 0.0), arm(None, 9e9, 0.0), arm(600e6, 301e6, 0.0)),
            [
                most("arms", "kept", 299e6, 300e6, "Pa"),
                skipped("arms", "the strength of the arm's material: a named material"),
                most("arms", "stop", 301e6, 300e6, "Pa", BREAKS.format(301)),
            ],
        ),
        ("arm-breaks", standing(arm(600e6, None, None)), [lacks("a full-throttle figure")]),
        ("arm-breaks", standing(arm(600e6, None, None, "a motor")), [lacks("a motor")]),
        (
            "arm-bends",
            standing(arm(None, 0.0, 0.99e-3), arm(None, 0.0, 1.01e-3)),
            [
                most("arms", "kept", 0.99e-3, 1e-3, "m"),
                most("arms", "warn", 1.01e-3, 1e-3, "m", BENDS.format(1.01)),
            ],
        ),
        ("arm-bends", standing(arm(None, None, None)), [lacks("a full-throttle figure")]),
        ("arm-bends", standing(arm(None, None, None, "a motor")), [lacks("a motor")]),
        # 6000 rpm are 100 Hz: a tenth either way; of several modes the nearest, in share
        *(
            (
                "frame-sings-in-hover",
                standing(modes=[(50.0, "twist"), (f, "bending"), (150.0, "stretch")]),
                [Seen("arms", "kept", abs(f / 100 - 1) - 0.1, f, 100.0, "Hz")],
            )
            for f in (89.0, 111.0)
        ),
        *(
            (
                "frame-sings-in-hover",
                standing(modes=[(50.0, "twist"), (None, "none"), (f, "bending"), (111.0, "stretch")]),
                [Seen("arms", "note", abs(f / 100 - 1) - 0.1, f, 100.0, "Hz", SINGS.format(f"bending at {f:g} Hz"))],
            )
            for f in (91.0, 109.0)
        ),
        (
            "frame-sings-in-hover",
            standing(modes=[(95.0, "twist"), (108.0, "bending")]),
            [Seen("arms", "note", -0.05, 95.0, 100.0, "Hz", SINGS.format("twist at 95 Hz, bending at 108 Hz"))],
        ),
        ("frame-sings-in-hover", standing(hover=math.nan), [lacks("a craft that can hover")]),
    ],
)
def test_arms(code: str, structure: Any, wanted: list[Seen], posed: Callable[..., CraftView]) -> None:
    same_rows(seen(code, posed({}, structure=structure)), wanted)


# the motors' places are 79.9 mm off the middle in x and y
SIDE = 226 / 2 / math.sqrt(2)
SIZELESS_ESC = {"+speed-controller": {"name": "flat", "current_a": 45, "channels": 4}, "esc.use": "flat"}


def leads(own: float, verdict: str, way: float, changes: Changes) -> Row:
    what = f"Its leads are {own:.3g} mm long; the way along the arm to the board is {way:.3g} mm"
    row = least("motors", verdict, own / 1e3, way / 1e3, "m", "" if verdict == "kept" else what)
    return "motor-leads-short", {"motors.wire_length_mm": own, **changes}, [row]


# a board of 44 x 42 mm: 21 mm to its nearer side; 14.5 mm of the can; a centimetre over
MIDDLE = 113 - 21 - 14.5 + 10
OFF = math.hypot(SIDE + 10, SIDE + 5) - 21 - 14.5 + 10
# three leads of 20 AWG, 0.812 mm thick: 1 + 1/sin(60 degrees) of 0.6 mm + 1.75 d
BORE = (1 + 2 / math.sqrt(3)) * (0.6 + 1.75 * 0.127 * 92 ** (16 / 39))
ARMS: list[Row] = [
    leads(MIDDLE + 0.1, "kept", MIDDLE, {}),
    leads(MIDDLE - 0.1, "warn", MIDDLE, {}),
    # the longest way counts: here to the motors behind on the right
    leads(OFF + 0.1, "kept", OFF, {"esc.at_mm": [10, 5, -14]}),
    leads(OFF - 0.1, "warn", OFF, {"esc.at_mm": [10, 5, -14]}),
    leads(MIDDLE + 1.9, "kept", MIDDLE + 1, {"esc.size_mm": [40, 50, 7]}),
    leads(120, "kept", 113 - 14.5 + 10, SIZELESS_ESC),
    ("motor-leads-short", {"esc.at_mm": None}, [lacks("at_mm of esc")]),
    ("motor-leads-short", {"esc": None}, [lacks("a speed controller")]),
    *(
        (
            "wires-through-arm",
            {"arms.use": "tube-12x10-120", "arms.inner_diameter_mm": bore},
            [least("arms", verdict, bore / 1e3, BORE / 1e3, "m", what)],
        )
        for bore, verdict, what in (
            (4.36, "kept", ""),
            (4.35, "stop", "Its bore is 4.35 mm; three leads of the motor need 4.35 mm"),
        )
    ),
    ("wires-through-arm", {}, []),
    ("wires-through-arm", {"arms": None}, [lacks("the arms: [frame.arm], or a plate or tube with the role arm")]),
]


@pytest.mark.parametrize(("code", "changes", "wanted"), ARMS, ids=lambda v: str(v)[:40])
def test_leads_along_the_arms(
    code: str, changes: Changes, wanted: list[Seen], posed: Callable[..., CraftView]
) -> None:
    same_rows(seen(code, posed(changes)), wanted)


def test_leads_go_to_the_nearest_controller(posed: Callable[..., CraftView]) -> None:
    """One on each arm; that of the farthest motor is 30 mm and 20 mm off."""
    view = posed({})
    motors = view.craft.motors
    gaps = [(20, 10), (24, 12), (30, 20), (9, 9)]
    at = [
        Place(m.x - math.copysign(a, m.x) / 1e3, m.y - math.copysign(b, m.y) / 1e3, 0.0)
        for m, (a, b) in zip(motors, gaps, strict=True)
    ]
    parts = tuple(replace(p, places=tuple(at)) if p.id == "esc" else p for p in view.craft.parts)
    view.craft = replace(view.craft, parts=parts)
    way = math.hypot(30, 20) - 21 - 14.5 + 10
    same_rows(seen("motor-leads-short", view), [least("motors", "kept", 0.150, way / 1e3, "m")])


def test_without_motors_in_place_no_lead_is_measured(posed: Callable[..., CraftView]) -> None:
    same_rows(seen("motor-leads-short", posed({}, motors=())), [lacks("at_mm of esc")])


def hovering(view: CraftView, rpm: float, status: int = 0) -> CraftView:
    """Rotors that turn so fast in hover."""
    rotation = rpm * math.pi / 30
    solved = SimpleNamespace(solve=lambda **_: record(rotation=1.0))
    points = {"hover": record(rotation=rotation, status=status), "full": record(rotation=1.0, thrust=1.0)}
    view._known |= {"columns": solved, **points}
    return view


def test_soft_mounts_ring_below_hover(posed: Callable[..., CraftView], sound: Callable[..., Craft]) -> None:
    """Both boards hang on the same grommets; the lighter one rings faster. Limit: hover over sqrt(2)."""
    view = hovering(posed({}), 6000.0)
    low, high = sorted(m.natural_hz.value or 0.0 for m in soft_mounts(view.craft, view.speeds))
    assert [m.what for m in soft_mounts(view.craft, view.speeds)] == ["esc", "fc"]
    limit = high / 1.01
    hovering(view, 60 * limit * math.sqrt(2))
    what = "Fc rings at about {:.3g} Hz; below {:.3g} Hz it would be shielded from what the rotors shake in hover"
    wanted = [
        most("fc", "kept", low, limit, "Hz"),
        most("fc", "note", high, limit, "Hz", what.format(high, limit)),
    ]
    same_rows(seen("soft-mount-rings", view), wanted)
    limit = high / 0.99
    hovering(view, 60 * limit * math.sqrt(2))
    same_rows(seen("soft-mount-rings", view), [most("fc", "kept", f, limit, "Hz") for f in (low, high)])
    same_rows(seen("soft-mount-rings", hovering(view, 6000.0, status=1)), [lacks("a craft that can hover")])
