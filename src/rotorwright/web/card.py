"""A card over the page: it belongs to the page and stays open while what is below it is drawn anew."""

from collections.abc import Iterator
from contextlib import contextmanager
from html import escape

from nicegui import ui

__all__ = ["card"]


@contextmanager
def card(title: str, kind: str = "") -> Iterator[ui.dialog]:
    """A dialog with a heading; its content is made inside the `with`, and it is gone when closed."""
    with ui.context.client.content, ui.dialog() as dialog:
        # the framework lets only a div in a dialog take the pointer
        section = ui.element("div").classes(f"rw-card {kind}")
        section.props["aria-label"] = title
        with section.props("role=document"):
            ui.html(f"<h2>{escape(title)}</h2>", sanitize=False)
            yield dialog
    dialog.on("hide", dialog.delete)
    dialog.open()
