"""Compare: changes found, and attributed so that they add up."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from rotorwright.craft.model import Craft
from rotorwright.search.compare import COMPARED, compare
from rotorwright.search.fleet import fleet_of
from rotorwright.search.measures import MEASURES
from rotorwright.search.swapped import choose, find_placed, own_shelf, swapped, unweighed

Read = Callable[[int], Craft]


def test_effects_add_up_to_the_difference(lapwing: Read) -> None:
    result = compare(lapwing(1), lapwing(2), samples=0)
    for name in COMPARED:
        total = sum(change.effects[name].value for change in result.changes)
        assert total == pytest.approx(result.differences[name].value, rel=1e-6, abs=1e-9), name
    places = [change.place for change in result.changes]
    assert {"battery", "motors", "recording-camera", "wiring", "in combination"} <= set(places)


def test_nothing_changes_between_a_craft_and_itself(lapwing: Read) -> None:
    result = compare(lapwing(3), lapwing(3), samples=16)
    assert result.changes == ()
    assert result.findings.new == result.findings.cured == ()
    assert set(result.verdict.values()) == {"same"}


def test_one_change_has_the_whole_effect(lapwing: Read) -> None:
    before = unweighed(lapwing(3))
    placed = find_placed(before, "battery")
    after = swapped(before, placed, choose(own_shelf(before), type(placed.part), ["battery-4s-1500-75c"])[0])
    result = compare(before, after, samples=0)
    (change,) = result.changes
    assert change.place == "battery"
    assert change.what == "battery-4s-1500-75c instead of own-pack-b"
    for name in COMPARED:
        assert change.effects[name].value == pytest.approx(result.differences[name].value, rel=1e-9)


def test_two_changes_are_the_mean_over_both_orders(lapwing: Read) -> None:
    a = unweighed(lapwing(3))
    motor, battery = find_placed(a, "motors"), find_placed(a, "battery")
    other = choose(own_shelf(a), type(motor.part), ["motor-2204-2300"])[0]
    pack = choose(own_shelf(a), type(battery.part), ["battery-4s-1500-75c"])[0]
    am, ab = swapped(a, motor, other), swapped(a, battery, pack)
    both = swapped(am, find_placed(am, "battery"), pack)
    values = MEASURES["thrust-to-weight"].values(fleet_of([a, am, ab, both]))[:, 0]
    by_hand = 0.5 * ((values[1] - values[0]) + (values[3] - values[2]))
    result = compare(a, both, samples=0)
    found = {change.place: change.effects["thrust-to-weight"].value for change in result.changes}
    assert found["motors"] == pytest.approx(by_hand, rel=1e-9)
    assert set(found) == {"motors", "battery"}  # nothing is left in combination


def test_a_weighing_has_a_line_of_its_own(lapwing: Read) -> None:
    weighed = lapwing(3)
    result = compare(unweighed(weighed), weighed, samples=0)
    assert [change.place for change in result.changes] == ["whole-craft weighing"]


def test_moves_and_tables_are_told(lapwing: Read) -> None:
    a = unweighed(lapwing(3))
    pack = find_placed(a, "battery")
    moved = replace(pack, places=(replace(pack.places[0], x=pack.places[0].x + 0.012),))
    b = replace(a, parts=tuple(moved if p is pack else p for p in a.parts))
    b = replace(b, site=replace(b.site, altitude=b.site.altitude.times(3)))
    told = {change.place: change.what for change in compare(a, b, samples=0).changes}
    assert told == {"battery": "12 mm forward", "[site]": "altitude"}
