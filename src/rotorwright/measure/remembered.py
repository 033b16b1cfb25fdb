"""Column mappings that the workshop remembers, by the headings of the files they belong to: `logs/mappings.toml`.

    [[mapping]]
    headings = ["Time", "Volt", "Amp"]
    columns = [{ quantity = "current", column = "Amp", unit = "a" }]

A file with the same headings is read the same way again. Written through the journal, so that it can be undone.
"""

from collections.abc import Mapping as Table
from pathlib import Path
from typing import Any

import tomlkit

from rotorwright.craft.journal import Journal
from rotorwright.errors import InputError, Problem
from rotorwright.measure.mapping import Column, Mapping, guess
from rotorwright.measure.quantities import QUANTITIES, unit_of
from rotorwright.measure.tables import TableForm
from rotorwright.parts.ranges import LARGEST_NUMBER
from rotorwright.parts.reader import quoted
from rotorwright.parts.shelf import FORMAT
from rotorwright.parts.source_map import SourceMap, read_text, read_toml

__all__ = ["forget", "mapping_for", "mappings_file", "remember", "remembered"]

_HEAD = f"""# How the columns of logs and bench tables are read, by their headings.

format = {FORMAT}
"""


def mappings_file(workshop: Path) -> Path:
    """Where a workshop keeps its mappings."""
    return workshop / "logs" / "mappings.toml"


def mapping_for(form: TableForm, workshop: Path | None, wanted: tuple[str, ...] = ()) -> Mapping:
    """The remembered mapping of a file's headings, else a guess among `wanted` (everything when empty)."""
    kept = remembered(workshop).get(form.headings) if workshop else None
    return kept or guess(form, wanted)


def remembered(workshop: Path) -> dict[tuple[str, ...], Mapping]:
    """All mappings of a workshop by headings; InputError with file and line for one that cannot be."""
    file = mappings_file(workshop)
    if not file.exists():
        return {}
    table, source = read_toml(file)
    if table.get("format") != FORMAT:
        raise InputError(source.problem(("format",), "the file does not say its format", f"Write format = {FORMAT}."))
    entries = table.get("mapping", [])
    if not isinstance(entries, list):
        raise InputError(source.problem(("mapping",), "[mapping] is a single table", "Write [[mapping]]."))
    return dict(_entry(entry, ("mapping", index), source) for index, entry in enumerate(entries))


def _entry(entry: Any, key: tuple[str | int, ...], source: SourceMap) -> tuple[tuple[str, ...], Mapping]:
    headings = entry.get("headings") if isinstance(entry, Table) else None
    columns = entry.get("columns") if isinstance(entry, Table) else None
    if not isinstance(headings, list) or not isinstance(columns, list):
        fix = 'Write headings = ["Time", ...] and columns = [{ quantity = ..., column = ..., unit = ... }].'
        raise InputError(source.problem(key, "a mapping lacks headings or columns", fix))
    names = tuple(heading if isinstance(heading, str) else quoted(heading) for heading in headings)
    read = tuple(_column(column, names, (*key, "columns"), source) for column in columns)
    left = tuple(name for name in names if name not in {column.heading for column in read})
    return names, Mapping(read, f"remembered in {source.file.name}", left, (), tuple(c.quantity for c in read))


def _column(column: Any, headings: tuple[str, ...], key: tuple[str | int, ...], source: SourceMap) -> Column:
    table = column if isinstance(column, Table) else {}
    given = (table.get(name, "") for name in ("quantity", "column", "unit"))
    quantity, heading, unit = (word if isinstance(word, str) else quoted(word) for word in given)
    numbers = [table.get("zero", 0.0), table.get("scale", 1.0)]
    what = ""
    if quantity not in QUANTITIES:
        what, fix = f"'{quantity}' is no quantity", f"Known: {', '.join(QUANTITIES)}."
    elif heading not in headings:
        what, fix = f"no heading '{heading}' in this mapping", f"There are: {', '.join(headings[:8])}."
    elif unit_of(unit, QUANTITIES[quantity].dimension) is None:
        what, fix = f"'{unit}' is no unit of {quantity}", f"It is a {QUANTITIES[quantity].dimension}."
    elif not all(map(_is_plain, numbers)) or not numbers[1]:
        what, fix = "zero and scale are finite numbers, and a scale is not zero", "Mend them."
    if what:
        raise InputError(source.problem(key, what, fix))
    found = unit_of(unit, QUANTITIES[quantity].dimension) or ""
    return Column(quantity, heading, found, "remembered", True, float(numbers[0]), float(numbers[1]))


def _is_plain(number: Any) -> bool:
    """Whether it is a number of a size that readings have."""
    return isinstance(number, int | float) and not isinstance(number, bool) and abs(number) <= LARGEST_NUMBER


def remember(workshop: Path, form: TableForm, mapping: Mapping) -> str:
    """Keep `mapping` for files with these headings; returns what was done."""
    file = mappings_file(workshop)
    if not workshop.is_dir() or not (workshop / "shelf").is_dir():
        what, fix = "this is no workshop", "`rotorwright new FOLDER` makes one."
        raise InputError(Problem(what, fix, "", workshop))
    file.parent.mkdir(exist_ok=True)
    before = read_text(file) if file.exists() else _HEAD
    remembered(workshop)  # a broken file gets its own message
    document = tomlkit.parse(before)
    entries = document.setdefault("mapping", tomlkit.aot())
    for entry in [one for one in entries if list(one.get("headings", [])) == list(form.headings)]:
        entries.remove(entry)
    entry = tomlkit.table()
    entry["headings"] = list(form.headings)
    rows = tomlkit.array()
    for column in mapping.columns:
        row = tomlkit.inline_table()
        row.update({"quantity": column.quantity, "column": column.heading, "unit": column.unit})
        if (column.zero, column.scale) != (0.0, 1.0):
            row.update({"zero": column.zero, "scale": column.scale})
        rows.append(row)
    entry["columns"] = rows.multiline(True)
    entries.append(entry)
    what = f"columns of {form.file.name} remembered: {', '.join(mapping.quantities)}"
    Journal(file).save(before, tomlkit.dumps(document), what)
    return what


def forget(workshop: Path) -> str:
    """Take the latest change of the remembered mappings back; returns what it was."""
    file = mappings_file(workshop)
    if not file.exists():
        raise InputError(Problem("nothing to undo", "No mapping is remembered here.", "", file))
    return Journal(file).undo().what
