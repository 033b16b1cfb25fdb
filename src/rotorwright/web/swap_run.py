"""Comparing every other part in a thread: differences first, then bars; a newer wish cancels what is under way."""

import asyncio
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import partial

from nicegui import background_tasks

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import RotorwrightError
from rotorwright.parts.finder import matches
from rotorwright.parts.part import Part
from rotorwright.search.equal import BASES, equal_basis
from rotorwright.search.measures import measure_named
from rotorwright.search.swap import Swap, swap
from rotorwright.search.swapped import candidates, own_shelf, swapped
from rotorwright.web.swap_list import FEW, SwapWish

__all__ = ["Comparing", "Told", "bars_of", "differences"]

# Samples behind the bars of a list: enough to tell better from worse, and there within a second or two.
_SAMPLES, _FLOWN = 128, 64
# The differences of a part that is picked now do not wait for the bars of the one before.
_FIRST = ThreadPoolExecutor(1, thread_name_prefix="other parts")
_BARS = ThreadPoolExecutor(1, thread_name_prefix="bars of other parts")


@dataclass(frozen=True, slots=True)
class Told:
    """What a comparison has come to: a list, with or without bars, or the reason why there is none."""

    result: Swap | None
    bars: bool
    reason: str = ""


class Comparing:
    """One window's comparison; `tell` is called with what it comes to, never for a wish that has been replaced."""

    def __init__(self, tell: Callable[[Told], None]) -> None:
        self._tell = tell
        self._asked = 0

    def cancel(self) -> None:
        """Forget what is under way."""
        self._asked += 1

    def ask(self, craft: Craft, placed: PlacedPart, wish: SwapWish) -> None:
        """Compare every other part of its kind in the place of `placed`."""
        self._asked += 1
        background_tasks.create(self._run(self._asked, craft, placed, wish), name=f"other parts for {placed.id}")

    async def _run(self, asked: int, craft: Craft, placed: PlacedPart, wish: SwapWish) -> None:
        first: Swap | None = None
        for pool in (_FIRST, _BARS):
            look = partial(self._look, asked, craft, placed, wish, first)
            told = await asyncio.get_running_loop().run_in_executor(pool, look)
            if told is None or asked != self._asked:
                return
            self._tell(told)
            first = told.result
            if first is None or not first.rows:
                return

    def _look(self, asked: int, craft: Craft, placed: PlacedPart, wish: SwapWish, first: Swap | None) -> Told | None:
        if asked != self._asked:  # cancelled while it waited for its turn
            return None
        try:
            if first is None:
                return Told(differences(craft, placed, wish), bars=False)
            return Told(bars_of(craft, placed, wish, first), bars=True)
        except RotorwrightError as error:
            return Told(None, False, str(error))


def differences(craft: Craft, placed: PlacedPart, wish: SwapWish) -> Swap:
    """Every other part that fits the wish, without bars: a fraction of a second for a whole shelf."""
    parts = candidates(own_shelf(craft), type(placed.part), placed.part.name)
    return _swap(craft, placed, wish, [part for part in parts if matches(part, wish.words)], only_fitting=wish.fits)


def bars_of(craft: Craft, placed: PlacedPart, wish: SwapWish, first: Swap) -> Swap:
    """The same list with bars and findings on what is shown of it."""
    shown = first.rows if wish.all else first.rows[:FEW]
    names = {row.part for row in shown}
    parts = [part for part in candidates(own_shelf(craft), type(placed.part)) if part.name in names]
    full = _swap(craft, placed, wish, parts, samples=_SAMPLES, flown_samples=_FLOWN, findings=True, shown=len(parts))
    return replace(full, rows=(*full.rows, *first.rows[len(shown) :]), left_out=first.left_out)


def _swap(
    craft: Craft,
    placed: PlacedPart,
    wish: SwapWish,
    parts: Sequence[Part],
    *,
    samples: int = 0,
    flown_samples: int = 0,
    findings: bool = False,
    shown: int = FEW,
    only_fitting: bool = False,
) -> Swap:
    return swap(
        craft,
        placed,
        parts,
        measure_named(wish.goal),
        samples=samples,
        flown_samples=flown_samples,
        shown=shown,
        findings=findings,
        only_fitting=only_fitting,
        put=equal_basis(wish.equal, placed) if wish.equal else swapped,
        notes=[f"at equal {wish.equal}: {BASES[wish.equal]}; put on is the part as it is"] if wish.equal else (),
    )
