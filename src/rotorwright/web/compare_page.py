"""Versions side by side: what changed between them, and what each change did."""

from collections.abc import Mapping
from html import escape
from itertools import pairwise

from nicegui import ui

from rotorwright.craft import read_craft
from rotorwright.craft.model import Craft
from rotorwright.errors import RotorwrightError
from rotorwright.predict.result import Prediction
from rotorwright.search.compare import Comparison, compare
from rotorwright.search.measures import MEASURES
from rotorwright.sheet.curves import version_curves
from rotorwright.sheet.quantities import Told, tell, tell_spread, unit_of
from rotorwright.sheet.space import space_view
from rotorwright.web.beside import beside
from rotorwright.web.desk import Desk, OnTable
from rotorwright.web.earlier import show_earlier
from rotorwright.web.svg import show_svg
from rotorwright.web.theme import display, page

__all__ = ["show_compare"]

# Columns: measure, quantity, heading.
_COLUMNS = (
    ("weight", "mass", "weight"),
    ("flight-time", "seconds", "flight time"),
    ("thrust-to-weight", "times", "thrust to weight"),
    ("roll", "turn-acceleration", "roll acceleration"),
    ("cost", "price", "cost"),
)
_MARKS = {"better": "rw-better", "worse": "rw-worse"}


async def show_compare(desk: Desk, table: OnTable) -> None:
    """This craft against another of the workshop, the version before it unless somebody chooses otherwise."""
    now = await table.ready()
    title = now.craft.title.full if now.craft else table.file.stem
    with page(title, desk, table, "compare"):
        others = [name for name in desk.names() if name != table.file.stem]
        if now.craft is None or not others:
            ui.html("<p>There is no other craft to set it against.</p>", sanitize=False)
            show_earlier(table)
            return
        before = (now.craft.title.previous or "").removesuffix(".toml")
        chosen = ui.select(others, value=before if before in others else others[0], label="Set against")
        chosen.props("outlined dense").classes("rw-choose")
        place = ui.element("div")
        show_earlier(table)

        async def show() -> None:
            await _compared(desk, table, str(chosen.value), place)

        chosen.on_value_change(show)
        table.changed.subscribe(show)
        ui.timer(0.05, show, once=True)


async def _compared(desk: Desk, table: OnTable, other: str, place: ui.element) -> None:
    now = table.answers
    if now is None or now.craft is None or not now.bars or other not in desk.names():
        return
    try:
        before = read_craft(desk.folder / "crafts" / f"{other}.toml")
        found = await beside(compare, before, now.craft)
        line = await beside(_line, desk, now.craft)
        pictures = [await beside(space_view, craft) for craft in (before, now.craft)]
    except RotorwrightError as error:
        place.clear()
        with place:
            ui.html(f'<p class="rw-mark stop">{escape(str(error))}</p>', sanitize=False)
        return
    if place.is_deleted or table.answers is not now:
        return
    place.clear()
    with place:
        with ui.element("div").classes("rw-pair"):
            for name, picture in zip((found.before, found.after), pictures, strict=True):
                with ui.element("figure"):
                    show_svg(picture or "", "no part states its size")
                    ui.html(escape(name), sanitize=False, tag="figcaption")
        _table(found)
        _reasons(found)
        if len(line) > 1:
            ui.html("<h2>All versions in a line</h2>", sanitize=False)
            with ui.element("div").classes("rw-one-chart"):
                show_svg(version_curves(line))


def _line(desk: Desk, craft: Craft) -> list[Comparison]:
    """Steps from the first version to this one, as far as the files name each other."""
    chain, seen = [craft], {craft.file.name}
    while (name := chain[0].title.previous) and name not in seen and name.removesuffix(".toml") in desk.names():
        seen.add(name)
        chain.insert(0, read_craft(desk.folder / "crafts" / name))
    return [compare(a, b, samples=32) for a, b in pairwise(chain)]


def _table(found: Comparison) -> None:
    units = [unit_of(quantity, display()) for _, quantity, _ in _COLUMNS]
    heads = "".join(f'<th class="num">{head} {unit}</th>' for (*_, head), unit in zip(_COLUMNS, units, strict=True))
    rows = [_values(found.before, found.values_before)]
    rows += [_changes(one.place, one.effects, one.verdict) for one in found.changes]
    rows.append(_changes("all together", found.differences, found.verdict, "rw-sum"))
    rows.append(_values(found.after, found.values_after))
    caption = (
        "What each change did; \u00b1 is half the width of the 5\u201395 % bounds, in which what both craft share "
        "cancels. Pale: the bounds cannot tell it from nothing."
    )
    body = "".join(rows)
    ui.html(
        f'<div class="rw-scroll"><table class="rw-plain rw-changes"><caption>{caption}</caption>'
        f"<thead><tr><th></th>{heads}</tr></thead><tbody>{body}</tbody></table></div>",
        sanitize=False,
    )


def _values(name: str, values: Mapping[str, Prediction]) -> str:
    cells = "".join(
        f'<td class="num">{_figure(tell(values[measure], quantity, display()))}</td>'
        for measure, quantity, _ in _COLUMNS
    )
    return f'<tr class="rw-sum"><th scope="row">{escape(name)}</th>{cells}</tr>'


def _figure(told: Told) -> str:
    bounds = f" <small>{escape(told.bounds)}</small>" if told.bounds else ""
    return f"{escape(told.value)}{bounds}"


def _changes(place: str, effects: Mapping[str, Prediction], verdicts: Mapping[str, str], kind: str = "") -> str:
    cells = []
    for measure, quantity, _ in _COLUMNS:
        found = effects[measure]
        if found.value is None or found.value == found.low == found.high == 0.0:
            cells.append("<td></td>")
            continue
        mark = _MARKS.get(verdicts[measure], "rw-soft" if MEASURES[measure].better else "")
        cells.append(f'<td class="num {mark}">{_figure(tell_spread(found, quantity, display()))}</td>')
    return f'<tr class="{kind}"><th scope="row">{escape(place)}</th>{"".join(cells)}</tr>'


def _reasons(found: Comparison) -> None:
    """What was changed, and the reason the file gives."""
    rows = "".join(
        f"<dt>{escape(one.place)}</dt><dd>{escape(one.what)}."
        + (f' <span class="rw-soft">{escape(one.why)}</span>' if one.why else "")
        + "</dd>"
        for one in found.changes
        if one.what
    )
    ui.html(f'<h2>What changed, and why</h2><dl class="rw-reasons">{rows}</dl>', sanitize=False)
    for lead, codes in (("New findings", found.findings.new), ("Findings that it ends", found.findings.cured)):
        if codes:
            ui.html(f"<p><b>{lead}:</b> {escape(', '.join(codes))}.</p>", sanitize=False)
