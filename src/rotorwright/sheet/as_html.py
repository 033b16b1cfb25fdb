"""A sheet as one HTML file: no script, nothing fetched, light or dark as the machine is set, and fit to print."""

import re
from collections.abc import Sequence
from functools import cache, singledispatch
from html import escape
from importlib.resources import files

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
from rotorwright.sheet.fold import folds

__all__ = ["html_of", "natural_size"]

# Nothing may be fetched and nothing may run, whatever a part is called.
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
_VIEW = re.compile(r'viewBox="[\d.\-]+ [\d.\-]+ ([\d.]+) ([\d.]+)"')
# A unit of a drawing is so many pixels: letters of 12 to 13 units then read like those of the page.
_PIXELS = 1.22
# A drawing as wide as this in its own units takes more room than the words, where the page has it.
_BROAD = 760.0


def html_of(sheet: Sheet) -> str:
    """The whole page."""
    named = _named(sheet.blocks)
    body = "\n".join(_block(block, named.get(i, "")) for i, block in enumerate(sheet.blocks))
    if sheet.contents:
        body = body.replace("<h2", f"{_contents(sheet, named)}\n<h2", 1)
    title = escape(sheet.title)
    return (
        f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<title>{title}: build sheet</title>\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="color-scheme" content="light dark">\n'
        f"<style>\n{_style()}</style>\n</head>\n<body>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )


@cache
def _style() -> str:
    return (files("rotorwright.sheet") / "sheet.css").read_text(encoding="utf-8")


def _named(blocks: Sequence[Block]) -> dict[int, str]:
    """An anchor for each heading of a section, no two alike."""
    taken: set[str] = set()
    named = {}
    for i, block in enumerate(blocks):
        if isinstance(block, Heading) and block.level == 2:
            base = re.sub(r"[^a-z0-9]+", "-", (block.anchor or block.text).lower()).strip("-") or "section"
            name, count = base, 1
            while name in taken:
                count += 1
                name = f"{base}-{count}"
            taken.add(name)
            named[i] = name
    return named


def _contents(sheet: Sheet, named: dict[int, str]) -> str:
    links = [
        f'<li><a href="#{named[i]}">{escape(block.text)}</a></li>'
        for i, block in enumerate(sheet.blocks)
        if i in named and isinstance(block, Heading)
    ]
    return f'<nav aria-label="Contents"><ul>{"".join(links)}</ul></nav>'


def natural_size(svg: str) -> tuple[float, float]:
    """Width and height of a drawing in its own units; 480 by 360 when it does not say."""
    found = _VIEW.search(svg[:2000])
    return (float(found[1]), float(found[2])) if found else (480.0, 360.0)


def _words(words: Words) -> str:
    return "".join(_inline(one) for one in ((words,) if isinstance(words, str) else words))


def _inline(one: Inline) -> str:
    match one:
        case Strong(text):
            return f"<strong>{escape(text)}</strong>"
        case Code(text):
            return f"<code>{escape(text)}</code>"
        case Inset(svg, width, height):
            size = f"width:{width:.2f}em;height:{height:.2f}em"
            return f'<span class="inset" style="{size}" aria-hidden="true">{svg}</span>'
        case _:
            return escape(str(one))


def _block(block: Block, anchor: str = "") -> str:
    if isinstance(block, Heading):
        return _heading(block, anchor)
    return _drawn(block)


def _heading(block: Heading, anchor: str) -> str:
    name = f' id="{anchor}"' if anchor else ""
    page = ' class="page"' if block.new_page else ""
    return f"<h{block.level}{name}{page}>{escape(block.text)}</h{block.level}>"


@singledispatch
def _drawn(block: object) -> str:
    raise TypeError(f"no HTML for {type(block).__name__}")


@_drawn.register
def _(block: Paragraph) -> str:
    return f"<p{' class=quiet' if block.quiet else ''}>{_words(block.words)}</p>"


@_drawn.register
def _(block: Listing) -> str:
    tag = "ol" if block.ordered else "ul"
    return f"<{tag}>\n" + "".join(f"<li>{_words(item)}</li>\n" for item in block.items) + f"</{tag}>"


@_drawn.register
def _(block: Checklist) -> str:
    tag = "ol" if block.ordered else "ul"
    return f'<{tag} class="checks">\n' + "".join(f"{_check(item)}\n" for item in block.items) + f"</{tag}>"


def _check(item: Check) -> str:
    expect = f'<span class="expect">{_words(item.expect)}</span>' if item.expect else ""
    note = f'<span class="note">{_words(item.note)}</span>' if item.note else ""
    return f'<li><label><input type="checkbox"> <span>{_words(item.words)}</span></label>{expect}{note}</li>'


@_drawn.register
def _(block: Table) -> str:
    numbers = [_column_class(block, k) for k in range(len(block.columns))]
    widths = sum(column.share for column in block.columns)
    columns = "".join(
        f'<col{how} style="width:{100 * c.share / widths:.1f}%">'
        for c, how in zip(block.columns, numbers, strict=True)
    )
    head = ""
    if any(column.name for column in block.columns):
        cells = [_head(column.name, how) for column, how in zip(block.columns, numbers, strict=True)]
        head = f"<thead><tr>{''.join(cells)}</tr></thead>\n"
    first_sum = len(block.rows) - block.sums
    rows = [
        f"<tr{' class=sum' if i >= first_sum else ''}>"
        + "".join(f"<td{how}>{_words(cell)}</td>" for cell, how in zip(row, numbers, strict=True))
        + "</tr>\n"
        for i, row in enumerate(block.rows)
    ]
    caption = f"<caption>{_words(block.caption)}</caption>" if block.caption else ""
    inside = f"{caption}<colgroup>{columns}</colgroup>\n{head}<tbody>\n{''.join(rows)}</tbody>"
    return f'<div class="scroll" tabindex="0"><table class="c{len(block.columns)}">{inside}</table></div>'


def _column_class(table: Table, k: int) -> str:
    """Numbers stand to the right; a column of small pictures goes where there is no room for it."""
    if table.columns[k].number:
        return ' class="number"'
    cells = [row[k] for row in table.rows if row[k]]
    pictures = cells and all(isinstance(cell, tuple) and all(isinstance(x, Inset) for x in cell) for cell in cells)
    return ' class="bar"' if pictures else ""


def _head(name: str, how: str) -> str:
    return f'<th scope="col"{how}>{escape(name)}</th>' if name else f"<td{how}></td>"


@_drawn.register
def _(block: Figure) -> str:
    caption = f"<figcaption>{_words(block.caption)}</figcaption>" if block.caption else ""
    wide = natural_size(block.svg)[0] * block.width
    size = f"max-width:{wide * _PIXELS:.0f}px"
    numbers = f"<details><summary>The numbers</summary>{_drawn(block.instead)}</details>" if block.instead else ""
    # what does not fold to a phone's width is scrolled there
    scrolls = ' scroll" tabindex="0' if wide >= _BROAD and not folds(block.svg) else ""
    broad = ' class="broad"' if wide >= _BROAD else ""
    picture = f'<div class="picture{scrolls}" style="{size}">{block.svg}</div>'
    return f'<figure{broad} aria-label="{escape(block.alt)}">{picture}{caption}{numbers}</figure>'


@_drawn.register
def _(block: Caution) -> str:
    items = "".join(f"<li>{_words(item)}</li>" for item in block.items)
    inside = f"<ul>{items}</ul>" if items else ""
    return f'<aside class="caution"><p><strong>{escape(block.title)}</strong></p>{inside}</aside>'


@_drawn.register
def _(block: Card) -> str:
    inside = "\n".join(_block(one) for one in block.blocks)
    return f'<section class="card"><p class="card-title">{escape(block.title)}</p>\n{inside}</section>'
