"""A new craft from a few questions."""

from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")


def test_questions_make_a_craft_and_open_it(window: Any, workshop: Path) -> None:
    from playwright.sync_api import expect

    window.goto("/new")
    window.get_by_label("Name of the craft file").fill("plover-1")
    window.get_by_role("radio", name="3.5 in").click()
    window.get_by_role("radio", name="under 250 g").click()
    window.get_by_role("checkbox", name="It carries a recording camera").click()
    window.get_by_role("button", name="Propose a craft").click()
    window.wait_for_url("**/craft/plover-1", timeout=60_000)
    expect(window.get_by_role("heading", level=1)).to_contain_text("plover 1", timeout=30_000)
    text = (workshop / "crafts" / "plover-1.toml").read_text(encoding="utf-8")
    assert "# Asked: 3.5 inch propellers, filming, with a recording camera, under 250 g." in text


def test_what_cannot_be_made_is_said_and_the_questions_stay(window: Any, workshop: Path) -> None:
    from playwright.sync_api import expect

    window.goto("/new")
    window.get_by_label("Name of the craft file").fill("lapwing-1")
    window.get_by_role("button", name="Propose a craft").click()
    said = window.get_by_role("status")
    expect(said).to_contain_text("the file exists", timeout=30_000)
    window.get_by_label("Name of the craft file").fill("plover-2")
    window.get_by_role("radio", name="7 in").click()
    window.get_by_role("radio", name="under 250 g").click()
    window.get_by_role("button", name="Propose a craft").click()
    expect(said).to_contain_text("The lightest on the shelf", timeout=60_000)
    expect(window.get_by_role("button", name="Propose a craft")).to_be_enabled()
    assert not (workshop / "crafts" / "plover-2.toml").exists()
