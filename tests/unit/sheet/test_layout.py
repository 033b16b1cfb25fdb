"""The printed sheet: full pages, headings with what follows them, pictures as wide as they can be."""

import io
import re
from functools import cache
from typing import Any

import pypdf
import pytest

from rotorwright.sheet.as_typst import pdf_of, template_data
from rotorwright.sheet.blocks import Column, Figure, Heading, Paragraph, Table
from rotorwright.sheet.content import Sheet

from .conftest import lapwing

SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}"><rect width="9" height="9"/></svg>'
PAGE, FOOT = 841.89, 54.0


@cache
def pages() -> list[tuple[str, float]]:
    """Words of every page, and how much of it is left empty above the foot, as a share."""
    found = []
    for page in pypdf.PdfReader(io.BytesIO(pdf_of(lapwing()[2]))).pages:
        heights: list[float] = []

        def note(text: str, cm: list[float], tm: list[float], *_: Any, heights: list[float] = heights) -> None:
            y = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
            if text.strip() and y > FOOT:
                heights.append(y)

        words = page.extract_text(visitor_text=note)
        found.append((re.sub(r"\s+", " ", words), (min(heights) - FOOT) / PAGE))
    return found


def test_no_page_but_the_last_is_half_empty() -> None:
    """A part that asks for a page of its own, or a card that is not broken, may leave up to two fifths."""
    assert max(share for _, share in pages()[:-1]) < 0.4
    assert sum(share for _, share in pages()[:-1]) / len(pages()) < 0.12


def test_a_short_part_stands_on_one_page_with_its_heading() -> None:
    (page,) = [words for words, _ in pages() if "The centre of mass lies" in words]
    assert "Balance" in page and "Moments of inertia: roll" in page


@pytest.mark.parametrize(
    ("heading", "follows"),
    [
        ("Motors and which way they turn", "counter"),
        ("Size", "propeller discs"),
        ("Screws, nuts and rings", "propeller"),
    ],
)
def test_a_heading_stands_with_what_follows(heading: str, follows: str) -> None:
    assert any(follows in words.partition(heading)[2] for words, _ in pages() if heading in words)


def data(*blocks: Any) -> list[dict[str, Any]]:
    return template_data(Sheet("t", "", blocks))["blocks"]


def picture(wide: float, tall: float = 300.0) -> Figure:
    return Figure(SVG.format(wide, tall), "words")


TABLE = Table((Column("a"), Column("b", True)), (("x", "1"),))


def test_a_small_table_stands_beside_a_narrow_picture() -> None:
    assert [one["kind"] for one in data(picture(480), TABLE)] == ["beside"]
    assert [one["kind"] for one in data(picture(880), TABLE)] == ["figure", "table"]


def test_a_picture_that_is_nearly_as_wide_as_the_page_fills_it() -> None:
    assert [one["width"] for one in data(picture(880), picture(780))] == [1.0, 1.0]
    assert data(picture(480))[0]["width"] == pytest.approx(480 / 880)
    assert data(picture(880, 2000))[0]["width"] == pytest.approx(1.42 * 880 / 2000)


def test_a_picture_that_its_heading_is_there_for_stays_with_it() -> None:
    """One told of among words may go to the head of the next page; the only thing under a heading may not."""
    words = Paragraph("words")
    assert data(words, picture(880), words)[1]["floats"]
    assert not data(Heading("h", 3), picture(880), words)[-2]["floats"]
    assert not data(Heading("h", 2), picture(880), Heading("h", 2))[1]["floats"]


def test_rules_of_headings_keep_off_their_words() -> None:
    """The line above a section is the upper edge of its block, and the words begin half a letter below it."""
    from importlib.resources import files

    template = (files("rotorwright.sheet") / "sheet.typ").read_text(encoding="utf-8")
    found = re.search(r"heading\.where\(level: 2\).*?inset: \(top: ([\d.]+)em\)", template, re.S)
    assert found and float(found[1]) >= 0.5
    assert not re.search(r"v\(-[\d.]+em\)", template)
