"""What `rotorwright measure` says: forms, columns, fits, what they would change, and what was measured before."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from rotorwright.measure.faults import Checked, Fault
from rotorwright.measure.forms import FORMS
from rotorwright.measure.history import History, MeasuredOnce
from rotorwright.measure.mapping import Mapping as Columns
from rotorwright.measure.measurement import Measurement
from rotorwright.measure.quantities import QUANTITIES
from rotorwright.measure.tables import TableForm
from rotorwright.predict.result import plain
from rotorwright.sheet.measured import unit_of_column
from rotorwright.sheet.measured_words import (
    beside_words,
    field_words,
    left_over,
    rows_words,
    shown_column,
    unit_words,
    value_words,
)
from rotorwright.sheet.spoken_units import digits

__all__ = [
    "ColumnsSeen",
    "print_columns",
    "print_faults",
    "print_form",
    "print_forms",
    "print_history",
    "print_mapping",
    "print_measurement",
    "ready_for_json",
    "rows_table",
]

_MOST_FAULTS = 8
_MOST_POINTS = 1500

_MORE_FORMS = {
    "weigh": "masses from a scale: PART=GRAMS, PART*4+OTHER=GRAMS, all-up=GRAMS or dry=GRAMS with --craft",
    "log": "the log of a flight: what was flown, and with --craft the prediction held against it",
    "profile": "how a flight was flown, as the profile of a craft",
    "columns": "how a file's columns are read; --take puts it right, --remember keeps it",
    "history": "everything that was measured in this workshop",
    "invent": "readings that nobody took, to try a fit on: stand, battery, flight or swing, a new file, and --craft",
    "undo": "takes the latest measured values back; `undo columns` the latest choice of columns",
}


@dataclass(frozen=True, slots=True)
class ColumnsSeen:
    """How a file is read."""

    file: str
    layout: str
    rows: int
    columns: Columns
    faults: tuple[Fault, ...]
    set_aside: int
    done: str
    """What was kept; '' when nothing was."""


def ready_for_json(result: Any) -> Any:
    """Plain data of a result: paths as texts, numbers that are not finite as null."""
    if isinstance(result, Mapping):
        return {key: ready_for_json(value) for key, value in result.items()}
    if isinstance(result, list | tuple):
        return [ready_for_json(value) for value in result]
    if isinstance(result, Path):
        return str(result)
    if isinstance(result, float):
        return result if math.isfinite(result) else None
    found = plain(result)
    return found if found is result else ready_for_json(found)


def rows_table(*headings: str) -> Table:
    """A table without lines."""
    table = Table(box=None, pad_edge=False, header_style="dim", show_header=any(headings), padding=(0, 2, 0, 0))
    for heading in headings:
        table.add_column(heading, overflow="fold")
    return table


def print_forms(console: Console) -> None:
    """Every form in a line."""
    table = rows_table("", "")
    for name, about in {**{f.name: f.about for f in FORMS.values()}, **_MORE_FORMS}.items():
        table.add_row(Text(name, style="bold"), about)
    console.print(table)
    console.print(
        "`rotorwright measure FORM` says what a form needs. Nothing is written without --apply.", style="dim"
    )


def print_form(console: Console, name: str) -> None:
    """What one form needs and takes."""
    form = FORMS.get(name)
    if form is None:
        console.print(f"{name}: {_MORE_FORMS[name]}.")
        return
    console.print(Text(f"{form.name}: {form.about}", style="bold"))
    table = rows_table("", "")
    table.add_row("columns", ", ".join(form.needs))
    if form.takes:
        table.add_row("if there are", ", ".join(form.takes))
    if form.kinds:
        table.add_row("parts", f"{', '.join(form.kinds)}: --part {form.kinds[0]}=NAME, or --craft FILE")
    for option in form.options:
        need = "needed: " if option.required else ""
        words = f" ({', '.join(option.words)})" if option.words else ""
        table.add_row(f"--given {option.key}=", f"{need}{option.about}{words}")
    console.print(Padding(table, (0, 0, 0, 2)))
    if form.caution:
        console.print(f"Caution: {form.caution}", style="yellow")


def print_columns(console: Console, form: TableForm, columns: Columns, checked: Checked) -> None:
    """How a file is read."""
    console.print(f"{form.file}: {form.words}; {checked.readings.rows} rows.", soft_wrap=True)
    console.print(f"Columns, {columns.source}:")
    console.print(Padding(_columns_table(columns, checked), (0, 0, 0, 2)))
    if columns.left_out:
        console.print(f"Not used: {', '.join(columns.left_out)}.")
    for note in columns.notes:
        console.print(f"Note: {note}.")
    print_faults(console, checked.faults, checked.set_aside)


def _columns_table(columns: Columns, checked: Checked) -> Table:
    table = rows_table("quantity", "column", "unit", "recognised by", "from", "to")
    for column in columns.columns:
        own = [c for c in columns.columns if c.quantity == column.quantity]
        values = checked.readings.columns[column.quantity]
        there = values[~(values != values)]
        factor, more, unit = shown_column(column.quantity, unit_of_column(column.quantity))
        shown = [digits(factor * float(v) + more) for v in (there.min(), there.max())] if len(there) else []
        span = [shown[0], f"{shown[1]} {unit}".rstrip()] if shown else ["-", "empty"]
        turned = (
            f", less {column.zero:g}, times {column.scale:g}" if (column.zero, column.scale) != (0.0, 1.0) else ""
        )
        span = span if len(own) == 1 else [f"{QUANTITIES[column.quantity].several} of {len(own)}", span[1]]
        doubt = "" if column.sure else " ?"
        table.add_row(column.quantity, column.heading, unit_words(column.unit) + turned, column.why + doubt, *span)
    return table


def print_faults(console: Console, faults: Sequence[Fault], set_aside: int) -> None:
    """Rows that are not trusted, the first of them one by one."""
    for fault in faults[:_MOST_FAULTS]:
        words = f"{fault.words}{'' if fault.set_aside else ' (used all the same)'}."
        console.print(Padding(words, (0, 0, 0, 2)))
    if len(faults) > _MOST_FAULTS:
        console.print(f"  and {len(faults) - _MOST_FAULTS} more places.")
    if set_aside:
        console.print(f"{set_aside} rows are set aside.")


def print_measurement(console: Console, found: Measurement, done: Sequence[str]) -> None:
    """A fit, what it would change, and what was done."""
    fit = found.fit
    where = f" from {found.file}" if found.file else ""
    console.print(Text(f"{fit.name}{where}: {rows_words(fit)}", style="bold"), soft_wrap=True)
    if found.columns is not None:
        print_mapping(console, found.columns)
    table = rows_table("value", "", "")
    for value in fit.values:
        table.add_row(field_words(value.field, value.kind, value.part), value_words(value), value.note)
    console.print(Padding(table, (0, 0, 0, 2)))
    console.print(fit.identifies)
    for one in found.beside:
        console.print(beside_words(one))
    for note in fit.notes:
        console.print(f"Note: {note}")
    left = ", ".join(_left(name, sd) for name, sd in fit.residual_sd.items())
    if left:
        console.print(f"Left over, standard deviation: {left}.")
    print_faults(console, found.faults, sum(fault.rows for fault in found.faults if fault.set_aside))
    for unused in found.unused[:_MOST_FAULTS]:
        where = "weighing" if found.file is None else "line"
        console.print(Padding(f"{where} {unused.line}: {unused.reason}; set aside.", (0, 0, 0, 2)))
    if len(found.unused) > _MOST_FAULTS:
        console.print(f"  and {len(found.unused) - _MOST_FAULTS} more readings.")
    _print_changes(console, found, done)
    form = FORMS.get(found.form)
    if form is not None and form.caution:
        console.print(f"Caution: {form.caution}", style="dim")


def _print_changes(console: Console, found: Measurement, done: Sequence[str]) -> None:
    laid = [*(found.preview.laid if found.preview else ()), *found.onto_craft]
    if laid:
        console.print(Text("On the shelf, as measured" if not done else "Applied", style="bold"))
        table = rows_table("part", "key", "was", "becomes")
        for one in laid:
            table.add_row(one.part, one.key, one.before, one.after)
        console.print(Padding(table, (0, 0, 0, 2)))
    for out in (*(found.preview.left_out if found.preview else ()), *found.left_out):
        console.print(Padding(f"{out.field} is not applied: {out.reason}.", (0, 0, 0, 2)), style="dim")
    for note in (*(found.preview.notes if found.preview else ()), *found.notes):
        console.print(f"Note: {note}")
    for what in done:
        console.print(f"Done: {what}.", soft_wrap=True)
    if done:
        ways = ["`rotorwright measure undo`"] if found.preview and found.preview.laid else []
        ways += ["`rotorwright undo CRAFT`"] if found.onto_craft else []
        console.print(f"{' and '.join(ways)} take{'s' if len(ways) == 1 else ''} it back.", style="dim")
    elif laid:
        console.print("Nothing was written; --apply does.", style="dim")
    elif found.preview is None:
        console.print("Outside a workshop nothing can be applied.", style="dim")


def _left(name: str, sd: float) -> str:
    words, factor, unit = left_over(name)
    return f"{words} {sd * factor:.3g} {unit}".rstrip()


def print_mapping(console: Console, columns: Columns) -> None:
    """One line of what each column was read as."""
    console.print(f"Columns, {columns.source}: {columns.words}.", style="dim")


def print_history(console: Console, seen: History) -> None:
    """Everything measured, and the steps that brought it."""
    if not seen.values:
        console.print("Nothing has been laid on a part here yet.")
    groups: dict[tuple[str, ...], list[MeasuredOnce]] = {}
    for one in seen.values:
        part = f"{one.part} ({one.specimen})" if one.specimen else one.part
        groups.setdefault((one.date, part, f"{one.by}, {one.source}"), []).append(one)
    widest = max((len(one.key) for one in seen.values), default=0)
    for (day, part, how), values in groups.items():
        console.print(Text.assemble(day, "  ", (part, "bold"), "  ", how), soft_wrap=True)
        for one in values:
            holds = "" if one.holds else "  (a later day holds)"
            console.print(f"  {one.key:{widest}}  {one.value}{holds}", soft_wrap=True)
    if seen.steps:
        console.print(Text("Steps", style="bold"))
        steps = rows_table("", "", "")
        for step in seen.steps:
            steps.add_row(str(step.number), step.when, step.what)
        console.print(Padding(steps, (0, 0, 0, 2)))
