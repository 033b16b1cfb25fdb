"""Addresses of the workbench: which page answers where."""

import asyncio
import time
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager
from importlib import import_module

from nicegui import app, ui
from starlette.requests import Request
from starlette.responses import HTMLResponse

from rotorwright.web.desk import Desk, OnTable
from rotorwright.web.theme import STATIC, page

__all__ = ["register"]

Show = Callable[[Desk, OnTable], Awaitable[None]]

# Room of a craft: module and function that draw it; loaded when somebody first goes there.
_SHOWN = {
    "": ("table_page", "show_table"),
    "frame": ("frame_page", "show_frame"),
    "power": ("power_page", "show_power"),
    "view": ("view_page", "show_view"),
    "compare": ("compare_page", "show_compare"),
    "sweep": ("sweep_page", "show_sweep"),
    "search": ("search_page", "show_search"),
    "measure": ("measure_page", "show_measure"),
    "sheet": ("sheet_page", "show_sheet"),
}

_NOTHING = '<!doctype html><title>Not here</title><p>Nothing is here. <a href="/">All craft of the workshop</a></p>'

# A craft that nobody has opened since the start may wait for kernels to be compiled [s].
_PATIENCE = 120.0

_TURN = asyncio.Lock()


def register(desk: Desk) -> None:
    """Make every page of the workbench known to the server, and watch the workshop's files."""
    app.add_static_files("/static", STATIC, max_cache_age=0)
    # the framework's own answer keeps a page for every wrong address, and prints the address as it came
    app.add_exception_handler(404, _nothing)
    app.add_exception_handler(AttributeError, _no_file)
    app.on_startup(desk.warm)
    app.on_startup(desk.watch)

    @ui.page("/", response_timeout=_PATIENCE)
    async def workshop() -> None:
        from rotorwright.web.workshop_page import show_workshop

        with _being_drawn():
            await show_workshop(desk)

    @ui.page("/new", response_timeout=_PATIENCE)
    async def new() -> None:
        from rotorwright.web.new_page import show_new

        await show_new(desk)

    @ui.page("/craft/{name}", response_timeout=_PATIENCE)
    async def table(name: str) -> None:
        await _show(desk, name, "")

    @ui.page("/craft/{name}/{room}", response_timeout=_PATIENCE)
    async def room(name: str, room: str) -> None:
        await _show(desk, name, room)


async def _nothing(request: Request, error: Exception) -> HTMLResponse:
    return HTMLResponse(_NOTHING, 404, {"cache-control": "no-store"})


async def _no_file(request: Request, error: Exception) -> HTMLResponse:
    """The framework takes every field of a form for a file."""
    if request.method != "POST" or "/upload/" not in request.url.path:
        raise error
    return HTMLResponse("This is no form with files.", 400)


async def _show(desk: Desk, name: str, room: str) -> None:
    table = desk.table(name)
    if table is None or room not in _SHOWN:
        ui.status_code(404)
        with page("Not here", desk):
            ui.html("<p>The workshop has no such craft or room.</p>", sanitize=False)
        return
    async with _TURN:  # pages asked for together are drawn one at a time, and sockets are answered between them
        await asyncio.sleep(0)
    module, function = _SHOWN[room]
    show: Show = getattr(import_module(f"rotorwright.web.{module}"), function)
    with _being_drawn():
        await show(desk, table)


@contextmanager
def _being_drawn() -> Iterator[None]:
    """The framework forgets a page that no browser has joined within a minute; one that is still being worked out is
    not to be forgotten."""
    client = ui.context.client
    client.created += _PATIENCE
    try:
        yield
    finally:
        client.created = time.time()
