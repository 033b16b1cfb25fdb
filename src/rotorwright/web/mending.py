"""What would end a finding, tried when somebody asks, each remedy done by one press."""

from functools import partial
from html import escape

from nicegui import ui

from rotorwright.checks import Finding, rule_named
from rotorwright.craft.edit import rewrite_craft
from rotorwright.craft.model import Craft
from rotorwright.errors import RotorwrightError
from rotorwright.search.progress import Stopped
from rotorwright.search.remedies import Remedies, Remedy, remedies
from rotorwright.search.remedy_moves import Move, change_of
from rotorwright.sheet.remedy_words import changed_words, remedy_summary, to_do
from rotorwright.web.beside import beside
from rotorwright.web.desk import OnTable
from rotorwright.web.theme import act, display

__all__ = ["offer_remedies"]


def offer_remedies(table: OnTable, craft: Craft, finding: Finding) -> None:
    """A button that looks for remedies, and the room below it in which they come."""
    button = ui.button("What would end it?").props("flat no-caps dense")
    place = ui.element("div").classes("rw-remedies").props('role="status"')
    behind = [0, 0]

    def watch(done: int, of: int) -> bool:
        behind[:] = done, of
        return not place.is_deleted

    def tell() -> None:
        count = f": {behind[0]} of up to {behind[1]}" if behind[1] else ""
        _say(place, f"Trying other parts and settings{count} \u2026")

    async def look() -> None:
        button.disable()
        ticking = ui.timer(1.0, tell, immediate=True)  # made when it is needed: every window has many findings
        try:
            found = await beside(remedies, craft, finding, watch)
        except Stopped:
            return
        except RotorwrightError as error:
            ticking.cancel()
            _say(place, str(error))
        else:
            ticking.cancel()
            if not place.is_deleted:
                _show(place, table, craft, found)
        finally:
            if not button.is_deleted:
                button.enable()

    button.on_click(look)


def _say(place: ui.element, text: str) -> None:
    if not place.is_deleted:
        place.clear()
        with place:
            ui.html(f'<p class="rw-small">{escape(text)}</p>', sanitize=False)


def _show(place: ui.element, table: OnTable, craft: Craft, found: Remedies) -> None:
    _say(place, remedy_summary(found))
    with place:
        for remedy in found.found:
            what = to_do(craft, remedy.move)
            with ui.element("div").classes("rw-remedy"):
                ui.html(
                    f"<p><b>{escape(what)}</b><br><span class='rw-small'>{escape(changed_words(remedy, display()))}."
                    f"{_besides(found, remedy)}</span></p>",
                    sanitize=False,
                )
                do = ui.button("Do it", on_click=partial(_do, table, craft, remedy.move))
                do.props("outline no-caps dense").props["aria-label"] = f"Do it: {what}"


def _besides(found: Remedies, remedy: Remedy) -> str:
    """Other findings that come and go with it, the rule's own words behind each."""
    cured = [one for one in remedy.findings.cured if one != f"{found.code} ({found.part})"]
    said = ""
    for mark, lead, findings in (("note", "Brings", remedy.findings.new), ("", "Ends too", cured)):
        if findings:
            facts = []
            for one in findings:
                rule = rule_named(one.partition(" ")[0])
                facts.append(f'<span title="{escape(rule.fact if rule else "")}">{escape(one)}</span>')
            said += (
                f'<br><span class="{f"rw-mark {mark}" if mark else "rw-better"}">{lead}: {", ".join(facts)}</span>'
            )
    return said


async def _do(table: OnTable, craft: Craft, move: Move) -> None:
    await act(lambda: table.edit(lambda: rewrite_craft(table.file, change_of(craft, move))))
