"""Frame of every page: name of the craft, rooms, units, light, undo; and what a page may say to a person."""

import asyncio
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, replace
from html import escape
from pathlib import Path
from urllib.parse import quote
from weakref import WeakKeyDictionary

from nicegui import Client, app, ui

from rotorwright.errors import InputError, RotorwrightError
from rotorwright.sheet.quantities import CHOICES, Display, display_of
from rotorwright.web.card import card
from rotorwright.web.desk import Desk, OnTable

__all__ = ["ROOMS", "STATIC", "act", "display", "page", "say_problems"]

STATIC = Path(__file__).parent / "static"

# Rooms of one craft, in the order in which a craft comes about: address, word, key that goes there.
ROOMS = (
    ("", "Table", "t"),
    ("frame", "Frame", "f"),
    ("power", "Power", "p"),
    ("view", "View", "v"),
    ("compare", "Compare", "c"),
    ("sweep", "Sweep", "e"),
    ("search", "Search", "s"),
    ("measure", "Measure", "m"),
    ("sheet", "Sheet", "b"),
)


# The units of each open window: what a browser has stored is known only while its page is being built.
_UNITS: WeakKeyDictionary[Client, Display] = WeakKeyDictionary()


def display() -> Display:
    """The units this reader has chosen."""
    return _UNITS.get(ui.context.client, Display())


def _remembered() -> Display:
    stored = app.storage.user.get("units", {})
    try:
        return display_of(stored) if isinstance(stored, dict) else Display()
    except InputError:
        return Display()


def say_problems(error: Exception) -> None:
    """What went wrong, in a bar that stays until it is read."""
    problems = [str(problem) for problem in error.problems] if isinstance(error, InputError) else [str(error)]
    for text in problems:
        ui.notify(text, type="warning", timeout=0, close_button="Close", position="top", multi_line=True)


async def act(doing: Callable[[], Awaitable[str]]) -> bool:
    """Do something to a file and say what was done, or why not; whether it was done.

    Cancelled when the window has been closed meanwhile: what would follow is for nobody.
    """
    client = ui.context.client  # asked now: what was pressed may be drawn anew meanwhile, and be gone
    try:
        what = await doing()
    except RotorwrightError as error:
        _still_open(client)
        with client:
            say_problems(error)
        return False
    _still_open(client)
    if what:
        with client:
            ui.notify(what, position="bottom", timeout=2500)
    return True


def _still_open(client: Client) -> None:
    if client.is_deleted:
        raise asyncio.CancelledError


@contextmanager
def page(title: str, desk: Desk, table: OnTable | None = None, room: str = "") -> Iterator[None]:
    """The frame around a page's content; `table` is the craft that the page is about."""
    ui.add_head_html('<link rel="stylesheet" href="/static/rotorwright.css"><script src="/static/keys.js"></script>')
    _UNITS[ui.context.client] = _remembered()
    ui.colors(primary="#00699e")
    ui.page_title(f"{title} \u2013 Rotorwright")
    with ui.element("header").classes("rw-head"):
        with ui.element("div").classes("rw-brand"):
            ui.link(desk.folder.name, "/").classes("rw-workshop").props('aria-label="Workshop: all craft"')
            ui.html(f"<h1>{escape(title)}</h1>", sanitize=False)
        if table is not None:
            _rooms(table, room)
        _tools(table)
    with ui.element("main").classes("rw-main").props('id="content" tabindex="-1"'):
        yield


def _rooms(table: OnTable, room: str) -> None:
    with ui.element("nav").classes("rw-rooms").props('aria-label="Rooms of this craft"'):
        for address, word, key in ROOMS:
            target = f"/craft/{quote(table.file.stem)}" + (f"/{address}" if address else "")
            here = ' aria-current="page"' if address == room else ""
            ui.link(word, target).props(f'data-key="{key}"{here}')


def _tools(table: OnTable | None) -> None:
    with ui.element("div").classes("rw-tools"):
        if table is not None:
            _undo(table)
        with ui.element("details").classes("rw-menu"):
            with ui.element("summary").props('aria-label="Units and looks"'):
                ui.html("Units", sanitize=False)
            with ui.element("div").classes("rw-menu-body"):
                _units()
                _light()
        ui.button("?", on_click=_show_keys).props('flat no-caps dense aria-label="Keys" data-key="?"').classes(
            "rw-quiet"
        )


def _undo(table: OnTable) -> None:
    """One button for as long as the page is open: a press never falls between two of them."""
    button = ui.button("Undo", on_click=lambda: act(lambda: _undone(table)))
    button.props('flat no-caps dense data-key="z"').classes("rw-quiet")
    with button:
        about = ui.tooltip("")

    def follow() -> None:
        latest = table.latest()
        button.set_enabled(latest is not None)
        about.set_text(f"takes back: {latest.what}" if latest else "nothing to take back")

    follow()
    table.changed.subscribe(follow)


async def _undone(table: OnTable) -> str:
    return f"taken back: {await table.undo()}"


def _units() -> None:
    ui.html("<h2>Units</h2>", sanitize=False)
    now = display()
    for name, units in CHOICES.items():
        with ui.element("label").classes("rw-field"):
            ui.html(f"<span>{name}</span>", sanitize=False)
            ui.select(list(units), value=getattr(now, name), on_change=lambda e, n=name: _choose(n, e.value)).props(
                f'dense borderless options-dense aria-label="unit of {name}"'
            )


def _choose(name: str, unit: str) -> None:
    app.storage.user["units"] = asdict(replace(display(), **{name: unit}))
    ui.navigate.reload()


def _light() -> None:
    ui.html("<h2>Light</h2>", sanitize=False)
    dark = ui.dark_mode(value=app.storage.user.get("dark"))

    def choose(word: str) -> None:
        app.storage.user["dark"] = {"as the system": None, "light": False, "dark": True}[word]
        dark.value = app.storage.user["dark"]
        ui.navigate.reload()  # charts take their colours when they are drawn

    words = {None: "as the system", False: "light", True: "dark"}
    ui.radio(
        list(words.values()), value=words[app.storage.user.get("dark")], on_change=lambda e: choose(e.value)
    ).props("dense")


def _show_keys() -> None:
    rows = [(key, f"{word} of this craft") for _, word, key in ROOMS]
    rows += [("z", "take the latest change back"), ("/", "find a part"), ("a", "add a part"), ("d", "move parts")]
    rows += [("w", "workshop"), ("Esc", "close")]
    body = "".join(f"<tr><td><kbd>{key}</kbd></td><td>{what}</td></tr>" for key, what in rows)
    with card("Keys"):
        ui.html(f"<table class='rw-plain'>{body}</table>", sanitize=False)
