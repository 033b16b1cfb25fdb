"""The demo workshop: four versions of one invented craft and two others, that load, argue and hang together."""

from pathlib import Path

import pytest

from rotorwright.checks import check
from rotorwright.craft.model import Craft
from rotorwright.craft.placing import LAYOUT_ROLES
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.frame.drawn import piece_of
from rotorwright.parts.estimate import Basis
from rotorwright.parts.laws import completed
from rotorwright.parts.propulsion import Battery, Motor, Propeller
from rotorwright.parts.shelf import read_shelf
from rotorwright.parts.source_map import read_toml

FILES = sorted((DEMO / "crafts").glob("*.toml"))
LAPWINGS = [file for file in FILES if file.stem.startswith("lapwing")]
NEWEST = ["curlew-1", "lapwing-4", "sanderling-1"]
VERSIONS = pytest.mark.parametrize("file", FILES, ids=[file.stem for file in FILES])


def total_grams(craft: Craft) -> float:
    masses = [completed(placed.part).mass for placed in craft.parts]
    assert all(masses)
    return sum(m.value * placed.count * 1e3 for m, placed in zip(masses, craft.parts, strict=True) if m)


def test_there_are_four_versions_each_after_the_other_and_two_more_craft() -> None:
    previous = [read_craft(file).title.previous for file in LAPWINGS]
    assert previous == ["", "lapwing-1.toml", "lapwing-2.toml", "lapwing-3.toml"]
    assert [read_craft(file).title.version for file in LAPWINGS] == ["1", "2", "3", "4"]
    assert sorted({file.stem for file in FILES} - {file.stem for file in LAPWINGS}) == ["curlew-1", "sanderling-1"]


@pytest.mark.parametrize("name", NEWEST)
def test_the_newest_versions_draw_their_frames_and_leave_no_stop(name: str) -> None:
    craft = read_craft(DEMO / "crafts" / f"{name}.toml")
    assert craft.frame.arm is not None
    assert any(piece_of(placed.part) for placed in craft.with_role("deck"))
    assert [
        finding.code for finding in check(craft).findings if finding.severity == "stop" and not finding.waived
    ] == []


@VERSIONS
def test_it_says_that_it_is_invented(file: Path) -> None:
    assert file.read_text(encoding="utf-8").startswith("# An invented craft")
    assert "Invented" in read_craft(file).title.note


@VERSIONS
def test_every_part_says_why_and_where(file: Path) -> None:
    craft = read_craft(file)
    taken = [placed for placed in craft.parts if piece_of(placed.part) is None]  # a drawing argues in comments
    assert [placed.id for placed in taken if len(placed.why) < 20] == []
    assert [placed.id for placed in taken if placed.assumed and placed.role not in LAYOUT_ROLES] == []


@VERSIONS
def test_nothing_is_missing_to_fly_and_film(file: Path) -> None:
    roles = {placed.role for placed in read_craft(file).parts}
    needed = "motor propeller speed-controller flight-controller battery receiver video-transmitter video-antenna"
    frame = "camera deck standoff screw nut grommet strap capacitor buzzer"
    assert set((needed + " " + frame).split()) <= roles
    assert "arm" in roles
    if file in LAPWINGS:
        assert {"camera-mount", "recording-camera", "arm-bumper"} <= roles


@VERSIONS
def test_every_feed_ends_at_a_rail_that_exists(file: Path) -> None:
    craft = read_craft(file)
    rails = {f"{p.id}.{output.name}" for p in craft.parts for output in getattr(p.part, "outputs", ())}
    fed = {placed.fed_from for placed in craft.parts if placed.fed_from}
    assert fed <= rails | {"battery.lead"}
    ids = {placed.id for placed in craft.parts}
    assert {end.split(".")[0] for wire in craft.wires for end in (wire.from_, wire.to)} <= ids


@VERSIONS
def test_motors_propellers_and_cells_go_together(file: Path) -> None:
    craft = read_craft(file)
    motor, propeller, battery = (craft.the(role) for role in ("motor", "propeller", "battery"))
    assert motor and propeller and battery
    assert (
        isinstance(motor.part, Motor) and isinstance(propeller.part, Propeller) and isinstance(battery.part, Battery)
    )
    assert motor.part.cells_min <= battery.part.cells <= motor.part.cells_max  # type: ignore[operator]
    assert motor.part.shaft.value == propeller.part.bore.value  # type: ignore[union-attr]
    assert motor.part.propeller_mount == propeller.part.mount


@VERSIONS
def test_the_centre_of_mass_is_within_5_mm_of_the_middle(file: Path) -> None:
    """5 mm at 78 mm of lever is 6 % of hover thrust between front and rear: what a careful builder accepts."""
    craft = read_craft(file)
    weight = x = y = 0.0
    for placed in craft.parts:
        each = completed(placed.part).mass.value * placed.count / len(placed.places)  # type: ignore[union-attr]
        for place in placed.places:
            weight, x, y = weight + each, x + each * place.x, y + each * place.y
    assert abs(x / weight) < 0.005
    assert abs(y / weight) < 0.005


def test_the_weighing_agrees_with_the_sum_of_the_parts() -> None:
    craft = read_craft(DEMO / "crafts" / "lapwing-3.toml")
    assert craft.weighed.all_up is not None
    rest = craft.weighed.all_up.value * 1e3 - total_grams(craft)
    assert 3.0 < rest < 15.0  # wire runs, heat-shrink and glue
    weighed = [p.id for p in craft.parts if p.part.mass and p.part.mass.basis is Basis.WEIGHED]
    assert {"motors", "propellers", "arms", "battery", "recording-camera"} <= set(weighed)


def test_each_version_is_lighter_than_the_one_before() -> None:
    totals = [total_grams(read_craft(file)) for file in LAPWINGS]
    assert totals == sorted(totals, reverse=True)


def test_own_shelf_says_that_it_is_invented() -> None:
    own = read_shelf(DEMO / "shelf")
    used = {entry["use"] for file in FILES for entry in read_toml(file)[0]["part"]}
    assert len(own) >= 4
    assert {part.name for part in own} <= used
    assert "invented" in (DEMO / "shelf" / "own.toml").read_text(encoding="utf-8")
