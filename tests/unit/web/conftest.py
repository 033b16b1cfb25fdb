"""An event loop of one's own: a browser of other tests may hold the one of this thread."""

import asyncio
from collections.abc import Callable, Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from nicegui import core

Run = Callable[[Coroutine[Any, Any, Any]], Any]


@pytest.fixture
def run_alone() -> Iterator[Run]:
    """Runs a coroutine to its end in a thread, and is the framework's loop meanwhile."""

    async def run(work: Coroutine[Any, Any, Any]) -> Any:
        core.loop = asyncio.get_running_loop()
        return await work

    before = core.loop
    with ThreadPoolExecutor(1) as pool:
        yield lambda work: pool.submit(asyncio.run, run(work)).result()
    core.loop = before
