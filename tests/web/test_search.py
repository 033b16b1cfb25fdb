"""A search asked on the page: its front, and a craft made from it."""

import re
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")


def test_a_search_finds_a_front_and_a_craft_is_opened_from_it(window: Any, workshop: Path) -> None:
    from playwright.sync_api import expect

    window.goto("/craft/lapwing-3/search")
    window.get_by_role("checkbox", name=re.compile("^propellers")).click()
    window.get_by_role("button", name="Search", exact=True).click()
    expect(window.get_by_text("are beaten by no other")).to_be_visible(timeout=120_000)
    window.get_by_role("button", name="craft 1", exact=True).click()
    window.get_by_label("name of its file").fill("found one")
    window.get_by_role("button", name="Make this a craft").click()
    window.wait_for_url("**/craft/found-one", timeout=30_000)
    expect(window.locator(".rw-story")).to_contain_text("It weighs", timeout=30_000)
    assert 'previous = "lapwing-3.toml"' in (workshop / "crafts" / "found-one.toml").read_text()
