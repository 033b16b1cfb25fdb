"""Shapes of the wiring picture, in its own unit (about a pixel), y downwards."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from rotorwright.sheet.wiring_plan import Basis, Conductor, Device, Role
from rotorwright.sheet.wiring_text import width_of

__all__ = ["Box", "Drawing", "Label", "Mark", "Point", "Rect", "Strand", "grouped", "offset", "thickness"]

Point = tuple[float, float]

_LINE_GAP, _MOST_LINES = 3.5, 4


@dataclass(frozen=True, slots=True)
class Rect:
    """An upright rectangle."""

    x: float
    y: float
    width: float
    height: float

    def meets(self, other: "Rect", room: float = 0.0) -> bool:
        """Whether the two overlap, or come closer than `room`."""
        return (
            self.x < other.x + other.width + room
            and other.x < self.x + self.width + room
            and self.y < other.y + other.height + room
            and other.y < self.y + self.height + room
        )


@dataclass(frozen=True, slots=True)
class Box:
    """A device as a box; those in the middle column are boards."""

    device: Device
    rect: Rect
    board: bool


@dataclass(frozen=True, slots=True)
class Label:
    """A line of words; `x` is where they start, their middle or their end, `y` their base line."""

    x: float
    y: float
    words: str
    size: float = 11.0
    anchor: str = "start"
    style: str = ""

    @property
    def rect(self) -> Rect:
        """The room it takes at the most."""
        width = width_of(self.words, self.size, self.style == "name")
        left = self.x - width * {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor]
        return Rect(left, self.y - 0.8 * self.size, width, 1.05 * self.size)


@dataclass(frozen=True, slots=True)
class Mark:
    """A run's number in a ring; `over` is the width of the wires that it lies across, 0 beside them."""

    x: float
    y: float
    number: int
    over: float = 0.0

    @property
    def rect(self) -> Rect:
        """The room it takes."""
        half = max(8.0, self.over / 2)
        return Rect(self.x - half, self.y - 8.0, 2 * half, 16.0)


@dataclass(frozen=True, slots=True)
class Strand:
    """Like conductors side by side, drawn along a path of level and upright stretches."""

    role: Role
    basis: Basis
    number: int
    points: tuple[Point, ...]
    count: int = 1

    @property
    def offsets(self) -> tuple[float, ...]:
        """Where its lines run, from its middle."""
        lines = min(self.count, _MOST_LINES)
        return tuple((i - (lines - 1) / 2) * _LINE_GAP for i in range(lines))


@dataclass(frozen=True, slots=True)
class Drawing:
    """Everything in the picture, in place."""

    width: float
    height: float
    boxes: tuple[Box, ...]
    strands: tuple[Strand, ...]
    labels: tuple[Label, ...]
    marks: tuple[Mark, ...]
    ticks: tuple[tuple[Point, Point], ...] = ()


def grouped(conductors: Sequence[Conductor]) -> list[tuple[Conductor, int]]:
    """Alike conductors together, each kind once with how many there are."""
    kinds = list(dict.fromkeys(conductors))
    return [(kind, sum(one == kind for one in conductors)) for kind in kinds]


def thickness(count: int) -> float:
    """Width of the lines of a strand."""
    return (min(count, _MOST_LINES) - 1) * _LINE_GAP


def offset(points: Sequence[Point], aside: float) -> list[Point]:
    """A path of level and upright stretches, moved to its right by `aside` as it is walked."""
    if aside == 0.0 or len(points) < 2:
        return list(points)
    moves = [(_sign(b[0] - a[0]), _sign(b[1] - a[1])) for a, b in pairwise(points)]
    before, after = [moves[0], *moves], [*moves, moves[-1]]
    return [
        (x - aside * _either(p[1], q[1]), y + aside * _either(p[0], q[0]))
        for (x, y), p, q in _zip(points, before, after)
    ]


def _zip(points: Sequence[Point], before: list[Point], after: list[Point]) -> list[tuple[Point, Point, Point]]:
    return list(zip(points, before, after, strict=True))


def _sign(value: float) -> float:
    return float(value > 0) - float(value < 0)


def _either(one: float, other: float) -> float:
    """The direction of the stretch that runs this way, of the two that meet."""
    return one or other
