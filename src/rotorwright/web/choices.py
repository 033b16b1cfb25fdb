"""Rows of words of which one holds, and words that hold or not: what a page lets people choose without a form."""

from collections.abc import Awaitable, Callable, Mapping
from functools import partial
from html import escape

from nicegui import ui

__all__ = ["choice", "switch"]


def choice(label: str, words: Mapping[str, str], chosen: Callable[[str], Awaitable[None]]) -> None:
    """A row of words, the first of which holds until another is pressed; `chosen` is told its name."""
    buttons: dict[str, ui.element] = {}

    async def press(name: str) -> None:
        for other, button in buttons.items():
            _pressed(button, other == name)
        await chosen(name)

    with ui.element("div").classes("rw-choice").props('role="group"') as group:
        group.props["aria-label"] = label
        for name, word in words.items():
            buttons[name] = _button(word, partial(press, name))
            _pressed(buttons[name], len(buttons) == 1)


def switch(word: str, turned: Callable[[bool], Awaitable[None]], *, key: str = "", tip: str = "") -> None:
    """A word that does not hold until it is pressed; `turned` is told whether it holds."""
    holds = False

    async def press() -> None:
        nonlocal holds
        holds = not holds
        _pressed(button, holds)
        await turned(holds)

    button = _button(word, press).classes("rw-switch")
    _pressed(button, False)
    if key:
        button.props["data-key"] = key
    if tip:
        button.props["title"] = tip


def _button(word: str, press: Callable[[], Awaitable[None]]) -> ui.element:
    with ui.element("button").props('type="button"') as button:
        ui.html(escape(word), sanitize=False, tag="span")
    button.on("click", press)
    return button


def _pressed(button: ui.element, holds: bool) -> None:
    button.props["aria-pressed"] = "true" if holds else "false"
    button.update()
