"""Room round discs, antennas and in the picture: gaps given by hand, each rule just inside and just outside."""

import math
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest

from rotorwright.checks import CraftView

from .conftest import Changes, Seen, lacks, most, same_rows, seen

# the propeller's diameter, and the waves of 2.44 and 5.8 GHz
D = 0.127
WAVE_24, WAVE_58 = 299792458 / 2.44e9, 299792458 / 5.8e9


def gaps(*rows: tuple[str, str, float]) -> Any:
    """Gaps as the clearances hold them, smallest first."""
    found = [SimpleNamespace(one=one, other=other, gap_m=gap) for one, other, gap in rows]
    return sorted(found, key=lambda gap: gap.gap_m)


def room(disc: float | None = 0.05, around: Any = (), antennas: Any = (), views: Any = ()) -> Any:
    return SimpleNamespace(
        disc_to_disc_m=disc,
        propeller_gaps=gaps(*around),
        antenna_gaps=gaps(*antennas),
        views=[SimpleNamespace(camera=camera, covered=covered) for camera, covered in views],
    )


def gap(part: str, verdict: str, length: float, what: str = "") -> Seen:
    """A gap as a share of the propeller's diameter."""
    return Seen(part, verdict, length / D, length, 0.0, "m", what)


def near(part: str, headroom: float, others: list[tuple[str, str, float]]) -> list[tuple[Any, list[Seen]]]:
    """With room to spare, with less than the headroom, and cut into, each among gaps of parts of other rules."""
    rows = []
    for length, verdict in ((headroom * D + 1e-4, "kept"), (headroom * D - 1e-4, "warn"), (-1e-4, "stop")):
        says = f"passes it at {length * 1e3:.3g} mm" if length > 0 else "cuts 0.1 mm into the space it takes"
        what = "" if verdict == "kept" else f"The front-left disc {says}"
        around = [("front-left", part, length), ("rear-left", part, 0.03), *others]
        rows.append((room(around=around), [gap(part, verdict, length, what)]))
    return rows


PACK, STRAP = ("rear-left", "battery", -0.011), ("rear-left", "strap", -0.012)
ANTENNAS = [("rear-left", "rx-antenna", -0.013), ("rear-left", "vtx-antenna", -0.014)]
CAMERAS = [("rear-left", "camera", -0.015), ("rear-left", "recorder", -0.016)]
NOBODY = ("rear-left", "nobody", -0.018)
FRAME = [("rear-left", "standoffs", -0.017), NOBODY, ("rear-left", "top deck", -0.019)]


ROWS: list[tuple[str, Any, list[Seen]]] = [
    # a fiftieth of the diameter between two discs
    ("discs-overlap", room(disc=0.0201 * D), [gap("propellers", "kept", 0.0201 * D)]),
    (
        "discs-overlap",
        room(disc=0.0199 * D),
        [gap("propellers", "warn", 0.0199 * D, "The gap between two discs is 2.53 mm")],
    ),
    ("discs-overlap", room(disc=-1e-4), [gap("propellers", "stop", -1e-4, "The gap between two discs is -0.1 mm")]),
    ("discs-overlap", room(disc=None), [lacks("two propellers side by side")]),
    *(
        ("propeller-meets-frame", given, wanted)
        for given, wanted in near("mount", 0.012, [PACK, STRAP, *ANTENNAS, *CAMERAS, NOBODY])
    ),
    *(
        ("propeller-meets-pack", given, wanted)
        for given, wanted in near("battery", 0.03, [*ANTENNAS, *CAMERAS, *FRAME])
    ),
    *(
        ("propeller-meets-antenna", given, wanted)
        for given, wanted in near("vtx-antenna", 0.02, [PACK, STRAP, *CAMERAS, *FRAME])
    ),
    *(
        ("propeller-meets-camera", given, wanted)
        for given, wanted in near("camera", 0.02, [PACK, STRAP, *ANTENNAS, *FRAME])
    ),
    # every part once, at its smallest gap; a touch is no cut
    (
        "propeller-meets-camera",
        room(
            around=[("a", "recorder", 0.0), ("b", "camera", 0.004), ("c", "recorder", 0.004), ("d", "camera", 0.003)]
        ),
        [
            gap("recorder", "warn", 0.0, "The a disc passes it at 0 mm"),
            gap("camera", "kept", 0.003),
        ],
    ),
    (
        "propeller-meets-pack",
        room(around=[("a", "strap", -0.002), ("b", "battery", 0.02)]),
        [
            gap("strap", "stop", -0.002, "The a disc cuts 2 mm into the space it takes"),
            gap("battery", "kept", 0.02),
        ],
    ),
    # a body's name begins with its part's id; of two ids that fit the longer
    ("propeller-meets-frame", room(around=[("a", "arms front-left", 0.01)]), [gap("arms", "kept", 0.01)]),
]


@pytest.mark.parametrize(("code", "given", "wanted"), ROWS, ids=lambda v: str(v)[:40])
def test_room_round_the_discs(code: str, given: Any, wanted: list[Seen], posed: Callable[..., CraftView]) -> None:
    same_rows(seen(code, posed({}, clearances=given)), wanted)


def test_without_motors_in_place_there_is_no_gap(posed: Callable[..., CraftView]) -> None:
    wanted = [lacks("the places of the motors in [frame]")]
    same_rows(seen("discs-overlap", posed({}, motors=(), clearances=room())), wanted)


def test_a_mount_or_role_of_the_battery_is_the_packs(posed: Callable[..., CraftView]) -> None:
    view = posed({"mount.role": "battery-mount"}, clearances=room(around=[("a", "mount", 0.01)]))
    same_rows(seen("propeller-meets-pack", view), [gap("mount", "kept", 0.01)])
    same_rows(seen("propeller-meets-frame", view), [])


def test_a_body_belongs_to_the_part_with_the_longest_name_that_fits(posed: Callable[..., CraftView]) -> None:
    more = [
        {"id": name, "use": "standoff-m3x30", "at_mm": [30, 9, 0]} for name in ("post", "post left", "post left top")
    ]
    view = posed({"+part": more})
    names = ("post", "post left", "post left 2", "post right", "post left top 1", "posts", "poster", "po")
    found = [view.body_part(name) for name in names]
    assert [p and p.id for p in found] == [
        "post",
        "post left",
        "post left",
        "post",
        "post left top",
        None,
        None,
        None,
    ]


def antenna(part: str, verdict: str, length: float, wave: float, what: str = "") -> Seen:
    return Seen(part, verdict, length / wave - 0.05, length, 0.05 * wave, "m", what)


FREE = antenna("rx-antenna", "kept", WAVE_24, WAVE_24)
L58 = 0.05 * WAVE_58  # 2.58 mm


@pytest.mark.parametrize(
    ("antennas", "wanted"),
    [
        ([], [FREE, antenna("vtx-antenna", "kept", WAVE_58, WAVE_58)]),
        (
            [("vtx-antenna", "main", L58 + 1e-4), ("vtx-antenna", "top", 0.009), ("vtx-antenna", "camera", -0.01)],
            [FREE, antenna("vtx-antenna", "kept", L58 + 1e-4, WAVE_58)],
        ),
        # named either way round; the nearest carbon counts, and only what is this antenna's
        (
            [("main", "vtx-antenna", L58 - 1e-4), ("vtx-antenna", "top", 0.009), ("rx-antenna", "brace", 0.0062)],
            [
                antenna("rx-antenna", "kept", 0.0062, WAVE_24),
                antenna(
                    "vtx-antenna",
                    "note",
                    L58 - 1e-4,
                    WAVE_58,
                    "It passes main at 2.48 mm; a twentieth of its wave is 2.58 mm",
                ),
            ],
        ),
        (
            [
                ("vtx-antenna", "arms front-left", -0.001),
                ("vtx-antenna", "top", 0.0),
                ("rx-antenna", "disc a", -0.05),
            ],
            [
                FREE,
                antenna(
                    "vtx-antenna",
                    "note",
                    -0.001,
                    WAVE_58,
                    "It reaches into the box round arms front-left; a twentieth of its wave is 2.58 mm",
                ),
            ],
        ),
        (
            [("rx-antenna", "top", 0.0)],
            [
                antenna(
                    "rx-antenna", "note", 0.0, WAVE_24, "It passes top at 0 mm; a twentieth of its wave is 6.14 mm"
                ),
                antenna("vtx-antenna", "kept", WAVE_58, WAVE_58),
            ],
        ),
    ],
)
def test_an_antenna_keeps_a_twentieth_of_its_wave_from_carbon(
    antennas: Any, wanted: list[Seen], posed: Callable[..., CraftView]
) -> None:
    same_rows(seen("antenna-shadowed", posed({}, clearances=room(antennas=antennas))), wanted)


def test_an_antenna_of_no_band_or_place_is_not_compared(posed: Callable[..., CraftView]) -> None:
    changes = {
        "+antenna": {"name": "whip", "mass_g": 1},
        "vtx-antenna.use": "whip",
        "rx-antenna.at_mm": None,
        "rx-antenna.turn_deg": None,
    }
    same_rows(seen("antenna-shadowed", posed(changes, clearances=room(antennas=[("vtx-antenna", "top", 0.0)]))), [])


SECOND = {"id": "second", "use": "camera-19mm-digital-a-4x3", "at_mm": [60, 5, 5], "role": "spare"}
COVERED = "Discs cover {} % of the {} at this tilt; {} % {}"


@pytest.mark.parametrize(
    ("code", "changes", "views", "wanted"),
    [
        (
            "propellers-in-picture",
            {"+part": SECOND},
            [("recorder", 0.5), ("camera", 0.099), ("second", 0.101)],
            [
                most("camera", "kept", 0.099, 0.10, "share"),
                most("second", "note", 0.101, 0.10, "share", COVERED.format(10.1, "picture", 10, "is usual")),
            ],
        ),
        ("propellers-in-picture", {}, [], [most("camera", "kept", 0.0, 0.10, "share")]),
        ("propellers-in-picture", {"camera.at_mm": None}, [], [lacks("at_mm of camera")]),
        (
            "propellers-in-recording",
            {},
            [("camera", 0.5), ("recorder", 0.0199)],
            [most("recorder", "kept", 0.0199, 0.02, "share")],
        ),
        (
            "propellers-in-recording",
            {},
            [("camera", 0.0), ("recorder", 0.0201)],
            [
                most(
                    "recorder",
                    "warn",
                    0.0201,
                    0.02,
                    "share",
                    COVERED.format(2.01, "recorded picture", 2, "can be cut away"),
                )
            ],
        ),
        (
            "propellers-in-recording",
            {"+recording-camera": {"name": "bare", "mass_g": 30}, "recorder.use": "bare"},
            [],
            [lacks("field_of_view_deg of recorder")],
        ),
        ("propellers-in-recording", {"recorder": None}, [], []),
    ],
)
def test_discs_in_the_picture(
    code: str, changes: Changes, views: Any, wanted: list[Seen], posed: Callable[..., CraftView]
) -> None:
    same_rows(seen(code, posed(changes, clearances=room(views=views))), wanted)


def test_the_limits_are_those_of_a_twentieth_of_a_wave() -> None:
    """122.9 mm and 51.7 mm long: 6.14 and 2.58 mm."""
    assert math.isclose(0.05 * WAVE_24, 6.14e-3, rel_tol=1e-3)
    assert math.isclose(L58, 2.58e-3, rel_tol=2e-3)
