"""A sheet as Markdown to paste into a post: tables in pipes, boxes to tick, numbers in place of pictures."""

import re
from functools import singledispatch

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

__all__ = ["markdown_of"]

# What some reader of Markdown takes for markup inside a line, and what only where a line begins.
_INLINE = re.compile(r"([\\`*_\[\]<>|~&$^])")
_START = re.compile(r"^(\s*)([#+\-=>:]|\d+[.)])")
_ADDRESS = re.compile(r"(?i)\b(https?|ftp|www)([:.])")


def markdown_of(sheet: Sheet) -> str:
    """The whole text."""
    return "\n\n".join(text for block in sheet.blocks if (text := _drawn(block))) + "\n"


def _plain(text: str) -> str:
    """Text with nothing left in it that is markup, on one line."""
    flat = _INLINE.sub(r"\\\1", re.sub(r"[\r\n]+", " ", text))
    return _ADDRESS.sub(r"\1\\\2", flat)


def _line(words: Words) -> str:
    """Words that begin a line, where more signs are markup than inside one."""
    text = _words(words).strip()
    return _START.sub(lambda m: f"{m[1]}{m[2][:-1]}\\{m[2][-1]}", text)


def _words(words: Words) -> str:
    return "".join(_inline(one) for one in ((words,) if isinstance(words, str) else words))


def _inline(one: Inline) -> str:
    match one:
        case Strong(text):
            inner = _plain(text)
            bare = inner.strip()
            return inner.replace(bare, f"**{bare}**", 1) if bare else inner
        case Code(text):
            return _code(text)
        case Inset():
            return ""
        case _:
            return _plain(str(one))


def _code(text: str) -> str:
    """Text between strokes longer than any in it."""
    flat = re.sub(r"[\r\n]+", " ", text)
    fence = "`" * (max((len(run) for run in re.findall("`+", flat)), default=0) + 1)
    room = " " if flat.startswith("`") or flat.endswith("`") else ""
    return f"{fence}{room}{flat}{room}{fence}" if flat else ""


@singledispatch
def _drawn(block: Block) -> str:
    raise TypeError(f"no Markdown for {type(block).__name__}")


@_drawn.register
def _(block: Heading) -> str:
    text = _plain(block.text).strip()
    return f"{'#' * block.level} {text[:-1]}\\#" if text.endswith("#") else f"{'#' * block.level} {text}"


@_drawn.register
def _(block: Paragraph) -> str:
    return _line(block.words)


@_drawn.register
def _(block: Listing) -> str:
    return "\n".join(f"{f'{i}.' if block.ordered else '-'} {_line(item)}" for i, item in enumerate(block.items, 1))


@_drawn.register
def _(block: Checklist) -> str:
    return "\n".join(_check(f"{i}." if block.ordered else "-", item) for i, item in enumerate(block.items, 1))


def _check(mark: str, item: Check) -> str:
    lines = [f"{mark} [ ] {_words(item.words)}"]
    pad = " " * (len(mark) + 1)
    lines += [f"{pad}Expect: {_words(item.expect)}"] if item.expect else []
    lines += [f"{pad}{_line(item.note)}"] if item.note else []
    return "  \n".join(lines)


@_drawn.register
def _(block: Table) -> str:
    """Without columns that hold nothing but small pictures."""
    kept = [k for k, c in enumerate(block.columns) if c.name or any(words_of(row[k]).strip() for row in block.rows)]
    head = " | ".join(_cell(block.columns[k].name) or " " for k in kept)
    rule = " | ".join("---:" if block.columns[k].number else "---" for k in kept)
    first_sum = len(block.rows) - block.sums
    rows = [
        " | ".join(_bold(_cell(row[k])) if i >= first_sum else _cell(row[k]) for k in kept)
        for i, row in enumerate(block.rows)
    ]
    text = "\n".join(f"| {line} |" for line in (head, rule, *rows))
    return f"{_line(block.caption)}\n\n{text}" if block.caption else text


def _cell(words: Words) -> str:
    # between pipes a code span's own pipe would still end the cell
    return re.sub(r"(?<!\\)\|", r"\\|", _words(words)).strip()


def _bold(cell: str) -> str:
    return f"**{cell}**" if cell and "**" not in cell else cell


@_drawn.register
def _(block: Figure) -> str:
    words = f"*Picture: {_plain(block.alt.rstrip('. '))}.*"
    if block.caption:
        words += f" {_words(block.caption)}"
    return f"{words}\n\n{_drawn(block.instead)}" if block.instead else words


@_drawn.register
def _(block: Caution) -> str:
    items = "".join(f"\n> - {_line(item)}" for item in block.items)
    return f"> **Caution: {_plain(block.title)}**" + (f"\n>{items}" if items else "")


@_drawn.register
def _(block: Card) -> str:
    inside = "\n\n".join(text for one in block.blocks if (text := _drawn(one)))
    return f"---\n\n**{_plain(block.title)}**\n\n{inside}\n\n---"
