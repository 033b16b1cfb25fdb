"""The build sheet: as others will read it, to look over and to take away."""

from html import escape

from nicegui import ui

from rotorwright.craft.model import Craft
from rotorwright.errors import RotorwrightError
from rotorwright.sheet.content import Sheet, sheet_of
from rotorwright.sheet.forms import FORMS, form_of
from rotorwright.sheet.verdict import verdict_of
from rotorwright.web.beside import beside
from rotorwright.web.desk import Desk, OnTable
from rotorwright.web.theme import page, say_problems

__all__ = ["show_sheet"]

_TYPES = {".html": "text/html", ".pdf": "application/pdf", ".md": "text/markdown"}


async def show_sheet(desk: Desk, table: OnTable) -> None:
    """The sheet below the ways to take it away; it is made when somebody comes here, and again when asked."""
    now = await table.ready()
    with page(now.craft.title.full if now.craft else table.file.stem, desk, table, "sheet"):
        made: dict[str, Sheet] = {}
        with ui.element("div").classes("rw-row"):
            for ending in FORMS:
                button = ui.button(f"Take it as {ending.lstrip('.').upper()}", on_click=lambda _, e=ending: take(e))
                button.props("outline no-caps")
            ui.button("Make it anew", on_click=lambda: make()).props("flat no-caps")
        state = ui.element("p").classes("rw-soft").props('aria-live="polite"')
        place = ui.element("div")

        async def take(ending: str) -> None:
            if "sheet" in made:
                content = await beside(form_of, made["sheet"], ending)
                ui.download.content(content, f"{table.file.stem}{ending}", _TYPES[ending])

        async def make() -> None:
            found = table.answers
            if found is None or found.craft is None:
                return
            _say(state, "The sheet is being made: every part is set against its rivals \u2026")
            try:
                made["sheet"] = await beside(_sheet, found.craft)
                text = await beside(form_of, made["sheet"], ".html")
            except RotorwrightError as error:
                say_problems(error)
                return
            if place.is_deleted:
                return
            _say(state, "")
            place.clear()
            with place:
                whole = escape(text.decode(), quote=True)
                ui.html(
                    f'<iframe class="rw-sheet" title="build sheet" sandbox srcdoc="{whole}"></iframe>', sanitize=False
                )

        def changed() -> None:
            if made and table.answers is not None and table.answers.bars:
                _say(state, "The craft has changed since this sheet was made.")

        table.changed.subscribe(changed)
        ui.timer(0.05, make, once=True)


def _sheet(craft: Craft) -> Sheet:
    return sheet_of(craft, verdict_of(craft))


def _say(place: ui.element, text: str) -> None:
    place.clear()
    with place:
        ui.html(escape(text), sanitize=False, tag="span")
