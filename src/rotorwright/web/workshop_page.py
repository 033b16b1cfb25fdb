"""The workshop: all craft, the newest of each line large, with its picture, its grams and what it does."""

from dataclasses import dataclass
from html import escape
from urllib.parse import quote

from nicegui import ui

from rotorwright.checks import Severity
from rotorwright.errors import RotorwrightError
from rotorwright.predict.origins import ORIGINS, number_of
from rotorwright.sheet.quantities import tell
from rotorwright.sheet.space import space_view
from rotorwright.web.answers import Answers
from rotorwright.web.beside import beside
from rotorwright.web.desk import Desk
from rotorwright.web.svg import show_svg
from rotorwright.web.theme import display, page

__all__ = ["Line", "lines_of", "show_workshop"]


@dataclass(frozen=True, slots=True)
class Line:
    """One craft through its versions: file names, newest first."""

    names: tuple[str, ...]


def lines_of(previous: dict[str, str]) -> list[Line]:
    """Lines of versions from the file that each craft names as the one before ('' for none); no file is lost.

    A file that two name as previous stands in the line of the first; a ring of names is cut where it is entered.
    """
    followed = set(previous.values())
    heads = [name for name in previous if name not in followed] + [name for name in previous if name in followed]
    seen: set[str] = set()
    found = []
    for head in heads:
        names, name = [], head
        while name in previous and name not in seen:
            seen.add(name)
            names.append(name)
            name = previous[name]
        if names:
            found.append(Line(tuple(names)))
    return found


async def show_workshop(desk: Desk) -> None:
    """Every craft of the workshop, and the way to a new one."""
    with page("Workshop", desk):
        with ui.element("p").classes("rw-story"):
            names = desk.names()
            ui.html(_counted(len(names)), sanitize=False, tag="span")
            ui.html(' <a href="/new" data-key="n">Begin a new one</a>.', sanitize=False, tag="span")
        for name in desk.strays():
            ui.html(
                f'<p class="rw-mark note">{escape(name)} is a link out of the workshop and is not opened.</p>',
                sanitize=False,
            )
        glances = {name: await desk.glance(name) for name in names}
        previous = {name: _previous(found) for name, found in glances.items()}
        with ui.element("div").classes("rw-lines"):
            for line in lines_of(previous):
                await _show_line(line, glances)


def _counted(count: int) -> str:
    return {0: "No craft lies here yet.", 1: "One craft lies here."}.get(count, f"{count} craft lie here.")


def _previous(found: Answers) -> str:
    name = found.craft.title.previous if found.craft else ""
    return (name or "").removesuffix(".toml")


async def _show_line(line: Line, glances: dict[str, Answers]) -> None:
    newest, *older = line.names
    found = glances[newest]
    title = found.craft.title.full if found.craft else newest
    with ui.element("article").classes("rw-line"):
        with ui.element("a").classes("rw-line-picture") as link:
            link.props["href"] = f"/craft/{quote(newest)}"
            await _picture(found)
        with ui.element("div"):
            ui.html(f'<h2><a href="/craft/{quote(newest)}">{escape(title)}</a></h2>', sanitize=False)
            _what_it_does(found)
            if found.craft and found.craft.title.note:
                ui.html(f'<p class="rw-soft rw-small">{escape(found.craft.title.note)}</p>', sanitize=False)
            if older:
                _older(older, glances)


async def _picture(found: Answers) -> None:
    if found.craft is None:
        ui.html('<p class="rw-soft">no picture: the file cannot be read</p>', sanitize=False)
        return
    try:
        picture = await beside(space_view, found.craft)
    except RotorwrightError as error:
        show_svg("", str(error))
        return
    show_svg(picture or "", "no part states its size")


def _what_it_does(found: Answers) -> None:
    if found.report is None or found.checks is None:
        text = "; ".join(str(problem) for problem in found.problems)
        ui.html(f'<p class="rw-mark stop">{escape(text)}</p>', sanitize=False)
        return

    def say(key: str) -> str:
        return f"<b>{escape(str(tell(number_of(found.report, key), ORIGINS[key].quantity, display())))}</b>"  # type: ignore[arg-type]

    text = (
        f"{say('ledger.all_up_kg')}, hovers at {say('hover.throttle')}, flies {say('endurance.time_s')}, "
        f"lifts {say('full_throttle.thrust_to_weight')} its weight."
    )
    counts = ((Severity.STOP, "stop"), (Severity.WARN, "warning"))
    marks = [
        f'<span class="rw-mark {kind.value}">{number} {word}{"" if number == 1 else "s"}</span>'
        for kind, word in counts
        if (number := found.checks.count(kind))
    ]
    ui.html(f"<p>{text} {' '.join(marks) or 'No stop and no warning stands against it.'}</p>", sanitize=False)


def _older(names: list[str], glances: dict[str, Answers]) -> None:
    items = []
    for name in names:
        found = glances[name]
        title = found.craft.title.full if found.craft else name
        grams = tell(found.report.ledger.all_up_kg, "mass", display()) if found.report else "not readable"
        items.append(f'<a href="/craft/{quote(name)}">{escape(title)}</a> <span class="rw-soft">{grams}</span>')
    ui.html(f'<p class="rw-small">Before it: {", ".join(items)}.</p>', sanitize=False)
