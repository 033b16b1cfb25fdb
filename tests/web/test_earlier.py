"""An earlier version of the file is looked at and put back."""

from pathlib import Path
from typing import Any

import pytest

from rotorwright.craft.edit import change_craft

pytestmark = pytest.mark.xdist_group("browser")


def test_a_version_is_put_back(window: Any, workshop: Path) -> None:
    file = workshop / "crafts" / "lapwing-3.toml"
    before = file.read_text()
    change_craft(file, ["site.altitude_m=444"])
    window.goto("/craft/lapwing-3/compare")
    row = window.locator("details", has_text="then: site.altitude_m=444")
    row.locator("summary").click()
    row.get_by_text("+altitude_m = 444").wait_for()
    row.get_by_role("button", name="Put this version back").click()
    window.locator(".q-notification", has_text="version 1 put back").wait_for()
    assert file.read_text() == before
