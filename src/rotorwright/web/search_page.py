"""Every combination of parts in some places: what is asked, the run with its progress, and the front it finds."""

import math
import os
from html import escape

from nicegui import ui

from rotorwright.checks import all_rules
from rotorwright.craft.model import Craft
from rotorwright.errors import RotorwrightError
from rotorwright.search.answer import Answer
from rotorwright.search.measures import MEASURES, SEARCHABLE
from rotorwright.search.progress import Stopped
from rotorwright.search.swapped import candidates, own_shelf
from rotorwright.web.beside import beside
from rotorwright.web.desk import Desk, OnTable
from rotorwright.web.front_view import show_front
from rotorwright.web.search_run import Question, Run
from rotorwright.web.theme import page, say_problems

__all__ = ["show_search"]

_FIRST_PLACES = ("motor", "propeller", "battery")
_FIRST_GOALS = {"weight": "less", "hover-time": "more", "thrust-to-weight": "more"}
_BOUNDS = {"kg": "g", "s": "s", "A": "a"}
# Places whose part says little about how the craft flies are offered last.
_MINOR = ("screw", "nut", "standoff", "grommet", "solder", "wire", "strap", "plate", "printed-part", "other")


async def show_search(desk: Desk, table: OnTable) -> None:
    """The question to the left, the front to the right."""
    now = await table.ready()
    ui.add_head_html('<link rel="stylesheet" href="/static/search.css">')
    with page(now.craft.title.full if now.craft else table.file.stem, desk, table, "search"):
        if now.craft is None:
            ui.html("<p>The file cannot be read: the table says why.</p>", sanitize=False)
            return
        _Page(desk, table, now.craft)


class _Page:
    """One window's search."""

    def __init__(self, desk: Desk, table: OnTable, craft: Craft) -> None:
        self.desk, self.table = desk, table
        self.run: Run | None = None
        self.places: dict[str, tuple[ui.checkbox, int]] = {}
        self.goals: dict[str, ui.select] = {}
        self.limits: dict[str, ui.number] = {}
        with ui.element("div").classes("rw-search"):
            with ui.element("section"):
                self._ask(craft)
            with ui.element("section"):
                self._start()
                self.result = ui.element("div").props('aria-live="polite"')

    def _ask(self, craft: Craft) -> None:
        ui.html("<h2>Choose anew</h2>", sanitize=False)
        shelf = own_shelf(craft)
        offered = [(p, len(candidates(shelf, type(p.part)))) for p in craft.parts if p.key[:1] == ("part",)]
        offered.sort(key=lambda pair: (pair[0].part.kind in _MINOR, pair[0].role not in _FIRST_PLACES))
        rest = ui.element("details").classes("rw-fold")
        with rest:
            ui.html("further places", sanitize=False, tag="summary")
        first = ui.element("div")
        first.move(target_index=1)
        for placed, count in offered:
            if count < 2:
                continue
            home = rest if placed.part.kind in _MINOR else first
            with home:
                label = f"{placed.id} ({count} parts on the shelf)"
                box = ui.checkbox(label, value=placed.role in _FIRST_PLACES, on_change=self._count)
                self.places[placed.id] = (box, count)
        ui.html("<h2>Wanted</h2>", sanitize=False)
        for name in SEARCHABLE:
            measure = MEASURES[name]
            with ui.element("div").classes("rw-goal"):
                unit = f" {measure.shown}" if measure.shown else ""
                ui.html(
                    f"<span>{escape(measure.words)}<span class='rw-soft'>{escape(unit)}</span></span>", sanitize=False
                )
                choice = ui.select(["", "more", "less"], value=_FIRST_GOALS.get(name, ""))
                choice.props("dense borderless options-dense").props["aria-label"] = f"{measure.words}: more or less"
                self.goals[name] = choice
                bound = ui.number(placeholder="limit")
                word = "at least" if measure.better > 0 else "at most"
                bound.props(f'dense borderless prefix="{word}"').props["aria-label"] = f"{measure.words} {word}"
                self.limits[name] = bound
        self.rules = ui.checkbox("nothing that a rule stops", value=True)
        self.tolerance = ui.number(
            value=0, min=0, max=20, suffix="%", label="keep what the bounds cannot tell, within"
        )
        self.tolerance.props("dense")
        self.combinations = ui.element("p").classes("rw-soft")
        self._count()

    def _count(self) -> None:
        number = math.prod(count for box, count in self.places.values() if box.value)
        self.combinations.clear()
        with self.combinations:
            ui.html(f"{number:,} combinations", sanitize=False, tag="span")

    def _start(self) -> None:
        with ui.element("div").classes("rw-row"):
            self.go = ui.button("Search", on_click=self.search).props("unelevated no-caps color=primary")
            self.halt = ui.button("Stop", on_click=lambda: self.run.stop() if self.run else None)
            self.halt.props("outline no-caps")
            self.halt.disable()
        self.bar = ui.linear_progress(0.0, show_value=False).props('aria-label="progress"')
        self.state = ui.element("p").classes("rw-soft rw-small").props('aria-live="polite"')
        ui.timer(0.4, self._progress)

    def _progress(self) -> None:
        now = self.run.now if self.run else None
        if now is None:
            return
        self.bar.set_value(now.share)
        left = f", {now.seconds_left:.0f} s left" if now.seconds_left is not None and now.share < 1.0 else ""
        flown = f", {now.flown:,} of about {now.flights:,} flown" if now.flights else ""
        self._say(f"{now.share:.0%} done{flown}{left}")

    def _say(self, text: str) -> None:
        self.state.clear()
        with self.state:
            ui.html(escape(text), sanitize=False, tag="span")

    def _question(self) -> Question:
        limits = []
        for name, box in self.limits.items():
            if box.value is not None:
                measure = MEASURES[name]
                suffix = _BOUNDS.get(measure.unit, "")
                bound = "at_least" if measure.better > 0 else "at_most"
                limits.append((name, f"{bound}_{suffix}" if suffix else bound, float(box.value)))
        checks = self.table.answers.checks if self.table.answers else None
        seen = {*checks.kept, *(finding.code for finding in checks.findings)} if checks else set()
        unseen = {one.code for one in checks.unchecked} if checks else set()
        stops = [rule.code for rule in all_rules().values() if rule.columns and rule.severity == "stop"]
        rules = [code for code in stops if code in seen - unseen]
        return Question(
            self.table.file,
            {id: () for id, (box, _) in self.places.items() if box.value},
            [(name, str(choice.value)) for name, choice in self.goals.items() if choice.value],
            limits,
            rules if self.rules.value else (),
        )

    async def search(self) -> None:
        """Run the search beside the page; a search of the same question goes on where it was stopped."""
        self.run = run = Run(self._question(), self.desk.folder / "out")
        self.go.disable()
        self.halt.enable()
        self.result.clear()
        self._say("getting ready \u2026")
        try:
            tolerance = float(self.tolerance.value or 0.0) / 100
            answer: Answer = await beside(run.answer, os.cpu_count() or 1, tolerance)
        except Stopped:
            self.run = None
            done = f" at {run.now.share:.0%}" if run.now else ""
            self._say(f"Stopped{done}. Search again to go on from there.")
        except RotorwrightError as error:
            self.run = None
            self._say("")
            say_problems(error)
        else:
            self.run = None
            self.bar.set_value(1.0)
            self._say("")
            if not self.result.is_deleted and run.space is not None:
                with self.result:
                    show_front(self.desk, run.space, answer)
        finally:
            if not self.go.is_deleted:
                self.go.enable()
                self.halt.disable()
