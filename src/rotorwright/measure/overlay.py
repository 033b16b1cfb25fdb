"""From what was measured to the shelf: fitted values laid over a part, in one file that can be undone.

The file is `shelf/measured.toml` of the workshop (`parts/measured.py` says what it holds). Nothing is written before
the new text has been read as part of the whole shelf. A part's own file is never touched.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

import tomlkit

from rotorwright.columns.flight import propeller_inertia
from rotorwright.craft.journal import Journal
from rotorwright.craft.read import workshop_shelf
from rotorwright.errors import InputError, Problem
from rotorwright.measure.fit import Fit, FittedValue
from rotorwright.measure.sharper import Weighed, weighed_against
from rotorwright.measure.spelling import after_words, spelled, words_of
from rotorwright.parts.fields import Quantity, specs
from rotorwright.parts.kinds import KINDS
from rotorwright.parts.laws import completed
from rotorwright.parts.measured import MEASURED, overlays_of
from rotorwright.parts.propulsion import Propeller
from rotorwright.parts.reader import Reader
from rotorwright.parts.shelf import FORMAT, Shelf, builtin_shelf, check_format, read_shelf
from rotorwright.parts.source_map import read_text, read_toml
from rotorwright.units import SI_UNIT, split_key

__all__ = [
    "BY_HAND",
    "Laid",
    "LeftOut",
    "Preview",
    "apply_overlay",
    "measured_file",
    "preview_overlay",
    "said_in",
    "shelf_without",
    "undo_overlay",
]

_HEAD = f"""# Measured values, laid over the parts of the shelves. The latest day holds; a craft's own value wins.

format = {FORMAT}

"""


@dataclass(frozen=True, slots=True)
class Laid:
    """One value as it goes into the file, and what it replaces."""

    part: str
    key: str
    """With its unit, as in files."""
    value: Any
    """As TOML will hold it."""
    before: str
    """What the part says now, in words; '' for nothing."""
    after: str


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A fitted value that is not laid on a part, and why."""

    field: str
    reason: str


@dataclass(frozen=True, slots=True)
class Preview:
    """What would be written, before anything is."""

    file: Path
    date: str
    specimen: str
    by: str
    source: str
    laid: tuple[Laid, ...]
    left_out: tuple[LeftOut, ...]
    notes: tuple[str, ...] = ()
    """What keeps a value from reaching the craft, and what lies far from what was believed, in sentences."""


def measured_file(workshop: Path) -> Path:
    """Where a workshop keeps its measured values."""
    return workshop / "shelf" / "measured.toml"


def preview_overlay(
    workshop: Path,
    fit: Fit,
    parts: Mapping[str, str],
    source: Path,
    *,
    specimen: str = "",
    only: Iterable[str] = (),
    more: Mapping[str, Mapping[str, Any]] | None = None,
    day: date | None = None,
) -> Preview:
    """Which values of `fit` go onto which part of the workshop's shelf, and what they replace.

    parts: name of the part for each kind; source: the file with the readings; only: fields, all when empty
    more: keys and values by part that no single number holds, such as bench points
    Raises InputError for a part that is on no shelf, or a field that the fit did not find.
    """
    shelf, wanted = workshop_shelf(workshop), list(only)
    known = {value.field for value in fit.values} | {key for keys in (more or {}).values() for key in keys}
    for field in wanted:
        if field not in known:
            fix = f"It found: {', '.join(sorted(known)) or 'nothing'}."
            raise InputError(Problem(f"the fit found no '{field}'", fix))
    laid: list[Laid] = []
    left: list[LeftOut] = []
    notes: list[str] = []
    shown = said_in(source, workshop)
    known_before = shelf_without(workshop, shown)
    for value in fit.values:
        if wanted and value.field not in wanted:
            left.append(LeftOut(value.field, "not asked for"))
            continue
        found = _laid(value, parts, shelf, specimen)
        if isinstance(found, Laid):
            judged = _judged(value, found, known_before, specimen, bool(wanted))
            notes += judged.notes
            found = LeftOut(value.field, judged.left_out) if judged.left_out else found
        (laid if isinstance(found, Laid) else left).append(found)  # type: ignore[arg-type]
    for name, keys in (more or {}).items():
        _find(shelf, name)
        laid += [
            Laid(name, key, value, "", f"{len(value)} points" if isinstance(value, list) else str(value))
            for key, value in keys.items()
            if not wanted or any(key == word or key.startswith(f"{word}_") for word in wanted)
        ]
    today = (day or date.today()).isoformat()
    return Preview(measured_file(workshop), today, specimen, fit.name, shown, tuple(laid), tuple(left), tuple(notes))


def _judged(value: FittedValue, laid: Laid, before: Shelf, specimen: str, asked: bool) -> Weighed:
    """The value against what was known of it without these readings."""
    spec = specs(KINDS[value.kind]).get(value.field)
    shelved = before.find(laid.part)
    if shelved is None or not isinstance(spec, Quantity) or value.redefines:
        return Weighed("", (value.redefines,) if value.redefines else ())
    own = before.specimen(laid.part, specimen).get(value.field) if specimen else None
    part = completed(shelved.part)
    old = own or getattr(part, value.field)
    if value.field == "inertia" and isinstance(part, Propeller):
        old = propeller_inertia(part)
    return weighed_against(replace(value, part=laid.part), old, spec.dimension, laid.key, asked)


BY_HAND = Path("by hand")
"""Where readings come from that stand in no file."""


def shelf_without(workshop: Path, source: str) -> Shelf:
    """The workshop's shelf as it was known before the readings of one file, which must not be counted twice."""
    folder = workshop / "shelf"
    if not folder.is_dir():
        return builtin_shelf()
    own = read_shelf(folder)
    shelf = builtin_shelf().with_parts(found for part in own if (found := own.find(part.name)) is not None)
    return shelf.overlaid(o for o in own.overlays if o.about.from_ != source or source == str(BY_HAND))


def said_in(source: Path, workshop: Path) -> str:
    """The file as seen from the workshop, its name alone when it lies elsewhere."""
    try:
        return source.resolve().relative_to(workshop.resolve()).as_posix()
    except ValueError:
        return source.name


def _find(shelf: Shelf, name: str) -> Any:
    found = shelf.find(name)
    if found is None:
        near = shelf.near(name)
        fix = f"Near: {', '.join(near)}." if near else "`rotorwright shelf` lists what there is."
        why = "Measured values are laid over a part of a shelf, not over one that a craft's own file holds."
        raise InputError(Problem(f"no part '{name}' on any shelf", fix, why))
    return found.part


def _laid(value: FittedValue, parts: Mapping[str, str], shelf: Shelf, specimen: str) -> Laid | LeftOut:
    name = value.part or parts.get(value.kind, "")
    kind = KINDS.get(value.kind)
    if kind is None:
        return LeftOut(value.field, value.note or f"{value.kind}: no part's value")
    spec = specs(kind).get(value.field)
    if not isinstance(spec, Quantity) or SI_UNIT[spec.dimension] != value.unit:
        return LeftOut(value.field, value.note or f"no field of a {kind.kind}")
    if not name:
        return LeftOut(value.field, f"which {kind.kind} was measured is not said")
    part = _find(shelf, name)
    if part.kind != kind.kind:
        raise InputError(Problem(f"'{name}' is a {part.kind}, not a {kind.kind}", "Name the part that was measured."))
    key, table = spelled(value, spec.dimension)
    measured = shelf.specimen(name, specimen).get(value.field) if specimen else None
    before = measured or getattr(completed(part), value.field)
    return Laid(name, key, table, words_of(before, key, spec.dimension), after_words(value, spec.dimension))


def apply_overlay(preview: Preview) -> str:
    """Write a preview through the journal; returns what was done.

    The new text is read with the whole shelf before it is saved: InputError leaves everything as it was.
    """
    if not preview.laid:
        why = "; ".join(f"{out.field}: {out.reason}" for out in preview.left_out)
        fix = "Keep the number in the craft's note."
        raise InputError(Problem("nothing that was found has a key of its own in a part's file", fix, why))
    if not preview.file.parent.is_dir():
        what, fix = "there is no shelf here", "Work in a workshop: `rotorwright new FOLDER` makes one."
        raise InputError(Problem(what, fix, "", preview.file.parent))
    before = read_text(preview.file) if preview.file.exists() else _HEAD
    document = tomlkit.parse(before) if read_toml(preview.file, before) else tomlkit.document()
    for part in dict.fromkeys(laid.part for laid in preview.laid):
        _write(document, preview, part, [laid for laid in preview.laid if laid.part == part])
    after = tomlkit.dumps(document)
    _read_whole(preview.file, after)
    what = f"{preview.by} laid on {', '.join(dict.fromkeys(laid.part for laid in preview.laid))}"
    what += f", specimen '{preview.specimen}'" if preview.specimen else ""
    what += f": {', '.join(laid.key for laid in preview.laid)}"
    Journal(preview.file).save(before, after, what)
    return what


def _write(document: tomlkit.TOMLDocument, preview: Preview, part: str, values: list[Laid]) -> None:
    """Add one `[[measured]]`; what it measures anew was measured before on the same day, goes."""
    tables = document.setdefault(MEASURED, tomlkit.aot())
    stems = {_stem(laid.key) for laid in values}
    for table in list(tables):
        same = (table.get("of"), str(table.get("date")), table.get("specimen", "")) == (
            part,
            preview.date,
            preview.specimen,
        )
        if same:
            for key in [key for key in table if _stem(key) in stems]:
                del table[key]
            if set(table) <= {"of", "date", "specimen", "by", "from", "note"}:
                tables.remove(table)
    entry = tomlkit.table()
    entry["of"], entry["date"] = part, preview.date
    if preview.specimen:
        entry["specimen"] = preview.specimen
    entry["by"], entry["from"] = preview.by, preview.source
    for laid in values:
        entry[laid.key] = _item(laid.value)
    entry.add(tomlkit.nl())
    tables.append(entry)


def _item(value: Any) -> Any:
    """A value as TOML on one line, a list of tables on one line each."""
    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        table.update(value)
        return table
    if isinstance(value, list):
        array = tomlkit.array()
        for row in value:
            array.append(_item(row))
        return array.multiline(True)
    return value


def _stem(key: str) -> str:
    return next((stem for stem, _ in split_key(key)), key)


def _read_whole(file: Path, text: str) -> None:
    """Raise InputError unless the shelf can be read with `text` in the place of `file`."""
    table, source = read_toml(file, text)
    reader = Reader(source)
    check_format(table, reader)
    own = read_shelf(file.parent)
    overlays = [overlay for overlay in own.overlays if overlay.source.file != file] + overlays_of(table, reader)
    if reader.problems:
        raise InputError(*reader.problems)
    shelf = builtin_shelf().with_parts(found for part in own if (found := own.find(part.name)) is not None)
    shelf.overlaid(overlays)


def undo_overlay(workshop: Path) -> str:
    """Take the latest change of the workshop's measured values back; returns what it was."""
    file = measured_file(workshop)
    if not file.exists():
        raise InputError(Problem("nothing to undo", "No measured value has been laid on a part here.", "", file))
    return Journal(file).undo().what
