"""Runs from one board down to the next, side by side: where their strands lie, and where the names of pads stand.

Names stand inside the boards, at the end of each strand; where one line has no room for all of them, every second
name stands a line deeper, with a tick to its strand.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from rotorwright.sheet.wiring_labels import PAD, pad_words
from rotorwright.sheet.wiring_plan import Conductor, Run
from rotorwright.sheet.wiring_shapes import grouped, thickness
from rotorwright.sheet.wiring_text import width_of

__all__ = ["Bundle", "Slot", "bundled"]

# Between strands, round the strands of one run, between names, and between a name and the tick beside it.
_APART, _ROUND, _BETWEEN, _BESIDE = 9.0, 7.0, 7.0, 5.0
_LEAST_RUN, _LONGEST = 22.0, 120.0


@dataclass(frozen=True, slots=True)
class Slot:
    """One strand on its way down: its place from the left, its names above and below, and how deep they stand."""

    run: Run
    index: int
    x: float
    above: str
    below: str
    level: int


@dataclass(frozen=True, slots=True)
class Bundle:
    """All strands between two boards, each run with its left and right edge; `width` is that with the names."""

    slots: tuple[Slot, ...] = ()
    spans: tuple[tuple[Run, float, float], ...] = ()
    width: float = 0.0
    levels: int = 0

    @property
    def reach(self) -> tuple[float, float]:
        """Left and right edge of the strands alone."""
        return min(low for _, low, _ in self.spans), max(high for *_, high in self.spans)


def bundled(runs: Sequence[Run], upper: str, room: float) -> Bundle:
    """Strands of `runs` from the board `upper` down: their names in one line if it is no wider than `room`."""
    if not runs:
        return Bundle()
    one = _placed(runs, upper, 1)
    return one if one.width <= room else _placed(runs, upper, 2)


def _placed(runs: Sequence[Run], upper: str, levels: int) -> Bundle:
    slots: list[Slot] = []
    spans: list[tuple[Run, float, float]] = []
    halves: list[tuple[float, float]] = []  # of each strand with its lines, of its names
    least = 0.0
    for run in runs:
        first = len(slots)
        for index, (conductor, count) in enumerate(grouped(run.conductors)):
            above, below = _names(run, conductor, count, upper)
            wide = max(width_of(word, PAD) for word in (above, below)) / 2
            halves.append((thickness(count) / 2, wide))
            x = max(least + halves[-1][0] + _ROUND, _after(slots, halves, levels))
            slots.append(Slot(run, index, x, above, below, len(slots) % levels))
        low = slots[first].x - halves[first][0] - _ROUND
        high = max(slots[-1].x + halves[-1][0] + _ROUND, low + _LEAST_RUN)
        spans.append((run, low, high))
        least = high
    left = min(slot.x - half for slot, (_, half) in zip(slots, halves, strict=True))
    left = min(left, spans[0][1])
    right = max(max(slot.x + half for slot, (_, half) in zip(slots, halves, strict=True)), least)
    moved = tuple(Slot(s.run, s.index, s.x - left, s.above, s.below, s.level) for s in slots)
    return Bundle(moved, tuple((run, a - left, b - left) for run, a, b in spans), right - left, levels)


def _names(run: Run, conductor: Conductor, count: int, upper: str) -> tuple[str, str]:
    """Names of a strand's pads on the upper and on the lower board."""
    down = run.start == upper
    return pad_words(conductor, count, down, _LONGEST), pad_words(conductor, count, not down, _LONGEST)


def _after(slots: Sequence[Slot], halves: Sequence[tuple[float, float]], levels: int) -> float:
    """The least place of the next strand, whose halves are the last: off the strand and the names before it."""
    least = 0.0
    if slots:
        least = slots[-1].x + halves[-2][0] + _APART + halves[-1][0]
        # of two neighbours one stands at the edge, and its name keeps off the other's tick
        shallow = halves[-1][1] if len(slots) % levels == 0 else halves[-2][1]
        least = max(least, slots[-1].x + shallow + _BESIDE) if levels > 1 else least
    if len(slots) >= levels:
        before = len(slots) - levels
        least = max(least, slots[before].x + halves[before][1] + _BETWEEN + halves[-1][1])
    return least
