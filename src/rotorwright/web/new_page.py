"""A new craft from a few questions: size, use, weight, camera; a proposal is written and opened on the table."""

from functools import partial
from html import escape
from typing import Any
from urllib.parse import quote

from nicegui import ui

from rotorwright.errors import RotorwrightError
from rotorwright.search.start import SIZES, USES, Wish
from rotorwright.search.start_file import begin_craft
from rotorwright.web.beside import beside
from rotorwright.web.desk import Desk
from rotorwright.web.theme import page, say_problems
from rotorwright.web.typed import typed_number

__all__ = ["show_new"]

_NO_LIMIT, _LIGHT, _OWN = "no limit", "under 250 g", "under a weight of my own"
_WORDS = {
    "filming": "filming: slow passes, long in the air",
    "gentle-freestyle": "gentle freestyle: flowing lines",
    "hard-freestyle": "hard freestyle: punches, dives and flips",
    "racing": "racing: laps at speed",
    "best-range": "best range: as far as it goes",
    "best-endurance": "best endurance: as long as it stays up",
}


async def show_new(desk: Desk) -> None:
    """Questions, and the button that proposes a craft."""
    ui.add_head_html('<link rel="stylesheet" href="/static/new.css">')
    with page("A new craft", desk):
        ui.html(
            '<p class="rw-story">Say what it is for. A frame is drawn about the propeller, every motor, propeller, '
            "pack and speed controller of that size on the built-in shelf is solved on it, and the best that no rule "
            "stops is proposed. It is where you begin: change every line that you know better.</p>",
            sanitize=False,
        )
        _Questions(desk)


class _Questions:
    """The controls, and what is done with them."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        with ui.element("form").classes("rw-new").on("submit.prevent", self.begin):
            self.name = ui.input("Name of the craft file", value=_free(desk)).props("outlined dense")
            self.inches = _choice("Propellers", {size: f"{size:g} in" for size in SIZES}, 5.0)
            self.use = _choice("What for", {use: _WORDS[use] for use in USES}, "filming", column=True)
            self.weight = _choice("Weight", {word: word for word in (_NO_LIMIT, _LIGHT, _OWN)}, _NO_LIMIT)
            self.grams = ui.input("All-up, below", value="600").props('outlined dense suffix="g"')
            self.grams.bind_visibility_from(self.weight, "value", value=_OWN)
            self.recording = ui.checkbox("It carries a recording camera").props("dense")
            with ui.element("div").classes("rw-new-go"):
                self.button = ui.button("Propose a craft").props("unelevated no-caps color=primary type=submit")
                self.said = ui.element("p").props('role="status" aria-live="polite"')

    def _wish(self) -> Wish:
        under = {_NO_LIMIT: None, _LIGHT: 250.0}.get(self.weight.value)
        if self.weight.value == _OWN:
            under = typed_number(str(self.grams.value), "grams")
        return Wish(float(self.inches.value), str(self.use.value), bool(self.recording.value), under)

    async def begin(self) -> None:
        """Propose, write, and go to the table; what went wrong is said beside the button and stays."""
        if not self.button.enabled:
            return
        self.button.disable()
        self._say("Solving every combination; a few seconds.", "")
        try:
            doing = partial(begin_craft, self.desk.folder, str(self.name.value or ""), self._wish())
            file, _ = await beside(doing)
        except RotorwrightError as error:
            say_problems(error)
            self._say("; ".join(str(p) for p in getattr(error, "problems", ())) or str(error), "rw-mark stop")
            self.button.enable()
            return
        ui.navigate.to(f"/craft/{quote(file.stem)}")

    def _say(self, text: str, mark: str) -> None:
        self.said.clear()
        with self.said:
            ui.html(f'<span class="{mark}">{escape(text)}</span>', sanitize=False, tag="span")


def _choice(legend: str, words: dict[Any, str], value: object, column: bool = False) -> ui.radio:
    with ui.element("fieldset"):
        ui.html(escape(legend), sanitize=False, tag="legend")
        radio = ui.radio(words, value=value)
        radio.props["aria-label"] = legend
        return radio.props(f"dense {'' if column else 'inline'}")


def _free(desk: Desk) -> str:
    """A name that no craft of the workshop has."""
    names = set(desk.names())
    return next(name for n in range(1, len(names) + 2) if (name := f"new-{n}") not in names)
