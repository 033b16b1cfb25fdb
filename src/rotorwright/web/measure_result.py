"""What a fit found and would change, a log beside its prediction, and everything measured before."""

from collections.abc import Callable
from html import escape

from nicegui import ui

from rotorwright.errors import RotorwrightError
from rotorwright.measure.faults import Fault
from rotorwright.measure.history import history
from rotorwright.measure.log_book import LogBook
from rotorwright.measure.measurement import Measurement, apply
from rotorwright.measure.overlay import undo_overlay
from rotorwright.sheet.measured import log_curves, residual_curves
from rotorwright.sheet.measured_words import beside_words, field_words, key_words, rows_words, value_words
from rotorwright.sheet.quantities import tell
from rotorwright.web.beside import beside
from rotorwright.web.desk import Desk, OnTable
from rotorwright.web.svg import show_svg
from rotorwright.web.theme import act, display

__all__ = ["show_history", "show_log", "show_measurement"]

_MOST = 12


def show_measurement(desk: Desk, table: OnTable, found: Measurement, applied: Callable[[], object]) -> None:
    """A fit with its values and what is left over; what applying it would change, and the button that does."""
    fit = found.fit
    ui.html(f"<h2>{escape(fit.name[:1].upper() + fit.name[1:])}</h2>", sanitize=False)
    rows = "".join(
        f"<tr><th scope='row'>{escape(field_words(v.field, v.kind, v.part))}</th>"
        f"<td class='num'>{escape(value_words(v))}</td><td class='rw-small rw-soft'>{escape(v.note)}</td></tr>"
        for v in fit.values
    )
    ui.html(f'<div class="rw-scroll"><table class="rw-plain">{rows}</table></div>', sanitize=False)
    ui.html(f'<p class="rw-small rw-soft">{escape(rows_words(fit))}</p>', sanitize=False)
    ui.html(f"<p>{escape(fit.identifies)}</p>", sanitize=False)
    for one in found.beside:
        ui.html(f"<p>{escape(beside_words(one))}</p>", sanitize=False)
    for note in fit.notes:
        ui.html(f'<p class="rw-mark note">{escape(note)}</p>', sanitize=False)
    with ui.element("div").classes("rw-one-chart"):
        show_svg(residual_curves(found) if fit.residuals else "", "no residuals to draw")
    _faults(found.faults, [f"line {unused.line}: {unused.reason}" for unused in found.unused])
    _changes(desk, table, found, applied)


def _faults(faults: tuple[Fault, ...], unused: list[str]) -> None:
    lines = [f"{fault.words}{'' if fault.set_aside else ' (used all the same)'}" for fault in faults] + unused
    if not lines:
        return
    items = "".join(f"<li>{escape(line)}</li>" for line in lines[:_MOST])
    more = f"<li>and {len(lines) - _MOST} more</li>" if len(lines) > _MOST else ""
    title = "one thing about rows" if len(lines) == 1 else f"{len(lines)} things about rows"
    ui.html(
        f'<details class="rw-fold"><summary>{title}</summary><ul class="rw-small">{items}{more}</ul></details>',
        sanitize=False,
    )


def _changes(desk: Desk, table: OnTable, found: Measurement, applied: Callable[[], object]) -> None:
    laid = [*(found.preview.laid if found.preview else ()), *found.onto_craft]
    if not laid:
        ui.html("<p>Nothing of this goes into a part.</p>", sanitize=False)
    else:
        rows = "".join(
            f"<tr><th scope='row'>{escape(one.part)}</th><td>{escape(key_words(one.key))}</td>"
            f"<td class='num'>{escape(one.before or 'nothing')}</td>"
            f"<td class='num'><b>{escape(one.after)}</b></td></tr>"
            for one in laid
        )
        head = "<tr><th>part</th><th>value</th><th class='num'>was</th><th class='num'>becomes</th></tr>"
        ui.html("<h3>What applying it would change</h3>", sanitize=False)
        ui.html(f'<div class="rw-scroll"><table class="rw-plain">{head}{rows}</table></div>', sanitize=False)
    for out in (*(found.preview.left_out if found.preview else ()), *found.left_out):
        text = f"{field_words(out.field)}, not applied: {out.reason}"
        ui.html(f'<p class="rw-small rw-soft">{escape(text)}</p>', sanitize=False)
    for note in (*(found.preview.notes if found.preview else ()), *found.notes):
        ui.html(f'<p class="rw-mark note">{escape(note)}</p>', sanitize=False)

    async def told() -> str:
        return "; ".join(await beside(apply, found)) or "nothing to apply"

    async def write() -> None:
        if not await act(told):
            return
        button.disable()
        await table.refresh()
        applied()

    if laid:
        button = ui.button("Apply", on_click=write).props("unelevated no-caps color=primary")


def show_log(book: LogBook) -> None:
    """A flight's log: what is plain in it, and the prediction on the same axis of time with its verdict."""
    log = book.log
    charge = f"{log.charge_ah * 1e3:.0f} mAh"
    text = f"{log.rows} rows at {log.rate_hz:.4g} Hz over {log.duration_s / 60:.1f} min took {charge} from the pack. "
    seconds = sum(stretch.duration_s for stretch in book.hover)
    share = seconds / log.flight(book.flight).duration_s
    found = (
        f"{len(book.hover)} stretches of hover, {seconds:.0f} s in all, {share:.1%} of it, "
        if seconds
        else "no hover, "
    )
    found += f"{len(book.full_throttle)} at full throttle."
    ui.html(f'<p class="rw-story">{escape(text)}Flight {book.flight}: {found}</p>', sanitize=False)
    rows = "".join(
        f"<tr><td>{flight.number}</td><td class='num'>{flight.duration_s / 60:.2f} min</td>"
        f"<td class='num'>{flight.charge_ah * 1e3:.0f} mAh</td><td class='num'>{flight.mean_current_a:.1f} A</td>"
        f"<td class='num'>{flight.peak_current_a:.1f} A</td><td class='num'>{flight.lowest_voltage_v:.2f} V</td></tr>"
        for flight in log.flights
    )
    heads = "".join(f"<th class='num'>{word}</th>" for word in ("lasts", "charge", "mean", "peak", "lowest"))
    table = f'<table class="rw-plain"><tr><th>flight</th>{heads}</tr>{rows}</table>'
    ui.html(f'<div class="rw-scroll">{table}</div>', sanitize=False)
    _faults(log.faults, [])
    if book.comparison is None:
        ui.html(f'<p class="rw-soft">Not held against a prediction: {escape(book.reason)}.</p>', sanitize=False)
        return
    for series in book.comparison.series:
        text = f"{series.quantity}: {series.verdict}; within its bar {series.within:.0%} of the time"
        ui.html(f'<p>{escape(text)} <span class="rw-soft">({escape(series.driven_by)})</span></p>', sanitize=False)
    for number in book.comparison.numbers:
        quantity = "duration" if number.predicted.unit == "s" else "current"
        told = tell(number.predicted, quantity, display())
        measured = "not in the log" if number.measured is None else f"{number.measured:.4g} {number.predicted.unit}"
        text = f"{number.name}: measured {measured}, predicted {told}. {number.verdict}"
        ui.html(f"<p>{escape(text)}</p>", sanitize=False)
    for note in book.comparison.notes:
        ui.html(f'<p class="rw-mark note">{escape(note)}</p>', sanitize=False)
    with ui.element("div").classes("rw-one-chart"):
        show_svg(log_curves(book))


def show_history(desk: Desk, again: Callable[[], object]) -> None:
    """Everything that was measured in this workshop; the latest step can be taken back."""
    ui.html("<h2>Measured before</h2>", sanitize=False)
    try:
        seen = history(desk.folder)
    except RotorwrightError as error:
        ui.html(f'<p class="rw-mark stop">{escape(str(error))}</p>', sanitize=False)
        return
    if not seen.values:
        ui.html('<p class="rw-soft">Nothing has been laid on a part here yet.</p>', sanitize=False)
        return
    rows = "".join(
        f"<tr><td>{escape(one.date)}</td><th scope='row'>{escape(one.part)}</th><td>{escape(key_words(one.key))}</td>"
        f"<td class='num'>{escape(one.value)}</td><td class='rw-small rw-soft'>{escape(one.source)}</td></tr>"
        for one in reversed(seen.values)
    )
    ui.html(f'<div class="rw-scroll"><table class="rw-plain">{rows}</table></div>', sanitize=False)

    async def told() -> str:
        return f"taken back: {await beside(undo_overlay, desk.folder)}"

    async def back() -> None:
        if await act(told):
            again()

    ui.button("Take the latest back", on_click=back).props("outline no-caps")
