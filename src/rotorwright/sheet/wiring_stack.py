"""What stands beside one board, piled up: heights of boxes, rows of wires and words."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from rotorwright.sheet.wiring_arrange import Beside
from rotorwright.sheet.wiring_labels import LINE, TITLE, beside_words, title_lines
from rotorwright.sheet.wiring_plan import Device, Run
from rotorwright.sheet.wiring_shapes import grouped

__all__ = [
    "LEAF",
    "LEAD_ROOM",
    "LEAF_ROOM",
    "ROW",
    "WORDS_ROOM",
    "ZONE",
    "Pile",
    "Stack",
    "drop_height",
    "hanging_height",
    "stacked",
]

LEAF, ZONE, ROW = 116.0, 90.0, 16.0
"""Widths of a box beside the boards and of the room for words before it; height of a row of wire."""

LEAF_ROOM, WORDS_ROOM, LEAD_ROOM = LEAF - 10.0, ZONE - 26.0, LEAF - 56.0
_BETWEEN = 12.0


@dataclass(frozen=True, slots=True)
class Pile:
    """One thing beside a board: its top and the bottom of its box, from the top of the stack."""

    thing: Beside
    top: float
    bottom: float


@dataclass
class Stack:
    """Everything beside one board: piles, rows by run and device, and where the words of each run begin."""

    height: float = 0.0
    piles: list[Pile] = field(default_factory=list)
    rows: dict[tuple[int, str], tuple[float, ...]] = field(default_factory=dict)
    heads: list[tuple[Run, float]] = field(default_factory=list)


def hanging_height(device: Device) -> float:
    """Height of a box at the end of a coaxial lead."""
    return 10.0 + TITLE * len(title_lines(device, LEAF_ROOM))


def drop_height(run: Run) -> float:
    """Length of a coaxial lead that hangs down, with its words beside it."""
    return 8.0 + LINE * max(2, len(beside_words(run, LEAD_ROOM)))


def stacked(things: Sequence[Beside], board: str) -> Stack:
    """Things beside the board of the key `board`, one under the other."""
    stack = Stack()
    for thing in things:
        _pile(stack, thing, board)
    return stack


def _pile(stack: Stack, thing: Beside, board: str) -> None:
    top = y = stack.height
    names = TITLE * len(title_lines(thing.device, LEAF_ROOM)) if thing.device else 0.0
    own = thing.device.key if thing.device else board
    for run, key in [*((run, board) for run in thing.runs), *((run, own) for run in thing.far)]:
        words = LINE * len(beside_words(run, WORDS_ROOM)) if thing.told else 0.0
        if thing.told:
            stack.heads.append((run, y + 3.0))
        y += max(words, names) + 6.0
        names = 0.0
        count = len(grouped(run.conductors))
        stack.rows[id(run), key] = tuple(y + ROW * (row + 0.5) for row in range(count))
        y += ROW * count + 3.0
    y += names + 10.0 if names else 0.0
    stack.piles.append(Pile(thing, top, y))
    stack.height = y + sum(drop_height(run) + hanging_height(device) for run, device in thing.below) + _BETWEEN
