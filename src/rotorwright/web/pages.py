"""Addresses of the workbench: which page answers where."""

from collections.abc import Awaitable, Callable
from importlib import import_module

from nicegui import app, ui

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
    "search": ("search_page", "show_search"),
    "measure": ("measure_page", "show_measure"),
    "sheet": ("sheet_page", "show_sheet"),
}

# A craft that nobody has opened since the start may wait for kernels to be compiled [s].
_PATIENCE = 120.0


def register(desk: Desk) -> None:
    """Make every page of the workbench known to the server, and watch the workshop's files."""
    app.add_static_files("/static", STATIC, max_cache_age=0)
    app.on_startup(desk.warm)
    app.on_startup(desk.watch)

    @ui.page("/", response_timeout=_PATIENCE)
    async def workshop() -> None:
        from rotorwright.web.workshop_page import show_workshop

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


async def _show(desk: Desk, name: str, room: str) -> None:
    table = desk.table(name)
    if table is None or room not in _SHOWN:
        ui.status_code(404)
        with page("Not here", desk):
            ui.html("<p>The workshop has no such craft or room.</p>", sanitize=False)
        return
    module, function = _SHOWN[room]
    show: Show = getattr(import_module(f"rotorwright.web.{module}"), function)
    await show(desk, table)
