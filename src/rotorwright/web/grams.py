"""Where the grams are."""

import json
from pathlib import Path

from nicegui import ui
from nicegui.events import GenericEventArguments

from rotorwright.craft import read_craft
from rotorwright.craft.model import Craft
from rotorwright.errors import RotorwrightError
from rotorwright.predict.ledger_change import LedgerChange, ledger_change
from rotorwright.web.beside import beside
from rotorwright.web.choices import choice
from rotorwright.web.desk import OnTable
from rotorwright.web.grams_rows import rows_html, totals_html
from rotorwright.web.picked import Picked
from rotorwright.web.theme import display

__all__ = ["show_grams"]


def show_grams(table: OnTable, picked: Picked) -> None:
    """Where the grams are: a bar for each part or kind, heaviest first; a click picks the part."""
    _Grams(table, picked)


class _Grams:
    """One window's list; only what differs is sent anew."""

    def __init__(self, table: OnTable, picked: Picked) -> None:
        self.table, self.picked = table, picked
        self.units, self.by_kind = display(), False
        self._change: tuple[int, LedgerChange | None] = (-1, None)
        with ui.element("div").classes("rw-grams-page") as self.whole:
            self._lay_out()
        self.refresh()
        table.changed.subscribe(self.refresh)
        table.changed.subscribe(self.against)
        ui.timer(0.05, self.against, once=True)
        picked.changed.subscribe(self._tell)
        picked.lighting.subscribe(self._tell)

    def _lay_out(self) -> None:
        with ui.element("div").classes("rw-grams-top"):
            ui.html("<h2>Where the grams are</h2>", sanitize=False)
            choice("Rows", {"part": "by part", "kind": "by kind"}, self.sort_by)
            filter_ = ui.element("input").classes("rw-grams-filter")
            filter_.props('type="search" data-key="/" placeholder="find a part ( / )" aria-label="Find a part"')
        self.totals = ui.html("", sanitize=False)
        with ui.element("rw-grams") as self.frame:
            self.rows = ui.html("", sanitize=False)
        self.frame.on("partpick", self._pick, js_handler="(event) => emit(event.detail)")

    async def sort_by(self, name: str) -> None:
        """Rows by part, or by kind with the parts below."""
        self.by_kind = name == "kind"
        self.refresh()

    def refresh(self) -> None:
        """Write the rows for the latest answers; a list that cannot be made anew stays as it was."""
        now = self.table.answers
        readable = bool(now and now.report)
        self.whole.set_visibility(readable or bool(self.rows.content))
        self.whole.classes(replace=f"rw-grams-page{'' if readable else ' is-stale'}")
        if now is None or now.report is None or now.craft is None:
            return
        change = self._change[1] if self._change[0] == now.revision else None
        told = (
            (self.totals, totals_html(now.report.ledger, change, self.units)),
            (self.rows, rows_html(now.craft, now.report.ledger, change, self.by_kind, self.units)),
        )
        for element, content in told:
            if element.content != content:
                element.set_content(content)
        self._tell()

    async def against(self) -> None:
        """Set the lines against those of the version before, once the bars are in."""
        now = self.table.answers
        before = self.table.before()
        if now is None or now.craft is None or not now.bars or before is None:
            return
        if self._change[0] == now.revision:
            return
        try:
            found = await beside(_against, now.craft, before)
        except RotorwrightError:  # a version that cannot be read: nothing to set against
            return
        if self.table.answers is now and not self.frame.is_deleted:
            self._change = (now.revision, found)
            self.refresh()

    def _tell(self) -> None:
        told = {"data-picked": self.picked.id, "data-lit": json.dumps(list(self.picked.lit))}
        if any(self.frame.props.get(name) != value for name, value in told.items()):
            self.frame.props.update(told)
            self.frame.update()

    def _pick(self, event: GenericEventArguments) -> None:
        self.picked.pick(str(event.args.get("id", "")))


def _against(craft: Craft, before: Path) -> LedgerChange:
    return ledger_change(read_craft(before), craft)
