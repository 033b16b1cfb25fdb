"""The page in a real browser: nothing asked for, nothing complained of, both themes, and no wider than a phone."""

import shutil
from pathlib import Path
from typing import Any

import pytest

from rotorwright.sheet.as_html import html_of
from rotorwright.sheet.content import Sheet

CHROMIUM = shutil.which("chromium")
FLAGS = ["--no-sandbox", "--disable-quic", "--disable-background-networking", "--disable-component-update"]

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine")


def looked_at(file: Path, scheme: str, width: int) -> dict[str, Any]:
    """What a browser makes of the page."""
    sync_api = pytest.importorskip("playwright.sync_api")
    complaints: list[str] = []
    with sync_api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = browser.new_context(color_scheme=scheme, viewport={"width": width, "height": 800}).new_page()
        page.on("console", lambda message: complaints.append(message.text))
        page.on("request", lambda asked: None if asked.url == file.as_uri() else complaints.append(asked.url))
        page.goto(file.as_uri())
        found = page.evaluate(
            """() => ({
                width: document.documentElement.scrollWidth,
                ground: getComputedStyle(document.body).backgroundColor,
                ink: getComputedStyle(document.body).color,
                pictures: [...document.querySelectorAll("figure svg")].map(e => e.getBoundingClientRect().width),
            })"""
        )
        browser.close()
    return {**found, "complaints": complaints}


@pytest.mark.parametrize(("scheme", "ground"), [("light", "rgb(255, 255, 255)"), ("dark", "rgb(20, 24, 29)")])
def test_on_a_phone_in_both_themes(whole: tuple[Any, Any, Sheet], tmp_path: Path, scheme: str, ground: str) -> None:
    file = tmp_path / "sheet.html"
    file.write_text(html_of(whole[2]), encoding="utf-8")
    found = looked_at(file, scheme, 360)
    assert found["complaints"] == []
    assert found["width"] <= 360
    assert found["ground"] == ground != found["ink"]
    shown = [width for width in found["pictures"] if width > 0]
    assert len(shown) >= 8 and max(shown) <= 360
