"""What every window is told, one after the other."""

import asyncio
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager

from nicegui import Event, background_tasks

__all__ = ["Telling", "hurried"]

# Between two windows while somebody waits for an edit: about as long as drawing one takes, so that half of the time
# is the edit's [s].
_PAUSE = 0.1


class _Queue:
    """All that is still to be told, by whichever craft."""

    def __init__(self) -> None:
        self.waiting: dict[Event[[]], None] = {}
        self.hurried, self.at_work = 0, False

    def add(self, heard: list[Event[[]]]) -> None:
        self.waiting |= dict.fromkeys(heard)
        if self.waiting and not self.at_work:
            self.at_work = True
            background_tasks.create(self._tell(), name="tell the windows")

    async def _tell(self) -> None:
        try:
            while self.waiting:
                heard = next(iter(self.waiting))
                del self.waiting[heard]
                heard.emit()
                await asyncio.sleep(_PAUSE if self.hurried else 0)
        finally:
            self.at_work = False


_QUEUE = _Queue()


class Telling:
    """An event that many windows hear, one after the other; who is still waiting is told once.

    Between two windows the server listens: fifty drawn in one go would leave every socket unanswered meanwhile.
    """

    def __init__(self) -> None:
        self._heard: list[Event[[]]] = []

    def subscribe(self, callback: Callable[[], Awaitable[None] | None]) -> None:
        """Call `callback` whenever there is something new, until its window is closed."""
        heard: Event[[]] = Event()
        heard.subscribe(callback)
        self._heard.append(heard)

    def emit(self) -> None:
        """Tell everyone, soon."""
        self._heard = [heard for heard in self._heard if heard.callbacks]
        _QUEUE.add(self._heard)


@contextmanager
def hurried() -> Iterator[None]:
    """Somebody waits for what happens meanwhile: windows are told with pauses."""
    _QUEUE.hurried += 1
    try:
        yield
    finally:
        _QUEUE.hurried -= 1
