"""Who feeds whom, as a picture that is edited: a part is moved to another rail, a wire gets another gauge."""

import math
from functools import partial
from html import escape

from nicegui import ui
from nicegui.events import GenericEventArguments

from rotorwright.craft.edit_wiring import move_feed, set_wire
from rotorwright.craft.model import Craft
from rotorwright.predict.power_tree import PowerTree, Rail
from rotorwright.sheet.quantities import tell
from rotorwright.sheet.wiring import missing_from, wiring_picture
from rotorwright.sheet.wiring_nets import wiring_plan
from rotorwright.units import from_si
from rotorwright.web.beside import beside
from rotorwright.web.desk import Desk, OnTable
from rotorwright.web.numbers import number_html
from rotorwright.web.svg import show_svg
from rotorwright.web.theme import act, display, page

__all__ = ["show_power"]

_DRAGGED = "application/x-rotorwright-part"


async def show_power(desk: Desk, table: OnTable) -> None:
    """Rails with what hangs on them, the wiring plan, and every wire."""
    now = await table.ready()
    ui.add_head_html('<link rel="stylesheet" href="/static/power.css">')
    with page(now.craft.title.full if now.craft else table.file.stem, desk, table, "power"):
        drawn = _Drawn()

        @ui.refreshable
        def wires() -> None:
            found = table.answers
            if found is not None and found.craft is not None:
                _wires(table, found.craft)

        rails = _Rails(table)
        ui.html("<h2>Wiring plan</h2>", sanitize=False)
        plan = ui.element("div").classes("rw-plan")
        wires()

        async def draw() -> None:
            found = table.answers
            if found is None or found.craft is None or found.craft is drawn.craft:
                return
            drawn.craft = found.craft
            wires.refresh()
            picture, missing = await beside(_plan, found.craft, found.report.power_tree if found.report else None)
            if plan.is_deleted:
                return
            plan.clear()
            with plan:
                show_svg(picture)
                for lack in missing:
                    ui.html(f'<p class="rw-mark note">{escape(lack)}</p>', sanitize=False)

        for follow in (rails.follow, draw):
            table.changed.subscribe(follow)
        await draw()


def _plan(craft: Craft, tree: PowerTree | None) -> tuple[str, list[str]]:
    plan = wiring_plan(craft)
    return wiring_picture(craft, plan), missing_from(plan, tree)


class _Drawn:
    """The craft whose plan and wires are on the page; bars change nothing of them."""

    def __init__(self) -> None:
        self.craft: Craft | None = None


class _Rails:
    """Every rail with what hangs on it. Numbers are said anew where they stand; only a part that moves is drawn anew,
    and that never under the hand."""

    def __init__(self, table: OnTable) -> None:
        self.table, self.held, self.waits = table, "", False
        self.hung: tuple[tuple[str, tuple[str, ...]], ...] | None = None
        self.about: dict[str, ui.html] = {}
        self.story = ui.html("", sanitize=False)
        ui.html(
            '<p class="rw-soft rw-small">Drag a part onto another rail, or choose the rail behind its name. '
            "Propellers off and pack off before anything is soldered.</p>",
            sanitize=False,
        )
        self.place = ui.element("div").classes("rw-rails")
        self.faults = ui.html("", sanitize=False)
        self.follow()

    def follow(self) -> None:
        """Say what holds now; while a part is held, what moved elsewhere waits until it is let go."""
        found = self.table.answers
        tree = found.report.power_tree if found is not None and found.craft and found.report else None
        hung = tuple((rail.id, tuple(rail.feeds)) for rail in tree.rails) if tree else ()
        self.waits = hung != self.hung and self.held != ""
        if self.waits:
            return
        if hung != self.hung:
            self._hang(tree)
            self.hung = hung
        self.story.content = _story(tree)
        self.faults.content = _faults(tree)
        for rail in tree.rails if tree else ():
            self.about[rail.id].content = _told(rail)

    def _hang(self, tree: PowerTree | None) -> None:
        self.place.clear()
        self.about.clear()
        with self.place:
            for rail in tree.rails if tree else ():
                self._rail(rail, [one.id for one in tree.rails] if tree else [])

    def _rail(self, rail: Rail, names: list[str]) -> None:
        async def dropped(event: GenericEventArguments) -> None:
            id = str(event.args or "")
            self.let_go()
            if id and id not in rail.feeds:
                await self._move(id, rail.id)

        block = ui.element("section").classes("rw-rail")
        block.props["aria-label"] = rail.id
        block.on("dragover.prevent", js_handler="() => {}")
        block.on("drop.prevent", dropped, js_handler=f"(event) => emit(event.dataTransfer.getData('{_DRAGGED}'))")
        with block:
            self.about[rail.id] = ui.html(_told(rail), sanitize=False)
            with ui.element("ul"):
                for id in rail.feeds:
                    self._fed(rail, id, names)

    def _fed(self, rail: Rail, id: str, names: list[str]) -> None:
        async def chosen(name: str) -> None:
            if name != rail.id:
                await self._move(id, name)

        item = ui.element("li").classes("rw-fed").props("draggable=true")
        item.props["data-id"] = id
        # what is dragged travels with the hand: it arrives even when its row has been drawn anew
        give = f"event.dataTransfer.setData('{_DRAGGED}', event.currentTarget.dataset.id)"
        item.on("dragstart", lambda: setattr(self, "held", id), js_handler=f"(event) => {{ {give}; emit() }}")
        item.on("dragend", self.let_go)
        with item:
            ui.html(escape(id), sanitize=False, tag="span")
            menu = ui.select(names, value=rail.id, on_change=lambda e: chosen(e.value))
            menu.props("dense borderless options-dense").props["aria-label"] = f"rail that feeds {id}"

    async def _move(self, id: str, rail: str) -> None:
        if not await act(lambda: self.table.edit(partial(move_feed, self.table.file, id, rail))):
            self.hung = None  # the menu says otherwise
            self.follow()

    def let_go(self) -> None:
        """Nothing is held any more; what waited is drawn now."""
        self.held = ""
        if self.waits:
            self.follow()


def _story(tree: PowerTree | None) -> str:
    if tree is None:
        return "<p>Nothing can be said of the supply: the table says why.</p>"
    drawn = number_html(tell(tree.power_w, "power", display()))
    lost = number_html(tell(tree.loss_w, "power", display()))
    text = f"Besides the motors the craft draws <b>{drawn}</b> in flight; <b>{lost}</b> of it heat the regulators."
    return f'<p class="rw-story">{text}</p>'


def _faults(tree: PowerTree | None) -> str:
    faults = tree.faults if tree else ()
    return "".join(f'<p class="rw-mark warn">{escape(fault.sentence)}</p>' for fault in faults)


def _told(rail: Rail) -> str:
    return f"<h3>{escape(rail.id)}</h3><p class='rw-soft rw-small'>{_about(rail)}</p>{_load(rail)}"


def _about(rail: Rail) -> str:
    volts = f"{rail.voltage_v:.3g}&nbsp;V" if math.isfinite(rail.voltage_v) else "voltage unknown"
    volts += f", {escape(rail.kind)}"
    load = number_html(tell(rail.load_current_a, "current", display()))
    rated = f" of {rail.rated_current_a:g}&nbsp;A" if rail.rated_current_a else ", no rating stated"
    return f"{volts}; carries {load}{rated}"


def _load(rail: Rail) -> str:
    """Load against rating to scale, with the bounds as a lighter end; a word when it is more than the rating."""
    load = rail.load_current_a
    if not rail.rated_current_a or load.value is None:
        return ""
    most = max(rail.rated_current_a, load.high or load.value)
    value, high = (100 * x / most for x in (load.value, load.high or load.value))
    limit = 100 * rail.rated_current_a / most
    over = '<span class="rw-mark stop">more than it is rated for</span>' if load.value > rail.rated_current_a else ""
    return (
        f'<div class="rw-load" aria-hidden="true"><i class="is-high" style="width:{high:.1f}%"></i>'
        f'<i style="width:{value:.1f}%"></i><b style="left:{limit:.1f}%"></b></div>{over}'
    )


def _wires(table: OnTable, craft: Craft) -> None:
    ui.html("<h2>Wires</h2>", sanitize=False)
    if not craft.wires:
        ui.html("<p>The file lists no wire; their grams are missing from the ledger.</p>", sanitize=False)
    for index, wire in enumerate(craft.wires):
        with ui.element("div").classes("rw-wire"):
            ends = f"{escape(wire.from_)} <span class='rw-soft'>to</span> {escape(wire.to)}"
            ui.html(f"<span>{ends} <span class='rw-soft'>\u00d7 {wire.conductors}</span></span>", sanitize=False)
            gauge = from_si(wire.gauge.value, "awg", "wire area") if wire.gauge else None
            length = 1e3 * wire.length.value if wire.length else None
            _typed(table, index, wire.from_, "gauge", "gauge_awg", "AWG", None if gauge is None else round(gauge, 1))
            _typed(
                table, index, wire.from_, "length", "length_mm", "mm", None if length is None else round(length, 1)
            )


def _typed(table: OnTable, index: int, name: str, field: str, key: str, unit: str, value: float | None) -> None:
    box = ui.number(value=value, suffix=unit, format="%.6g")
    box.props("dense borderless").props["aria-label"] = f"{field} of the wire from {name}"

    async def write() -> None:
        if box.value is None or (value is not None and float(box.value) == value):
            return
        number = int(box.value) if float(box.value).is_integer() else float(box.value)
        if not await act(lambda: table.edit(partial(set_wire, table.file, index, field, key, number))):
            box.set_value(value)

    box.on("change", write)
