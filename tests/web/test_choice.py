"""Choosing on the table page: a part is picked, its values are told better, another one takes its place."""

import contextlib
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import TimeoutError

from rotorwright.craft.model import PlacedPart
from rotorwright.craft.read import read_craft

pytestmark = pytest.mark.xdist_group("browser")


@pytest.fixture
def file(workshop: Path) -> Path:
    return workshop / "crafts" / "lapwing-3.toml"


@pytest.fixture
def table(window: Any, file: Path) -> Any:
    """The table page with its picker in reach."""
    window.goto("/craft/lapwing-3")
    window.get_by_label("Pick a part").wait_for()
    return window


def pick(window: Any, id: str) -> None:
    window.get_by_label("Pick a part").select_option(id)
    window.get_by_role("heading", name="What is known of it").wait_for()


def placed(file: Path, id: str) -> PlacedPart:
    return next(p for p in read_craft(file).parts if p.id == id)


def said(window: Any, text: str | re.Pattern[str]) -> None:
    """Wait for the bar that tells what was done, and for its end: it lies over the foot of the page."""
    window.locator(".q-notification", has_text=text).first.wait_for()


def undo(window: Any, text: str, file: Path) -> None:
    """By the key, from wherever the hand is not typing; again if the button was just being drawn anew."""
    now = file.read_text()
    told = window.locator(".q-notification", has_text=f"taken back: {text}").first
    for _ in range(3):
        window.evaluate("document.activeElement.blur()")
        window.keyboard.press("z")
        with contextlib.suppress(TimeoutError):
            told.wait_for(timeout=10_000)
            return
        assert file.read_text() == now, "taken back without a word"
    raise AssertionError(f"'{text}' was not taken back")


def test_a_weighing_is_written_with_basis_and_scatter_and_undone_by_one_key(table: Any, file: Path) -> None:
    before = file.read_text()
    pick(table, "battery")
    row = table.locator("details[data-keep='known:battery:mass']")
    mass, sd = row.get_by_label("mass", exact=True), row.get_by_label("standard deviation of mass")
    row.locator("summary").press("Enter")
    row.get_by_label("unit of mass").select_option("oz")
    assert mass.input_value() == "6.99835"  # 198.4 g / 28.349523125: what stands is said in the new unit
    mass.fill("199.1")
    row.get_by_label("unit of mass").select_option("g")
    assert mass.input_value() == "199.1"  # what was typed is left alone
    sd.fill("heavy")
    sd.press("Enter")
    said(table, "sd of mass: 'heavy' is not a number")
    assert (file.read_text(), sd.input_value()) == (before, "heavy")
    sd.fill("0.3")
    row.get_by_label("basis of mass").select_option("weighed")
    sd.press("Enter")
    said(table, "battery: mass_g")
    assert 'mass_g = { value = 199.1, basis = "weighed", sd = 0.3 }' in file.read_text()
    row.filter(has_text="weighed, here").wait_for()
    table.wait_for_function(
        "document.activeElement.closest('summary') !== null"
    )  # closed, and the hand is still there
    row.locator("summary").press("Enter")
    row.get_by_role("button", name="Back to the shelf's 198.4").click()
    said(table, "mass as on the shelf")
    assert file.read_text() == before
    undo(table, "battery: mass as on the shelf", file)
    undo(table, "battery: mass_g", file)
    assert file.read_text() == before


def test_place_feed_tilt_and_reason_are_written_as_the_hand_goes_on(table: Any, file: Path) -> None:
    pick(table, "camera")
    table.get_by_label("x, forward, in mm").fill("60")
    table.keyboard.press("Tab")
    table.keyboard.type("1.5")
    said(table, "camera: at_mm = [60, 0, -5]")
    assert table.get_by_label("y, left, in mm").input_value() == "1.5"  # what was being typed stays under the hand
    assert table.evaluate("document.activeElement.name") == "y"
    table.keyboard.press("Enter")
    said(table, "camera: at_mm = [60, 1.5, -5]")
    table.get_by_label("fed from").select_option("flight-controller.5V")
    said(table, "camera: fed_from")
    table.get_by_label("tilt above forward").fill("22")
    table.get_by_label("tilt above forward").press("Enter")
    said(table, "camera: tilt_deg = 22")
    table.get_by_label("Why this one").fill("It sees <b>under</b> branches.")
    table.get_by_label("Why this one").press("Enter")
    said(table, "camera: why")
    camera = placed(file, "camera")
    assert camera.places[0].y == pytest.approx(0.0015)
    assert (camera.fed_from, camera.why) == ("flight-controller.5V", "It sees <b>under</b> branches.")
    table.get_by_label("Pick a part").select_option("battery")
    table.get_by_label("Pick a part").select_option("camera")
    table.locator("textarea", has_text="It sees <b>under</b> branches.").wait_for()


def test_others_show_what_they_would_change_and_one_is_put_on_and_taken_back(table: Any, file: Path) -> None:
    before = file.read_text()
    pick(table, "receiver")
    table.get_by_role("heading", name="Every other receiver").wait_for()
    table.get_by_text("below each difference its").wait_for(timeout=30_000)  # the bars have come
    rows = table.locator(".ch-swap:not(.is-present)")
    assert rows.count() == 5
    words = rows.first.locator(".ch-cells").inner_text()
    assert "\u2026" in words
    rows.first.locator("summary").click()
    rows.first.get_by_text(re.compile("Gains:|Costs:|No telling:")).wait_for()
    name = rows.first.locator("summary").evaluate("e => e.firstChild.textContent")
    rows.first.get_by_role("button", name="Put").press("Enter")
    said(table, f"receiver: {name} instead of")
    assert placed(file, "receiver").part.name == name
    table.get_by_role("heading", name=name, exact=True).wait_for()
    undo(table, f"receiver: {name}", file)
    assert file.read_text() == before


def test_the_list_is_sorted_filtered_and_held_on_an_equal_basis(table: Any) -> None:
    pick(table, "battery")
    rows = table.locator(".ch-swap:not(.is-present)")
    table.get_by_role("button", name=re.compile("all [0-9]+")).wait_for()
    assert rows.count() == 12
    table.get_by_label("filter by words").fill("li-ion")
    table.wait_for_function(
        "[...document.querySelectorAll('.ch-swap summary')].every(e => /li-ion/.test(e.innerText))"
    )
    table.get_by_label("sorted by").select_option("weight")
    table.get_by_text("best all-up weight first").wait_for()
    table.get_by_label("equal basis").select_option("energy")
    table.get_by_text("At equal energy:").wait_for(timeout=30_000)
    table.get_by_label("filter by words").fill("no such words")
    table.get_by_text("No other one on any shelf fits these words.").wait_for()


def test_a_missing_part_is_told_found_by_its_abbreviation_and_added_by_keys(table: Any, file: Path) -> None:
    pick(table, "receiver")
    table.get_by_role("button", name="Take it off the craft").press("Enter")
    said(table, "receiver taken off")
    table.get_by_role("button", name="Add a receiver").wait_for()
    table.evaluate("document.activeElement.blur()")
    table.keyboard.press("a")
    table.keyboard.type("RX diversity")
    table.locator(".ch-found-block", has_text="1 found").wait_for()
    table.keyboard.press("ArrowDown")
    table.keyboard.press("Enter")
    said(table, "put on as receiver")
    assert "diversity" in placed(file, "receiver").part.name
    table.get_by_text("Nobody has said where").wait_for()
    assert table.get_by_label("Pick a part").input_value() == "receiver"
    # what a craft has one of is replaced
    table.get_by_label("Add a part").fill("lipo 1300")
    table.locator(".ch-found button", has_text="in place of own-pack-b").first.click()
    said(table, "instead of own-pack-b")
    assert placed(file, "battery").part.name != "own-pack-b"


def test_what_the_frame_draws_is_shown_and_not_edited_here(table: Any, workshop: Path) -> None:
    craft = next(f for f in sorted((workshop / "crafts").glob("*.toml")) if read_craft(f).frame.draws)
    drawn = next(p for p in read_craft(craft).parts if p.key[:1] == ("frame",))
    table.goto(f"/craft/{craft.stem}")
    table.get_by_label("Pick a part").wait_for()
    pick(table, drawn.id)
    table.get_by_text("The frame draws it").wait_for()
    assert table.get_by_role("button", name="Take it off the craft").count() == 0
