"""The wiring plan in the sheet: well-formed pictures, a row for every wire, words for what is missing."""

import re
from collections.abc import Callable
from dataclasses import fields
from pathlib import Path
from xml.etree import ElementTree

import pytest

import rotorwright.craft
from rotorwright.checks import check
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.predict.report import report
from rotorwright.sheet import wiring
from rotorwright.sheet.blocks import Figure, Listing, Table
from rotorwright.sheet.verdict import Verdict
from rotorwright.sheet.wiring_motors import motors_svg
from rotorwright.sheet.wiring_nets import wiring_plan
from rotorwright.sheet.wiring_svg import wiring_svg

DEMO = Path(rotorwright.craft.__file__).parent / "demo_workshop" / "crafts"
SVG = "{http://www.w3.org/2000/svg}"


def told(craft: Craft) -> Verdict:
    """A verdict with what these sections read."""
    nothing = dict.fromkeys((field.name for field in fields(Verdict)), None)
    return Verdict(**nothing | {"report": report(craft, 0), "checks": check(craft, 0)})  # type: ignore[arg-type]


def words(svg: str) -> list[str]:
    return [text.text or "" for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_every_wire_has_its_row_and_its_number_in_both_pictures() -> None:
    craft = read_craft(DEMO / "lapwing-3.toml")
    plan = wiring_plan(craft)
    blocks = wiring.blocks(craft, told(craft))
    table = next(block for block in blocks if isinstance(block, Table))
    assert [row[0] for row in table.rows] == [str(i + 1) for i in range(len(plan.runs))]
    picture = next(block for block in blocks if isinstance(block, Figure)).svg
    for group in ElementTree.fromstring(picture).iter(f"{SVG}g"):
        if group.get("class") in ("wide", "narrow"):
            shown = {text.text for text in group.iter(f"{SVG}text")}
            assert {str(i + 1) for i in range(len(plan.runs))} <= shown


def test_the_narrow_picture_is_hidden_until_the_page_is_narrow() -> None:
    craft = read_craft(DEMO / "lapwing-1.toml")
    root = ElementTree.fromstring(wiring_svg(wiring_plan(craft), "t"))
    groups = {group.get("class"): group for group in root.iter(f"{SVG}g") if group.get("class")}
    assert groups["narrow"].get("display") == "none"
    assert groups["wide"].get("display") is None
    fold = "".join(style.text or "" for style in root.iter(f"{SVG}style"))
    wide, tall = (float(root.get(side, "0")) for side in ("width", "height"))
    near = [int(number) for number in re.findall(r"aspect-ratio:(\d+)/1000", fold)]
    # an image of its own keeps the wide picture's shape, and so must keep that picture
    assert near[0] < 1000 * wide / tall < near[1]
    assert near[1] < 1.05 * near[0]


def test_conductors_are_told_apart_without_colour() -> None:
    craft = read_craft(DEMO / "lapwing-3.toml")
    root = ElementTree.fromstring(wiring_svg(wiring_plan(craft), "t"))
    styles = {
        (path.get("stroke-dasharray"), path.get("stroke-width"))
        for path in root.iter(f"{SVG}path")
        if path.get("stroke") not in (None, "#ffffff")
    }
    assert len(styles) >= 5
    assert {"plus (+)", "ground (\u2212)", "signal", "three motor phases", "coaxial"} <= set(
        words(wiring_svg(wiring_plan(craft), "t"))
    )


def test_names_of_a_user_do_not_break_the_picture() -> None:
    file = DEMO / "lapwing-1.toml"
    text = file.read_text(encoding="utf-8").replace('name = "Lapwing"', 'name = "<A & \\"B\\">"', 1)
    text = text.replace('role = "receiver"', 'role = "receiver"\nid = "<script>&"', 1)
    text = text.replace('to = "receiver.supply"', 'to = "<script>&.supply"', 1)
    craft = read_craft(file, text=text)
    assert "<script>&" in words(wiring_svg(wiring_plan(craft), craft.title.full))
    picture = motors_svg(craft, craft.title.full)
    assert picture is not None
    assert ElementTree.fromstring(picture).find(f"{SVG}title") is not None


def test_what_is_missing_is_listed() -> None:
    craft = read_craft(Path(__file__).parents[1] / "frame" / "wren.toml")
    lists = [block for block in wiring.blocks(craft, told(craft)) if isinstance(block, Listing)]
    assert "nothing is said to feed camera" in lists[0].items
    assert len(set(lists[0].items)) == len(lists[0].items)


def test_a_craft_without_wiring_says_so(small_craft: Callable[..., Craft]) -> None:
    craft = small_craft()
    blocks = wiring.blocks(craft, told(craft))
    assert not [block for block in blocks if isinstance(block, Figure) and "Wiring" in block.alt]


@pytest.mark.parametrize("layout", ["x", "y-coaxial", "y-splayed", "hexagon", "octagon"])
def test_every_motor_is_named_with_its_spin(layout: str) -> None:
    file = DEMO / "lapwing-1.toml"
    text = file.read_text(encoding="utf-8").replace('layout = "x"', f'layout = "{layout}"', 1)
    craft = read_craft(file, text=text)
    picture = motors_svg(craft, "t")
    assert picture is not None
    said = " ".join(words(picture)).replace("counter- clockwise", "counter-clockwise")
    assert said.count("counter-clockwise") == sum(motor.spin > 0 for motor in craft.motors)
    assert said.count("clockwise") == len(craft.motors)
    for motor in craft.motors:
        assert motor.name.replace("-", " ").split()[0] in said


def test_outputs_have_no_numbers_but_those_of_the_file() -> None:
    """Firmware numbers are the user's: a blank to fill in, or the outlet a stated wire names."""
    file = DEMO / "lapwing-1.toml"
    wire = '\n[[wire]]\nfrom = "speed-controller.M7"\nto = "motors.rear-left"\ngauge_awg = 18\nlength_mm = 90\n'
    craft = read_craft(file, text=file.read_text(encoding="utf-8") + wire)
    table = [block for block in wiring.blocks(craft, told(craft)) if isinstance(block, Table)][-1]
    joined = {row[0]: row[2] for row in table.rows}
    assert joined["rear left"] == "speed controller, M7"
    assert joined["front left"] == "speed controller"
    assert {row[3] for row in table.rows} == {"____"}
