"""What would end a finding: tried by the rule, written as tried, and never worse than told."""

from pathlib import Path
from typing import Any

import pytest

from rotorwright.checks import Checks, Finding
from rotorwright.checks.run import check_view
from rotorwright.checks.view import CraftView
from rotorwright.craft.edit import change_craft, changed_craft
from rotorwright.craft.edit_parts import remove_part
from rotorwright.craft.edit_wiring import set_wire
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import new_workshop
from rotorwright.search.progress import Stopped
from rotorwright.search.remedies import remedies
from rotorwright.search.remedy_moves import Move, change_of
from rotorwright.search.swapped import unweighed
from rotorwright.sheet.remedy_words import changed_words, remedy_summary, to_do


@pytest.fixture
def file(tmp_path: Path) -> Path:
    new_workshop(tmp_path / "w")
    return tmp_path / "w" / "crafts" / "lapwing-3.toml"


def looked(craft: Craft, code: str) -> Checks:
    return check_view(CraftView(craft, 0), {code})


def finding(file: Path, code: str) -> tuple[Craft, Finding]:
    craft = read_craft(file)
    return craft, next(one for one in looked(craft, code).findings if one.code == code)


def spoil(file: Path, what: str) -> None:
    """Make one fault in a sound craft."""
    if what == "capacitor":
        remove_part(file, "capacitor")
    elif what == "nuts":
        remove_part(file, "propeller-nuts")
    elif what == "antenna":
        remove_part(file, "video-antenna")
    elif what == "wire":
        set_wire(file, 0, "gauge", "gauge_awg", 20)
    else:
        change_craft(file, [what])


@pytest.mark.parametrize(
    ("fault", "code", "first"),
    [
        ("flight.landing_voltage_v=2.9", "landing-too-low", Move("flight", "flight", "landing_voltage_v", 3.4)),
        ("camera.tilt_deg=55", "camera-tilt", Move("set", "camera", "tilt_deg", 45)),
        ("motor-screws.count=12", "motor-screws-few", Move("set", "motor-screws", "count", 16)),
        (
            "video-transmitter.set_power_mw=30",
            "power-level-unknown",
            Move("set", "video-transmitter", "set_power_mw", 25),
        ),
        ("battery.at_mm=[-46, 0, 33.5]", "centre-off", Move("set", "battery", "at_mm", [-16, 0, 33.5])),
        ("wire", "lead-too-thin", Move("wire", "1", "gauge_awg", 12)),
        ("nuts", "propeller-nut", Move("add", "propeller-nut", "use", "nut-m5-locking-aluminium")),
        ("capacitor", "capacitor-missing", None),
        ("antenna", "transmitter-without-antenna", None),
        ("receiver.fed_from=flight-controller.9V", "supply-too-high", None),
        ("speed-controller.use=esc-4in1-20a-20x20", "cells-over-controller", None),
    ],
)
def test_the_nearest_remedy_ends_the_finding_also_when_it_is_written(
    file: Path, fault: str, code: str, first: Move | None
) -> None:
    spoil(file, fault)
    craft, found = finding(file, code)
    told = remedies(craft, found)
    assert told.found, remedy_summary(told)
    assert 0 < told.tried <= told.possible
    if first is not None:
        assert told.found[0].move == first
    before = len(looked(craft, code).findings)
    for remedy in told.found:
        written = unweighed(changed_craft(file, file.read_text(), change_of(craft, remedy.move))[0])
        after = looked(written, code)
        assert len(after.findings) < before, remedy.move
        assert len(after.unchecked) <= len(looked(craft, code).unchecked)
        assert f"{code} ({found.where.part})" in remedy.findings.cured
        assert to_do(craft, remedy.move)
        assert changed_words(remedy)


def test_those_without_a_new_stop_come_first_and_the_least_troublesome_before_others(file: Path) -> None:
    craft, found = finding(file, "pack-overdrawn")
    told = remedies(craft, found).found
    assert all(not remedy.findings.stops for remedy in told)
    assert [len(r.findings.new) for r in told] == sorted(len(r.findings.new) for r in told)


def test_a_fact_that_nothing_ends_is_said_to_stay(file: Path) -> None:
    craft, found = finding(file, "pack-care")
    told = remedies(craft, found)
    assert told.found == ()
    assert "none of the parts on the shelf" in remedy_summary(told)


def test_differences_are_those_of_the_written_craft(file: Path) -> None:
    """The weight that a thicker wire adds, by the ledger of the craft as written."""
    from rotorwright.search.fleet import fleet_of

    set_wire(file, 0, "gauge", "gauge_awg", 20)
    craft, found = finding(file, "lead-too-thin")
    remedy = remedies(craft, found).found[0]
    written = unweighed(changed_craft(file, file.read_text(), change_of(craft, remedy.move))[0])
    masses = fleet_of([unweighed(craft), written]).masses[:, 0]
    assert remedy.differences["weight"].value == pytest.approx(masses[1] - masses[0], rel=1e-12)
    assert remedy.differences["weight"].value > 0.0


def test_it_stops_when_nobody_waits_and_tells_how_far_it_is(file: Path) -> None:
    craft, found = finding(file, "pack-overdrawn")
    seen: list[Any] = []

    def watch(done: int, of: int) -> bool:
        seen.append((done, of))
        return done < 3

    with pytest.raises(Stopped):
        remedies(craft, found, watch)
    assert [done for done, _ in seen] == [0, 1, 2, 3]
    assert all(of > 50 for _, of in seen)
