"""Earlier versions of the craft's file: what each differs in, and the way back to it."""

from functools import partial
from html import escape

from nicegui import ui

from rotorwright.craft.history import Version, difference, restore, versions
from rotorwright.errors import InputError
from rotorwright.web.desk import OnTable
from rotorwright.web.theme import act

__all__ = ["show_earlier"]

_SHOWN = 20


def show_earlier(table: OnTable) -> None:
    """The latest versions that changes have replaced, each with its lines and a button that puts it back."""

    @ui.refreshable
    def rows() -> None:
        try:
            found = versions(table.file)
        except InputError:  # the page says elsewhere that the file cannot be read
            return
        if found:
            ui.html("<h2>Earlier versions of this file</h2>", sanitize=False)
            about = "Lines with - are as they were then, with + as they stand now. What stands now is kept too."
            ui.html(f'<p class="rw-soft rw-small">{about}</p>', sanitize=False)
        for one in reversed(found[-_SHOWN:]):
            _row(table, one)
        if len(found) > _SHOWN:
            older = f"{len(found) - _SHOWN} older ones are listed by rotorwright history {table.file.stem}."
            ui.html(f'<p class="rw-soft rw-small">{escape(older)}</p>', sanitize=False)

    drawn = table.answers.text if table.answers else ""

    def follow() -> None:
        """Draw anew when the file has changed; bars change nothing of it, and would close what is open."""
        nonlocal drawn
        now = table.answers.text if table.answers else ""
        if now != drawn:
            drawn = now
            rows.refresh()

    rows()
    table.changed.subscribe(follow)


def _row(table: OnTable, one: Version) -> None:
    title = f"until {one.until[:16].replace('T', ' ')} UTC, then: {one.then}"
    lines = difference(table.file, one.number)[2:] or ["It is what stands now."]
    with ui.element("details").classes("rw-fold"):
        with ui.element("summary"):
            ui.html(escape(title), sanitize=False, tag="span")
        ui.html(f'<pre class="rw-small rw-scroll">{escape(chr(10).join(lines))}</pre>', sanitize=False)
        put_back = partial(restore, table.file, one.number)
        button = ui.button("Put this version back", on_click=lambda: act(lambda: table.edit(put_back)))
        button.props("outline no-caps")
