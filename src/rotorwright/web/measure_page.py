"""Measurements: a table of readings is brought, its columns are named, a fit is looked at and applied, or a log is
held against the prediction."""

from dataclasses import dataclass, field
from html import escape

from nicegui import events, ui

from rotorwright.errors import CannotCompute, InputError, RotorwrightError
from rotorwright.measure.flight_log import LOG_QUANTITIES, flight_log
from rotorwright.measure.forms import FORMS
from rotorwright.measure.log_book import LogBook, log_book
from rotorwright.measure.mapping import Mapping, require
from rotorwright.measure.measurement import Measurement, look, measure
from rotorwright.measure.readings import Readings, read
from rotorwright.measure.remembered import remember
from rotorwright.measure.tables import TableForm
from rotorwright.sheet.measured_words import option_words
from rotorwright.web.beside import beside
from rotorwright.web.desk import Desk, OnTable
from rotorwright.web.guard import UPLOAD_LIMIT
from rotorwright.web.measure_columns import show_columns
from rotorwright.web.measure_result import show_history, show_log, show_measurement
from rotorwright.web.theme import act, page, say_problems
from rotorwright.web.uploads import keep, kept_files

__all__ = ["show_measure"]

LOG = "log"
_ABOUT_LOG = "the log of a flight: what was flown, and the prediction held against it"


@dataclass
class _Work:
    """What one window is doing: which measurement, of which file, with which columns and numbers."""

    form: str = "stand"
    file: str = ""
    changes: dict[str, str] = field(default_factory=dict)
    numbers: dict[str, str] = field(default_factory=dict)
    specimen: str = ""
    table: TableForm | None = None
    columns: Mapping | None = None


async def show_measure(desk: Desk, table: OnTable) -> None:
    """The steps of a measurement, one below the other; nothing is written before it is applied."""
    now = await table.ready()
    ui.add_head_html('<link rel="stylesheet" href="/static/measure.css">')
    with page(now.craft.title.full if now.craft else table.file.stem, desk, table, "measure"):
        _Page(desk, table)


class _Page:
    """One window's measurement."""

    def __init__(self, desk: Desk, table: OnTable) -> None:
        self.desk, self.table, self.work = desk, table, _Work()
        self.logs, self.coming = desk.folder / "logs", 0
        with ui.element("div").classes("rw-measure"):
            with ui.element("section"):
                self._what()
                self.files = ui.element("div")
                self._files()
                self.given = ui.element("div")
                self._given()
            with ui.element("section"):
                self.columns = ui.element("div")
                self.result = ui.element("div").props('aria-live="polite"')
        self.history = ui.element("section")
        self._history()

    def _what(self) -> None:
        ui.html("<h2>What was measured</h2>", sanitize=False)
        words = {name: f"{name}: {form.about}" for name, form in FORMS.items()} | {LOG: f"{LOG}: {_ABOUT_LOG}"}
        chosen = ui.select(words, value=self.work.form).props('outlined dense aria-label="what was measured"')
        chosen.classes("rw-wide")

        async def choose() -> None:
            self.work.form = str(chosen.value)
            self.work.changes.clear()
            self.work.numbers.clear()
            self._given()
            await self.look()

        chosen.on_value_change(choose)

    def _files(self) -> None:
        self.files.clear()
        with self.files:
            ui.html("<h2>The readings</h2>", sanitize=False)
            names = kept_files(self.logs)
            if names:
                chosen = ui.select(names, value=self.work.file if self.work.file in names else None)
                chosen.props["label"] = "A file in logs/"
                chosen.props("outlined dense").classes("rw-wide")
                chosen.on_value_change(lambda: self.open(str(chosen.value)))
            upload = ui.upload(
                label="Bring a table (CSV or plain columns)",
                max_file_size=UPLOAD_LIMIT,
                max_files=1,
                auto_upload=True,
                on_upload=self.uploaded,
                on_rejected=lambda: ui.notify(f"Nothing over {UPLOAD_LIMIT // 2**20} MB is taken."),
            )
            upload.props("flat bordered").classes("rw-wide")

    async def uploaded(self, event: events.UploadEventArguments) -> None:
        """Keep the file in the workshop's logs and look at it."""
        self.coming += 1
        try:
            place = await keep(self.logs, event.file.name, event.file.iterate(), UPLOAD_LIMIT)
        except InputError as error:
            say_problems(error)
            return
        finally:
            self.coming -= 1
        if not self.coming:  # of many that are brought at once the last is looked at
            await self.open(place.name)
            self._files()

    async def open(self, name: str) -> None:
        """Look at a file of `logs/`."""
        if name in kept_files(self.logs):
            self.work.file = name
            self.work.changes.clear()
            await self.look()

    def _given(self) -> None:
        self.given.clear()
        form = FORMS.get(self.work.form)
        with self.given:
            if form is None:
                return
            if form.kinds:
                ui.html(f"<p class='rw-small'>Parts are this craft's: {', '.join(form.kinds)}.</p>", sanitize=False)
            for option in form.options:
                box = ui.input(f"{option_words(option)}{' (needed)' if option.required else ''}")
                box.props("outlined dense").classes("rw-wide rw-given").props["hint"] = option.about
                box.on_value_change(lambda e, key=option.key: self.work.numbers.update({key: str(e.value or "")}))
            specimen = ui.input("specimen (only when it holds for this one piece)").props("outlined dense")
            specimen.classes("rw-wide").on_value_change(lambda e: setattr(self.work, "specimen", str(e.value or "")))
            if form.caution:
                ui.html(f'<p class="rw-mark warn">{escape(form.caution)}</p>', sanitize=False)

    async def look(self) -> None:
        """Read the file's layout and columns, and show both."""
        self.result.clear()
        work = self.work
        if not work.file:
            return
        try:
            layout, columns, readings = await beside(self._looked)
        except RotorwrightError as error:
            say_problems(error)
            return
        work.table, work.columns = layout, columns
        self.columns.clear()
        with self.columns:
            show_columns(layout, columns, readings, self.name_column)
            with ui.element("div").classes("rw-row"):
                ui.button("Fit" if work.form != LOG else "Hold against the prediction", on_click=self.fit).props(
                    "unelevated no-caps color=primary"
                )
                ui.button("Remember these columns", on_click=self.keep).props("flat no-caps")

    def _looked(self) -> tuple[TableForm, Mapping, Readings]:
        changes = [f"{quantity}={column}" for quantity, column in self.work.changes.items()]
        table, columns = look(self.logs / self.work.file, self.desk.folder, self.work.form, changes)
        return table, columns, read(table, columns)

    async def name_column(self, quantity: str, heading: str, unit: str) -> None:
        """Say what a column is; an empty heading leaves the quantity out."""
        self.work.changes[quantity] = f"{heading}:{unit}" if heading and unit else heading
        await self.look()

    async def keep(self) -> None:
        """Remember the columns for files with the same headings."""
        table, columns = self.work.table, self.work.columns
        if table is not None and columns is not None:
            await act(lambda: beside(remember, self.desk.folder, table, columns))

    async def fit(self) -> None:
        """Fit, or hold against the prediction, and show what came of it."""
        self.result.clear()
        with self.result:
            ui.html('<p class="rw-soft">being worked out \u2026</p>', sanitize=False)
        try:
            found = await beside(self._fitted)
        except RotorwrightError as error:
            self.result.clear()
            say_problems(error)
            return
        self.result.clear()
        with self.result:
            if isinstance(found, LogBook):
                show_log(found)
            else:
                show_measurement(self.desk, self.table, found, self._history)

    def _fitted(self) -> Measurement | LogBook:
        work, craft = self.work, self.table.answers.craft if self.table.answers else None
        if work.form == LOG:
            table, columns, readings = self._looked()
            require(table, columns, LOG_QUANTITIES[:3])
            return log_book(flight_log(readings), 0, craft)
        if craft is None:
            raise CannotCompute("the craft's file cannot be read: the table says why")
        return measure(
            work.form,
            self.logs / work.file,
            workshop=self.desk.folder,
            craft=craft,
            options=[f"{key}={text}" for key, text in work.numbers.items() if text.strip()],
            changes=[f"{quantity}={column}" for quantity, column in work.changes.items()],
            specimen=work.specimen.strip(),
        )

    def _history(self) -> None:
        self.history.clear()
        with self.history:
            show_history(self.desk, self._history)
