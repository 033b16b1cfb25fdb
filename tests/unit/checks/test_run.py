"""The run over all rules: severities, chances, waivers, what could not be looked at."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from rotorwright.checks import ColumnsView, CraftView, Missing, Severity, all_rules, check, near_codes, rule_named
from rotorwright.checks.rule import at_least, at_most, same
from rotorwright.checks.run import check_view
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.errors import InputError
from rotorwright.predict.result import plain


def test_the_sound_craft_is_sound(sound: Callable[..., Craft]) -> None:
    result = check(sound(), samples=0)
    assert not result.stopped
    assert result.count(Severity.WARN) == 0
    assert {finding.code for finding in result.findings} <= {"pack-care", "frame-sings-in-hover"}
    assert len(result.kept) > 80


def test_every_rule_is_in_one_list(sound: Callable[..., Craft]) -> None:
    result = check(sound(), samples=0)
    found = {f.code for f in result.findings} | {u.code for u in result.unchecked}
    kept, elsewhere = set(result.kept), set(result.not_applicable)
    assert found | kept | elsewhere == set(all_rules())
    assert not (found & kept or found & elsewhere or kept & elsewhere)


def test_an_empty_craft_gets_a_useful_list(sound: Callable[..., Craft], small_craft: Callable[..., Craft]) -> None:
    result = check(small_craft(), samples=0)
    missing = {f.value for f in result.findings if f.code == "part-missing"}
    assert missing == {"speed controller", "flight controller", "receiver"}
    assert len({u.code for u in result.unchecked}) > 20
    assert all(u.give for u in result.unchecked)
    assert "not or not fully checked" in result.summary


def test_a_craft_without_any_one_part_is_judged() -> None:
    """Whatever is left out, the rest is looked at."""
    craft = read_craft(DEMO / "crafts" / "lapwing-3.toml")
    everything = set(all_rules())
    for left_out in craft.parts:
        rest = replace(craft, parts=tuple(p for p in craft.parts if p is not left_out))
        result = check(rest, samples=0)
        found = {f.code for f in result.findings} | {u.code for u in result.unchecked}
        assert found | set(result.kept) | set(result.not_applicable) == everything


def test_no_room_for_any_capacitor(sound: Callable[..., Craft]) -> None:
    """A limit that does not exist is told as such, and is no number in the data."""
    found = check(sound({"esc.voltage_max_v": 25.0}), samples=0).findings
    finding = next(f for f in found if f.code == "capacitor-too-small")
    assert finding.limit is None
    assert finding.margin == -1
    assert "no value that exists" in finding.what


def test_a_finding_says_where(sound: Callable[..., Craft]) -> None:
    craft = sound({"rx.fed_from": "fc.9V"})
    finding = next(f for f in check(craft, samples=0).findings if f.code == "supply-too-high")
    line = craft.source.text.splitlines()[(finding.where.line or 0) - 1]
    assert finding.where.part == "rx"
    assert line == "[[part]]"
    assert (finding.value, finding.limit, finding.unit) == (9.0, 5.5, "V")


def test_chance_of_breach(sound: Callable[..., Craft]) -> None:
    """A limit at the nominal value is broken in about half of the samples; a far one never or always."""
    current = float(CraftView(sound(), 0).full["motor_current"][0])

    def chance(limit: float) -> float:
        rated = {"value": limit, "basis": "datasheet", "sd": 0.0}
        found = check(sound({"motors.current_max_a": rated}), samples=256).findings
        return next((f.chance or 0.0 for f in found if f.code == "motor-overloaded"), 0.0)

    assert 0.3 < chance(current * 0.999) < 0.7
    assert chance(current / 3) == 1.0
    assert chance(current * 3) == 0.0

    def close(limit: float) -> bool:
        rated = {"value": limit, "basis": "datasheet", "sd": 0.0}
        return "motor-overloaded" in {c.code for c in check(sound({"motors.current_max_a": rated}), 256).close}

    assert close(current * 1.001)
    assert not close(current * 0.999)
    assert not close(current * 3)


def test_headroom_is_milder(sound: Callable[..., Craft]) -> None:
    load = float(next(r for r in CraftView(sound(), 0).loads if r.rail.id == "fc.5V").current[0])

    def severity(rated: float) -> Severity | None:
        rails = [{"name": n, "voltage_v": v, "current_a": a} for n, v, a in (("5V", 5.0, rated), ("9V", 9.0, 3.0))]
        found = check(sound({"fc.outputs": rails}), samples=0).findings
        return next((f.severity for f in found if f.code == "regulator-overloaded"), None)

    assert severity(load * 0.9) is Severity.STOP
    assert severity(load * 1.1) is Severity.WARN
    assert severity(load * 1.5) is None


def test_waived(sound: Callable[..., Craft]) -> None:
    waive = {"+waive": {"code": "receiver-protocol", "reason": "an adapter sits between"}}
    result = check(sound({"rx.protocol": "shouting", **waive}), samples=0)
    assert not result.stopped
    assert [f.waived for f in result.findings if f.code == "receiver-protocol"] == ["an adapter sits between"]
    assert "1 waived" in result.summary
    assert check(sound(waive), samples=0).unused_waivers == ("receiver-protocol",)


def test_only_the_rules_asked_for(sound: Callable[..., Craft]) -> None:
    waive = {"+waive": {"code": "tip-speed", "reason": "loud is fine"}}
    result = check_view(
        CraftView(sound({"rx.protocol": "shouting", **waive}), 0), {"receiver-protocol", "strap-short"}
    )
    assert [f.code for f in result.findings] == ["receiver-protocol"]
    assert result.kept == ("strap-short",)
    assert result.unused_waivers == ()


def test_unknown_waiver(sound: Callable[..., Craft]) -> None:
    with pytest.raises(InputError, match="receiver-protocol") as caught:
        check(sound({"+waive": {"code": "reciever-protocol", "reason": "x"}}))
    assert caught.value.problems[0].line


def test_near_codes() -> None:
    assert "regulator-overloaded" in near_codes("regulator-overload")
    assert near_codes("zzzz") == []
    assert rule_named("regulator-overloaded") is not None
    assert rule_named("nothing") is None


def test_plain_data(sound: Callable[..., Craft]) -> None:
    import json

    text = json.dumps(plain(check(sound({"rx.fed_from": "fc.9V"}), samples=64)), allow_nan=False)
    assert json.loads(text)["findings"][0]["code"] == "supply-too-high"


def columns_of(view: CraftView, repeat: int) -> ColumnsView:
    """The same craft as columns, as a search would hold it."""
    fields: dict[tuple[str, str], Any] = {}
    for role, names in {
        "battery": ("rating", "cells"),
        "motor": ("current_max", "power_max", "poles", "cells_max", "shaft", "wire_gauge"),
        "propeller": ("bore", "rotation_max"),
        "speed-controller": ("current", "burst", "electrical_rotation_max", "cells_max", "cells_min"),
    }.items():
        for name in names:
            fields[role, name] = np.repeat(view.field(role, name), repeat)
    points = (np.repeat(np.asarray(p), repeat) for p in (view.full, view.in_flight, view.hover))
    full, in_flight, hover = points
    return ColumnsView(fields, np.repeat(np.asarray(view.rows), repeat), full, in_flight, hover)


def test_columns_give_the_same_margins(sound: Callable[..., Craft]) -> None:
    """The function that judges one craft filters many: sample for sample the same margin."""
    view = CraftView(sound(), samples=32)
    columns = columns_of(view, 3)
    rules = [rule for rule in all_rules().values() if rule.columns]
    assert len(rules) >= 15
    for rule in rules:
        one, many = rule.margin(view), rule.margin(columns)
        assert many.shape == (99,), rule.code
        np.testing.assert_allclose(np.broadcast_to(one, 33).repeat(3), many, err_msg=rule.code)


def test_columns_that_lack_a_field(sound: Callable[..., Craft]) -> None:
    view = CraftView(sound(), samples=0)
    bare = ColumnsView({}, view.rows, view.full, view.in_flight, view.hover)
    with pytest.raises(Missing, match="current_max of the motor"):
        all_rules()["motor-overloaded"].margin(bare)


def test_margins() -> None:
    assert at_most(8.0, 10.0, "A").margin == pytest.approx(0.2)
    assert at_most(12.0, 10.0, "A").margin == pytest.approx(-0.2)
    assert at_least(12.0, 10.0, "A").margin == pytest.approx(0.2)
    assert at_least(0.5, 0.0, "m").margin == 0.5
    assert at_least(5.0, float("inf"), "F").margin == -1
    assert at_most(5.0, float("inf"), "F").margin == 1
    assert np.isnan(at_most(float("nan"), 1.0, "A").margin)
    assert same(True, "a", "a").margin == 1
    assert same(False, "a", "b").margin == -1
