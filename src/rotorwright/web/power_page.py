"""Who feeds whom, as a picture that is edited: a part is moved to another rail, a wire gets another gauge."""

from collections.abc import Callable
from functools import partial
from html import escape

from nicegui import ui

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


async def show_power(desk: Desk, table: OnTable) -> None:
    """Rails with what hangs on them, the wiring plan, and every wire."""
    now = await table.ready()
    ui.add_head_html('<link rel="stylesheet" href="/static/power.css">')
    with page(now.craft.title.full if now.craft else table.file.stem, desk, table, "power"):
        drawn = _Drawn()

        @ui.refreshable
        def rails() -> None:
            found = table.answers
            if found is None or found.craft is None or found.report is None or found.report.power_tree is None:
                ui.html("<p>Nothing can be said of the supply: the table says why.</p>", sanitize=False)
                return
            _rails(table, found.report.power_tree, held)

        @ui.refreshable
        def wires() -> None:
            found = table.answers
            if found is not None and found.craft is not None:
                _wires(table, found.craft)

        held = _Held(rails.refresh)
        rails()
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

        for follow in (held.follow, draw):
            table.changed.subscribe(follow)
        await draw()


def _plan(craft: Craft, tree: PowerTree | None) -> tuple[str, list[str]]:
    plan = wiring_plan(craft)
    return wiring_picture(craft, plan), missing_from(plan, tree)


class _Drawn:
    """The craft whose plan and wires are on the page; bars change nothing of them."""

    def __init__(self) -> None:
        self.craft: Craft | None = None


class _Held:
    """The part that is being dragged; the rails are not drawn anew under the hand."""

    def __init__(self, draw: Callable[[], object]) -> None:
        self.id, self.waits, self.draw = "", False, draw

    def follow(self) -> None:
        """Draw the rails, or let it wait until the part is let go."""
        self.waits = self.id != ""
        if not self.waits:
            self.draw()

    def let_go(self) -> str:
        """The part that was held; what waited is drawn now."""
        id, self.id = self.id, ""
        if self.waits:
            self.follow()
        return id


def _rails(table: OnTable, tree: PowerTree, held: _Held) -> None:
    drawn = number_html(tell(tree.power_w, "power", display()))
    lost = number_html(tell(tree.loss_w, "power", display()))
    text = f"Besides the motors the craft draws <b>{drawn}</b> in flight; <b>{lost}</b> of it heat the regulators."
    ui.html(f'<p class="rw-story">{text}</p>', sanitize=False)
    ui.html(
        '<p class="rw-soft rw-small">Drag a part onto another rail, or choose the rail behind its name. '
        "Propellers off and pack off before anything is soldered.</p>",
        sanitize=False,
    )
    names = [rail.id for rail in tree.rails]
    with ui.element("div").classes("rw-rails"):
        for rail in tree.rails:
            _rail(table, rail, names, held)
    for fault in tree.faults:
        ui.html(f'<p class="rw-mark warn">{escape(fault.sentence)}</p>', sanitize=False)


def _rail(table: OnTable, rail: Rail, names: list[str], held: _Held) -> None:
    async def dropped() -> None:
        id = held.let_go()
        if id and id not in rail.feeds:
            await act(lambda: table.edit(partial(move_feed, table.file, id, rail.id)))

    block = ui.element("section").classes("rw-rail").props(f'aria-label="{escape(rail.id, quote=True)}"')
    block.on("dragover.prevent", js_handler="() => {}").on("drop.prevent", dropped)
    with block:
        ui.html(
            f"<h3>{escape(rail.id)}</h3><p class='rw-soft rw-small'>{_about(rail)}</p>{_load(rail)}", sanitize=False
        )
        with ui.element("ul"):
            for id in rail.feeds:
                _fed(table, rail, id, names, held)


def _about(rail: Rail) -> str:
    volts = f"{rail.voltage_v:.3g}&nbsp;V, {escape(rail.kind)}"
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


def _fed(table: OnTable, rail: Rail, id: str, names: list[str], held: _Held) -> None:
    async def chosen(name: str) -> None:
        if name != rail.id:
            await act(lambda: table.edit(partial(move_feed, table.file, id, name)))

    item = ui.element("li").classes("rw-fed").props("draggable=true")
    item.on("dragstart", lambda: setattr(held, "id", id)).on("dragend", held.let_go)
    with item:
        ui.html(escape(id), sanitize=False, tag="span")
        menu = ui.select(names, value=rail.id, on_change=lambda e: chosen(e.value))
        menu.props(f'dense borderless options-dense aria-label="rail that feeds {escape(id, quote=True)}"')


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
    box.props(f'dense borderless aria-label="{field} of the wire from {escape(name, quote=True)}"')

    async def write() -> None:
        if box.value is None or (value is not None and float(box.value) == value):
            return
        number = int(box.value) if float(box.value).is_integer() else float(box.value)
        if not await act(lambda: table.edit(partial(set_wire, table.file, index, field, key, number))):
            box.set_value(value)

    box.on("change", write)
