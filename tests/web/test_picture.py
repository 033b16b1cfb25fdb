"""The picture and the list of grams under a hand and under keys, in a real browser."""

import re
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")


def opened(window: Any, name: str = "lapwing-3") -> Any:
    """The table page of a craft with its picture on screen."""
    window.goto(f"/craft/{name}")
    window.wait_for_function("document.querySelector('.rw-ghost svg') !== null")
    window.locator("rw-picture").scroll_into_view_if_needed()
    return window.locator("rw-picture")


def wait_for_bars(window: Any) -> None:
    window.locator("rw-picture .rw-bounds").first.wait_for(state="attached")


def point(window: Any, id: str) -> tuple[float, float]:
    """A point of a part's outline beside the middle line, where small marks lie."""
    box = window.locator(f'.is-bodies .p[data-id="{id}"]').first.bounding_box()
    return box["x"] + box["width"] / 4, box["y"] + 0.8 * box["height"]


def wait_for_picked(window: Any, id: str) -> None:
    window.wait_for_function("id => document.querySelector('rw-picture').dataset.picked === id", arg=id)


def place_of(file: Path, role: str) -> str:
    text = file.read_text(encoding="utf-8")
    found = re.search(r"at_mm = (\[.*?\])", text[text.index(f'role = "{role}"') :])
    assert found is not None
    return found[1]


def wait_for_place(window: Any, file: Path, role: str, place: str) -> None:
    for _ in range(100):
        if place_of(file, role) == place:
            return
        window.wait_for_timeout(100)
    raise AssertionError(f"{role} is at {place_of(file, role)}, not at {place}")


def drag(window: Any, start: tuple[float, float], way: tuple[float, float]) -> None:
    window.mouse.move(*start)
    window.mouse.down()
    window.mouse.move(start[0] + way[0] / 2, start[1] + way[1] / 2, steps=3)
    window.mouse.move(start[0] + way[0], start[1] + way[1], steps=3)


def test_a_click_picks_and_the_next_goes_deeper(window: Any) -> None:
    opened(window)
    x, y = point(window, "battery")
    window.mouse.click(x, y)
    wait_for_picked(window, "battery")
    window.mouse.click(x, y)
    window.wait_for_function("!['battery', ''].includes(document.querySelector('rw-picture').dataset.picked)")


def test_a_part_is_dragged_and_the_file_follows(window: Any, workshop: Path) -> None:
    picture = opened(window)
    file = workshop / "crafts" / "lapwing-3.toml"
    wait_for_bars(window)
    x, y = point(window, "battery")
    window.mouse.click(x, y)
    wait_for_picked(window, "battery")
    drag(window, point(window, "battery"), (3, 40))  # what is picked may have moved the page
    ghost = picture.locator("text.rw-moved")
    ghost.wait_for()
    assert " 0 left" in ghost.text_content()  # it keeps to the middle line
    window.mouse.up()
    moved = re.match(r"(\S+) ahead", ghost.text_content())
    assert moved is not None
    ahead = moved[1].replace("\u2212", "-")
    assert int(ahead) < -12
    wait_for_place(window, file, "battery", f"[{ahead}, 0, 33.5]")
    ghost.wait_for(state="detached")
    window.keyboard.press("z")
    wait_for_place(window, file, "battery", "[-6, 0, 33.5]")


def test_escape_drops_a_drag_and_what_is_fixed_says_so(window: Any, workshop: Path) -> None:
    picture = opened(window)
    x, y = point(window, "battery")
    drag(window, (x, y), (30, 30))
    picture.locator("text.rw-moved").wait_for()
    picture.focus()
    window.keyboard.press("Escape")
    picture.locator("text.rw-moved").wait_for(state="detached")
    window.mouse.up()
    drag(window, point(window, "motors"), (20, 0))
    window.locator(".rw-says", has_text="change the motor spacing").first.wait_for()
    window.mouse.up()
    assert place_of(workshop / "crafts" / "lapwing-3.toml", "battery") == "[-6, 0, 33.5]"


def test_keys_go_through_the_parts_and_move_the_picked_one(window: Any, workshop: Path) -> None:
    picture = opened(window)
    picture.focus()
    for key in ("Home", "ArrowRight", "ArrowRight", "ArrowRight", "ArrowRight"):
        window.keyboard.press(key)
    active = picture.get_attribute("aria-activedescendant")
    assert "battery" in window.locator(f"#{active}").get_attribute("aria-label")
    window.keyboard.press("Enter")
    wait_for_picked(window, "battery")
    window.keyboard.press("d")
    window.wait_for_function("document.querySelector('rw-picture').dataset.moving === 'yes'")
    picture.focus()
    window.keyboard.press("ArrowUp")
    window.keyboard.press("Shift+ArrowLeft")
    wait_for_place(window, workshop / "crafts" / "lapwing-3.toml", "battery", "[-5, 5, 33.5]")


def test_bars_and_edits_leave_a_drag_alone(window: Any, workshop: Path) -> None:
    """Somebody else edits the file while a hand holds a part: the ghost stays, and the release is written."""
    picture = opened(window)
    file = workshop / "crafts" / "lapwing-3.toml"
    wait_for_bars(window)
    x, y = point(window, "battery")
    drag(window, (x, y), (0, 40))
    picture.locator("text.rw-moved").wait_for()
    file.write_text(file.read_text(encoding="utf-8").replace("at_mm = [62, 0, -5]", "at_mm = [66, 0, -5]"))
    window.wait_for_function(
        "document.querySelector('.is-bodies .p[data-id=camera]').dataset.at === '66 0 -5'", timeout=20_000
    )
    assert picture.locator("text.rw-moved").count() == 1
    window.mouse.up()
    picture.locator("text.rw-moved").wait_for(state="detached")
    assert place_of(file, "battery") != "[-6, 0, 33.5]"
    assert "at_mm = [66, 0, -5]" in file.read_text(encoding="utf-8")


def test_sides_masses_and_the_price_of_a_gram(window: Any) -> None:
    picture = opened(window)
    for word, side in (("From the left", "left"), ("From ahead", "ahead"), ("From above", "above")):
        window.get_by_role("button", name=word).click()
        window.wait_for_function(f"document.querySelector('rw-picture').classList.contains('is-{side}')")
    window.get_by_role("button", name="Inertia").click()
    picture.locator(".rw-spread").wait_for()
    window.get_by_role("button", name="Mass", exact=True).click()
    picture.locator(".rw-label", has_text="battery 198 g").wait_for()
    boxes = picture.evaluate(
        "one => [...one.querySelectorAll('.rw-label')].filter(label => label.style.visibility === 'visible')"
        ".map(label => { const {x, y, right, bottom} = label.getBoundingClientRect(); return [x, y, right, bottom] })"
    )
    assert len(boxes) > 8
    for i, a in enumerate(boxes):
        for b in boxes[i + 1 :]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
    window.get_by_role("button", name="Price of a gram").click()
    picture.locator(".rw-label", has_text="bumpers").wait_for()
    window.get_by_text("A gram anywhere takes").wait_for()


def test_in_space_parts_are_picked_and_the_eye_turns(window: Any) -> None:
    opened(window)
    window.get_by_role("button", name="In space").click()
    scene = window.locator(".rw-scene")
    scene.wait_for()
    solids = "Object.values(getElement(document.querySelector('.rw-scene').id.slice(1)).scene.children).length"
    window.wait_for_function(f"{solids} > 20")
    window.wait_for_timeout(1200)  # the eye is on its way home
    box = scene.bounding_box()
    scene.click(position={"x": box["width"] / 2, "y": box["height"] / 2})
    window.wait_for_function("document.querySelector('rw-grams').dataset.picked !== ''")
    at = "() => getElement(document.querySelector('.rw-scene').id.slice(1)).camera.position.x"
    before = window.evaluate(at)
    window.locator("rw-space").focus()
    window.keyboard.press("ArrowLeft")
    window.wait_for_function(f"Math.abs(({at})() - {before}) > 0.1")
    window.get_by_role("button", name="Home", exact=True).click()
    window.wait_for_function(f"Math.abs(({at})() - {before}) < 0.01")


def test_grams_are_picked_and_found(window: Any) -> None:
    opened(window)
    window.locator('rw-grams button[data-id="motors"]').click()
    wait_for_picked(window, "motors")
    window.locator("rw-picture .rw-shine.is-picked").first.wait_for(state="attached")
    window.locator(".rw-gram-change", has_text="33.8 g").wait_for()
    window.keyboard.press("/")
    window.keyboard.type("esc")
    window.wait_for_function(
        "[...document.querySelectorAll('rw-grams li[data-row]')].filter(e => e.offsetParent).length === 1"
    )
    window.keyboard.press("Escape")
    window.keyboard.press("Escape")
    more = window.locator(".rw-gram-more button")
    more.click()
    window.locator('rw-grams button[data-id="grommets"]').wait_for()
    window.get_by_role("button", name="by kind").click()
    window.locator(".rw-gram.is-kind", has_text="screws").first.wait_for()


def test_a_broken_file_keeps_the_picture_until_it_is_mended(window: Any, workshop: Path) -> None:
    picture = opened(window)
    file = workshop / "crafts" / "lapwing-3.toml"
    whole = file.read_text(encoding="utf-8")
    file.write_text(whole.replace("[frame]", "[frame", 1))
    window.locator("rw-picture.is-stale").wait_for()
    window.get_by_text("lapwing-3.toml:").first.wait_for()
    file.write_text(whole)
    window.locator("rw-picture:not(.is-stale)").wait_for()
    assert picture.locator(".p").count() > 30


def test_a_craft_that_cannot_be_read_at_first(window: Any, workshop: Path) -> None:
    file = workshop / "crafts" / "new-1.toml"
    file.write_text('format = 1\nname = "New"\nwheels = 4\n')
    window.goto("/craft/new-1")
    window.get_by_text("It is drawn as soon as the file can be read.").wait_for()
    file.write_text((workshop / "crafts" / "lapwing-1.toml").read_text(encoding="utf-8"))
    window.locator("rw-picture .p").first.wait_for(timeout=20_000)
