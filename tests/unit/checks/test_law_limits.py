"""Law, balance and bookkeeping: each rule just inside and just outside of its limit."""

import math
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from rotorwright.checks import CraftView
from rotorwright.frame.layout import MotorPlace
from rotorwright.physics.battery import resistance_factor

from .conftest import Changes, Seen, lacks, most, same_rows, seen, word

Row = tuple[str, Changes, Changes, list[Seen]]
EU, US, MOON, NOWHERE = ({"site.region": name} for name in ("eu", " US ", "moon", " "))
NO_REGION = [lacks("region in [site]")]


def flying(speed: float | None, reason: str | None = None) -> Changes:
    return {"flight": SimpleNamespace(top_speed_m_per_s=SimpleNamespace(value=speed, reason=reason))}


def radiating(
    name: str, dbm: float | None, hertz: float | None, reason: str | None = None, samples: Any = None
) -> Changes:
    level = SimpleNamespace(value=dbm, reason=reason, samples=samples)
    return {"links": SimpleNamespace(**{name: SimpleNamespace(eirp_dbm=level, frequency_hz=hertz)})}


def power(part: str, verdict: str, level: float, limit: float, what: str = "") -> Seen:
    """A level in decibels: the room is their difference."""
    return Seen(part, verdict, limit - level, level, limit, "dBm", what)


VIDEO = "It radiates {} mW with its antenna's gain; unlicensed use ends at {} mW in the region '{}'"
TELEMETRY = "It radiates {} mW of telemetry; unlicensed use ends at {} mW in the region '{}'"
SPEED = "Below 250 g, but its level speed of about {} m/s exceeds 19 m/s"
MASS_US = "It weighs 250 g all-up; from 249 g on it must be registered and identify itself remotely"
MASS_EU = "It weighs 250 g all-up; from 250 g on a privately built craft flies in subcategory A3"
NO_NOTES = "No legal notes are known for the region 'moon'"

# region, its word, link, edges of the band [Hz], and the most: 25 mW, 100 mW, 4 W, 0.75 mW as dBm
EIRP = [
    (EU, "eu", "video", 5.725e9, 5.875e9, 13.98),
    (US, "us", "video", 5.725e9, 5.875e9, -1.25),
    (EU, "eu", "telemetry", 863e6, 870e6, 13.98),
    (EU, "eu", "telemetry", 2.4e9, 2.4835e9, 20.0),
    (US, "us", "telemetry", 902e6, 928e6, 36.0),
    (US, "us", "telemetry", 2.4e9, 2.4835e9, 36.0),
]


def eirp(region: Changes, word: str, link: str, low: float, high: float, most: float) -> list[Row]:
    """At both edges of a band, a tenth of a decibel inside and outside; off the band nothing is said."""
    code, part, says = ("video-power", "vtx", VIDEO) if link == "video" else ("telemetry-power", "rx", TELEMETRY)
    over = says.format(f"{10 ** ((most + 0.1) / 10):.3g}", f"{10 ** (most / 10):.3g}", word)
    return [
        (code, region, radiating(link, most - 0.1, low), [power(part, "kept", most - 0.1, most)]),
        (code, region, radiating(link, most + 0.1, high), [power(part, "note", most + 0.1, most, over)]),
        (code, region, radiating(link, most + 0.1, low), [power(part, "note", most + 0.1, most, over)]),
        (code, region, radiating(link, 99.0, low - 1.0), []),
        (code, region, radiating(link, 99.0, high + 1.0), []),
        (code, region, radiating(link, 99.0, None), []),
    ]


LAW: list[Row] = [
    ("rules-by-place", EU, {}, [word("site", "kept", "eu", "eu, us")]),
    ("rules-by-place", MOON, {}, [word("site", "note", "moon", "eu, us", NO_NOTES)]),
    *((code, NOWHERE, {}, NO_REGION) for code in ("rules-by-place", "mass-class", "video-power", "band-elsewhere")),
    *(
        (code, NOWHERE, {}, NO_REGION)
        for code in ("mass-registration", "speed-class", "telemetry-power", "goggles-observer")
    ),
    # 0.55 lb of 453.59237 g
    ("mass-registration", US, {"mass": 249.4 / 1e3}, [most("all-up weight", "kept", 0.2494, 0.2494758035, "kg")]),
    (
        "mass-registration",
        US,
        {"mass": 249.6 / 1e3},
        [most("all-up weight", "note", 0.2496, 0.2494758035, "kg", MASS_US)],
    ),
    ("mass-registration", EU, {"mass": 900 / 1e3}, []),
    ("mass-class", EU, {"mass": 249.9 / 1e3}, [most("all-up weight", "kept", 0.2499, 0.25, "kg")]),
    ("mass-class", EU, {"mass": 250.1 / 1e3}, [most("all-up weight", "note", 0.2501, 0.25, "kg", MASS_EU)]),
    *(
        (code, {"site.region": name}, {"mass": 0.2}, [])
        for code in ("mass-class", "speed-class")
        for name in ("aa", "zz")
    ),
    *(("mass-registration", {"site.region": name}, {"mass": 0.9}, []) for name in ("aa", "zz")),
    ("mass-class", US, {"mass": 900 / 1e3}, []),
    ("mass-class", MOON, {"mass": 900 / 1e3}, []),
    ("speed-class", EU, {"mass": 249.9 / 1e3, **flying(18.9)}, [most("motors", "kept", 18.9, 19.0, "m/s")]),
    (
        "speed-class",
        EU,
        {"mass": 249.9 / 1e3, **flying(19.1)},
        [most("motors", "note", 19.1, 19.0, "m/s", SPEED.format(19.1))],
    ),
    ("speed-class", EU, {"mass": 250.0 / 1e3, **flying(40.0)}, []),
    ("speed-class", US, {"mass": 249.9 / 1e3, **flying(40.0)}, []),
    ("speed-class", EU, {"mass": 249.9 / 1e3, **flying(None, "it falls")}, [lacks("it falls")]),
    ("speed-class", EU, {"mass": 249.9 / 1e3, **flying(None)}, [lacks("a craft that can fly level")]),
    *(row for given in EIRP for row in eirp(*given)),
    ("video-power", MOON, radiating("video", 99.0, 5.8e9), []),
    ("video-power", {"vtx": None, "camera.fed_from": None}, {}, []),
    ("video-power", EU, radiating("video", None, 5.8e9), [lacks("the antenna")]),
    (
        "video-power",
        EU,
        radiating("video", None, 5.8e9, "not computed: give gain_dbi of x"),
        [lacks("gain_dbi of x")],
    ),
    (
        "telemetry-power",
        {"+receiver": {"name": "deaf", "mass_g": 1}, "rx.use": "deaf"},
        {},
        [],
    ),
    # a second receiver, of the other place
    (
        "band-elsewhere",
        {**EU, "+part": {"id": "far", "use": "receiver-2.4ghz", "frequency_mhz": 915, "role": "spare"}},
        {},
        [
            word("rx", "kept", "2440 MHz", "eu"),
            word(
                "far",
                "note",
                "915 MHz",
                "eu",
                "Its band at 915 MHz is not one of unlicensed use in the region 'eu'",
            ),
        ],
    ),
    ("band-elsewhere", MOON, {}, []),
    ("band-elsewhere", {**EU, "+receiver": {"name": "deaf", "mass_g": 1}, "rx.use": "deaf"}, {}, []),
    ("goggles-observer", EU, {}, [Seen("vtx", "note", -1.0, what="It is flown by its picture")]),
    ("goggles-observer", {**EU, "vtx": None, "camera.fed_from": None}, {}, []),
    # 2 x 1.3 Ah x 6 x 3.7 V; of high-voltage cells 4.35/4.2 of that; of four cells 4/6
    (
        "pack-care",
        {"battery.count": 2},
        {},
        [Seen("battery", "note", -1.0, 57.72, None, "Wh", "Its pack holds 57.7 Wh")],
    ),
    (
        "pack-care",
        {"battery.chemistry": "lihv", "battery.cells": 4},
        {},
        [Seen("battery", "note", -1.0, 1.3 * 4 * 4.35 / 4.2 * 3.7, None, "Wh", "Its pack holds 19.9 Wh")],
    ),
    ("pack-care", {"battery": None}, {}, [lacks("a battery")]),
    # 10 C at take-off: the pack's own temperature, else the air's
    ("pack-cold", {"site.temperature_degc": 10.1}, {}, [Seen("site", "kept", 0.1, 10.1, 10.0, "degC")]),
    *(
        (
            "pack-cold",
            changes,
            {},
            [
                Seen(
                    "site",
                    "note",
                    -0.1,
                    9.9,
                    10.0,
                    "degC",
                    f"At 9.9 C its resistance is about {resistance_factor(283.05):.1f} times that at 25 C",
                )
            ],
        )
        for changes in (
            {"site.temperature_degc": 9.9},
            {"site.temperature_degc": 30, "flight.pack_temperature_degc": 9.9},
        )
    ),
]

ASSUMED = {f"{part}.at_mm": None for part in ("esc", "battery", "plug", "cap", "fc", "rx")}
NO_PLACE = "{} parts have no place and are taken as in the middle: {}"


def placeless(count: int, part: str, names: str) -> list[Seen]:
    what = NO_PLACE.format(count, names)
    return [Seen(part, "note", -float(count), float(count), 0.0, "1", what)]


def light(part: str, grams: float, count: int = 1) -> Changes:
    """A part without a place that weighs so much."""
    return {f"{part}.at_mm": None, f"{part}.mass_g": grams, f"{part}.count": count}


AGREES = Seen("weighing", "kept", 1.0, None, "three standard deviations", "kg")
BOOKS: list[Row] = [
    ("places-assumed", {}, {}, [Seen("battery", "kept", 0.0, 0.0, 0.0, "1")]),
    ("places-assumed", ASSUMED, {}, placeless(6, "esc", "esc, battery, plug, cap, fc, rx")),
    (
        "places-assumed",
        {**ASSUMED, "vtx.at_mm": None},
        {},
        placeless(7, "esc", "esc, battery, plug, cap, fc, rx, ..."),
    ),
    # a gram, alone or as pieces, counts; less does not
    ("places-assumed", light("plug", 1.0), {}, placeless(1, "plug", "plug")),
    ("places-assumed", light("plug", 0.99), {}, [Seen("battery", "kept", 0.0, 0.0, 0.0, "1")]),
    ("places-assumed", light("plug", 0.26, 4), {}, placeless(1, "plug", "plug")),
    ("places-assumed", light("plug", 0.24, 4), {}, [Seen("battery", "kept", 0.0, 0.0, 0.0, "1")]),
    ("weighing-disagrees", {}, {}, []),
    ("weighing-disagrees", {"weighed.all_up_g": 565}, {}, [AGREES]),
    ("weighing-disagrees", {"weighed.dry_g": 300}, {}, [AGREES]),
]


@pytest.mark.parametrize(("code", "changes", "known", "wanted"), [*LAW, *BOOKS], ids=lambda v: str(v)[:40])
def test_both_sides_of_the_limit(
    code: str, changes: Changes, known: Changes, wanted: list[Seen], posed: Callable[..., CraftView]
) -> None:
    same_rows(seen(code, posed(changes, **known)), wanted)


def test_the_samples_of_a_level_are_judged(posed: Callable[..., CraftView]) -> None:
    """Their rooms to 13.98 dBm, one by one."""
    from rotorwright.checks import all_rules

    view = posed(EU, **radiating("video", 13.0, 5.8e9, samples=np.array([13.0, 12.98, 14.98])))
    assert all_rules()["video-power"].margin(view) == pytest.approx([0.98, 1.0, -1.0])


def test_mass_unknown_tells_each_part(posed: Callable[..., CraftView]) -> None:
    changes = {"+other": {"name": "thing"}, "+part": {"id": "things", "use": "thing"}}
    view = posed(changes)
    wanted = [Seen(p.id, "kept", 1.0) for p in view.craft.parts[:-1]]
    wanted += [Seen("things", "warn", -1.0, what="Nobody says what it weighs")]
    same_rows(seen("mass-unknown", view), wanted)


def test_a_weighing_far_from_the_list_is_told(posed: Callable[..., CraftView]) -> None:
    view = posed({"weighed.all_up_g": 900})
    surprise = view.masses.surprise_kg
    assert surprise is not None
    words = f"{surprise * 1e3:.0f} g"
    what = f"Weighing and listed parts differ by {words}; their scatter explains three standard deviations at most"
    limit = "three standard deviations"
    same_rows(seen("weighing-disagrees", view), [Seen("weighing", "warn", -1.0, surprise, limit, "kg", what)])


# Motors ahead at +100, +60 and behind at -80; left at +90 and right at -50, -70: their middles at x = 80/3, y = -10
SPOTS = ((100, 90), (60, -50), (-80, -70))
MOTORS = tuple(MotorPlace(f"m{k}", x / 1e3, y / 1e3, 0.0, 1) for k, (x, y) in enumerate(SPOTS))


def share(offset: float, places: list[float]) -> float:
    """Of a weight `offset` off the middle of the thrust, what the farthest motor carries above the mean."""
    middle = sum(places) / len(places)
    levers = [p - middle for p in places]
    return abs(offset) * max(map(abs, levers)) / (sum(lever**2 for lever in levers) / len(levers))


def centred(x: float, y: float) -> Any:
    """A centre of mass so far ahead and to the left of the thrust's middle [mm]."""
    return np.array([[80 / 3 + x, -10 + y, 7.0], [1.0, 2.0, 3.0]]) / 1e3


XS, YS = [100.0, 60.0, -80.0], [90.0, -50.0, -70.0]
# the offsets at which the farthest motor carries a tenth more
TENTH_X, TENTH_Y = 0.1 / share(1.0, XS), 0.1 / share(1.0, YS)
CENTRE = "Its centre lies {:.1f} mm {} the thrust's middle: the {} motors work {:.3g} % above the mean"


@pytest.mark.parametrize(
    ("x", "y", "told"),
    [
        (0.99, 0.99, ("", "")),
        (-0.99, -0.99, ("", "")),
        (-30, 40, (("behind", "rear"), ("left of", "left"))),
        (1.05, -0.5, (("ahead of", "front"), "")),
        (-1.05, 0.5, (("behind", "rear"), "")),
        (0.5, 1.05, ("", ("left of", "left"))),
        (-0.5, -1.05, ("", ("right of", "right"))),
    ],
)
@pytest.mark.parametrize("part", ["battery", "camera"])
def test_the_centre_of_mass_off_the_middle_of_the_thrust(
    x: float, y: float, told: Any, part: str, posed: Callable[..., CraftView]
) -> None:
    """Told at the pack, or at the first part that has no place."""
    changes = {"camera.at_mm": None, "recorder.at_mm": None} if part == "camera" else {}
    view = posed(changes, motors=MOTORS, centre=centred(x * TENTH_X, y * TENTH_Y))
    wanted = []
    for off, tenth, words in ((x, TENTH_X, told[0]), (y, TENTH_Y, told[1])):
        what = CENTRE.format(abs(off * tenth), *words, abs(off) * 10) if words else ""
        wanted.append(most(part, "warn" if words else "kept", abs(off) * 0.1, 0.1, "share", what))
    same_rows(seen("centre-off", view), wanted)


def test_motors_in_a_row_say_nothing_of_the_other_axis(posed: Callable[..., CraftView]) -> None:
    row = tuple(MotorPlace(f"m{k}", 0.0, y, 0.0, 1) for k, y in enumerate((0.1, -0.1)))
    view = posed({}, motors=row, centre=np.array([[0.05, 0.0, 0.0]]))
    same_rows(seen("centre-off", view), [most("battery", "kept", 0.0, 0.1, "share")])
    same_rows(seen("centre-off", posed({}, motors=())), [lacks("the places of the motors in [frame]")])


def test_a_share_is_that_of_the_lever_rule() -> None:
    """Four motors at +-b carry (1 +- x/b) of their mean: 10 mm of 100 mm are a tenth."""
    assert math.isclose(share(10.0, [100.0, 100.0, -100.0, -100.0]), 0.1)
