"""A finding ended by one press on a remedy, and brought back by undo."""

from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")


def test_a_remedy_is_found_done_and_taken_back(window: Any, workshop: Path) -> None:
    from playwright.sync_api import expect

    file = workshop / "crafts" / "lapwing-3.toml"
    text = file.read_text().replace("tilt_deg = 18", "tilt_deg = 55")
    file.write_text(text)
    window.goto("/craft/lapwing-3")
    finding = window.locator(".rw-finding[data-code=camera-tilt]")
    finding.locator("summary").click()
    finding.get_by_role("button", name="What would end it?").click()
    expect(finding.get_by_role("status")).to_contain_text("Trying other parts and settings")
    do = finding.get_by_role("button", name="Do it: Set tilt_deg of camera to 45", exact=True)
    do.click(timeout=60_000)
    expect(finding).to_have_count(0, timeout=60_000)
    assert file.read_text() == text.replace("tilt_deg = 55", "tilt_deg = 45")
    window.get_by_role("button", name="Undo").click()
    expect(finding).to_have_count(1, timeout=60_000)
    assert file.read_text() == text


def test_a_fact_that_nothing_ends_is_told_so(window: Any) -> None:
    from playwright.sync_api import expect

    window.goto("/craft/lapwing-3")
    finding = window.locator(".rw-finding[data-code=pack-care]")
    finding.locator("summary").click()
    finding.get_by_role("button", name="What would end it?").click()
    expect(finding.get_by_role("status")).to_contain_text("none of the parts on the shelf", timeout=60_000)


@pytest.mark.parametrize(
    ("scheme", "accent", "soft"),
    [("light", (0, 105, 158), (91, 100, 107)), ("dark", (111, 187, 232), (162, 169, 174))],
)
def test_buttons_take_the_colours_of_the_page_by_day_and_by_night(
    browser: Any, shared: Any, scheme: str, accent: tuple[int, ...], soft: tuple[int, ...]
) -> None:
    """The framework marks its own colours as important; in the dark they would be too faint to read."""
    context = browser.new_context(base_url=shared.address, color_scheme=scheme)
    page = context.new_page()
    page.goto("/craft/lapwing-3", timeout=120_000)
    page.locator(".rw-finding summary").first.click()
    for name, colour in (("What would end it?", accent), ("Undo", soft)):
        button = page.get_by_role("button", name=name).first
        button.wait_for(timeout=60_000)
        assert button.evaluate("e => getComputedStyle(e).color") == f"rgb{colour}"
    context.close()
