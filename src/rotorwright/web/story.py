"""What the craft weighs and does, in sentences whose numbers open."""

from functools import partial
from html import escape
from pathlib import Path

from nicegui import ui

from rotorwright.craft import read_craft
from rotorwright.craft.model import Craft
from rotorwright.errors import RotorwrightError
from rotorwright.predict.origins import ORIGINS, number_of
from rotorwright.search.against import AGAINST, Against, against
from rotorwright.sheet.quantities import tell_change
from rotorwright.web.answers import Answers
from rotorwright.web.beside import beside
from rotorwright.web.desk import OnTable
from rotorwright.web.numbers import number
from rotorwright.web.origin_dialog import open_origin
from rotorwright.web.theme import display

__all__ = ["show_story"]

# Text between numbers; a name in braces is the key of a number in the report.
_SENTENCES = (
    "It weighs {ledger.all_up_kg}, {ledger.dry_kg} of it dry. ",
    "It hovers at {hover.throttle} throttle on {hover.current_a}, ",
    "and flies {endurance.time_s} %s. ",
    "At full throttle on a fresh pack, standing, it lifts {full_throttle.thrust_to_weight} its weight and draws "
    "{full_throttle.battery_current_a}; in flight at half charge {full_throttle_in_flight.battery_current_a}. ",
    "It reaches {flight.top_speed_m_per_s}, climbs at {flight.climb_m_per_s}, and goes round in a roll in "
    "{response.full_roll_s}; thrust answers within {response.thrust_rise_s}. ",
    "Windings reach {heat.winding_degc}. ",
    "The picture reaches {link.video.range_m} in the open, control {link.control.range_m}.",
)

# How a difference is spoken: quantity, and the words around it.
_SPOKEN = {
    "weight": ("mass", "weight"),
    "flight-time": ("seconds", "flight time"),
    "thrust-to-weight": ("times", "thrust to weight"),
    "hover-throttle": ("share", "hover throttle"),
    "current": ("current", "full-throttle current"),
    "roll": ("turn-acceleration", "roll acceleration"),
    "winding": ("temperature", "winding temperature"),
}


def show_story(table: OnTable) -> None:
    """The sentences, what speaks against them, and what the version before did otherwise."""

    @ui.refreshable
    def told() -> None:
        now = table.answers
        if now is None:
            return
        if now.craft is None or now.problems:
            _problems([str(problem) for problem in now.problems])
        if now.report is not None and now.craft is not None:
            _tell(table, now)

    told()
    table.changed.subscribe(told.refresh)
    _version_before(table)


def _problems(texts: list[str]) -> None:
    with ui.element("div").classes("rw-broken").props('role="alert"'):
        ui.html("<h2>The file cannot be used as it stands</h2>", sanitize=False)
        for text in texts:
            ui.html(f'<p class="rw-mark stop">{escape(text)}</p>', sanitize=False)
        ui.html("<p class='rw-soft'>Mend it in your editor; this page follows by itself.</p>", sanitize=False)


def _tell(table: OnTable, now: Answers) -> None:
    report, craft = now.report, now.craft
    assert report is not None and craft is not None
    flown = report.endurance
    about = f'title="{escape(flown.about)}"' if flown else ""
    profile = f"<span {about}>flown as {escape(flown.profile)}</span>" if flown else "as flown"
    with ui.element("p").classes("rw-story").props('aria-live="polite"'):
        for sentence in _SENTENCES:
            _sentence(table, now, sentence, profile)
    if craft.title.note:
        ui.html(f'<p class="rw-soft rw-note">{escape(craft.title.note)}</p>', sanitize=False)
    for note in report.notes:
        ui.html(f'<p class="rw-soft rw-small">{escape(note)}.</p>', sanitize=False)


def _sentence(table: OnTable, now: Answers, sentence: str, profile: str) -> None:
    assert now.report is not None
    rest = sentence
    while rest:
        text, _, rest = rest.partition("{")
        if text:
            ui.html(text.replace("%s", profile), sanitize=False, tag="span")
        if rest:
            key, _, rest = rest.partition("}")
            found, opened = number_of(now.report, key), partial(open_origin, table, key)
            number(found, ORIGINS[key].quantity, opened, coming=not now.bars)


def _version_before(table: OnTable) -> None:
    """What changed against the version before, computed beside everything else once the bars are in."""
    line = ui.element("p").classes("rw-against rw-small")
    if table.before() is not None:
        line.classes("is-awaited")  # room for what will stand here

    async def compared() -> None:
        now = table.answers
        before = table.before()
        if now is None or now.craft is None or not now.bars or before is None:
            return
        try:
            found = await beside(_against, now.craft, before)
        except RotorwrightError:
            return
        if table.answers is now and not line.is_deleted:
            _differences(line, found)

    table.changed.subscribe(compared)
    ui.timer(0.05, compared, once=True)


def _against(craft: Craft, before: Path) -> Against:
    return against(craft, read_craft(before))


def _differences(line: ui.element, found: Against) -> None:
    line.clear()
    with line:
        pieces = [f"Against {escape(found.other)}: "]
        cannot = [_SPOKEN[name][1] for name in AGAINST if found.verdict[name] == "cannot tell"]
        for name in AGAINST:
            word = found.verdict[name]
            if word in ("better", "worse", "other"):
                quantity, spoken = _SPOKEN[name]
                told = tell_change(found.differences[name], quantity, display())
                mark = "rw-better" if word == "better" else "rw-worse" if word == "worse" else ""
                pieces.append(f'<span class="{mark}" title="{word}">{spoken} {escape(str(told))}</span>; ')
        if cannot:
            pieces.append(f"the bars cannot tell whether it differs in {', '.join(cannot)}.")
        ui.html("".join(pieces), sanitize=False, tag="span")
