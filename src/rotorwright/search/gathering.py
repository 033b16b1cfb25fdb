"""What finished blocks leave, joined as they come, so that memory holds a front and not every block."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rotorwright.search.block import COUNTS, Found, best_of

__all__ = ["Gathering"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]

# Points that wait at least before they are joined to the front: joining sorts all of it.
_WAITING = 20_000


class Gathering:
    """The front of the blocks so far, equals included, and their counts; the order they come in does not matter."""

    def __init__(self, places: int, goals: int, limits: int) -> None:
        self._parts: list[tuple[Index, Array]] = [(np.zeros((0, places), np.int64), np.zeros((0, goals)))]
        self._waiting = 0
        self.counts, self.broken = np.zeros(len(COUNTS), np.int64), np.zeros(limits, np.int64)
        self.blocks, self.flown, self.came = 0, 0, 0

    def add(self, found: Found) -> None:
        """Join what one block leaves."""
        self.counts += found.counts
        self.broken += found.broken
        self.blocks += 1
        self.flown += found.flown
        self.came += len(found.index)
        if not len(found.index):
            return
        self._parts.append((found.index, found.points))
        self._waiting += len(found.index)
        if self._waiting >= max(_WAITING, len(self._parts[0][0])):
            self.front()

    @property
    def parts(self) -> Sequence[tuple[Index, Array]]:
        """The front of most blocks, and what the latest left, each with its points; nothing in them is changed."""
        return tuple(self._parts)

    def front(self) -> tuple[Index, Array]:
        """Those that no other beats: candidates (n, places) and points (n, goals)."""
        if len(self._parts) > 1:
            index, points = (np.concatenate(own) for own in zip(*self._parts, strict=True))
            self._parts, self._waiting = [best_of(index, points)], 0
        return self._parts[0]
