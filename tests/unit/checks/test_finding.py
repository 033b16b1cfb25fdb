"""Values in the units of people, and what a run sums up."""

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from rotorwright.checks import (
    Checks,
    CraftView,
    Finding,
    Rule,
    Severity,
    Unchecked,
    Where,
    all_rules,
    check,
    near_codes,
)
from rotorwright.checks.finding import shown
from rotorwright.checks.rule import Case, at_least, at_most, rule, told
from rotorwright.checks.run import apply, check_view
from rotorwright.craft.model import Craft

from .conftest import Changes


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        (0.0123, "m", "12.3 mm"),
        # three nines tell a factor that is off by a thousandth
        (0.999, "m", "999 mm"),
        (0.999, "kg", "999 g"),
        (0.999, "ohm", "999 mohm"),
        (0.999, "share", "99.9 %"),
        (0.25, "kg", "250 g"),
        (0.0153, "ohm", "15.3 mohm"),
        (math.pi / 6, "rad", "30 deg"),
        (100 * math.pi, "rad/s", "3000 rpm"),
        (1.2e-6, "m2", "1.2 mm2"),
        (470e-6, "F", "470 uF"),
        (3.21e8, "Pa", "321 MPa"),
        (0.5, "share", "50 %"),
        (31.2, "degC", "31.2 C"),
        (1.3, "1", "1.3"),
        (12.34, "V", "12.3 V"),
        (60.6, "K", "60.6 K"),
        # three digits, and all of those before the point
        (123.4, "A", "123 A"),
        (1234.6, "A", "1230 A"),
        (1235.4, "A", "1240 A"),
        (999.6, "A", "1000 A"),
        (99.96, "A", "100 A"),
        (9.996, "A", "10 A"),
        (120.0, "A", "120 A"),
        (100.0, "A", "100 A"),
        (20.0, "A", "20 A"),
        (10.1, "A", "10.1 A"),
        (1.0, "A", "1 A"),
        (0.1, "A", "0.1 A"),
        (0.001234, "A", "0.00123 A"),
        (-12.34, "A", "-12.3 A"),
        (0.0, "V", "0 V"),
        (-0.0, "V", "0 V"),
        (float("inf"), "1", "inf"),
        (float("-inf"), "1", "-inf"),
        (float("nan"), "V", "nan V"),
        (None, "V", "no value that exists"),
        ("two", "V", "two"),
    ],
)
def test_shown(value: float | str | None, unit: str, words: str) -> None:
    assert shown(value, unit) == words


def finding(severity: Severity, waived: str | None = None) -> Finding:
    where = Where("a.toml", 1, "x")
    return Finding("made-up", severity, None, where, "", "", "", None, None, "", -1.0, waived)


def result(*findings: Finding, unchecked: tuple[Unchecked, ...] = ()) -> Checks:
    return Checks("x", findings, unchecked, (), (), (), (), 0)


STOP, WARN, NOTE = Severity


@pytest.mark.parametrize(
    ("made", "summary", "stopped"),
    [
        (result(), "0 stops, 0 warnings, 0 notes, 0 rules", False),
        (result(finding(STOP)), "1 stop, 0 warnings, 0 notes, 0 rules", True),
        (result(*[finding(STOP)] * 2, *[finding(WARN)] * 3), "2 stops, 3 warnings, 0 notes, 0 rules", True),
        (result(finding(WARN), finding(NOTE)), "0 stops, 1 warning, 1 note, 0 rules", False),
        (result(finding(STOP, "so"), *[finding(NOTE)] * 2), "0 stops, 0 warnings, 2 notes, 1 waived, 0 rules", False),
        (
            result(finding(STOP, "so"), finding(NOTE, ""), finding(STOP)),
            "1 stop, 0 warnings, 0 notes, 2 waived, 0 rules",
            True,
        ),
        # rules are counted, not cases
        (
            result(unchecked=(Unchecked("a", "x"), Unchecked("a", "y"), Unchecked("b", "x"))),
            "0 stops, 0 warnings, 0 notes, 2 rules",
            False,
        ),
        (result(unchecked=(Unchecked("a", "x"),)), "0 stops, 0 warnings, 0 notes, 1 rule", False),
    ],
)
def test_a_summary(made: Checks, summary: str, stopped: bool) -> None:
    assert made.summary == f"{summary} not or not fully checked for lack of data"
    assert made.stopped is stopped


@pytest.mark.parametrize(
    ("where", "words"),
    [
        (Where("a.toml", 3, "rx"), "a.toml:3 (rx)"),
        (Where("a.toml", None, "rx"), "a.toml (rx)"),
        (Where("a.toml", 3, ""), "a.toml:3"),
    ],
)
def test_where_in_words(where: Where, words: str) -> None:
    assert str(where) == words


def test_unchecked_is_about_no_part_unless_one_is_named() -> None:
    assert Unchecked("a", "x").part == ""


ASKED = {"feed-unknown", "capacitor-voltage", "packs-in-parallel", "regulator-hot", "landing-too-low", "tip-speed"}
ASKED |= {"telemetry-missing", "part-missing", "band-elsewhere", "propeller-hand"}


def test_each_rule_goes_into_its_list_worst_first(sound: Callable[..., Craft]) -> None:
    changes: Changes = {
        "esc.telemetry": False,
        "cap.voltage_v": 30,
        "rx.fed_from": "fc.6V",
        "propellers.handedness": "left",
        "+waive": [
            {"code": "propeller-hand", "reason": "two packs"},
            {"code": "landing-too-low", "reason": "never"},
            {"code": "tip-speed", "reason": "loud"},
            {"code": "strap-short", "reason": "not asked"},
        ],
    }
    view = CraftView(sound(changes), samples=0)
    view._known["full"] = view._known["in flight"] = np.array([(0.1,)], [("tip_mach", float)])
    made = check_view(view, ASKED)
    assert made.craft == "Sound"
    assert [(f.code, f.severity, f.waived) for f in made.findings] == [
        ("feed-unknown", STOP, None),
        ("capacitor-voltage", WARN, None),
        ("telemetry-missing", NOTE, None),
        ("propeller-hand", STOP, "two packs"),
    ]
    assert [(u.code, u.give) for u in made.unchecked] == [("band-elsewhere", "region in [site]")]
    assert made.kept == ("landing-too-low", "part-missing", "tip-speed")
    assert made.not_applicable == ("regulator-hot", "packs-in-parallel")
    assert made.unused_waivers == ("landing-too-low", "tip-speed")
    assert (made.samples, made.close, made.stopped) == (0, (), True)


def test_how_many_samples_are_taken_unless_told(sound: Callable[..., Craft], monkeypatch: pytest.MonkeyPatch) -> None:
    import rotorwright.checks.run as module

    views: list[CraftView] = []
    monkeypatch.setattr(module, "check_view", views.append)
    check(sound())
    check(sound(), 9, 4)
    assert [(view.samples, view.seed) for view in [*views, CraftView(sound())]] == [(256, 0), (9, 4), (256, 0)]
    assert (CraftView(sound()).draws.rows, CraftView(sound()).draws.seed) == (257, 0)


def judged(_: Any) -> Iterator[Case]:
    """It holds.

    It matters  to
    all.

    Source: made up.
    """
    yield told(value=np.array([2.0, 7.0]), unit="A")


def test_what_a_rule_says_of_itself() -> None:
    known = Rule("x", "y", ("battery",), STOP, 0.0, False, "", "", judged)
    assert (known.fact, known.why, known.source) == ("It holds.", "It matters to all.", "made up.")


def test_something_to_be_told_whenever_it_applies(sound: Callable[..., Craft]) -> None:
    known = replace(all_rules()["capacitor-missing"], check=judged, says="it is {value}", headroom=0.5)
    done = apply(known, CraftView(sound(), samples=0))
    assert [(f.what, f.value, f.limit, f.margin) for f in done.findings] == [("It is 2 A", 2.0, None, -1.0)]
    assert told().value is None and told().words == {} and told().unit == ""


def test_families_in_the_order_they_are_told() -> None:
    """Those of a family stand together; each reads kinds of part, one word each."""
    families = [known.family for known in all_rules().values()]
    assert list(dict.fromkeys(families)) == ["supply", "mechanics", "clearance", "signals", "flying", "law"]
    assert families == sorted(families, key=list(dict.fromkeys(families)).index)
    by = {"pack-sags": "supply", "lead-too-thin": "supply", "arm-bends": "mechanics", "camera-tilt": "mechanics"}
    by |= {"propeller-bore": "mechanics", "antenna-hands": "signals", "mass-unknown": "flying", "pack-care": "law"}
    assert {code: all_rules()[code].family for code in by} == by
    assert all_rules()["pack-overdrawn"].reads == ("battery", "motor", "propeller")


def test_no_two_rules_have_one_code() -> None:
    assert "pack-sags" in all_rules()
    with pytest.raises(AssertionError, match="pack-sags"):
        rule("pack-sags", STOP, reads="battery", says="", fix="")(judged)


@pytest.mark.parametrize(
    ("code", "near"),
    [
        ("PACK-SAGS", "pack-sags"),
        ("pack-sag", "pack-sags"),
        ("spikes", "supply-spikes"),
        ("bore", "propeller-bore"),
        ("strap", "strap-short"),
        ("HAND", "propeller-hand"),
    ],
)
def test_near_codes(code: str, near: str) -> None:
    assert near in near_codes(code)
    assert len(near_codes(code)) <= 4


def test_at_most_four_near_codes() -> None:
    """Of more codes that hold a word, and of more that are spelled nearly so."""
    assert near_codes("o") == [known for known in all_rules() if "o" in known][:4]
    assert len(near_codes("controller-overload")) == 4
    assert near_codes("") == near_codes("qqqq") == []


@pytest.mark.parametrize(
    ("value", "limit", "most", "least"),
    [
        (8.0, 10.0, 0.2, -0.2),
        (12.0, 10.0, -0.2, 0.2),
        (0.5, 0.0, -0.5, 0.5),
        # of a limit below nothing its size counts
        (-8.0, -10.0, -0.2, 0.2),
        (5.0, math.inf, 1.0, -1.0),
        (5.0, -math.inf, -1.0, 1.0),
    ],
)
def test_room_is_a_share_of_the_limit(value: float, limit: float, most: float, least: float) -> None:
    assert float(np.asarray(at_most(value, limit, "A").margin)) == pytest.approx(most)
    assert float(np.asarray(at_least(value, limit, "A").margin)) == pytest.approx(least)


def test_a_margin_row_by_row() -> None:
    case = at_most(np.array([8.0, 12.0, np.nan]), np.array([10.0, np.nan, 10.0]), "A", "esc", rail="x")
    np.testing.assert_allclose(np.asarray(case.margin), [0.2, np.nan, np.nan])
    assert (case.nominal, case.unit, case.at, case.words) == (pytest.approx(0.2), "A", "esc", {"rail": "x"})
