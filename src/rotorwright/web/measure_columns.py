"""The columns of a table of readings: what each was taken for, a small curve of it, and how to say otherwise."""

from collections.abc import Awaitable, Callable
from functools import partial
from html import escape

from nicegui import ui

from rotorwright.measure.mapping import Column, Mapping
from rotorwright.measure.quantities import QUANTITIES, unit_of
from rotorwright.measure.readings import Readings
from rotorwright.measure.tables import TableForm
from rotorwright.sheet.measured import column_curve, unit_of_column
from rotorwright.sheet.measured_words import shown_column, unit_words
from rotorwright.sheet.spoken_units import digits

__all__ = ["show_columns"]

Name = Callable[[str, str, str], Awaitable[None]]
_NOTHING = "not used"


def show_columns(table: TableForm, columns: Mapping, readings: Readings, name: Name) -> None:
    """Every column of the file with what it holds; `name(quantity, heading, unit)` says it is something else."""
    ui.html("<h2>Its columns</h2>", sanitize=False)
    ui.html(f'<p class="rw-small rw-soft">{escape(table.words)}; {readings.rows} rows.</p>', sanitize=False)
    by_heading = {column.heading: column for column in columns.columns}
    with ui.element("div").classes("rw-columns"):
        for index, heading in enumerate(table.headings):
            _column(table, index, heading, by_heading.get(heading), readings, name)
    for note in columns.notes:
        ui.html(f'<p class="rw-mark note">{escape(note)}</p>', sanitize=False)


def _column(
    table: TableForm, index: int, heading: str, column: Column | None, readings: Readings, name: Name
) -> None:
    sample = table.samples[index] if index < len(table.samples) else ()
    values = readings.columns[column.quantity] if column else sample
    with ui.element("div").classes("rw-column"):
        ui.html(f"<b>{escape(heading)}</b>", sanitize=False)
        ui.html(column_curve(values), sanitize=False)
        names = [_NOTHING, *QUANTITIES]
        chosen = ui.select(names, value=column.quantity if column else _NOTHING)
        chosen.props("dense borderless options-dense").props["aria-label"] = f"what {heading} holds"
        unit = ui.input(value=_unit(column) if column else table.units[index])
        unit.props("dense borderless").classes("rw-unit").props["aria-label"] = f"unit of {heading}"
        ui.html(_says(column, values), sanitize=False)
        before = column.quantity if column else ""
        rename = partial(_renamed, name, before, heading, chosen, unit)
        chosen.on_value_change(rename)
        unit.on("change", rename)


async def _renamed(name: Name, before: str, heading: str, chosen: ui.select, unit: ui.input) -> None:
    quantity = str(chosen.value)
    if quantity == _NOTHING:
        if before:
            await name(before, "", "")
        return
    if before and before != quantity:
        await name(before, "", "")
    await name(quantity, heading, str(unit.value or ""))


def _unit(column: Column) -> str:
    """The unit as people write it, where it is understood when it is typed back."""
    words = unit_words(column.unit)
    return words if unit_of(words, QUANTITIES[column.quantity].dimension) == column.unit else column.unit


def _says(column: Column | None, values: object) -> str:
    if column is None:
        return ""
    doubt = "" if column.sure else ' <span class="rw-mark warn">a guess: please look</span>'
    factor, more, unit = shown_column(column.quantity, unit_of_column(column.quantity))
    there = [factor * v + more for v in values if v == v] if hasattr(values, "__iter__") else []
    span = f"{digits(min(there))} to {digits(max(there))} {unit}".rstrip() if there else "empty"
    return f'<span class="rw-small rw-soft">{escape(span)}; {escape(column.why)}</span>{doubt}'
