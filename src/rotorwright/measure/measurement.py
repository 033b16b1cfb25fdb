"""One measurement from file to shelf: look at the table, fit it, see what would change, apply it.

Each step is a function of its own, for terminal and web alike: `look`, `measure` (or `scale.weigh`), `apply`, and
`overlay.undo_overlay`, `history.history` beside them. Nothing is written before `apply`.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft, workshop_of, workshop_shelf
from rotorwright.errors import CannotCompute, InputError, Problem
from rotorwright.measure.beside import Beside, beside_prediction
from rotorwright.measure.faults import Checked, Fault, check_readings
from rotorwright.measure.fit import Fit
from rotorwright.measure.flight_log import LOG_QUANTITIES, flight_log
from rotorwright.measure.forms import FORMS, Fitted, Form
from rotorwright.measure.given import Given, given_parts, read_options
from rotorwright.measure.mapping import Mapping as Columns
from rotorwright.measure.mapping import corrected, require
from rotorwright.measure.onto_craft import OntoCraft, apply_to_craft, onto_craft
from rotorwright.measure.overlay import (
    BY_HAND,
    Laid,
    LeftOut,
    Preview,
    apply_overlay,
    preview_overlay,
    said_in,
    shelf_without,
    undo_overlay,
)
from rotorwright.measure.readings import Readings, read
from rotorwright.measure.remembered import mapping_for
from rotorwright.measure.stretches import hover_stretches
from rotorwright.measure.tables import TableForm, recognise
from rotorwright.parts.laws import completed
from rotorwright.parts.shelf import Shelf
from rotorwright.units import split_key

__all__ = ["Measurement", "Unused", "apply", "look", "measure", "planned", "residual_rows", "unused_rows"]

Array = NDArray[np.float64]

_SHOWN_IN_LOG = 50
"""Rows from which a table of hovers is taken to be the log of a flight."""


@dataclass(frozen=True, slots=True)
class Unused:
    """A row, or one reading of it, that the fit did not use."""

    line: int
    reason: str


def unused_rows(fit: Fit, lines: Sequence[int]) -> tuple[Unused, ...]:
    """What a fit set aside, by line of the file."""
    return tuple(Unused(lines[aside.row], aside.reason) for aside in fit.rows_set_aside)


@dataclass(frozen=True, slots=True)
class Measurement:
    """A fit with what it rests on and what it would change."""

    form: str
    file: Path | None
    fit: Fit
    craft_file: Path | None
    preview: Preview | None
    """For the shelf; None without a workshop."""
    onto_craft: tuple[Laid, ...]
    """For the craft's own file."""
    columns: Columns | None
    faults: tuple[Fault, ...]
    unused: tuple[Unused, ...]
    """What the fit set aside, by line of the file."""
    lines: tuple[int, ...] = field(repr=False, metadata={"printed": False})
    """Line of the file of each row the fit was given."""
    against: tuple[str, tuple[float, ...]] = field(repr=False, metadata={"printed": False})
    """Name and values [SI] of the quantity that residuals are shown over."""
    left_out: tuple[LeftOut, ...] = ()
    """Values of the craft that are not offered, and why."""
    notes: tuple[str, ...] = ()
    """What to know before a value of the craft is applied, in sentences."""
    beside: tuple[Beside, ...] = ()
    """What the craft's own prediction says of the same numbers."""


def look(file: Path, workshop: Path | None, form: str = "", changes: Sequence[str] = ()) -> tuple[TableForm, Columns]:
    """Layout of a table and what its columns are: as remembered or guessed, then corrected by `changes`.

    form: the measurement it is for; a log's quantities and all others when empty
    """
    table = recognise(file)
    kept = mapping_for(table, workshop, _wanted(form))
    return table, corrected(table, kept, changes)


def _wanted(form: str) -> tuple[str, ...]:
    if form == "log":
        return LOG_QUANTITIES
    own = FORMS.get(form)
    if own is None:
        return ()
    logs = LOG_QUANTITIES if form in ("hover", "battery") else ()
    return tuple(dict.fromkeys((*own.needs, *own.takes, *logs)))


def measure(
    form: str,
    file: Path,
    *,
    workshop: Path | None,
    craft: Craft | None = None,
    named: Sequence[str] = (),
    options: Sequence[str] = (),
    changes: Sequence[str] = (),
    specimen: str = "",
    only: Sequence[str] = (),
) -> Measurement:
    """Read a table, fit it, and say what would change; nothing is written.

    named: parts as kind=name, otherwise the craft's; options: as `radius_mm=45`; changes: of the columns
    Raises InputError for what cannot be read, CannotCompute when the rows say nothing.
    """
    own = _form(form)
    table, columns = look(file, workshop, form, changes)
    require(table, columns, own.needs)
    readings = read(table, columns)
    checked = check_readings(readings, *own.needs, ordered=own.ordered)
    if form == "hover":
        checked = _hovers(readings, checked)
    shelf, believed = _before(workshop, craft, file)
    numbers, words = read_options(options, own.options)
    given = Given(given_parts(named, shelf, believed, own.kinds), believed, numbers, words)
    found = _fitted(own, checked, given, columns)
    names = {kind: part.name for kind, part in given.parts.items()}
    against = checked.column(own.against)
    lines = tuple(checked.readings.lines[checked.keep].tolist())
    return planned(
        Measurement(
            form=form,
            file=file,
            fit=found.fit,
            craft_file=craft.file if craft else None,
            preview=None,
            onto_craft=(),
            columns=columns,
            faults=checked.faults,
            unused=unused_rows(found.fit, lines),
            lines=lines,
            against=(own.against, tuple(against.tolist()) if against is not None else ()),
            beside=beside_prediction(found.fit, believed) if believed else (),
        ),
        workshop,
        craft,
        names,
        specimen,
        only,
        found.more,
    )


def _fitted(form: Form, checked: Checked, given: Given, columns: Columns) -> Fitted:
    """The form's fit; CannotCompute with file, lines and columns where the readings say nothing or lead it astray."""
    try:
        with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
            return form.fit(checked, given)
    except np.linalg.LinAlgError:
        what = "the readings do not fit what was named at all: another part, another unit, or another flight?"
    except CannotCompute as reason:
        what = str(reason)
    readings = checked.readings
    lines = readings.lines[checked.keep]
    where = f"{readings.file}:{lines[0]}" + (f" to {lines[-1]}" if len(lines) > 1 else "")
    of_column = [
        f"{c.quantity} from column {(readings.form.column(c.heading) or 0) + 1} ('{c.heading}', {c.unit})"
        for c in columns.columns
    ]
    raise CannotCompute(f"{where}: {what.rstrip('.')}. Read as: {', '.join(of_column)}") from None


def _form(name: str) -> Form:
    if name not in FORMS:
        raise InputError(Problem(f"no measurement is called '{name}'", f"Known: {', '.join(FORMS)}, weigh, log."))
    return FORMS[name]


def _before(workshop: Path | None, craft: Craft | None, file: Path) -> tuple[Shelf, Craft | None]:
    """Shelf and craft as they were known before these very readings, which would count twice otherwise."""
    shelf = workshop_shelf(workshop)
    if workshop is None:
        return shelf, craft
    source = said_in(file, workshop)
    if all(overlay.about.from_ != source for overlay in shelf.overlays):
        return shelf, craft
    shelf = shelf_without(workshop, source)
    of_here = craft is not None and workshop_of(craft.file) == workshop.resolve()
    return shelf, read_craft(craft.file, shelf) if craft is not None and of_here else craft


def planned(
    found: Measurement,
    workshop: Path | None,
    craft: Craft | None,
    names: Mapping[str, str],
    specimen: str,
    only: Sequence[str],
    more: Mapping[str, Mapping[str, object]],
) -> Measurement:
    """The measurement with what it would change."""
    of_craft = onto_craft(found.fit, craft, only) if craft else OntoCraft()
    kept = {split_key(laid.key)[0][0] for laid in of_craft.laid} | {out.field for out in of_craft.left_out}
    for_parts = [name for name in only if name not in kept]
    preview = None
    if workshop is not None:
        source = found.file or BY_HAND
        preview = preview_overlay(workshop, found.fit, names, source, specimen=specimen, only=for_parts, more=more)
        preview = replace(
            preview,
            left_out=tuple(out for out in preview.left_out if out.field not in kept),
            notes=(*preview.notes, *(_in_the_way(preview, craft, workshop) if craft else ())),
        )
    return replace(found, preview=preview, onto_craft=of_craft.laid, left_out=of_craft.left_out, notes=of_craft.notes)


def _in_the_way(preview: Preview, craft: Craft, workshop: Path) -> Iterator[str]:
    """What of a craft's file keeps a measured value from reaching it."""
    shelf = workshop_shelf(workshop)
    for name in dict.fromkeys(laid.part for laid in preview.laid):
        shelved = shelf.find(name)
        carried = [placed for placed in craft.parts if placed.part.name == name]
        if shelved is None or not carried:
            continue
        own = carried[0]
        stems = [split_key(laid.key)[0][0] for laid in preview.laid if laid.part == name and split_key(laid.key)]
        base = {**vars(completed(shelved.part)), **shelf.specimen(name, own.specimen)}
        stated = [stem for stem in stems if getattr(own.part, stem) != base[stem]]
        if stated:
            yield f"The craft's own file states {', '.join(stated)} of '{own.id}', which wins over what is measured."
        if own.specimen and not preview.specimen:
            yield f"The craft carries '{own.specimen}' of '{name}': --specimen keeps the values to that one."
        if preview.specimen and preview.specimen != own.specimen:
            yield f"The craft does not say that its '{own.id}' are '{preview.specimen}'; specimen = \"...\" would."


def _hovers(readings: Readings, checked: Checked) -> Checked:
    """The hovers in the log of a flight, one row each; a table of hovers stays as it is."""
    if readings.get("time") is None or readings.rows < _SHOWN_IN_LOG:
        return checked
    log = flight_log(readings)
    hovers = [hover for flight in log.flights for hover in hover_stretches(flight.series)]
    if not hovers:
        what = "the log holds no hover of two seconds"
        raise InputError(
            readings.problem(None, what, "Hover still for five seconds or more, low and away from walls.")
        )
    columns = {
        "voltage": np.array([h.voltage_v for h in hovers]),
        "current": np.array([h.current_a for h in hovers]),
        "time": np.array([h.start_s for h in hovers]),
    }
    if all(h.throttle is not None for h in hovers):
        columns["throttle"] = np.array([h.throttle for h in hovers], dtype=float)
    rows = np.searchsorted(np.fmax.accumulate(readings.columns["time"]), columns["time"])
    short = replace(readings, columns=columns, lines=readings.lines[np.minimum(rows, readings.rows - 1)])
    return Checked(short, np.ones(len(hovers), dtype=np.bool_), log.faults)


def apply(found: Measurement) -> list[str]:
    """Write what a measurement would change, through the journals; returns what was done.

    InputError leaves everything as it was.
    """
    done: list[str] = []
    shelf = found.preview is not None and bool(found.preview.laid)
    if found.preview is not None and (shelf or not found.onto_craft):
        done.append(apply_overlay(found.preview))
    elif not found.onto_craft:
        raise InputError(
            Problem("there is no workshop to keep it in", "Work in one: `rotorwright new FOLDER` makes one.")
        )
    if found.onto_craft and found.craft_file is not None:
        try:
            done.append(apply_to_craft(found.craft_file, found.onto_craft, found.fit.name))
        except InputError:
            if shelf and found.preview is not None:
                undo_overlay(found.preview.file.parent.parent)
            raise
    return done


def residual_rows(found: Measurement, most: int = 0) -> tuple[list[str], list[list[float | None]]]:
    """Headings and rows of what the fit leaves over: line, the quantity it is shown over, one column a residual.

    most: at most so many rows, evenly picked, for a picture; 0 for all
    """
    name, values = found.against
    headings = ["line", name, *(f"left_{key}" for key in found.fit.residuals)]
    rows = []
    step = -(-len(found.lines) // most) if most else 1
    for index in range(0, len(found.lines), max(step, 1)):
        line = found.lines[index]
        left = [float(residual[index]) for residual in found.fit.residuals.values()]
        first = [float(line), values[index] if index < len(values) else float("nan")]
        rows.append([value if np.isfinite(value) else None for value in (*first, *left)])
    return headings, rows
