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
                pictures: [...document.querySelectorAll("figure .picture")].map(
                    e => e.getBoundingClientRect().width),
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


LOOK = """() => ({
    outside: [...document.querySelectorAll("main *")].filter(e => !e.closest(".scroll") && !e.closest("svg")
        && e.getBoundingClientRect().right > innerWidth + 1).length,
    scrolled: [...document.querySelectorAll(".scroll")].filter(e => e.scrollWidth > e.clientWidth + 1).map(e => [
        getComputedStyle(e).overflowX, e.tabIndex, getComputedStyle(e).backgroundImage.split("linear").length - 1]),
    words: [...document.querySelectorAll("figure.broad svg text")].filter(e => e.getBoundingClientRect().width > 0)
        .map(e => parseFloat(e.getAttribute("font-size")) * Math.hypot(e.getScreenCTM().a, e.getScreenCTM().b)),
})"""


def seen(file: Path, width: int) -> dict[str, Any]:
    """What sticks out, what scrolls within itself, and how large the words of broad pictures are [pixels]."""
    sync_api = pytest.importorskip("playwright.sync_api")
    with sync_api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = browser.new_context(viewport={"width": width, "height": 800}).new_page()
        page.goto(file.as_uri())
        found: dict[str, Any] = page.evaluate(LOOK)
        browser.close()
    return found


@pytest.mark.parametrize(("width", "least"), [(400, 8.0), (800, 9.0), (1280, 11.0)])
def test_nothing_sticks_out_and_what_is_wider_scrolls(
    whole: tuple[Any, Any, Sheet], tmp_path: Path, width: int, least: float
) -> None:
    """Tables too wide for a phone scroll within themselves, can be reached by key, and show a shade at their side.

    Words of broad pictures have 11 pixels on a wide screen (common practice, no source); no more than a fold can do
    is asked on a phone.
    """
    file = tmp_path / "sheet.html"
    file.write_text(html_of(whole[2]), encoding="utf-8")
    found = seen(file, width)
    assert found["outside"] == 0
    assert all(row == ["auto", 0, 4] for row in found["scrolled"])
    assert len(found["scrolled"]) >= (8 if width == 400 else 0)
    assert len(found["words"]) > 100 and min(found["words"]) >= least
