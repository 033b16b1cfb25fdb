"""What a page is made of: plain records that every form (HTML, PDF, Markdown) draws in its own way.

Texts are plain words, never markup: each form escapes them, so names and notes of a user cannot break a page. Inline
emphasis is said with `Strong` and `Code` in a tuple: `("Set ", Code("motor_spacing_mm"), " first.")`.
"""

from dataclasses import dataclass
from typing import TypeAlias

__all__ = [
    "Block",
    "Card",
    "Caution",
    "Check",
    "Checklist",
    "Code",
    "Column",
    "Figure",
    "Heading",
    "Inline",
    "Inset",
    "Listing",
    "Paragraph",
    "Strong",
    "Table",
    "Words",
    "words_of",
]


@dataclass(frozen=True, slots=True)
class Strong:
    """Words that carry the weight of a sentence."""

    text: str


@dataclass(frozen=True, slots=True)
class Code:
    """A command, key or code, set in a fixed pitch."""

    text: str


@dataclass(frozen=True, slots=True)
class Inset:
    """A small picture in a line or a cell: a bar, a swatch. It repeats what words nearby say.

    `width` and `height` in letter heights; a column of nothing but insets is left out where pictures cannot be shown.
    """

    svg: str
    width: float
    height: float = 1.0


Inline: TypeAlias = str | Strong | Code | Inset
Words: TypeAlias = str | tuple[Inline, ...]


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading: level 1 is the title of the sheet, 2 a section (listed in the contents), 3 and 4 parts of one.

    `anchor` is a short name that links can point to; `new_page` begins a page where there are pages.
    """

    text: str
    level: int = 2
    anchor: str = ""
    new_page: bool = False


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph; a quiet one is an aside in smaller, paler letters."""

    words: Words
    quiet: bool = False


@dataclass(frozen=True, slots=True)
class Listing:
    """A list with bullets, or with numbers when `ordered`."""

    items: tuple[Words, ...]
    ordered: bool = False


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to do and tick; `expect` is what should be seen or read, `note` an aside."""

    words: Words
    expect: Words = ""
    note: Words = ""


@dataclass(frozen=True, slots=True)
class Checklist:
    """Things to tick, with numbers when their order matters."""

    items: tuple[Check, ...]
    ordered: bool = False


@dataclass(frozen=True, slots=True)
class Column:
    """Head of a column; numbers stand to the right, `share` is its part of the width where widths can be set."""

    name: str
    number: bool = False
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Table:
    """A table: as many cells in every row as there are columns. The last `sums` rows are totals."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Words, ...], ...]
    caption: Words = ""
    sums: int = 0

    def __post_init__(self) -> None:
        """Refuse a row that does not fit, where it is made and not where it is drawn."""
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"a row of {len(row)} cells in a table of {len(self.columns)} columns: {row!r}")


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture: `svg` is a whole `<svg>` element of its own, `alt` says in words what is to be seen.

    `instead` holds its numbers for forms that cannot carry a picture. `width` is a share of the text's width.
    """

    svg: str
    alt: str
    caption: Words = ""
    width: float = 1.0
    instead: Table | None = None


@dataclass(frozen=True, slots=True)
class Caution:
    """Something that can hurt: `title` names the danger, the items say how to keep clear of it."""

    title: str
    items: tuple[Words, ...]


@dataclass(frozen=True, slots=True)
class Card:
    """A framed card to print and carry along; it is not broken across pages."""

    title: str
    blocks: tuple["Block", ...]


Block: TypeAlias = Heading | Paragraph | Listing | Checklist | Table | Figure | Caution | Card


def words_of(words: Words) -> str:
    """The bare text of words, without emphasis and pictures."""
    if isinstance(words, str):
        return words
    return "".join(one if isinstance(one, str) else "" if isinstance(one, Inset) else one.text for one in words)
