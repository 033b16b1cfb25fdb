"""Pictures of one craft, drawn once for all windows that look at it."""

import asyncio
from concurrent.futures import ThreadPoolExecutor
from threading import Lock
from weakref import WeakKeyDictionary

from rotorwright.search.gram import GramPlace, gram_prices
from rotorwright.sheet.quantities import Display
from rotorwright.web.answers import Answers
from rotorwright.web.beside import beside
from rotorwright.web.desk import OnTable
from rotorwright.web.picture_layers import Layers, Wish, layers
from rotorwright.web.picture_view import View

__all__ = ["Drawings", "drawings"]

# A thread of its own: long work beside the page must not keep the picture waiting.
_DRAWING = ThreadPoolExecutor(1, thread_name_prefix="picture")


class Drawings:
    """What windows have asked to see of the latest answers: sides, prices of a gram, and layers by wish and units."""

    def __init__(self) -> None:
        self._of: Answers | None = None
        self._views: dict[str, View] = {}
        self._drawn: dict[tuple[Wish, Display], Layers] = {}
        self._prices: tuple[GramPlace, ...] | None = None
        self._lock = Lock()

    def draw(self, now: Answers, wish: Wish, units: Display) -> Layers:
        """The layers of `wish`, which are kept until there are other answers."""
        assert now.craft is not None
        with self._lock:
            self._turn_to(now)
            if (wish, units) not in self._drawn:
                view = self._views.setdefault(wish.side, View(now.craft, wish.side))
                self._drawn[wish, units] = layers(view, now.report, wish, self._prices, units)
            return self._drawn[wish, units]

    async def draw_beside(self, now: Answers, wish: Wish, units: Display) -> Layers:
        """The same, beside the page."""
        return await asyncio.get_running_loop().run_in_executor(_DRAWING, self.draw, now, wish, units)

    async def price(self, now: Answers) -> None:
        """Work out what a gram costs, if nobody has; RotorwrightError when it has no price."""
        assert now.craft is not None
        with self._lock:
            self._turn_to(now)
            if self._prices is not None:
                return
        found = await beside(gram_prices, now.craft, samples=0)
        with self._lock:
            if self._of is not None and self._of.revision == now.revision:
                self._prices, self._drawn = found, {}

    def _turn_to(self, now: Answers) -> None:
        """Forget what belongs to other answers; those of one reading differ by findings and bars only."""
        if self._of is now:
            return
        if self._of is None or self._of.revision != now.revision:
            self._views, self._prices = {}, None
        self._of, self._drawn = now, {}


_KEPT: WeakKeyDictionary[OnTable, Drawings] = WeakKeyDictionary()


def drawings(table: OnTable) -> Drawings:
    """The drawings that all windows of `table` share."""
    return _KEPT.setdefault(table, Drawings())
