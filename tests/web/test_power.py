"""The supply as a picture: a part moves to another rail by choice, a wire gets another gauge."""

from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")


def test_a_part_is_dragged_to_another_rail_and_undone(window: Any, workshop: Path) -> None:
    from playwright.sync_api import expect

    file = workshop / "crafts" / "lapwing-3.toml"
    before = file.read_text()
    window.goto("/craft/lapwing-3/power")
    nine = window.get_by_label("flight-controller.9V", exact=True)
    window.locator(".rw-fed", has_text="buzzer").drag_to(nine)
    expect(nine.locator(".rw-fed", has_text="buzzer")).to_have_count(1, timeout=20_000)
    window.get_by_role("button", name="Undo").click()
    expect(nine.locator(".rw-fed", has_text="buzzer")).to_have_count(0, timeout=20_000)
    assert file.read_text() == before


def test_a_wire_gets_another_gauge(window: Any, workshop: Path) -> None:
    from playwright.sync_api import expect

    window.goto("/craft/lapwing-3/power")
    gauge = window.get_by_label("gauge of the wire from battery.lead")
    gauge.fill("14")
    gauge.press("Enter")
    gauge.blur()
    expect(window.get_by_role("button", name="Undo")).to_be_enabled(timeout=20_000)
    assert "gauge_awg = 14" in (workshop / "crafts" / "lapwing-3.toml").read_text()
