"""What many windows hear: each in its turn, and the server listens between."""

import asyncio
import time
from collections.abc import Callable, Coroutine
from functools import partial
from typing import Any

from rotorwright.web.telling import Telling

Run = Callable[[Coroutine[Any, Any, Any]], Any]


def test_the_server_listens_between_two_windows(run_alone: Run) -> None:
    order: list[str] = []
    telling = Telling()
    for name in "abc":
        telling.subscribe(partial(order.append, name))

    async def other() -> None:
        for _ in range(3):
            order.append(".")
            await asyncio.sleep(0)

    async def run() -> None:
        telling.emit()
        await other()
        await asyncio.sleep(0.05)

    run_alone(run())
    assert [one for one in order if one != "."] == ["a", "b", "c"]
    assert "abc" not in "".join(order)


def test_who_still_waits_is_told_once(run_alone: Run) -> None:
    told: list[str] = []
    telling = Telling()

    def first() -> None:
        told.append("first")
        if len(told) == 1:
            telling.emit()

    telling.subscribe(first)
    telling.subscribe(lambda: told.append("second"))

    async def run() -> None:
        telling.emit()
        telling.emit()
        await asyncio.sleep(0.05)

    run_alone(run())
    assert told == ["first", "second", "first"]  # the second heard of both at once


def test_a_window_that_fails_keeps_no_other_from_being_told(run_alone: Run) -> None:
    told: list[str] = []
    telling = Telling()
    telling.subscribe(partial(divmod, 1, 0))
    telling.subscribe(lambda: told.append("told"))

    async def run() -> None:
        for _ in range(2):
            telling.emit()
            await asyncio.sleep(0.05)

    run_alone(run())
    assert told == ["told", "told"]


def test_a_closed_window_is_forgotten(run_alone: Run) -> None:
    telling = Telling()
    told: list[float] = []
    telling.subscribe(lambda: told.append(time.time()))

    async def run() -> None:
        telling._heard[0].callbacks.clear()  # what the framework does when the window's client is deleted
        telling.emit()
        await asyncio.sleep(0.05)

    run_alone(run())
    assert told == []
    assert telling._heard == []
