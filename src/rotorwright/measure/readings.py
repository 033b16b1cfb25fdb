"""A table of measurements read into SI arrays, block by block, so that long logs take little memory.

Every row keeps its line in the file. A cell that is no number stops the reading with its line and column; an empty
one becomes NaN. Nothing is smoothed, filled or left out here: `faults` says what should not be trusted.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rotorwright.errors import InputError, Problem
from rotorwright.measure import mapping as columns_of
from rotorwright.measure.mapping import Column
from rotorwright.measure.quantities import QUANTITIES, si_of
from rotorwright.measure.tables import TableForm, cells_of, is_empty, number_of, recognise

if TYPE_CHECKING:
    import polars

__all__ = ["MOST_VALUES", "Readings", "read", "read_file"]

Array = NDArray[np.float64]

MOST_VALUES = 80_000_000
"""Numbers kept of one file; as arrays they take 0.64 GB."""

LARGEST_READING = 1e30
"""A number as large as this is no reading, and is taken for none."""

_BLOCK = 1 << 25
_EMPTY = ["", "-", "--", "nan", "na", "n/a", "none", "null"]


@dataclass(frozen=True, slots=True)
class Readings:
    """Columns of one file in SI, NaN where a cell was empty."""

    form: TableForm
    mapping: columns_of.Mapping
    columns: Mapping[str, Array] = field(repr=False)
    """By name of the quantity, each of shape (rows,)."""
    lines: NDArray[np.int32] = field(repr=False)
    """Line of the file that each row stands on."""

    @property
    def file(self) -> Path:
        """Where they come from."""
        return self.form.file

    @property
    def rows(self) -> int:
        """How many rows there are."""
        return len(self.lines)

    def get(self, quantity: str) -> Array | None:
        """A column, or None."""
        return self.columns.get(quantity)

    def need(self, *quantities: str) -> list[Array]:
        """Columns that must be there and hold a value; InputError that names every one that is not."""
        columns_of.require(self.form, self.mapping, quantities)
        problems = []
        for name in quantities:
            if not np.isfinite(self.columns[name]).any():
                what = f"column {self.place(self.mapping.of(name)[0].heading)} holds no values, so there is no {name}"
                problems.append(self.problem(self.form.first_line, what, "Name another column, or log it."))
        if problems:
            raise InputError(*problems)
        return [self.columns[name] for name in quantities]

    def problem(self, line: int | None, what: str, fix: str, why: str = "") -> Problem:
        """A problem at a line of the file."""
        return Problem(what, fix, why, self.file, line)

    def place(self, heading: str) -> str:
        """A column as `3 ('volt')`."""
        return f"{(self.form.column(heading) or 0) + 1} ('{heading}')"


def read_file(file: Path, wanted: Sequence[str] = (), changes: Sequence[str] = ()) -> Readings:
    """Recognise, guess, correct and read in one go: what a test or a script asks for."""
    form = recognise(file)
    return read(form, columns_of.corrected(form, columns_of.guess(form, wanted), changes))


def read(form: TableForm, mapping: columns_of.Mapping) -> Readings:
    """The columns of `mapping`, in SI; InputError with line and column for a cell that is no number."""
    if not mapping.columns:
        what = f"no column of {form.file.name} was recognised"
        fix = "Say which is what, as in --take current=COLUMN:UNIT."
        raise InputError(Problem(what, fix, f"Headings: {', '.join(form.headings[:12])}.", form.file))
    taken = {column.heading: form.column(column.heading) or 0 for column in mapping.columns}
    parts: dict[str, list[Array]] = {name: [] for name in mapping.quantities}
    lines: list[NDArray[np.int32]] = []
    line, values = form.first_line, 0
    try:
        for block in _blocks(form):
            raw = _parsed(block, form, sorted(set(taken.values())), line)
            count = len(next(iter(raw.values())))
            kept = np.arange(count, dtype=np.int32)
            if _blank(raw.values()).any():
                kept = kept[~_blank(raw.values())]
            for name in mapping.quantities:
                found = _combined(name, mapping.of(name), taken, raw)
                parts[name].append(found if len(kept) == count else found[kept])
            lines.append(kept + np.int32(line))
            line, values = line + count, values + len(kept) * len(parts)
            if values > MOST_VALUES:
                what = f"more than {MOST_VALUES:,} values".replace(",", " ")
                raise InputError(Problem(what, "Log fewer columns or a shorter time.", "", form.file, line))
    except OSError as error:
        what = f"cannot be read: {error.strerror or error}"
        raise InputError(Problem(what, "Check the disk.", "", form.file)) from None
    if not values:
        what, fix = "no row holds a value in the columns that are read", "Name other columns, or log them."
        raise InputError(Problem(what, fix, "", form.file, form.first_line))
    columns: dict[str, Array] = {}
    for name in list(parts):
        columns[name] = np.concatenate(parts.pop(name))
    return Readings(form, mapping, columns, np.concatenate(lines))


def _blank(columns: Iterable[Array]) -> NDArray[np.bool_]:
    """Rows without any value."""
    blank: NDArray[np.bool_] | None = None
    for values in columns:
        blank = np.isnan(values) if blank is None else blank & np.isnan(values)
        if not blank.any():
            break
    assert blank is not None
    return blank


def _combined(name: str, columns: list[Column], taken: Mapping[str, int], raw: Mapping[int, Array]) -> Array:
    """One quantity in SI from its column, or from several."""
    dimension = QUANTITIES[name].dimension
    found = []
    for column in columns:
        factor, offset = si_of(column.unit, dimension)
        values = raw[taken[column.heading]]
        if (column.zero, column.scale, offset) != (0.0, 1.0, 0.0):
            values = (values - column.zero) * column.scale + offset
        found.append(values * factor)
    if len(found) == 1:
        return found[0]
    if QUANTITIES[name].several == "norm":
        return np.asarray(np.sqrt(sum(values * values for values in found)))
    return np.asarray(sum(found) / len(found))


def _blocks(form: TableForm) -> Iterator[bytes]:
    """The lines of values as whole lines, `_BLOCK` bytes at a time."""
    with form.file.open("rb") as stream:
        kept = stream.read(_BLOCK)
        returns = b"\n" not in kept and b"\r" in kept  # lines end as on machines of long ago
        kept = kept.replace(b"\r", b"\n") if returns else kept
        for _ in range(form.first_line - 1):
            kept = kept[kept.index(b"\n") + 1 :]
        while kept:
            cut = kept.rfind(b"\n") + 1
            if cut:
                yield kept[:cut]
            more = stream.read(_BLOCK)
            more = more.replace(b"\r", b"\n") if returns else more
            if not more:
                if kept[cut:]:
                    yield kept[cut:]
                return
            kept = kept[cut:] + more
            if len(kept) > 4 * _BLOCK:
                what, fix = "a line without end", "This is no table of numbers."
                raise InputError(Problem(what, fix, "", form.file))


def _squeezed(block: bytes, form: TableForm) -> bytes:
    """Nothing but single delimiters between the values."""
    if form.delimiter == " ":
        block = block.replace(b"\t", b" ").replace(b"\r\n", b"\n")
        while b"  " in block:
            block = block.replace(b"  ", b" ")
        block = block.replace(b"\n ", b"\n").replace(b" \n", b"\n")
        return block.lstrip(b" ")
    return block.replace(b" ", b"") if form.padded else block


def _name(index: int) -> str:
    return f"column_{index + 1}"


def _frame(
    block: bytes, form: TableForm, indices: Sequence[int], kind: "type[polars.DataType]"
) -> "polars.DataFrame":
    import warnings

    import polars as pl

    names = [_name(index) for index in range(len(form.headings))]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # a malformed block shows in its number of rows
        return pl.read_csv(
            block,
            has_header=False,
            separator=form.delimiter,
            schema={name: kind for name in names},  # noqa: C420
            columns=[names[index] for index in indices],
            quote_char='"' if form.quoted else None,
            decimal_comma=form.decimal == ",",
            ignore_errors=True,
            raise_if_empty=False,
        )


def _parsed(block: bytes, form: TableForm, indices: Sequence[int], line: int) -> dict[int, Array]:
    """Columns of one block as they are written, NaN where there is nothing; the first line of it is `line`."""
    frame = _tried(block, form, indices)
    if frame is None:  # blanks or quotes may come later than in the head
        frame = _tried(block, replace(form, padded=True, quoted=True), indices)
    if frame is None:
        raise InputError(_first_wrong(block, form, indices, line))
    found = {index: frame[_name(index)].fill_null(np.nan).to_numpy(writable=True) for index in indices}
    for values in found.values():
        if not np.abs(values).max(initial=0.0) < LARGEST_READING:
            values[~(np.abs(values) < LARGEST_READING)] = np.nan
    return found


def _tried(block: bytes, form: TableForm, indices: Sequence[int]) -> "polars.DataFrame | None":
    """The block as numbers, None when a line or a cell is not as it should be."""
    import polars as pl

    count = block.count(b"\n") + (not block.endswith(b"\n"))
    clean = _squeezed(block, form)
    try:
        frame = _frame(clean, form, indices, pl.Float64)
        return frame if frame.height == count and not _wordy(frame, clean, form, indices) else None
    except pl.exceptions.PolarsError:
        return None


def _wordy(frame: "polars.DataFrame", block: bytes, form: TableForm, indices: Sequence[int]) -> bool:
    """Whether a cell that gave no number is not empty either."""
    import polars as pl

    holes = [index for index in indices if frame[_name(index)].null_count()]
    text = _frame(block, form, holes, pl.String) if holes else frame
    for index in holes:
        cells = text[_name(index)].str.strip_chars().str.to_lowercase()
        if (frame[_name(index)].is_null() & cells.is_not_null() & ~cells.is_in(_EMPTY)).any():
            return True
    return False


def _first_wrong(block: bytes, form: TableForm, indices: Sequence[int], line: int) -> Problem:
    """What keeps a block from being read: the first line, and the column, that is not what it should be."""
    width, file = len(form.headings), form.file
    for number, raw in enumerate(block.split(b"\n"), start=line):
        try:
            cells = cells_of(raw.decode("utf-8").rstrip("\r"), form.delimiter)
        except UnicodeDecodeError as error:
            what = f"column {error.start + 1}: not UTF-8 text"
            return Problem(what, "Save the file as UTF-8.", "", file, number)
        if b"\0" in raw:
            what = f"column {raw.index(0) + 1}: a byte that no text holds"
            return Problem(what, "The file is damaged or binary from there on; export it again.", "", file, number)
        if [cell.lower() for cell in cells] == [heading.lower() for heading in form.headings]:
            return Problem(
                "the headings stand here again", "Cut the file in two: it holds two logs.", "", file, number
            )
        if len(cells) > width:
            what = f"{len(cells)} values in a table of {width} columns"
            return Problem(what, "Mend that line, or cut the file there.", "", file, number)
        if raw.count(b'"') % 2:
            return Problem("a quotation mark is not closed", "Mend that line.", "", file, number)
        for index in indices:
            cell = cells[index] if index < len(cells) else ""
            if number_of(cell, form.decimal) is None and not is_empty(cell):
                return Problem(_not_a_number(cell, index, form), *_mend(cell), file, number)
    return Problem("a value cannot be read", "Export the file again.", "", file, line)


def _not_a_number(cell: str, index: int, form: TableForm) -> str:
    shown = cell if len(cell) <= 24 else f"{cell[:21]}..."
    return f"column {index + 1} ('{form.headings[index]}'): '{shown}' is not a number"


def _mend(cell: str) -> tuple[str, str]:
    """How to mend a cell, and why."""
    if cell.count(":") in (1, 2):
        return "Give a column of seconds.", "A time of day cannot be read."
    if "," in cell or "." in cell:
        return "Write all numbers with the same decimal sign, and without marks for thousands.", ""
    return "Mend or empty that cell.", ""
