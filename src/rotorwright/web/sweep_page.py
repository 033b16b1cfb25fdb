"""One or two numbers of the craft varied: what is asked to the left, curves or maps to the right."""

from html import escape

from nicegui import background_tasks, ui

from rotorwright.craft.model import Craft
from rotorwright.errors import RotorwrightError
from rotorwright.search.measures import MEASURES, measure_named
from rotorwright.search.sweep import Sweep, sweep
from rotorwright.sheet.argument import heading
from rotorwright.sheet.sweep_picture import axis_words, sweep_picture, sweep_verdict
from rotorwright.sheet.variables import variables
from rotorwright.sheet.words import said
from rotorwright.web.beside import beside
from rotorwright.web.desk import Desk, OnTable
from rotorwright.web.svg import show_svg
from rotorwright.web.sweep_number import VariedNumber
from rotorwright.web.theme import display, page

__all__ = ["show_sweep"]

_GOALS = ("flight-time", "thrust-to-weight", "current", "weight")
_SAMPLES = 64
# What is looked at first, if the craft has it: by the field, and for the second number.
_FIRST, _SECOND = (".pitch_in", ".diameter_in"), (".capacity_mah", ".pitch_in", ".diameter_in")


async def show_sweep(desk: Desk, table: OnTable) -> None:
    """What follows when a number is varied; `?vary=KEY`, with or without a unit, says which is looked at first."""
    now = await table.ready()
    ui.add_head_html('<link rel="stylesheet" href="/static/sweep.css">')
    with page(now.craft.title.full if now.craft else table.file.stem, desk, table, "sweep"):
        if now.craft is None:
            ui.html("<p>The file cannot be read: the table says why.</p>", sanitize=False)
            return
        request = ui.context.client.request
        _Page(table, now.craft, request.query_params.get("vary", "") if request else "")


class _Page:
    """One window's question and what came of it; a newer question cancels the one under way."""

    def __init__(self, table: OnTable, craft: Craft, wanted: str) -> None:
        self.table, self.asked = table, 0
        self.known = variables(craft, display())
        with ui.element("div").classes("rw-sweep"):
            with ui.element("section").props('aria-label="what is varied"'):
                self._ask(wanted)
            with ui.element("section"):
                self.said = ui.element("div").props('aria-live="polite"')
                self.picture = ui.element("div").classes("rw-one-chart")
                self.rows = ui.element("details").classes("rw-fold")
        table.changed.subscribe(self.follow)
        self.look()

    def _ask(self, wanted: str) -> None:
        ui.html("<h2>Vary a number</h2>", sanitize=False)
        keys = [variable.key for variable in self.known]
        asked = (key for key in keys if wanted in (key, key.rpartition("_")[0]))
        first = next(asked, "") or self._one_of(_FIRST)
        self.first = VariedNumber(self.known, first, self.look)
        self.both = ui.checkbox("and a second one", on_change=self._second)
        with ui.element("div") as self.place:
            self.second = VariedNumber(self.known, self._one_of(_SECOND, but=first), self.look)
        self.place.set_visibility(False)
        ui.html("<h2>What follows</h2>", sanitize=False)
        self.goals = ui.select(
            {name: measure.words for name, measure in MEASURES.items()},
            value=list(_GOALS),
            multiple=True,
            label="shown; the first says what is best",
            on_change=self.look,
        )
        self.goals.props("outlined dense use-chips options-dense").classes("rw-wide")
        self.hold = ui.checkbox("leave everything else as it is", on_change=self.look)
        ui.html(
            "<p class='rw-small rw-soft'>Otherwise what a scaling law derives from the number goes along, such as "
            "the mass of a larger pack. Nothing is written: these are craft that might be.</p>",
            sanitize=False,
        )

    def _one_of(self, endings: tuple[str, ...], but: str = "") -> str:
        for ending in endings:
            for variable in self.known:
                if variable.key.endswith(ending) and variable.key != but:
                    return variable.key
        return next((variable.key for variable in self.known if variable.key != but), "")

    def _second(self) -> None:
        self.place.set_visibility(bool(self.both.value))
        self.look()

    def follow(self) -> None:
        """Another craft lies on the table: its numbers, and what follows from them."""
        now = self.table.answers
        if now is None or now.craft is None or not now.bars:
            return
        self.known = variables(now.craft, display())
        for number in (self.first, self.second):
            number.offer(self.known)
        self.look()

    def look(self) -> None:
        """Work out what is asked now."""
        self.asked += 1
        background_tasks.create(self._look(self.asked), name="numbers varied")

    async def _look(self, asked: int) -> None:
        now = self.table.answers
        if now is None or now.craft is None:
            return
        self.picture.classes("is-stale")
        try:
            axes = [number.axis() for number in (self.first, *((self.second,) if self.both.value else ()))]
            goals = [measure_named(name) for name in self.goals.value or _GOALS[:1]]
            for samples in (0, _SAMPLES):  # the curve at once, its band when it has come
                with self.picture:
                    found = await beside(sweep, now.craft, axes, goals, hold=bool(self.hold.value), samples=samples)
                if asked != self.asked or self.picture.is_deleted:
                    return
                self._show(found)
        except RotorwrightError as error:
            if asked == self.asked and not self.picture.is_deleted:
                self._refuse(error)

    def _refuse(self, error: RotorwrightError) -> None:
        problems = getattr(error, "problems", ())
        texts = [f"{one.what}. {one.fix}" for one in problems] or [str(error)]
        self.said.clear()
        with self.said:
            ui.html("".join(f'<p class="rw-mark stop">{escape(text)}</p>' for text in texts), sanitize=False)

    def _show(self, found: Sweep) -> None:
        for place in (self.said, self.picture, self.rows):
            place.clear()
        self.picture.classes(remove="is-stale")
        with self.said:
            ui.html("".join(f"<p>{escape(text)}</p>" for text in sweep_verdict(found)), sanitize=False)
        with self.picture:
            show_svg(sweep_picture(found))
        with self.rows:
            ui.html("The same in figures", sanitize=False, tag="summary")
            ui.html(_table(found), sanitize=False)


def _table(found: Sweep) -> str:
    """Every point with its bounds; the best in bold, what is as good by the bounds marked."""
    words = [" ".join(axis_words(axis.key)).rstrip() for axis in found.axes]
    heads = "".join(f"<th>{escape(word)}</th>" for word in words)
    heads += "".join(f'<th class="num">{escape(heading(name))}</th>' for name in found.goals)
    body = ""
    for k, point in enumerate(found.points):
        mark = "best" if k == found.best else "as good" if point.as_good and found.samples else ""
        at = "".join(f'<th scope="row">{value:g}</th>' for value in point.at)
        cells = "".join(
            f'<td class="num">{escape(said(point.values[name], MEASURES[name].factor))}</td>' for name in found.goals
        )
        body += f"<tr>{at}{cells}<td>{mark or escape(point.reason or '')}</td></tr>"
    return (
        f'<div class="rw-scroll"><table class="rw-plain"><thead><tr>{heads}<th></th></tr></thead>'
        f"<tbody>{body}</tbody></table></div>"
    )
