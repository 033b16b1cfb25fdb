"""A sheet as PDF: its blocks go as data to a fixed template, so that no text of a user is ever read as markup."""

import json
from collections.abc import Sequence
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
    words_of,
)
from rotorwright.sheet.content import Sheet

__all__ = ["pdf_of", "template_data"]

# A drawing as wide as this in its own units fills the width of the text.
_FULL_WIDTH = 880.0
# One that is nearly as wide fills it as well.
_NEARLY = 0.85
# Tallest picture over the width of the text: with its caption it still fits one page.
_TALLEST = 1.42
# A picture no wider than this has room for a small table beside it.
_BESIDE, _FEW_COLUMNS, _FEW_ROWS = 0.6, 4, 12
# Fewer letters than these are not parted from their heading.
_MANY_LETTERS = 1100
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
    return {"title": sheet.title, "blocks": _run(sheet.blocks)}


def _run(blocks: Sequence[Block]) -> list[dict[str, Any]]:
    """Blocks in their order, those bound together that are to stand on one page."""
    found: list[dict[str, Any]] = []
    at = 0
    while at < len(blocks):
        taken = _bound(blocks[at:])
        data = [_data(block) for block in blocks[at : at + taken]]
        if isinstance(blocks[at], Figure):
            data[0]["floats"] = _floats(blocks[at - 1] if at else None, next(iter(blocks[at + taken :]), None))
        found.append(data[0] if taken == 1 else {"kind": _way(blocks[at]), "blocks": data})
        at += taken
    return found


def _way(first: Block) -> str:
    return "beside" if isinstance(first, Figure) else "together"


def _floats(before: Block | None, after: Block | None) -> bool:
    """Whether a picture may go to the next page by itself: not where it is what its heading is there for."""
    if not isinstance(before, Heading):
        return before is not None
    return before.level == 2 and after is not None and not (isinstance(after, Heading) and after.level <= 2)


def _bound(blocks: Sequence[Block]) -> int:
    """How many blocks from the first on belong together: a picture with its table, a heading with its few words."""
    first, after = blocks[0], blocks[1] if len(blocks) > 1 else None
    if isinstance(first, Figure) and isinstance(after, Table):
        beside = _width(first) <= _BESIDE and len(after.columns) <= _FEW_COLUMNS and len(after.rows) <= _FEW_ROWS
        return 2 if beside else 1
    if not isinstance(first, Heading) or first.level < 3:
        return 1
    count, letters = 1, 0
    for block in blocks[1:]:
        letters += len(words_of(block.words)) if isinstance(block, Paragraph) else _MANY_LETTERS
        if letters >= _MANY_LETTERS:
            break
        count += 1
    return count


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
    return {
        "kind": "figure",
        "svg": block.svg,
        "alt": block.alt,
        "caption": _words(block.caption or ()),
        "width": _width(block),
        "floats": False,
    }


def _width(figure: Figure) -> float:
    """Width of a picture over that of the text."""
    wide, tall = natural_size(figure.svg)
    share = wide / _FULL_WIDTH * figure.width
    return min(1.0 if share >= _NEARLY else share, _TALLEST * wide / tall)


@_data.register
def _(block: Caution) -> dict[str, Any]:
    return {"kind": "caution", "title": block.title, "items": [_words(item) for item in block.items]}


@_data.register
def _(block: Card) -> dict[str, Any]:
    return {"kind": "card", "title": block.title, "blocks": [_data(one) for one in block.blocks]}
