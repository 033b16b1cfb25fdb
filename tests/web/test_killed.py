"""The server is killed while a page is open and while it writes: the page finds back, the file is whole."""

import time
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")


def test_a_page_finds_back_after_the_server_was_killed(browser: Any, workbench: Any) -> None:
    from playwright.sync_api import expect

    context = browser.new_context(base_url=workbench.address)
    page = context.new_page()
    page.set_default_navigation_timeout(120_000)
    page.goto("/craft/lapwing-3/view")
    page.wait_for_function("window.did_handshake")
    page.evaluate("window.before = true")
    workbench.kill()
    page.wait_for_timeout(1000)
    workbench.start()
    page.wait_for_function("window.before === undefined && window.did_handshake", timeout=90_000)
    tilt = page.locator(".rw-tilt input[type=number]").first
    tilt.fill("31")
    tilt.press("Enter")
    tilt.blur()
    expect(page.get_by_role("button", name="Undo")).to_be_enabled(timeout=60_000)
    assert "tilt_deg = 31" in (workbench.folder / "crafts" / "lapwing-3.toml").read_text()
    context.close()


def test_killed_while_it_writes_the_file_is_the_old_or_the_new_one(browser: Any, workbench: Any) -> None:
    from rotorwright.craft.journal import Journal
    from rotorwright.craft.read import read_craft

    file: Path = workbench.folder / "crafts" / "lapwing-3.toml"
    at_first = file.read_text()
    assert at_first.count("tilt_deg = 18") == 1
    context = browser.new_context(base_url=workbench.address)
    for turn, wait in enumerate((0.01, 0.06, 0.3)):
        page = context.new_page()  # the one before finds back by itself, and would cross this navigation
        page.set_default_navigation_timeout(120_000)
        page.goto("/craft/lapwing-3/view")
        page.wait_for_function("window.did_handshake")
        now, wanted = file.read_text(), 30 + turn
        page.locator(".rw-tilt input[type=number]").first.fill(str(wanted))
        page.locator(".rw-tilt input[type=number]").first.press("Enter", no_wait_after=True)
        time.sleep(wait)
        workbench.kill()
        page.close()
        assert file.read_text() in (now, at_first.replace("tilt_deg = 18", f"tilt_deg = {wanted}"))
        read_craft(file)
        Journal(file).changes()
        workbench.start()
    context.close()
    left = [one.name for one in file.parent.iterdir() if one.suffix != ".toml" and one.name != ".journal"]
    assert all(name.startswith(".") for name in left)  # never taken for a craft
