"""How a table of numbers is laid out in a text file: delimiter, decimal sign, headings, units, first line of values.

Everything is recognised from the first part of the file; no program's own format is known. What is found is shown to
the user as `TableForm.words`, together with the mapping of its columns.
"""

import math
import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from rotorwright.errors import InputError, Problem

__all__ = ["AGAIN", "LARGEST_FILE", "TableForm", "cells_of", "is_empty", "number_of", "recognise"]

LARGEST_FILE = 1_000_000_000
"""Bytes beyond which a file is refused: half an hour at 2 kHz takes a quarter of it."""

AGAIN = " (again, column "
"""Stands behind a heading that another column has too."""

_HEAD = 1 << 18
_DELIMITERS = (";", "\t", ",", "|", " ")
_NAMES = {";": "semicolons", "\t": "tabs", ",": "commas", "|": "bars", " ": "blanks"}
_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_EMPTY = {"", "-", "--", "nan", "na", "n/a", "none", "null"}
_LOOKED_AT = 200  # lines of the head that decide
_MOST_COLUMNS = 400


@dataclass(frozen=True, slots=True)
class TableForm:
    """Layout of one file, and a few of its values to recognise columns by."""

    file: Path
    delimiter: str
    decimal: str
    headings: tuple[str, ...]
    units: tuple[str, ...]
    """Of a row of units below the headings; empty texts where there is none."""
    heading_line: int | None
    first_line: int
    """Line of the first values, from 1."""
    size: int
    quoted: bool
    padded: bool
    """Whether blanks stand round the values."""
    samples: tuple[tuple[float, ...], ...] = field(repr=False, default=())
    """Values of each column in the head, NaN where there is none."""
    wordy: frozenset[int] = frozenset()
    """Columns in whose head there are more words than numbers."""

    @property
    def words(self) -> str:
        """The layout in a sentence."""
        sign = "comma" if self.decimal == "," else "point"
        where = f"headings on line {self.heading_line}" if self.heading_line else "no headings"
        units = ", a row of units" if any(self.units) else ""
        between = f"{_NAMES[self.delimiter]} between {len(self.headings)} columns"
        return f"{between}, decimal {sign}, {where}{units}, values from line {self.first_line}"

    def column(self, name: str) -> int | None:
        """Index of a column by its heading, in any case, or by its number from 1."""
        plain = [heading.strip().lower() for heading in self.headings]
        wanted = name.strip().lower()
        if wanted in plain:
            return plain.index(wanted)
        if not wanted.isdecimal() or len(wanted) > 4:  # there are at most 400 columns
            return None
        return int(wanted) - 1 if 0 < int(wanted) <= len(plain) else None


def is_empty(cell: str) -> bool:
    """Whether a cell says that there is no value."""
    return cell.strip().lower() in _EMPTY


def number_of(cell: str, decimal: str = ".") -> float | None:
    """The number in a cell, NaN for an empty one, None for anything else."""
    plain = cell.strip()
    if is_empty(plain):
        return math.nan
    if decimal == ",":
        plain = "x" if "." in plain else plain.replace(",", ".")
    return float(plain) if _NUMBER.fullmatch(plain) else None


def cells_of(line: str, delimiter: str) -> list[str]:
    """Cells of a line without the blanks and quotes round them."""
    if delimiter == " ":
        return line.split()
    if '"' not in line:
        return [cell.strip() for cell in line.split(delimiter)]
    import csv  # only where there are quotes

    return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])]


def recognise(file: Path) -> TableForm:
    """Layout of the table in `file`; InputError with line and column when it is none that can be read."""
    head, size = _head(file)
    lines = _text(file, head, size).replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if len(lines) > 1 and len(head) < size:
        lines.pop()  # it may be cut off
    delimiter, decimal, width = _layout(file, lines)
    if delimiter != ",":
        _refuse_mixed_decimals(file, lines, delimiter, decimal, width)
    first = _first_values(lines, delimiter, decimal, width)
    if first is None:
        raise InputError(_problem(file, 1, "no line of numbers was found", "Give a table of numbers as plain text."))
    heading, headings, units = _headings(lines, first, delimiter, width, decimal)
    body = [line for line in lines[first : first + _LOOKED_AT] if line.strip()]
    rows = [cells for line in body if len(cells := cells_of(line, delimiter)) == width]
    if headings and len(headings) != width:
        what = f"{width} values stand under {len(headings)} headings"
        why = "A comma cannot both part columns and mark decimals." if delimiter == "," else ""
        fix = "Export with semicolons between columns." if why else "Give each column one heading."
        raise InputError(_problem(file, first + 1, what, fix, why))
    text = "\n".join(body)
    values = [[number_of(cell, decimal) for cell in row] for row in rows]
    return TableForm(
        file=file,
        delimiter=delimiter,
        decimal=decimal,
        headings=tuple(headings) or tuple(str(i + 1) for i in range(width)),
        units=tuple(units) or ("",) * width,
        heading_line=heading,
        first_line=first + 1,
        size=size,
        quoted='"' in text,
        padded=" " in text,
        samples=tuple(tuple(math.nan if v is None else v for v in column) for column in zip(*values, strict=True)),
        wordy=frozenset(i for i, column in enumerate(zip(*values, strict=True)) if _is_wordy(column)),
    )


def _is_wordy(column: tuple[float | None, ...]) -> bool:
    words = sum(value is None for value in column)
    return words > sum(value is not None and math.isfinite(value) for value in column)


def _problem(file: Path, line: int | None, what: str, fix: str, why: str = "") -> Problem:
    return Problem(what, fix, why, file, line)


def _head(file: Path) -> tuple[bytes, int]:
    """First bytes and size of a file that may be read."""
    try:
        if file.exists() and not file.is_file():
            raise InputError(_problem(file, None, "this is not an ordinary file", "Name a text file with a table."))
        size = file.stat().st_size
        if size > LARGEST_FILE:
            what = f"the file has {size / 1e9:.1f} GB; at most {LARGEST_FILE / 1e9:.0f} GB is read"
            raise InputError(_problem(file, None, what, "Log fewer columns or a shorter time, or thin it out."))
        with file.open("rb") as stream:
            return stream.read(_HEAD), size
    except FileNotFoundError:
        raise InputError(_problem(file, None, "no such file", "Check the name and the folder.")) from None
    except ValueError:  # a NUL in the name
        raise InputError(_problem(file, None, "this is no name of a file", "Check the name.")) from None
    except OSError as error:
        what = f"cannot be read: {error.strerror or error}"
        raise InputError(_problem(file, None, what, "Check its permissions.")) from None


def _text(file: Path, head: bytes, size: int) -> str:
    """The head as text; InputError with line and column for an empty, binary or foreign one."""
    if not head.strip():
        what = "the file is empty" if not size else "the file holds nothing but blanks"
        raise InputError(_problem(file, None, what, "Export the log again."))
    if head[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise InputError(_problem(file, 1, "the file is UTF-16 text", "Save it as UTF-8."))
    if (at := head.find(b"\0")) >= 0:
        what = f"column {_place(head, at)[1]}: a byte that no text holds; the file is binary"
        raise InputError(_problem(file, _place(head, at)[0], what, "Export the log as CSV."))
    try:
        return head.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        if len(head) < size and error.start > len(head) - 4:  # a letter cut in two by the end of the head
            return head[: error.start].decode("utf-8-sig")
        line, column = _place(head, error.start)
        what = f"column {column}: the file is not UTF-8 text"
        raise InputError(_problem(file, line, what, "Save it as UTF-8.")) from None


def _place(data: bytes, at: int) -> tuple[int, int]:
    """Line and column of a byte, from 1."""
    return data.count(b"\n", 0, at) + 1, at - data.rfind(b"\n", 0, at)


def _layout(file: Path, lines: list[str]) -> tuple[str, str, int]:
    """Delimiter, decimal sign and number of columns: those that make the most cells numbers."""
    tail = [line for line in lines if line.strip()][-_LOOKED_AT:]
    best, found = 0.0, None
    for delimiter in _DELIMITERS if tail else ():
        rows = [cells_of(line, delimiter) for line in tail]
        width, count = Counter(map(len, rows)).most_common(1)[0]
        if not 1 < width <= _MOST_COLUMNS:
            continue
        cells = [cell for row in rows if len(row) == width for cell in row]
        for decimal in (".", ",") if delimiter != "," else (".",):
            numbers = sum(number_of(cell, decimal) is not None for cell in cells) / len(cells)
            fit = numbers * count / len(rows) + (0.01 if decimal == "." else 0.0)
            if fit > best:
                best, found = fit, (delimiter, decimal, width)
    if found is None or best < 0.2:
        what = "no table with two or more columns of numbers was found"
        fix = "Part the columns by semicolons, tabs, commas or blanks."
        raise InputError(_problem(file, min(len(lines), 1), what, fix))
    return found


def _refuse_mixed_decimals(file: Path, lines: list[str], delimiter: str, decimal: str, width: int) -> None:
    """InputError at the first cell that has the other decimal sign than its own column elsewhere."""
    other = "." if decimal == "," else ","
    usual: dict[int, tuple[int, str]] = {}
    odd: dict[int, tuple[int, str]] = {}
    for number, line in enumerate(lines, start=1):
        cells = cells_of(line, delimiter) if "." in line or "," in line else []
        for index, cell in enumerate(cells if len(cells) == width else ()):
            for sign, kept in ((decimal, usual), (other, odd)):
                if sign in cell and number_of(cell, sign) is not None:
                    kept.setdefault(index, (number, cell))
    mixed = [index for index in odd if index in usual]
    if mixed:
        index = min(mixed, key=lambda i: (odd[i][0], i))
        (line_no, cell), (there, like) = odd[index], usual[index]
        names = {".": "point", ",": "comma"}
        what = f"column {index + 1}: '{cell}' is written with a decimal {names[other]}"
        why = f"'{like}' on line {there} is written with a decimal {names[decimal]}."
        fix = "Write all numbers with the same decimal sign, and without marks for thousands."
        raise InputError(_problem(file, line_no, what, fix, why))


def _is_values(cells: list[str], decimal: str) -> bool:
    """Whether a line holds values: half of its cells are numbers or empty, and one is a number."""
    numbers = [number for cell in cells if (number := number_of(cell, decimal)) is not None]
    return len(numbers) >= 0.5 * len(cells) and any(math.isfinite(number) for number in numbers)


def _first_values(lines: list[str], delimiter: str, decimal: str, width: int) -> int | None:
    """Index of the first line of values."""
    for index, line in enumerate(lines):
        cells = cells_of(line, delimiter)
        if len(cells) == width and _is_values(cells, decimal):
            return index
    return None


def _headings(
    lines: list[str], first: int, delimiter: str, width: int, decimal: str
) -> tuple[int | None, list[str], list[str]]:
    """Line of the headings, the headings, and the units of a row below them."""
    from rotorwright.measure.quantities import is_unit

    above = [(i, cells_of(lines[i], delimiter)) for i in range(first - 1, max(first - 6, -1), -1) if lines[i].strip()]
    if delimiter == " ":  # a heading of several words cannot be told from several headings
        above = [(i, cells) for i, cells in above if len(cells) == width]
    rows = [(i, cells) for i, cells in above if len(cells) > 1 and not _is_values(cells, decimal)]
    if not rows:
        return None, [], []
    line, cells = rows[0]
    if len(cells) == width and _are_units(cells, is_unit) and len(rows) > 1 and len(rows[1][1]) == width:
        return rows[1][0] + 1, _named(rows[1][1]), [cell.strip("[](){} ") for cell in cells]
    return line + 1, _named(cells), []


def _are_units(cells: Iterable[str], is_unit: "re.Pattern[str] | object") -> bool:
    known = [bool(is_unit(cell)) for cell in cells if not is_empty(cell.strip("[](){} "))]  # type: ignore[operator]
    return bool(known) and sum(known) >= 0.6 * len(known)


def _named(cells: list[str]) -> list[str]:
    """Headings, without what marks a comment; a column without one is called by its number, and so is told one that
    has the heading of a column before it.
    """
    cells = [cells[0].lstrip("#%\ufeff "), *cells[1:]]
    named = [cell or str(index + 1) for index, cell in enumerate(cells)]
    plain = [cell.lower() for cell in named]
    return [
        f"{cell}{AGAIN}{index + 1})" if plain[index] in plain[:index] else cell for index, cell in enumerate(named)
    ]
