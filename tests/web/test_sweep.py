"""One number varied, then two, on the page."""

import re
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")


def picture(window: Any, words: str) -> Any:
    return window.get_by_role("img", name=re.compile(words))


def test_a_number_of_the_picked_part_is_varied_and_then_a_second_one(window: Any) -> None:
    from playwright.sync_api import expect

    window.goto("/craft/lapwing-3")
    window.get_by_label("Pick a part").select_option("battery")
    window.locator(".ch-known", has_text="capacity").first.locator("summary").click()
    window.get_by_role("link", name="What if it were another?").click()
    window.wait_for_url("**/craft/lapwing-3/sweep?vary=battery.capacity")
    expect(picture(window, "Lapwing 3")).to_be_visible(timeout=60_000)
    expect(window.get_by_text("Best flight time as flown at battery capacity")).to_be_visible()
    window.get_by_label("to mAh").fill("900")
    window.get_by_text("The same in figures").click()
    rows = window.locator("table tbody tr")
    expect(rows.last.locator("th")).to_have_text("900", timeout=60_000)
    assert rows.first.locator("th").inner_text() == "700"
    expect(rows.first.locator("td").first).to_have_text(re.compile(r"^\d+ \(\d+–\d+\)$"), timeout=60_000)
    window.get_by_text("and a second one").click()
    expect(rows.first.locator("th")).to_have_count(2, timeout=60_000)
    expect(window.get_by_text(re.compile("battery capacity 900 mAh and propellers pitch"))).to_be_visible()


def test_a_range_that_is_none_is_said_in_words_and_the_next_one_is_drawn(window: Any) -> None:
    from playwright.sync_api import expect

    window.goto("/craft/lapwing-3/sweep?vary=nobody.knows")
    expect(window.get_by_text("Best flight time as flown at propellers pitch")).to_be_visible(timeout=60_000)
    window.get_by_label("step in").fill("0")
    expect(window.get_by_text("Give low, high and a step above zero")).to_be_visible(timeout=60_000)
    window.get_by_label("step in").fill("0.00001")
    expect(window.get_by_text("At most 2000; take a larger step")).to_be_visible(timeout=60_000)
    window.get_by_label("step in").fill("0.5")
    expect(window.get_by_text("Best flight time as flown at propellers pitch")).to_be_visible(timeout=60_000)


def test_an_edit_elsewhere_is_followed(window: Any, workshop: Any) -> None:
    from playwright.sync_api import expect

    file = workshop / "crafts" / "lapwing-3.toml"
    window.goto("/craft/lapwing-3/sweep?vary=site.altitude_m")
    expect(window.get_by_text("altitude: 420")).to_be_visible(timeout=60_000)
    file.write_text(file.read_text().replace("altitude_m = 420", "altitude_m = 1250"))
    expect(window.get_by_text("altitude: 1250")).to_be_visible(timeout=60_000)
