"""What does not fit, is not fed or will not last; where it is, and how to mend it."""

from functools import partial
from html import escape

from nicegui import ui
from nicegui.events import GenericEventArguments

from rotorwright.checks import Checks, Finding, rule_named
from rotorwright.checks.finding import shown
from rotorwright.craft.edit import accept_finding
from rotorwright.craft.model import Craft
from rotorwright.web.card import card
from rotorwright.web.desk import OnTable
from rotorwright.web.mending import offer_remedies
from rotorwright.web.picked import Picked
from rotorwright.web.theme import act

__all__ = ["show_findings"]

_WORDS = {"stop": "stop", "warn": "warning", "note": "note"}


def show_findings(table: OnTable, picked: Picked) -> None:
    """Findings worst first; pointing at one lights its parts, opening one says why and how to mend."""
    opened: set[tuple[str, str]] = set()

    @ui.refreshable
    def listed() -> None:
        now = table.answers
        if now is None or now.craft is None:
            return
        if now.checks is None:
            ui.html('<h2>Findings</h2><p class="rw-soft">the rules are looking \u2026</p>', sanitize=False)
            return
        _head(now.checks)
        live = [finding for finding in now.checks.findings if finding.waived is None]
        waived = [finding for finding in now.checks.findings if finding.waived is not None]
        for finding in live:
            _finding(table, picked, now.craft, finding, opened)
        if not live:
            ui.html("<p>Nothing stands against it, as far as the rules look.</p>", sanitize=False)
        if waived:
            with _folded(f"{len(waived)} accepted with a reason"):
                for finding in waived:
                    text = f"<b>{escape(finding.what)}</b><br>{escape(finding.waived or '')}"
                    ui.html(f'<p class="rw-small">{text}</p>', sanitize=False)
        if now.checks.unchecked:
            with _folded(f"{len(now.checks.unchecked)} things no rule could look at"):
                rows = "".join(
                    f"<li>{escape(one.code)}{f' ({escape(one.part)})' if one.part else ''}: {escape(one.give)}</li>"
                    for one in now.checks.unchecked
                )
                ui.html(f'<ul class="rw-small">{rows}</ul>', sanitize=False)

    listed()
    table.found.subscribe(listed.refresh)


def _head(checks: Checks) -> None:
    ui.html(f'<h2>Findings</h2><p class="rw-soft rw-small">{escape(checks.summary)}</p>', sanitize=False)


def _folded(title: str) -> ui.element:
    fold = ui.element("details").classes("rw-fold")
    with fold:
        ui.html(escape(title), sanitize=False, tag="summary")
    return fold


def _finding(table: OnTable, picked: Picked, craft: Craft, finding: Finding, opened: set[tuple[str, str]]) -> None:
    key = (finding.code, finding.where.part)
    ids = tuple(placed.id for placed in craft.parts if placed.id == finding.where.part)
    fold = ui.element("details").classes("rw-finding")
    fold.props["data-code"] = finding.code
    if key in opened:
        fold.props("open")

    def toggled(event: GenericEventArguments) -> None:
        opened.add(key) if event.args else opened.discard(key)

    fold.on("toggle", toggled, js_handler="(event) => emit(event.target.open)")
    fold.on("mouseenter", lambda: picked.light(*ids)).on("mouseleave", lambda: picked.light())
    chance = f' <small class="rw-soft">{finding.chance:.0%} chance</small>' if finding.chance is not None else ""
    kind = finding.severity.value
    mark = f'<span class="rw-mark {kind}"><span class="rw-word">{_WORDS[kind]}</span></span>'
    with fold:
        ui.html(f"{mark} <span>{escape(finding.what)}{chance}</span>", sanitize=False, tag="summary")
        ui.html(
            f"<p>{escape(finding.why)}</p><p><b>{escape(finding.fix)}</b></p>{_measured(finding)}", sanitize=False
        )
        with ui.element("div").classes("rw-row"):
            if ids:
                ui.button("Go to the part", on_click=partial(picked.pick, ids[0])).props("flat no-caps dense")
            ui.button("Accept with a reason", on_click=partial(_accept, table, finding)).props("flat no-caps dense")
            ui.button("About this rule", on_click=partial(_about, finding)).props("flat no-caps dense")
            offer_remedies(table, craft, finding)


def _measured(finding: Finding) -> str:
    """Value, limit and place in the file."""
    place = escape(str(finding.where))
    if finding.value is None or finding.limit is None:
        return f'<p class="rw-small rw-soft">{place}</p>'
    value, limit = (escape(shown(number, finding.unit)) for number in (finding.value, finding.limit))
    return f'<p class="rw-small rw-soft">{value} against a limit of {limit}; {place}</p>'


def _about(finding: Finding) -> None:
    rule = rule_named(finding.code)
    if rule is None:
        return
    texts = (rule.fact, f"Why: {rule.why}", f"Fix: {rule.fix}", f"Source: {rule.source}")
    with card(f"Rule {rule.code}") as dialog:
        ui.html("".join(f"<p>{escape(text)}</p>" for text in texts), sanitize=False)
        ui.button("Close", on_click=dialog.close).props("flat no-caps")


def _accept(table: OnTable, finding: Finding) -> None:
    with card("Accept this finding") as dialog:
        ui.html(f"<p>{escape(finding.what)}</p>", sanitize=False)
        ui.html(
            "<p class='rw-soft'>It stays in the file and on the sheet, with your reason beside it.</p>",
            sanitize=False,
        )
        reason = ui.textarea("Why it is all right here").props("outlined autofocus rows=3").classes("rw-wide")

        async def save() -> None:
            text = str(reason.value or "").strip()
            if not text:
                reason.props('error error-message="A reason is needed."')
                return
            if await act(lambda: table.edit(lambda: accept_finding(table.file, finding.code, text))):
                dialog.close()

        with ui.element("div").classes("rw-row"):
            ui.button("Accept", on_click=save).props("unelevated no-caps color=primary")
            ui.button("Leave it", on_click=dialog.close).props("flat no-caps")
