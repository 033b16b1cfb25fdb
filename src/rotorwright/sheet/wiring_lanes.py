"""Upright lanes beside the boards, in which runs go round what lies between their ends."""

from collections.abc import Sequence
from dataclasses import dataclass

from rotorwright.sheet.wiring_shapes import Point, thickness

__all__ = ["Lane", "lanes", "path"]

_GAP = 9.0


@dataclass(frozen=True, slots=True)
class Lane:
    """One run's way beside the boards: heights of its strands at its two ends, and how many lines each has.

    `outside` says whether the first end is a thing beside the boards rather than a board.
    """

    start: tuple[float, ...]
    end: tuple[float, ...]
    counts: tuple[int, ...]
    outside: bool

    @property
    def span(self) -> tuple[float, float]:
        """Heights between which the lane is taken."""
        both = (*self.start, *self.end)
        return min(both) - _GAP / 2, max(both) + _GAP / 2

    @property
    def width(self) -> float:
        """Room across."""
        return sum(thickness(count) + _GAP for count in self.counts)


def lanes(wanted: Sequence[Lane]) -> tuple[list[float], float]:
    """Distance of each lane from the boards, so that no two meet, and the room that all of them take."""
    taken: list[tuple[float, float, float, float]] = []  # from, to, near, far
    found = []
    for lane in wanted:
        low, high = lane.span
        near = _GAP
        while hit := [far for a, b, n, far in taken if a < high and low < b and n < near + lane.width and near < far]:
            near = max(hit)
        taken.append((low, high, near, near + lane.width))
        found.append(near)
    return found, max((far for *_, far in taken), default=0.0) + (_GAP if taken else 0.0)


def path(lane: Lane, index: int, near: float, edge: float, away: float, beyond: float) -> tuple[Point, ...]:
    """Way of one strand: `edge` is the boards' side, `away` 1 where the lanes lie to the right of it, else -1.

    beyond: x of the first end where it is a thing beside the boards. Strands keep an order in which they do not
    cross each other.
    """
    y, target = lane.start[index], lane.end[index]
    # to the right as the next strand goes down: the lower strand of a way up lies nearer to the boards
    outwards = target > y if lane.outside else False
    order = range(index) if outwards else range(index + 1, len(lane.counts))
    across = sum(thickness(lane.counts[i]) + _GAP for i in order) + (thickness(lane.counts[index]) + _GAP) / 2
    x = edge + away * (near + across)
    start = beyond if lane.outside else edge
    return ((start, y), (x, y), (x, target), (edge, target))
