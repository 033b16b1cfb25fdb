"""A sheet as PDF: its blocks go as data to a fixed template, so that no text of a user is ever read as markup."""

import json
from functools import cache, singledispatch
from importlib.resources import files
from typing import Any

from rotorwright.errors import CannotCompute
from rotorwright.sheet.as_html import natural_size
from rotorwright.sheet.blocks import (
    Block,
    Card,
    Caution,
    Check,
    Checklist,
    Code,
    Figure,
    Heading,
    Inline,
    Inset,
    Listing,
    Paragraph,
    Strong,
    Table,
    Words,
)
from rotorwright.sheet.content import Sheet

__all__ = ["pdf_of", "template_data"]

# A drawing as wide as this in its own units fills the width of the text.
_FULL_WIDTH = 880.0
# Tallest picture over the width of the text: with a heading and its caption it still fits one page.
_TALLEST = 1.18
# Any fixed moment gives the same bytes for the same sheet: the first second of 2020, UTC.
_TIMESTAMP = 1577836800


def pdf_of(sheet: Sheet) -> bytes:
    """The sheet as PDF; the same sheet gives the same bytes."""
    import typst

    data = json.dumps(template_data(sheet), ensure_ascii=False)
    try:
        made = typst.compile(
            _template(), format="pdf", sys_inputs={"sheet": data}, timestamp=_TIMESTAMP, ignore_system_fonts=True
        )
    except (RuntimeError, OSError) as error:
        raise CannotCompute(f"the PDF cannot be set: {error}") from None
    assert isinstance(made, bytes)
    return made


@cache
def _template() -> bytes:
    return (files("rotorwright.sheet") / "sheet.typ").read_bytes()


def template_data(sheet: Sheet) -> dict[str, Any]:
    """The sheet as plain data, each block a dictionary with its `kind`."""
    return {"title": sheet.title, "blocks": [_data(block) for block in sheet.blocks]}


def _words(words: Words) -> list[dict[str, Any]]:
    return [_inline(one) for one in ((words,) if isinstance(words, str) else words)]


def _inline(one: Inline) -> dict[str, Any]:
    match one:
        case Strong(text):
            return {"kind": "strong", "text": text}
        case Code(text):
            return {"kind": "code", "text": text}
        case Inset(svg, width, height):
            return {"kind": "inset", "svg": svg, "width": width, "height": height}
        case _:
            return {"kind": "text", "text": str(one)}


@singledispatch
def _data(block: Block) -> dict[str, Any]:
    raise TypeError(f"no typesetting for {type(block).__name__}")


@_data.register
def _(block: Heading) -> dict[str, Any]:
    return {"kind": "heading", "text": block.text, "level": block.level, "page": block.new_page}


@_data.register
def _(block: Paragraph) -> dict[str, Any]:
    return {"kind": "paragraph", "words": _words(block.words), "quiet": block.quiet}


@_data.register
def _(block: Listing) -> dict[str, Any]:
    return {"kind": "list", "items": [_words(item) for item in block.items], "ordered": block.ordered}


@_data.register
def _(block: Checklist) -> dict[str, Any]:
    return {"kind": "checks", "items": [_check(item) for item in block.items], "ordered": block.ordered}


def _check(item: Check) -> dict[str, Any]:
    return {"words": _words(item.words), "expect": _words(item.expect or ()), "note": _words(item.note or ())}


@_data.register
def _(block: Table) -> dict[str, Any]:
    return {
        "kind": "table",
        "columns": [{"name": c.name, "number": c.number, "share": c.share} for c in block.columns],
        "rows": [[_words(cell) for cell in row] for row in block.rows],
        "caption": _words(block.caption or ()),
        "sums": block.sums,
    }


@_data.register
def _(block: Figure) -> dict[str, Any]:
    wide, tall = natural_size(block.svg)
    width = min(wide / _FULL_WIDTH * block.width, 1.0, _TALLEST * wide / tall)
    return {
        "kind": "figure",
        "svg": block.svg,
        "alt": block.alt,
        "caption": _words(block.caption or ()),
        "width": width,
    }


@_data.register
def _(block: Caution) -> dict[str, Any]:
    return {"kind": "caution", "title": block.title, "items": [_words(item) for item in block.items]}


@_data.register
def _(block: Card) -> dict[str, Any]:
    return {"kind": "card", "title": block.title, "blocks": [_data(one) for one in block.blocks]}
