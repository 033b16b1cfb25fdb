"""How far a search is: what is told while it runs, what it takes beforehand, and how it is stopped."""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.errors import RotorwrightError
from rotorwright.search.block import Task, best_of, solved, waiting_to_fly
from rotorwright.search.dominance import first_of_equals
from rotorwright.search.gathering import Gathering

__all__ = ["Clock", "Progress", "Prospect", "Stopped", "Watch", "prospect"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]

_SAMPLED, _TIMED = 8192, 24


class Stopped(RotorwrightError):
    """The search was asked to stop; what is finished waits for the next one with the same space."""


@dataclass(frozen=True)
class Prospect:
    """What integration in time may take, estimated from a sample of cores: flights, and seconds of one."""

    flights: int
    seconds_each: float


@dataclass(frozen=True)
class Progress:
    """Where a search is: blocks done of all, seconds left (None before anything is known), what was flown so far.

    flights: how many are to be flown, by estimate; None where nothing is flown
    found: what the blocks have left, in parts: candidates (n, places) and points (n, goals) of each
    """

    done: int
    blocks: int
    seconds_left: float | None
    flown: int
    flights: int | None
    found: Sequence[tuple[Index, Array]]

    @property
    def share(self) -> float:
        """Share of the blocks that are done."""
        return self.done / self.blocks if self.blocks else 1.0

    def front(self) -> tuple[Index, Array]:
        """The front of what has been looked at: candidates (n, places), and goals turned so that less is better."""
        index, points = best_of(*(np.concatenate(own) for own in zip(*self.found, strict=True)))
        kept = first_of_equals(points, np.arange(len(points)))
        return index[kept], points[kept]


Watch = Callable[[Progress], None]


class Clock:
    """Tells a watcher where the search is."""

    def __init__(self, watch: Watch | None, blocks: int, gathered: Gathering, ahead: Prospect | None) -> None:
        self.watch, self.blocks, self.gathered, self.ahead = watch, blocks, gathered, ahead
        self.start, self.before = time.monotonic(), gathered.blocks

    def tell(self, workers: int) -> None:
        """Call the watcher; what it raises ends the search."""
        if self.watch is None:
            return
        done = self.gathered.blocks
        left: float | None = None
        if done > self.before:
            left = (time.monotonic() - self.start) * (self.blocks - done) / (done - self.before)
        elif self.ahead:
            left = self.ahead.flights * self.ahead.seconds_each / workers
        flights = self.ahead.flights if self.ahead else None
        self.watch(Progress(done, self.blocks, left, self.gathered.flown, flights, self.gathered.parts))


def prospect(task: Task) -> Prospect | None:
    """How many combinations may have to be flown, from a sample of cores; None where nothing is flown.

    What blocks find on the way rules out more; no block has found anything yet.
    """
    if not task.in_time:
        return None
    many = task.cores > _SAMPLED
    cores = np.unique(np.random.default_rng(0).integers(0, task.cores, _SAMPLED)) if many else np.arange(task.cores)
    waiting = waiting_to_fly(task, cores)
    flights = round(len(waiting) * task.cores / len(cores))
    if not len(waiting):
        return Prospect(flights, 0.0)
    sample = waiting[:: max(1, len(waiting) // _TIMED)]
    solved(task, sample[:1])  # compiled and warm
    start = time.perf_counter()
    solved(task, sample)
    return Prospect(flights, (time.perf_counter() - start) / len(sample))
