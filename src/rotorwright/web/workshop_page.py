"""The workshop: all craft, each with its picture and what it weighs and does."""

from html import escape

from nicegui import ui

from rotorwright.web.desk import Desk
from rotorwright.web.theme import page

__all__ = ["show_workshop"]


async def show_workshop(desk: Desk) -> None:
    """Every craft of the workshop."""
    with page("Workshop", desk), ui.element("ul"):
        for name in desk.names():
            with ui.element("li"):
                ui.html(f'<a href="/craft/{escape(name)}">{escape(name)}</a>', sanitize=False)
