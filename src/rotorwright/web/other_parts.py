"""All other parts for the picked one's place: what the reader wants of the list, and the list when it has come."""

from dataclasses import replace
from html import escape

from nicegui import app, ui

from rotorwright.craft.model import PlacedPart
from rotorwright.search.measures import MEASURES
from rotorwright.web.desk import OnTable
from rotorwright.web.swap_list import SwapWish, controls_html, rows_html
from rotorwright.web.swap_run import Comparing, Told
from rotorwright.web.theme import display

__all__ = ["OtherParts"]


class OtherParts:
    """The list of one window: `wishes` holds its controls, `rows` the candidates."""

    def __init__(self, table: OnTable, wishes: ui.html, rows: ui.html) -> None:
        self.table, self.wishes, self.rows = table, wishes, rows
        self.display = display()
        goal, fits = app.storage.user.get("goal", ""), app.storage.user.get("fits")
        self.wish = SwapWish(goal=goal if goal in MEASURES else SwapWish().goal, fits=fits is True)
        self._placed: PlacedPart | None = None
        self._compared: tuple[int, str] | None = None
        self._comparing = Comparing(self._tell)

    def show(self, placed: PlacedPart | None) -> None:
        """Compare anew when another part is picked, and once the bars of a changed craft have come."""
        self._placed, answers = placed, self.table.answers
        if answers is None or placed is None:
            self._comparing.cancel()
            self._compared = None
            self.wishes.content = self.rows.content = ""
            return
        now = (answers.revision, placed.id)
        if now == self._compared:
            return
        if self._compared is None or self._compared[1] != placed.id:
            self.wish = replace(self.wish, words="", all=False, equal="")
            self.wishes.content = controls_html(placed.part, self.wish)
            self.rows.content = '<p class="ch-status" role="status">Comparing \u2026</p>'
        elif not answers.bars:  # the numbers of the craft itself go first
            self._comparing.cancel()
            self.rows.classes("is-stale")
            return
        self._compared = now
        self._compare()

    def wished(self, typed: dict[str, str]) -> None:
        """Goal, words, basis or 'fits only' as the reader has set them now."""
        goal = typed.get("goal", "")
        wish = replace(
            self.wish,
            goal=goal if goal in MEASURES else self.wish.goal,
            words=typed.get("words", ""),
            fits="fits" in typed,
            equal=typed.get("equal", ""),
        )
        if wish != self.wish:
            self.wish = wish
            app.storage.user.update(goal=wish.goal, fits=wish.fits)
            self._compare()

    def all_or_few(self) -> None:
        """Every candidate with its bars, or the first few."""
        self.wish = replace(self.wish, all=not self.wish.all)
        self._compare()

    def _compare(self) -> None:
        answers = self.table.answers
        if answers is not None and answers.craft is not None and self._placed is not None:
            self.rows.classes("is-stale")
            self._comparing.ask(answers.craft, self._placed, self.wish)

    def _tell(self, told: Told) -> None:
        self.rows.classes(remove="is-stale")
        if told.result is None:
            self.rows.content = f'<p class="ch-status" role="status">{escape(told.reason)}</p>'
        else:
            self.rows.content = rows_html(told.result, self.wish, self.display, bars=told.bars)
