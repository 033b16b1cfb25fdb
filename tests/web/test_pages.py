"""The workbench in a real browser."""

from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")


def test_every_craft_of_the_workshop_is_listed_and_opens(window: Any) -> None:
    window.goto("/")
    window.get_by_role("link", name="lapwing-3").click()
    window.get_by_role("heading", name="Lapwing").wait_for()
