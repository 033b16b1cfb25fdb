"""A predicted number as a page shows it: value, bounds, unit; a click opens how it came about."""

from collections.abc import Callable
from html import escape

from nicegui import ui

from rotorwright.predict.result import Prediction
from rotorwright.sheet.quantities import Told, tell
from rotorwright.web.theme import display

__all__ = ["number", "number_html"]


def number_html(told: Told) -> str:
    """A number as plain markup: no button, for tables that hold many."""
    if told.value == "\u2013":
        return f'<span class="rw-soft" title="{escape(told.reason)}">not known</span>'
    bounds = f" <small>{escape(told.bounds)}</small>" if told.bounds else ""
    return f"{escape(told.value)}&nbsp;{escape(told.unit)}".removesuffix("&nbsp;") + bounds


def number(
    prediction: Prediction, quantity: str, opened: Callable[[], object] | None = None, *, coming: bool = False
) -> None:
    """A number in the text at this place; `opened` is called when somebody asks how it came about.

    coming: its bounds follow, and the room they will need is kept, so that the page does not move under the hand
    """
    told = tell(prediction, quantity, display())
    absent = " is-absent" if prediction.value is None else ""
    shown = escape(told.reason or "not known") if absent else number_html(told)
    if coming and not absent and not told.bounds:
        room = escape(f"{told.value}\u2013{told.value}")
        shown += f' <small aria-hidden="true" style="visibility:hidden">{room}</small>'
    button = ui.element("button").classes(f"rw-number{absent}").props('type="button"')
    with button:
        ui.html(shown, sanitize=False, tag="span")
    if opened is not None:
        button.on("click", lambda: opened())
