"""Long work beside the page: in a thread, while the kernels let go of the interpreter."""

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import ParamSpec, TypeVar

from nicegui import Client, ui

__all__ = ["beside"]

P = ParamSpec("P")
T = TypeVar("T")

_POOL = ThreadPoolExecutor(2, thread_name_prefix="beside")


async def beside(call: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
    """The result of `call`, worked out in a thread; what it raises is raised here.

    Cancelled when the window has been closed meanwhile: what would follow is for nobody.
    """
    window = _window()
    try:
        return await asyncio.get_running_loop().run_in_executor(_POOL, lambda: call(*args, **kwargs))
    finally:
        if window is not None and window.is_deleted:
            raise asyncio.CancelledError


def _window() -> Client | None:
    try:
        return ui.context.client
    except RuntimeError:  # work that belongs to no window
        return None
