"""The frame under the fingers: numbers beside the drawing, grams and modes following, files to cut and print."""

import asyncio
import tempfile
from dataclasses import dataclass
from functools import partial
from html import escape
from pathlib import Path
from shutil import make_archive

from nicegui import ui

from rotorwright.craft import read_craft
from rotorwright.craft.frame_numbers import FrameNumber, frame_numbers, set_frame_number, with_frame_number
from rotorwright.craft.model import Craft
from rotorwright.errors import InputError, RotorwrightError
from rotorwright.frame.export.lists import CAUTIONS
from rotorwright.frame.export.write import FORMATS, Export, export_frame
from rotorwright.predict.frame_report import FrameReport, frame_drawings, frame_pieces, frame_report
from rotorwright.predict.result import Prediction
from rotorwright.sheet.quantities import tell
from rotorwright.sheet.space import space_view
from rotorwright.web.beside import beside
from rotorwright.web.desk import Desk, OnTable
from rotorwright.web.numbers import number_html
from rotorwright.web.svg import show_svg
from rotorwright.web.theme import act, display, page, say_problems

__all__ = ["show_frame"]

# How far a slider reaches from the value that the file holds.
_LEAST, _MOST = 0.4, 2.0


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A frame as it would be: what is known of it, its drawings and its picture in space."""

    report: FrameReport
    drawings: dict[str, str]
    space: str


async def show_frame(desk: Desk, table: OnTable) -> None:
    """Numbers to the left, the drawing that follows them to the right."""
    now = await table.ready()
    with page(now.craft.title.full if now.craft else table.file.stem, desk, table, "frame"):
        if now.craft is None:
            ui.html("<p>The file cannot be read: the table says why.</p>", sanitize=False)
            return
        with ui.element("div").classes("rw-frame"):
            numbers = ui.element("section").classes("rw-frame-numbers").props('aria-label="numbers of the frame"')
            with ui.element("section").classes("rw-frame-picture"):
                _Bench(table, numbers)


class _Bench:
    """One window's frame: the numbers, and what is drawn for those under the finger."""

    def __init__(self, table: OnTable, numbers: ui.element) -> None:
        self.table, self.numbers = table, numbers
        self.wanted = ""
        self.drawing = asyncio.Lock()
        self.facts = ui.element("div").props('aria-live="polite"')
        with ui.element("div").classes("rw-pair"):
            self.space = ui.element("figure")
            self.plan = ui.element("figure")
        self.more = ui.element("div").classes("rw-lenses")
        self._export()
        table.changed.subscribe(self.follow)
        ui.timer(0.05, self.follow, once=True)

    async def follow(self) -> None:
        """Show the file as it stands; the bars change nothing here."""
        now = self.table.answers
        if now is None or now.craft is None or now.bars is (self.wanted == now.text):
            return
        self._list(frame_numbers(now.text))
        await self.draw(now.text)

    def _list(self, numbers: tuple[FrameNumber, ...]) -> None:
        self.numbers.clear()
        with self.numbers:
            if not numbers:
                ui.html("<p>This frame states no number.</p>", sanitize=False)
            groups: dict[str, list[FrameNumber]] = {}
            for number in numbers:
                groups.setdefault(number.group, []).append(number)
            for group, members in groups.items():
                with ui.element("details").classes("rw-fold") as fold:
                    ui.html(escape(group), sanitize=False, tag="summary")
                    for number in members:
                        self._number(number)
                if group in ("layout", "arm"):
                    fold.props("open")

    def _number(self, number: FrameNumber) -> None:
        low, high = sorted((_LEAST * number.value, _MOST * number.value)) if number.value else (-20.0, 20.0)
        step = 0.1 if high - low < 12 else 0.5
        with ui.element("div").classes("rw-frame-number"):
            ui.html(escape(number.name), sanitize=False, tag="span")
            slider = ui.slider(min=low, max=high, step=step, value=number.value)
            slider.props["aria-label"] = f"{number.group} {number.name}"
            exact = ui.number(value=number.value, suffix=number.unit, format="%.6g").props("dense borderless")

            async def moved() -> None:
                exact.set_value(slider.value)
                await self.preview(number, float(slider.value))

            slider.on("update:model-value", moved, throttle=0.08, leading_events=True, trailing_events=True)
            slider.on("change", partial(self.write, number, exact))
            exact.on("change", partial(self.write, number, exact))

    async def preview(self, number: FrameNumber, value: float) -> None:
        """Draw the frame as it would be; nothing is written while the finger is down."""
        now = self.table.answers
        if now is not None and now.craft is not None:
            await self.draw(with_frame_number(now.text, number.path, value))

    async def write(self, number: FrameNumber, exact: ui.number) -> None:
        """Write the number when the finger is lifted."""
        if exact.value is None or float(exact.value) == number.value:
            return
        value = float(exact.value)
        done = await act(lambda: self.table.edit(lambda: set_frame_number(self.table.file, number.path, value)))
        if not done:
            exact.set_value(number.value)

    async def draw(self, text: str) -> None:
        """Draw the frame that `text` describes; while one is being drawn only the latest wish waits."""
        self.wanted = text
        if self.drawing.locked():
            return
        async with self.drawing:
            done = ""
            while done != self.wanted:
                done = self.wanted
                try:
                    found = await beside(_drawn, self.table.file, done)
                except InputError as error:
                    self._refuse(str(error.problems[0].what))
                except RotorwrightError as error:
                    self._refuse(str(error))
                else:
                    if not self.facts.is_deleted:
                        self._show(found)

    def _refuse(self, why: str) -> None:
        self.facts.clear()
        with self.facts:
            ui.html(f'<p class="rw-mark stop">{escape(why)}</p>', sanitize=False)

    def _show(self, found: _Drawn) -> None:
        for place in (self.facts, self.space, self.plan, self.more):
            place.clear()
        with self.facts:
            _facts(found.report)
        with self.space:
            show_svg(found.space, "no part states its size")
        with self.plan:
            show_svg(found.drawings.get("frame", ""), "this craft draws no frame of its own")
        with self.more:
            for name, picture in found.drawings.items():
                if name != "frame":
                    show_svg(picture)

    def _export(self) -> None:
        ui.html("<h2>Files to cut and print</h2>", sanitize=False)
        with ui.element("div").classes("rw-row"):
            chosen = {name: ui.checkbox(name, value=name != "step") for name in FORMATS}
            button = ui.button("Download").props("unelevated no-caps color=primary")
        for caution in CAUTIONS:
            ui.html(f'<p class="rw-small rw-soft">{escape(caution)}</p>', sanitize=False)

        async def download() -> None:
            formats = [name for name, box in chosen.items() if box.value]
            now = self.table.answers
            if now is None or now.craft is None or not formats:
                return
            button.props("loading")
            try:
                packed = await beside(_packed, now.craft, formats)
            except RotorwrightError as error:
                say_problems(error)
            else:
                ui.download.content(packed, f"{self.table.file.stem}-frame.zip", "application/zip")
            finally:
                button.props(remove="loading")

        button.on_click(download)


def _drawn(file: Path, text: str) -> _Drawn:
    craft = read_craft(file, text=text)
    found = frame_report(craft, everything=False)
    return _Drawn(found, frame_drawings(craft, found), space_view(craft) or "")


def _facts(report: FrameReport) -> None:
    """Grams, first mode, smallest gaps: what follows a number under the finger."""

    def said(prediction: Prediction, quantity: str) -> str:
        return f"<b>{number_html(tell(prediction, quantity, display()))}</b>"

    parts = []
    if report.pieces:
        parts.append(f"The frame weighs {said(Prediction(report.mass_kg, None, None, 'kg'), 'mass')}")
    if report.structure and report.structure.modes:
        first = report.structure.modes[0]
        parts.append(f"its slowest mode rings at {said(first.frequency_hz, 'frequency')} ({escape(first.kind)})")
    gaps = report.clearances
    if gaps.disc_to_disc_m is not None:
        apart = Prediction(gaps.disc_to_disc_m, None, None, "m")
        parts.append(f"discs stand {said(apart, 'length')} apart")
    if gaps.propeller_gaps:
        nearest = gaps.propeller_gaps[0]
        room = Prediction(nearest.gap_m, None, None, "m")
        parts.append(f"a propeller passes {escape(nearest.other)} at {said(room, 'length')}")
    ui.html(f'<p class="rw-story">{"; ".join(parts)}.</p>', sanitize=False)
    for note in report.notes:
        ui.html(f'<p class="rw-small rw-soft">{escape(note)}</p>', sanitize=False)


def _packed(craft: Craft, formats: list[str]) -> bytes:
    """All files of the frame in one archive."""
    found = frame_report(craft, everything=False)
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "frame"
        drawings = frame_drawings(craft, found)
        export = Export(craft.title.full, frame_pieces(craft), drawings, formats, source=craft.source)
        export_frame(export, out)
        return Path(make_archive(str(Path(folder) / "packed"), "zip", out)).read_bytes()
