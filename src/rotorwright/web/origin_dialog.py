"""How one number came about: its model, its bar, what it was compared with, and what would sharpen it."""

from html import escape

from nicegui import ui

from rotorwright.predict.origins import ORIGINS, number_of
from rotorwright.predict.trust import TrustedResult, trust_in
from rotorwright.sheet.quantities import tell
from rotorwright.web.beside import beside
from rotorwright.web.card import card
from rotorwright.web.desk import OnTable
from rotorwright.web.numbers import number_html
from rotorwright.web.theme import display

__all__ = ["open_origin"]

_SHARES = 5


async def open_origin(table: OnTable, key: str) -> None:
    """Open a card about the number at `key`; what would sharpen it is computed while the card is read."""
    now = table.answers
    if now is None or now.report is None or now.craft is None:
        return
    origin, found, craft = ORIGINS[key], number_of(now.report, key), now.craft
    told = tell(found, origin.quantity, display())
    with card(origin.name[0].upper() + origin.name[1:], "rw-origin") as dialog:
        ui.html(f'<p class="rw-origin-value">{number_html(told)}</p>', sanitize=False)
        if found.reason:
            ui.html(f"<p class='rw-soft'>{escape(found.reason)}</p>", sanitize=False)
        rows = (
            ("Model", origin.model),
            ("Bar", f"{origin.bar} The truth should lie inside nine times in ten, as far as the models know."),
            ("Compared", origin.compared),
            ("Cost", f"Each sample costs {origin.cost}. More in docs/theory/{origin.page}.md."),
        )
        ui.html("".join(f"<h3>{name}</h3><p>{escape(text)}</p>" for name, text in rows), sanitize=False)
        ui.html("<h3>What makes the bar</h3>", sanitize=False)
        rest = ui.element("div")
        with rest:
            ui.html("<p class='rw-soft'>being computed \u2026</p>", sanitize=False)
        ui.button("Close", on_click=dialog.close).props("flat no-caps").classes("rw-quiet")
    trusted = await beside(trust_in, craft, key)
    if not rest.is_deleted:
        rest.clear()
        with rest:
            _sharpening(trusted, origin.quantity)


def _sharpening(trusted: TrustedResult, quantity: str) -> None:
    if not trusted.shares:
        ui.html("<p>Many small things, none of them worth a measurement of its own.</p>", sanitize=False)
        return
    bars = "".join(
        f'<tr><td>{escape(_spoken(share.input))}</td><td class="num">{share.share:.0%}</td>'
        f'<td class="rw-bar-cell"><i style="width:{100 * share.share:.0f}%"></i></td></tr>'
        for share in trusted.shares[:_SHARES]
    )
    ui.html(f'<table class="rw-plain">{bars}</table>', sanitize=False)
    if trusted.measure_next:
        caution = "Propellers off wherever the measurement allows; else clamp it, and stand clear."
        ui.html(f"<p class='rw-small rw-soft'>{caution}</p>", sanitize=False)
    for one in trusted.measure_next:
        told = tell(one.result, quantity, display())
        text = f"To sharpen it: {one.how} ({_spoken(one.input)}). The bar shrinks to {one.width_left:.0%}: {told}."
        ui.html(f"<p>{escape(text)}</p>", sanitize=False)


def _spoken(key: str) -> str:
    """The name of an input as people say it."""
    part, _, name = key.rpartition(".")
    return f"{name.replace('_', ' ')} of {part}" if part else name.replace("_", " ")
