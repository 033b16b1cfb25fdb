"""The three forms say the same, whatever the words are, and other people's readers accept them."""

import io
import re
import socket
from typing import Any, get_args
from xml.etree import ElementTree

import html5lib
import pypdf
import pytest
from markdown_it import MarkdownIt

from rotorwright.sheet.as_html import html_of
from rotorwright.sheet.as_markdown import markdown_of
from rotorwright.sheet.as_typst import pdf_of
from rotorwright.sheet.blocks import (
    Block,
    Card,
    Caution,
    Check,
    Checklist,
    Code,
    Column,
    Figure,
    Heading,
    Inset,
    Listing,
    Paragraph,
    Strong,
    Table,
)
from rotorwright.sheet.content import Sheet
from rotorwright.sheet.forms import form_of

from .conftest import NASTY_NAME, NASTY_WHY

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><rect width="40" height="20" fill="#0072b2"/></svg>'
)

# Words that mean something to one form or another; each must come out as it went in.
WORDS = (
    "<b>bold</b> & &amp; <script>x()</script>",
    "# no heading",
    "1. no list",
    "- nor this",
    "+ nor that",
    "> no quotation",
    "*a* _b_ `c` ~d~ | e ![f](g) [h](http://i.example/)",
    "#let x = 1; #eval(y) $z$ @ref \\ \\u{41} // no comment /* nor */",
    "```raw``` ``` `",
    "   four spaces",
    "|---|",
    "=== --- ***",
    "C #",
    "www.example.org https://example.org",
)


def every_block(words: str) -> Sheet:
    """One sheet with `words` in every place where words can stand."""
    table = Table((Column(words or "c"), Column("n", True), Column("")), ((words, "1", (Inset(SVG, 4),)),), words, 1)
    inner: tuple[Block, ...] = (
        Heading(words, 2),
        Paragraph(words),
        Paragraph((Strong(words), " and ", Code(words)), quiet=True),
        Listing((words, (Strong(words),))),
        Listing((words,), ordered=True),
        Checklist((Check(words, words, words),), ordered=True),
        Checklist((Check(words),)),
        table,
        Figure(SVG, words, words, 0.5, table),
        Caution(words, (words,)),
        Card(words, (Paragraph(words), table)),
        Heading(words, 3, new_page=True),
    )
    return Sheet(words, "", (Heading(words, 1), *inner))


def tree(text: str) -> Any:
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)


def words_in(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip()


def test_every_kind_of_block_is_tried_here() -> None:
    tried = {type(block) for block in every_block("w").blocks}
    assert tried == set(get_args(Block))


@pytest.mark.parametrize("words", WORDS)
def test_html_shows_words_as_they_are(words: str) -> None:
    page = tree(html_of(every_block(words)))
    shown = words_in("".join(page.itertext()))
    assert shown.count(words_in(words)) >= 12
    assert not list(page.iter("script")) and not list(page.iter("img"))
    assert not list(page.iter("b"))


@pytest.mark.parametrize("words", WORDS)
def test_markdown_shows_words_as_they_are(words: str) -> None:
    """Read back by a CommonMark parser with tables, strikethrough and raw HTML switched on."""
    page = MarkdownIt("commonmark", {"html": True}).enable(["table", "strikethrough"])
    tokens = page.parse(markdown_of(every_block(words)))
    inline = [child for token in tokens for child in token.children or ()]
    assert not [t.type for t in (*tokens, *inline) if t.type in ("html_block", "html_inline", "link_open", "image")]
    assert not [t.type for t in tokens if t.type in ("fence", "code_block")]
    shown = [words_in("".join(c.content for c in t.children or ())) for t in tokens if t.type == "inline"]
    wanted = words_in(words)
    assert sum(text == wanted for text in shown) >= 8
    assert sum(t.type == "heading_open" for t in tokens) == 3


@pytest.mark.parametrize("words", WORDS)
def test_pdf_shows_words_as_they_are(words: str) -> None:
    text = "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf_of(every_block(words)))).pages)
    squeezed = re.sub(r"[\s\u00ad\u2010-]", "", text.replace("\ufb01", "fi").replace("\ufb02", "fl"))
    wanted = re.sub(r"[\s-]", "", words)
    assert squeezed.count(wanted) >= 8


def test_the_same_sheet_gives_the_same_pdf(whole: tuple[Any, Any, Sheet]) -> None:
    assert pdf_of(whole[2]) == pdf_of(whole[2])


def test_pdf_reads_back(whole: tuple[Any, Any, Sheet]) -> None:
    reader = pypdf.PdfReader(io.BytesIO(pdf_of(whole[2])))
    assert reader.metadata is not None
    assert reader.metadata.title == "Lapwing 4: build sheet"
    assert 10 <= len(reader.pages) <= 40
    text = words_in(" ".join(page.extract_text() for page in reader.pages))
    for heading in whole[2].contents:
        assert heading.text in text
    outline = [entry.title for entry in reader.outline if not isinstance(entry, list)]
    assert outline


def test_html_is_valid_and_fetches_nothing(whole: tuple[Any, Any, Sheet], nasty: Sheet, bare: Sheet) -> None:
    for sheet in (whole[2], nasty, bare):
        page = tree(html_of(sheet))
        for element in page.iter():
            for name, value in element.attrib.items():
                plain = name.split("}")[-1].lower()
                assert not plain.startswith("on")
                if plain in ("src", "href", "srcset", "action", "data", "xlink:href"):
                    assert value.startswith("#"), value
        styles = "".join(style.text or "" for style in page.iter("style"))
        assert "url(" not in styles and "@import" not in styles
        assert not list(page.iter("script"))
        ids = [e.get("id") for e in page.iter() if e.get("id")]
        assert len(ids) == len(set(ids))


def test_links_of_the_contents_lead_somewhere(whole: tuple[Any, Any, Sheet]) -> None:
    page = tree(html_of(whole[2]))
    ids = {element.get("id") for element in page.iter()}
    links = [a.get("href") for a in page.iter("a")]
    assert len(links) == len(whole[2].contents)
    assert all(link[1:] in ids for link in links)


def test_themes_and_print_are_served(whole: tuple[Any, Any, Sheet]) -> None:
    text = html_of(whole[2])
    assert "@media (prefers-color-scheme: dark)" in text and "@media print" in text


def test_every_picture_is_xml_of_its_own(whole: tuple[Any, Any, Sheet]) -> None:
    figures = [block for block in whole[2].blocks if isinstance(block, Figure)]
    assert len(figures) >= 8
    for figure in figures:
        root = ElementTree.fromstring(figure.svg)
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        assert root.get("viewBox")
        assert not [e for e in root.iter() if e.tag.endswith(("script", "image", "foreignObject", "use"))]
        assert figure.alt


def test_markdown_tables_are_whole(whole: tuple[Any, Any, Sheet], nasty: Sheet) -> None:
    """As many cells in each row as in the head, as the parser counts them."""
    page = MarkdownIt("commonmark").enable("table")
    for sheet in (whole[2], nasty):
        tokens = page.parse(markdown_of(sheet))
        count = sum(isinstance(b, Table) or (isinstance(b, Figure) and b.instead is not None) for b in sheet.blocks)
        inside = sum(isinstance(b, Table) for card in sheet.blocks if isinstance(card, Card) for b in card.blocks)
        assert sum(t.type == "table_open" for t in tokens) == count + inside
        widths: list[int] = []
        for token in tokens:
            if token.type == "tr_open":
                widths.append(0)
            elif token.type in ("th_open", "td_open"):
                widths[-1] += 1
            elif token.type == "table_close":
                assert len(set(widths)) == 1
                widths = []


def test_no_form_opens_a_connection(whole: tuple[Any, Any, Sheet], monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*arguments: object) -> None:
        raise AssertionError("a form asked for the network")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    for form in (".html", ".pdf", ".md"):
        assert form_of(whole[2], form)


def test_names_and_reasons_of_a_craft_are_no_markup(nasty: Sheet) -> None:
    page = tree(html_of(nasty))
    shown = words_in("".join(page.itertext()))
    assert NASTY_NAME in shown and NASTY_WHY in shown
    assert not list(page.iter("img")) and not list(page.iter("script"))
    text = "".join(p.extract_text() for p in pypdf.PdfReader(io.BytesIO(pdf_of(nasty))).pages)
    assert "#let" in text and "<script>alert(1)</script>" in words_in(text)


def test_an_unknown_form_is_refused(bare: Sheet) -> None:
    with pytest.raises(ValueError, match=r"known: \.html, \.pdf, \.md"):
        form_of(bare, ".docx")


def test_a_row_that_does_not_fit_is_refused() -> None:
    with pytest.raises(ValueError, match="a row of 1 cells in a table of 2 columns"):
        Table((Column("a"), Column("b")), (("only one",),))
