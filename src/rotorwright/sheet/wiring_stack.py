"""What stands beside one board, piled up: heights of boxes, rows of wires and words."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from rotorwright.sheet.wiring_arrange import Beside
from rotorwright.sheet.wiring_labels import LINE, TITLE, beside_words, title_lines
from rotorwright.sheet.wiring_plan import Device, Run
from rotorwright.sheet.wiring_shapes import grouped

__all__ = [
    "NARROW",
    "ROW",
    "WIDE",
    "Pile",
    "Stack",
    "Widths",
    "drop_height",
    "hanging_height",
    "stacked",
]

ROW = 17.0
"""Height of a row of wire."""


@dataclass(frozen=True, slots=True)
class Widths:
    """Widths of the boards, of a box beside them, and of the room for words between the two."""

    board: float
    leaf: float
    zone: float

    @property
    def leaf_room(self) -> float:
        """For words in a box beside the boards."""
        return self.leaf - 10.0

    @property
    def words_room(self) -> float:
        """For words beside a run's number."""
        return self.zone - 26.0

    @property
    def lead_room(self) -> float:
        """For words beside a coaxial lead that hangs down."""
        return self.leaf - 56.0


WIDE, NARROW = Widths(190.0, 156.0, 140.0), Widths(140.0, 124.0, 94.0)
"""On a wide page, and on a phone."""

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


def hanging_height(device: Device, widths: Widths) -> float:
    """Height of a box at the end of a coaxial lead."""
    return 10.0 + TITLE * len(title_lines(device, widths.leaf_room))


def drop_height(run: Run, widths: Widths) -> float:
    """Length of a coaxial lead that hangs down, with its words beside it."""
    return 8.0 + LINE * max(2, len(beside_words(run, widths.lead_room)))


def stacked(things: Sequence[Beside], board: str, widths: Widths) -> Stack:
    """Things beside the board of the key `board`, one under the other."""
    stack = Stack()
    for thing in things:
        _pile(stack, thing, board, widths)
    return stack


def _pile(stack: Stack, thing: Beside, board: str, widths: Widths) -> None:
    top = y = stack.height
    names = TITLE * len(title_lines(thing.device, widths.leaf_room)) if thing.device else 0.0
    own = thing.device.key if thing.device else board
    for run, key in [*((run, board) for run in thing.runs), *((run, own) for run in thing.far)]:
        words = LINE * len(beside_words(run, widths.words_room)) if thing.told else 0.0
        if thing.told:
            stack.heads.append((run, y + 3.0))
        y += max(words, names) + 6.0
        names = 0.0
        count = len(grouped(run.conductors))
        stack.rows[id(run), key] = tuple(y + ROW * (row + 0.5) for row in range(count))
        y += ROW * count + 3.0
    y += names + 10.0 if names else 0.0
    stack.piles.append(Pile(thing, top, y))
    hanging = sum(drop_height(run, widths) + hanging_height(device, widths) for run, device in thing.below)
    stack.height = y + hanging + _BETWEEN
