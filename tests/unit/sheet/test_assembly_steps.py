"""The order of assembly: every part once, nothing soldered after it is covered, propellers last."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

import rotorwright.craft
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.sheet.assembly_places import Places
from rotorwright.sheet.assembly_steps import assembly_steps, joined_late
from rotorwright.sheet.assembly_words import Step, mm, told
from rotorwright.sheet.wiring_nets import wiring_plan

DEMO = sorted((Path(rotorwright.craft.__file__).parent / "demo_workshop" / "crafts").glob("*.toml"))
WREN = Path(__file__).parents[1] / "frame" / "wren.toml"
CRAFTS = [*DEMO, WREN]
LAPWING = next(file for file in DEMO if file.stem == "lapwing-1")

every_craft = pytest.mark.parametrize("file", CRAFTS, ids=lambda file: file.stem)


def step_of(steps: tuple[Step, ...], name: str) -> int:
    """Index of the step in which a part goes on."""
    return next(i for i, step in enumerate(steps) if any(p.id == name for p in step.parts))


def soldered_in(steps: tuple[Step, ...], number: int) -> int:
    """Index of the step that names a run of the wiring plan."""

    def numbers(step: Step) -> set[str]:
        return set(step.do.replace("(", " ").replace(")", " ").replace(",", " ").replace(":", " ").split())

    return next(i for i, step in enumerate(steps) if "of the wiring plan" in step.do and str(number) in numbers(step))


@every_craft
def test_every_part_goes_on_once(file: Path) -> None:
    craft = read_craft(file)
    placed = [id(part) for step in assembly_steps(craft) for part in step.parts]
    assert sorted(placed) == sorted(id(part) for part in craft.parts)


@every_craft
def test_a_board_is_in_before_the_board_that_covers_it(file: Path) -> None:
    craft = read_craft(file)
    steps, places = assembly_steps(craft), Places(craft)
    boards = [p for p in craft.parts if p.part.kind in ("speed-controller", "flight-controller", "video-transmitter")]
    covered = [(low, high) for low in boards for high in boards if places.covers(high, low)]
    assert covered
    for low, high in covered:
        assert step_of(steps, low.id) < step_of(steps, high.id)


@every_craft
def test_decks_close_after_the_first_power_and_boards_come_before(file: Path) -> None:
    craft = read_craft(file)
    steps, places = assembly_steps(craft), Places(craft)
    power = next(i for i, step in enumerate(steps) if step.title.startswith("First power"))
    assert places.closing
    for deck in places.closing:
        assert step_of(steps, deck.id) > power
    assert step_of(steps, "speed-controller") < power


@every_craft
def test_pack_leads_and_motors_are_soldered_before_the_flight_controller_covers_them(file: Path) -> None:
    craft = read_craft(file)
    steps, plan = assembly_steps(craft), wiring_plan(craft)
    for run in plan.runs:
        if run.start == "speed-controller" and run.end.startswith(("motor", "capacitor")):
            assert soldered_in(steps, plan.number(run)) < step_of(steps, "flight-controller")


@every_craft
def test_propellers_come_last_and_bench_checks_before_them(file: Path) -> None:
    steps = assembly_steps(read_craft(file))
    assert "Propellers" in steps[-1].title
    assert {p.role for p in steps[-1].parts} <= {"propeller", "propeller-nut", "propeller-screw", "screw"}
    turns = next(i for i, step in enumerate(steps) if "first turns" in step.title)
    assert turns < len(steps) - 1
    assert "off" in steps[turns].do


@every_craft
def test_each_step_says_why_now(file: Path) -> None:
    for step in assembly_steps(read_craft(file)):
        assert step.why
        assert step.do.endswith(".")


def test_long_screws_go_in_before_what_stands_on_the_base() -> None:
    steps = assembly_steps(read_craft(LAPWING))
    assert step_of(steps, "stack-screws") == step_of(steps, "main-deck") < step_of(steps, "speed-controller")
    assert step_of(steps, "stack-nuts") == step_of(steps, "flight-controller")


def test_a_flight_controller_beside_the_stack_covers_nothing() -> None:
    """With the flight controller moved away the speed controller's reason is gone too."""
    text = LAPWING.read_text(encoding="utf-8")
    moved = text.replace("at_mm = [0, 0, -4]", "at_mm = [0, 60, -4]", 1)
    steps = assembly_steps(read_craft(LAPWING, text=moved))
    why = steps[step_of(steps, "speed-controller")].why
    assert "flight-controller lies over it" not in why
    assert "flight-controller lies over it" in " ".join(s.why for s in assembly_steps(read_craft(LAPWING)))


def test_the_pack_is_never_soldered() -> None:
    craft = read_craft(WREN)
    plan = wiring_plan(craft)
    (lead,) = [plan.number(run) for run in plan.runs if run.start == "battery"]
    for step in assembly_steps(craft):
        assert f"Solder or plug wire {lead} " not in step.do
        assert f"wires {lead}," not in step.do
    assert any("none is on the list" in step.do for step in assembly_steps(craft))


def test_a_bare_craft_has_steps_too(small_craft: Callable[..., Craft]) -> None:
    craft = small_craft()
    steps = assembly_steps(craft)
    assert sorted(p.id for step in steps for p in step.parts) == sorted(p.id for p in craft.parts)
    assert step_of(steps, "motors") < step_of(steps, "pack") < step_of(steps, "propeller")


def test_words() -> None:
    part = read_craft(LAPWING).parts[0]
    assert told([replace(part, id="a", count=1), replace(part, id="b", count=4)]) == "a, 4 \u00d7 b"
    assert (mm(0.0025), mm(0.03)) == ("2.5 mm", "30 mm")


def test_only_carbon_is_sealed() -> None:
    """Polycarbonate propellers are no carbon."""
    steps = assembly_steps(read_craft(WREN))
    assert steps[0].title == "Prepare"
    assert "top-deck" in steps[0].do
    assert "propeller" not in steps[0].do


@pytest.mark.parametrize(
    "name, late", [("lapwing-1", []), ("lapwing-4", ["recording-camera"]), ("curlew-1", ["satellite-positioning"])]
)
def test_what_is_joined_after_the_first_power(name: str, late: list[str]) -> None:
    """By hand, from where these sit: on the top deck, and fed from below it."""
    craft = read_craft(LAPWING.with_stem(name))
    assert [placed.id for placed in joined_late(craft)] == late
    steps = assembly_steps(craft)
    first = next(step for step in steps if step.title.startswith("First power"))
    outside = next(step for step in steps if step.title == "What sits outside")
    for one in late:
        assert f"{one} is not joined yet" in first.do.lower()
        assert f"Join the wires of {one}" in outside.do
    assert ("Power again" in outside.do) == bool(late)


@every_craft
def test_solder_is_laid_out_before_it_is_used(file: Path) -> None:
    steps = assembly_steps(read_craft(file))
    assert not [step for step in steps if step.title == "Also on the list"]
    solder = [i for i, step in enumerate(steps) for p in step.parts if p.role == "solder"]
    assert set(solder) <= {0}


def test_an_antenna_plugged_on_for_the_first_power_is_fixed_later() -> None:
    steps = assembly_steps(read_craft(LAPWING))
    plugged = next(i for i, step in enumerate(steps) if "video-antenna hangs loose" in step.do)
    assert plugged < step_of(steps, "video-antenna")
    assert "Fix video-antenna, plugged on already" in steps[step_of(steps, "video-antenna")].do


def test_two_straps_are_told_as_two() -> None:
    assert "Each strap is 250 mm long" in " ".join(
        s.do for s in assembly_steps(read_craft(LAPWING.with_stem("curlew-1")))
    )


def test_what_is_seen_of_the_propellers_is_how_they_are_held() -> None:
    """Five inches sit on nuts, three inches on two screws each."""
    for name, words in (("lapwing-1", "nuts past their locks"), ("sanderling-1", "screws seated")):
        craft = read_craft(LAPWING.with_stem(name))
        assert assembly_steps(craft)[-1].expect == f"marked side up, leading edges forward, {words}"


def test_an_antenna_alone_outside_is_fixed_and_not_put_on_twice() -> None:
    steps = assembly_steps(read_craft(LAPWING.with_stem("sanderling-1")))
    outside = next(step for step in steps if step.title == "What sits outside")
    assert outside.do == "Fix video-antenna, plugged on already."
