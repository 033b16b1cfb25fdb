"""Curves of the craft: each is drawn when somebody opens it, from the same results as everything else."""

from collections.abc import Callable
from dataclasses import dataclass

from nicegui import ui

from rotorwright.craft.model import Craft
from rotorwright.errors import RotorwrightError
from rotorwright.predict.airborne import STEADY_SAMPLES, airborne
from rotorwright.predict.frame_report import frame_drawings, frame_report
from rotorwright.predict.report import Report
from rotorwright.sheet.curves import flight_curves, speed_curves, throttle_curves
from rotorwright.web.answers import Answers
from rotorwright.web.beside import beside
from rotorwright.web.desk import OnTable
from rotorwright.web.svg import show_svg

__all__ = ["show_charts"]


@dataclass(frozen=True, slots=True)
class _Chart:
    """One chart: what it answers, and who draws it."""

    name: str
    draw: Callable[[Craft, Report], str]


def _throttle(craft: Craft, report: Report) -> str:
    return throttle_curves(craft.title.full, report.throttle_curve)


def _speed(craft: Craft, _: Report) -> str:
    return speed_curves(craft.title.full, airborne(craft, STEADY_SAMPLES).steady())


def _flight(craft: Craft, _: Report) -> str:
    return flight_curves(craft.title.full, airborne(craft, 0).fly()[0])


def _modes(craft: Craft, _: Report) -> str:
    return frame_drawings(craft, frame_report(craft, everything=False)).get("modes", "")


_CHARTS = (
    _Chart("Thrust and current over throttle", _throttle),
    _Chart("Power over speed", _speed),
    _Chart("A flight on this pack", _flight),
    _Chart("Arms against rotor speed", _modes),
)


def show_charts(table: OnTable) -> None:
    """A fold for each curve; an open one follows every change."""
    ui.html("<h2>Curves</h2>", sanitize=False)
    with ui.element("div").classes("rw-charts"):
        for chart in _CHARTS:
            _Fold(table, chart)


class _Fold:
    """One chart that is drawn while it is open."""

    def __init__(self, table: OnTable, chart: _Chart) -> None:
        self.table, self.chart = table, chart
        self.open = False
        self.drawn: Answers | None = None
        with ui.element("details").classes("rw-fold") as fold:
            ui.html(chart.name, sanitize=False, tag="summary")
            self.place = ui.element("div").classes("rw-chart")
        fold.on("toggle", self.toggled, js_handler="(event) => emit(event.target.open)")
        table.changed.subscribe(self.draw)

    async def toggled(self, event: object) -> None:
        """Draw when it opens."""
        self.open = bool(getattr(event, "args", False))
        await self.draw()

    async def draw(self) -> None:
        """Draw for the latest answers with bars; what was drawn stays until the new picture is ready."""
        now = self.table.answers
        if (
            not self.open
            or now is None
            or now is self.drawn
            or now.craft is None
            or now.report is None
            or not now.bars
        ):
            return
        self.drawn = now
        try:
            picture = await beside(self.chart.draw, now.craft, now.report)
        except RotorwrightError as error:
            picture, why = "", str(error)
        else:
            why = "there is nothing to draw"
        if self.place.is_deleted or self.table.answers is not now:
            return
        self.place.clear()
        with self.place:
            show_svg(picture, why)
