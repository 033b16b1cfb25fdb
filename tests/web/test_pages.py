"""The workbench in a real browser: pages open, a change made anywhere shows everywhere, nothing is overwritten."""

import re
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")


def _expect(locator: Any) -> Any:
    from playwright.sync_api import expect

    return expect(locator)


def test_every_craft_of_the_workshop_is_listed_and_opens(window: Any) -> None:
    window.goto("/")
    window.get_by_role("link", name=re.compile("^Lapwing")).first.click()
    window.get_by_role("heading", name=re.compile("Lapwing")).wait_for()
    _expect(window.locator(".rw-story")).to_contain_text("It weighs")


def test_a_number_says_how_it_came_about(window: Any) -> None:
    window.goto("/craft/lapwing-3")
    window.locator(".rw-story .rw-number").nth(2).click()
    _expect(window.locator(".rw-origin")).to_contain_text("Model")
    _expect(window.locator(".rw-origin")).to_contain_text("%", timeout=20_000)


def test_an_edit_made_elsewhere_shows_in_every_window(window: Any, workshop: Path) -> None:
    other = window.context.new_page()
    for page in (window, other):
        page.goto("/craft/lapwing-1")
        _expect(page.locator(".rw-story")).to_contain_text("It weighs")
    file = workshop / "crafts" / "lapwing-1.toml"
    file.write_text(
        file.read_text()
        .replace('version = "1"', 'version = "1"\nnote = "edited in an editor"', 1)
        .replace('note = "Invented', '# note = "Invented')
    )
    for page in (window, other):
        _expect(page.locator(".rw-note")).to_have_text("edited in an editor", timeout=15_000)


def test_a_broken_file_says_where_and_recovers(window: Any, workshop: Path) -> None:
    window.goto("/craft/lapwing-2")
    file = workshop / "crafts" / "lapwing-2.toml"
    good = file.read_text()
    _expect(window.locator(".rw-story")).to_contain_text("It weighs")
    file.write_text(good + "\nthis is not toml\n")
    _expect(window.get_by_role("alert")).to_contain_text("lapwing-2.toml:", timeout=15_000)
    file.write_text(good)
    _expect(window.locator(".rw-story")).to_contain_text("It weighs", timeout=15_000)
    _expect(window.get_by_role("alert")).to_have_count(0)


def test_a_finding_is_accepted_with_a_reason_and_that_is_undone_by_a_key(window: Any, workshop: Path) -> None:
    window.goto("/craft/lapwing-1")
    file = workshop / "crafts" / "lapwing-1.toml"
    before = file.read_text()
    finding = window.locator('.rw-finding[data-code="lead-too-thin"]')
    finding.locator("summary").click()
    finding.get_by_role("button", name="Accept with a reason").click()
    window.get_by_label("Why it is all right here").fill("full throttle lasts a second")
    window.get_by_role("button", name="Accept", exact=True).click()
    _expect(finding).to_have_count(0, timeout=15_000)
    assert "full throttle lasts a second" in file.read_text()
    window.locator("h1").click()
    window.keyboard.press("z")
    _expect(finding).to_have_count(1, timeout=15_000)
    assert file.read_text() == before


def test_a_frame_number_is_previewed_then_written_and_undone(window: Any, workshop: Path) -> None:
    window.goto("/craft/lapwing-3/frame")
    file = workshop / "crafts" / "lapwing-3.toml"
    before = file.read_text()
    _expect(window.locator(".rw-frame-picture .rw-story")).to_contain_text("apart", timeout=20_000)
    exact = window.locator(".rw-frame-number input").first
    exact.fill("240")
    exact.press("Enter")
    exact.blur()
    _expect(window.get_by_role("button", name="Undo")).to_be_enabled(timeout=15_000)
    assert "motor_spacing_mm = 240" in file.read_text()
    window.get_by_role("button", name="Undo").click()
    _expect(window.locator(".rw-frame-number input").first).to_have_value("222", timeout=15_000)
    assert file.read_text() == before


def test_versions_are_set_against_each_other(window: Any) -> None:
    window.goto("/craft/lapwing-3/compare")
    table = window.locator(".rw-changes")
    _expect(table).to_contain_text("recording-camera", timeout=30_000)
    _expect(table).to_contain_text("all together")


def test_the_camera_is_tilted_by_its_number(window: Any, workshop: Path) -> None:
    window.goto("/craft/lapwing-3/view")
    tilt = window.locator(".rw-tilt input[type=number]").first
    tilt.fill("30")
    tilt.press("Enter")
    tilt.blur()
    _expect(window.get_by_role("button", name="Undo")).to_be_enabled(timeout=15_000)
    assert "tilt_deg = 30" in (workshop / "crafts" / "lapwing-3.toml").read_text()


@pytest.mark.parametrize("address", ["/craft/nothing", "/craft/lapwing-3/nothing", "/craft/..%2Fshelf%2Fown"])
def test_nothing_but_the_workshops_craft_is_reachable(server: str, address: str) -> None:
    from urllib.error import HTTPError
    from urllib.request import urlopen

    with pytest.raises(HTTPError) as refused:
        urlopen(server + address)
    assert refused.value.code == 404
    refused.value.close()
