"""Holes, screws, threads, propellers on their motors: each rule just inside and just outside of its limit."""

import math
from collections.abc import Callable

import pytest

from rotorwright.checks import CraftView

from .conftest import Changes, Seen, lacks, least, most, same_rows, seen, skipped, word

Row = tuple[str, Changes, list[Seen]]
TUBES = {"arms.use": "tube-12x10-120"}
# two kinds of arm: two plates of 5 mm, then two of 4 mm
TWO_ARMS = {"arms.count": 2}
REAR = {"id": "rear", "use": "plate-arm-112x14x5", "role": "arm", "count": 2}
PAD = {"id": "pads", "use": "plate-arm-70x9x3", "role": "motor-pad", "count": 4, "size_mm": [30, 30, 2]}
PLAIN_PAD = {"id": "pads", "use": "pad", "role": "motor-pad", "count": 4}
OWN_PAD = {"+other": {"name": "pad", "mass_g": 1}, "+part": PLAIN_PAD}
NO_SCREWS = [lacks("the motors' screws: a screw with the role motor-mount")]
NO_CARRIER = [lacks("what holds the motors on their tubes: a plate or print with the role motor-pad")]
SECOND_SCREWS = {"id": "motor-bolts", "use": "screw-m3x8-button", "role": "spare", "count": 4}


def pattern(motor: list[float], arm: list[float], **more: object) -> Changes:
    return {"motors.mount_pattern_mm": motor, "arms.mount_pattern_mm": arm, **more}


HOLES: list[Row] = [
    ("motor-pattern", pattern([16, 19], [16, 19]), [word("motors", "kept", "16 x 19 mm", "16 x 19 mm")]),
    # three tenths of a millimetre either way go together, four do not; all of the motor's must
    ("motor-pattern", pattern([16.29, 18.71], [16, 19]), [word("motors", "kept", "16.29 x 18.71 mm", "16 x 19 mm")]),
    *(
        (
            "motor-pattern",
            pattern([16, own], [16, 19]),
            [
                word(
                    "motors",
                    "stop",
                    f"16 x {own} mm",
                    "16 x 19 mm",
                    f"Its holes are 16 x {own} mm apart; the arm takes 16 x 19 mm",
                )
            ],
        )
        for own in (19.31, 18.69)
    ),
    (
        "motor-pattern",
        {**OWN_PAD, **TUBES},
        [skipped("pads", "mount_pattern_mm of pads")],
    ),
    ("motor-pattern", TUBES, NO_CARRIER),
    ("motor-pattern", {"arms": None}, [lacks("the arms: [frame.arm], or a plate or tube with the role arm")]),
    ("motor-hole", {"arms.mount_hole_mm": 3.01}, [least("arms", "kept", 3.01e-3, 3e-3, "m")]),
    (
        "motor-hole",
        {"arms.mount_hole_mm": 2.99, **TWO_ARMS, "+part": {**REAR, "mount_hole_mm": 3.3}},
        [
            least(
                "arms", "stop", 2.99e-3, 3e-3, "m", "The arm's holes are 2.99 mm; the motor's screws are 3 mm thick"
            ),
            least("rear", "kept", 3.3e-3, 3e-3, "m"),
        ],
    ),
    ("motor-hole", {**OWN_PAD, **TUBES}, [skipped("pads", "mount_hole_mm of pads")]),
    # a print of the role motor-mount carries too, and its screws do not
    (
        "motor-hole",
        {**TUBES, "+part": [{**PAD, "id": "soft", "role": "motor-mount", "mount_hole_mm": 3.4}]},
        [least("soft", "kept", 3.4e-3, 3e-3, "m")],
    ),
]

SCREWS: list[Row] = [
    # 8 mm of screw under 5 mm of arm: 3 mm into the base, half a millimetre short of the winding
    (
        "motor-screw-reaches-winding",
        {"motors.mount_depth_mm": 3.51},
        [most("motor-screws", "kept", 3e-3, 3.01e-3, "m")],
    ),
    (
        "motor-screw-reaches-winding",
        {"motors.mount_depth_mm": 3.49, "+part": {**SECOND_SCREWS, "length_mm": 7}},
        [
            most(
                "motor-screws",
                "stop",
                3e-3,
                2.99e-3,
                "m",
                "It reaches 3 mm into the base; 2.99 mm are there before the winding",
            ),
            most("motor-bolts", "kept", 2e-3, 2.99e-3, "m"),
        ],
    ),
    # a base thinner than the room leaves a tenth of a millimetre
    (
        "motor-screw-reaches-winding",
        {"motors.mount_depth_mm": 0.55, "motor-screws.length_mm": 5.05},
        [most("motor-screws", "kept", 0.05e-3, 0.1e-3, "m")],
    ),
    ("motor-screw-reaches-winding", {"motor-screws": None}, NO_SCREWS),
    # of two kinds of arm the first one's thickness; pads come on top
    (
        "motor-screw-reaches-winding",
        {**TWO_ARMS, "+part": [{**REAR, "thickness_mm": 4}, PAD], "motors.mount_depth_mm": 3},
        [most("motor-screws", "kept", 1e-3, 2.5e-3, "m")],
    ),
    (
        "motor-screw-reaches-winding",
        {**TUBES, "+part": PAD},
        [
            most(
                "motor-screws",
                "stop",
                6e-3,
                3e-3,
                "m",
                "It reaches 6 mm into the base; 3 mm are there before the winding",
            )
        ],
    ),
    (
        "motor-screw-reaches-winding",
        {**TUBES, **OWN_PAD},
        [lacks("thickness_mm of a plate arm, or size_mm of the pads under the motors")],
    ),
    # 0.95 of the thread's 3 mm: 2.85 mm
    ("motor-screw-short", {"motor-screws.length_mm": 7.86}, [least("motor-screws", "kept", 2.86e-3, 2.85e-3, "m")]),
    (
        "motor-screw-short",
        {"motor-screws.length_mm": 7.84},
        [
            least(
                "motor-screws",
                "warn",
                2.84e-3,
                2.85e-3,
                "m",
                "It bites 2.84 mm into the base; 2.85 mm, one diameter, is the least",
            )
        ],
    ),
    ("motor-screw-short", {"motor-screws": None}, NO_SCREWS),
    # two tenths of a millimetre in the thread
    *(
        ("motor-screw-thread", {"motor-screws.thread_mm": own}, [word("motor-screws", "kept", f"{own}", "3")])
        for own in (2.81, 3.19)
    ),
    *(
        (
            "motor-screw-thread",
            {"motor-screws.thread_mm": own, "+part": SECOND_SCREWS},
            [
                word(
                    "motor-screws",
                    "stop",
                    f"{own}",
                    "3",
                    f"It is an M{own} screw; the motor's base is tapped M3",
                ),
                word("motor-bolts", "kept", "3", "3"),
            ],
        )
        for own in (2.79, 3.21)
    ),
    # four for each of four motors
    (
        "motor-screws-few",
        {"motor-screws.count": 12, "+part": SECOND_SCREWS},
        [least("motor-screws", "kept", 16.0, 16.0, "1")],
    ),
    (
        "motor-screws-few",
        {"motor-screws.count": 11, "+part": SECOND_SCREWS},
        [least("motor-screws", "warn", 15.0, 16.0, "1", "15 screws for motors that take 16")],
    ),
    # a screw of their thread within two tenths; the propeller's nuts need none
    *(
        (
            "screw-without-thread",
            {"standoffs.thread_mm": own, "+part": {"id": "locks", "use": "nut-m5-locking-steel", "thread_mm": 3}},
            [word("locks", "kept", "3", "a screw"), word("standoffs", "kept", f"{own}", "a screw")],
        )
        for own in (2.81, 3.19)
    ),
    *(
        (
            "screw-without-thread",
            {"standoffs.thread_mm": own, "+part": {"id": "locks", "use": "nut-m5-locking-steel"}},
            [
                word("locks", "note", "5", "a screw", "It has an M5 thread, and no M5 screw is on the list"),
                word(
                    "standoffs",
                    "note",
                    f"{own}",
                    "a screw",
                    f"It has an M{own} thread, and no M{own} screw is on the list",
                ),
            ],
        )
        for own in (2.79, 3.21)
    ),
]

SMALL_HOLES = {"esc.mount_hole_mm": 3.1, "fc.mount_hole_mm": 3.1, "vtx.mount_hole_mm": 2}
BARE_GROMMET = {"+grommet": {"name": "bare", "mass_g": 0.1, "height_mm": 5}, "grommets.use": "bare"}
BARE_GROMMET |= {"grommets.hardness": None}
UNBORED = {"+grommet": {"name": "unbored", "mass_g": 0.1, "hole_mm": 4, "height_mm": 5}, "grommets.use": "unbored"}
UNBORED |= {"grommets.hardness": None}


def hole(low: float, high: float, verdict: str, holes: str) -> Row:
    """A grommet for holes from `low` - 0.5 mm to `high` + 0.5 mm, against boards of 3.1 mm and 2 mm."""
    what = f"No board has its {high:g} mm hole" if verdict == "warn" else ""
    changes = {**SMALL_HOLES, "grommets.hole_mm": high, "grommets.inner_diameter_mm": low}
    return ("grommet-hole", changes, [word("grommets", verdict, f"{high:g} mm", holes, what)])


GROMMETS: list[Row] = [
    hole(3.59, 4, "kept", "2 x 3.1 mm"),
    hole(3.61, 4, "warn", "2 x 3.1 mm"),
    hole(2.55, 2.61, "kept", "2 x 3.1 mm"),
    hole(2.55, 2.59, "warn", "2 x 3.1 mm"),
    # without an inner diameter the hole alone: 3.5 to 4.5 mm
    (
        "grommet-hole",
        {**UNBORED, "vtx.mount_hole_mm": 3.51, "esc.mount_hole_mm": 2, "fc.mount_hole_mm": 2},
        [word("grommets", "kept", "4 mm", "2 x 3.51 mm")],
    ),
    (
        "grommet-hole",
        {**UNBORED, "vtx.mount_hole_mm": 3.49, "esc.mount_hole_mm": 2, "fc.mount_hole_mm": 2},
        [word("grommets", "warn", "4 mm", "2 x 3.49 mm", "No board has its 4 mm hole")],
    ),
    ("grommet-hole", BARE_GROMMET, []),
    # an arm's hole is no board's
    ("grommet-hole", {"esc": None, "fc": None, "vtx": None}, [lacks("mount_hole_mm of the boards")]),
]

SCREWED = {"propellers.mount": "screws", "motors.propeller_mount": "screws", "motors.propeller_spacing_mm": 5}
FREE = {"frame.layout": "free", "frame.motor_spacing_mm": None}


def spins(*ways: str) -> Changes:
    """Motors on a circle, turning as said."""
    places = [(90 * math.cos(k), 90 * math.sin(k), 0) for k in range(len(ways))]
    words = {"c": "clockwise", "a": "counter-clockwise"}
    rows = [
        {"name": f"m{k}", "at_mm": list(at), "spin": words[w]}
        for k, (at, w) in enumerate(zip(places, ways, strict=True))
    ]
    return {**FREE, "frame.motor": rows, "arms.count": len(ways)}


PROPELLERS: list[Row] = [
    *(
        (
            "propeller-bore",
            {"propellers.bore_mm": 5 + d},
            [Seen("propellers", "kept", (0.25 - abs(d)) / 0.25, (5 + d) / 1e3, 5e-3, "m")],
        )
        for d in (-0.24, 0.24)
    ),
    *(
        (
            "propeller-bore",
            {"propellers.bore_mm": 5 + d},
            [
                Seen(
                    "propellers",
                    "stop",
                    (0.25 - abs(d)) / 0.25,
                    (5 + d) / 1e3,
                    5e-3,
                    "m",
                    f"Its bore is {5 + d} mm; the shaft is 5 mm thick",
                )
            ],
        )
        for d in (-0.26, 0.26)
    ),
    # a propeller that is screwed on needs no bore for the shaft, one that does not say how it is held does
    ("propeller-bore", {**SCREWED, "propellers.bore_mm": 3}, []),
    (
        "propeller-bore",
        {"+propeller": {"name": "bare", "diameter_in": 5, "pitch_in": 4, "bore_mm": 5}, "propellers.use": "bare"},
        [Seen("propellers", "kept", 1.0, 5e-3, 5e-3, "m")],
    ),
    ("propeller-mount", {}, [word("propellers", "kept", "nut", "nut")]),
    ("propeller-mount", SCREWED, [word("propellers", "kept", "screws", "screws")]),
    (
        "propeller-mount",
        {"propellers.mount": "press"},
        [word("propellers", "stop", "press", "nut", "It is held by press; the motor holds propellers by nut")],
    ),
    (
        "propeller-mount",
        {"motors.propeller_mount": "screws"},
        [word("propellers", "stop", "nut", "screws", "It is held by nut; the motor holds propellers by screws")],
    ),
    *(
        (
            "propeller-screw-spacing",
            {**SCREWED, "propellers.mount_spacing_mm": 5 + d},
            [Seen("propellers", "kept", (0.3 - abs(d)) / 0.3, (5 + d) / 1e3, 5e-3, "m")],
        )
        for d in (-0.29, 0.29)
    ),
    *(
        (
            "propeller-screw-spacing",
            {**SCREWED, "propellers.mount_spacing_mm": 5 + d},
            [
                Seen(
                    "propellers",
                    "stop",
                    (0.3 - abs(d)) / 0.3,
                    (5 + d) / 1e3,
                    5e-3,
                    "m",
                    f"Its hub screws are {5 + d} mm apart; the motor's are 5 mm",
                )
            ],
        )
        for d in (-0.31, 0.31)
    ),
    *(
        ("propeller-screw-spacing", {"propellers.mount": how, "propellers.mount_spacing_mm": 9}, [])
        for how in ("nut", "press")
    ),
    # 6.5 mm of hub and two fifths of 5 mm
    ("propeller-shaft-short", {"motors.shaft_length_mm": 8.51}, [least("motors", "kept", 8.51e-3, 8.5e-3, "m")]),
    (
        "propeller-shaft-short",
        {"motors.shaft_length_mm": 8.49},
        [
            least(
                "motors",
                "stop",
                8.49e-3,
                8.5e-3,
                "m",
                "8.49 mm of shaft stand above the can; hub and four turns of the nut need 8.5 mm",
            )
        ],
    ),
    *(
        ("propeller-shaft-short", {"propellers.mount": how, "motors.shaft_length_mm": 1}, [])
        for how in ("press", "screws")
    ),
    # nuts whose thread is the shaft's within three tenths count
    *(
        (
            "propeller-nut",
            {"nuts.count": 2, "+part": {"id": "more", "use": "nut-m5-locking-steel", "count": 2, "thread_mm": own}},
            [least("motors", "kept", 4.0, 4.0, "1")],
        )
        for own in (4.71, 5.29)
    ),
    *(
        (
            "propeller-nut",
            {"nuts.count": 3, "+part": {"id": "more", "use": "nut-m5-locking-steel", "count": 2, "thread_mm": own}},
            [
                least(
                    "motors",
                    "stop",
                    3.0,
                    4.0,
                    "1",
                    "The motors need 4 propeller nuts of the shaft's thread; 3 are on the list",
                )
            ],
        )
        for own in (4.69, 5.31)
    ),
    *(("propeller-nut", {"nuts": None, "motors.propeller_mount": how}, []) for how in ("press", "screws")),
    ("propeller-hand", {}, [word("propellers", "kept", "pairs", "both")]),
    *(
        (
            "propeller-hand",
            {"propellers.handedness": hand},
            [
                word(
                    "propellers",
                    "stop",
                    hand,
                    "both",
                    f"They are sold for {hand} rotation only; the layout turns motors both ways",
                )
            ],
        )
        for hand in ("left", "right")
    ),
    (
        "propeller-hand",
        {**spins("c", "c"), "propellers.handedness": "left"},
        [word("propellers", "kept", "left", "both")],
    ),
    ("spins-unbalanced", {}, [word("frame", "kept", "2", "2")]),
    *(
        (
            "spins-unbalanced",
            spins(*ways),
            [word("frame", "stop", one, other, f"{one} motors turn one way and {other} the other")],
        )
        for ways, one, other in (("cca", "1", "2"), ("caa", "2", "1"), ("aaac", "3", "1"))
    ),
]


@pytest.mark.parametrize(
    ("code", "changes", "wanted"), [*HOLES, *SCREWS, *GROMMETS, *PROPELLERS], ids=lambda v: str(v)[:40]
)
def test_both_sides_of_the_limit(
    code: str, changes: Changes, wanted: list[Seen], posed: Callable[..., CraftView]
) -> None:
    same_rows(seen(code, posed(changes)), wanted)


def test_without_motors_in_place_nothing_is_said_of_their_spins(posed: Callable[..., CraftView]) -> None:
    wanted = [lacks("the places of the motors in [frame]")]
    same_rows(seen("spins-unbalanced", posed({}, motors=())), wanted)
