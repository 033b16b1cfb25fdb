"""The wiring picture laid out: boxes, wires and words in their places, none over another."""

from collections.abc import Sequence

from rotorwright.sheet.wiring_arrange import Arrangement, Board, arranged
from rotorwright.sheet.wiring_bundle import Slot, bundled
from rotorwright.sheet.wiring_labels import (
    LINE,
    PAD,
    TITLE,
    TITLE_SIZE,
    beside_words,
    down_words,
    pad_words,
    title_lines,
)
from rotorwright.sheet.wiring_lanes import Lane, lanes, path
from rotorwright.sheet.wiring_plan import Device, Run, WiringPlan
from rotorwright.sheet.wiring_shapes import Box, Drawing, Label, Mark, Point, Rect, Strand, grouped
from rotorwright.sheet.wiring_stack import NARROW, WIDE, Pile, Stack, drop_height, hanging_height, stacked
from rotorwright.sheet.wiring_text import shortened, wrapped

__all__ = ["laid_out"]

_MARGIN, _LEAST_DROP, _EDGE_ROOM, _LEVEL = 8.0, 30.0, 4.0, 13.0


def laid_out(plan: WiringPlan, sides: tuple[int, ...] = (1, -1)) -> Drawing:
    """The picture of a plan: boards down the middle, the rest on both sides or, for a narrow page, on one.

    sides: 1 is left of the boards, -1 right. No wire runs through a box; no words lie over others or over a wire.
    """
    return _Layout(plan, arranged(plan, sides), sides).drawing()


class _Layout:
    """One pass; heights are from the top of the picture, rows from the top of the stack until a board is placed."""

    def __init__(self, plan: WiringPlan, arrangement: Arrangement, sides: tuple[int, ...]) -> None:
        self.plan, self.boards, self.detours, self.sides = plan, arrangement.boards, arrangement.detours, sides
        self.boxes: list[Box] = []
        self.strands: list[Strand] = []
        self.labels: list[Label] = []
        self.marks: list[Mark] = []
        self.ticks: list[tuple[Point, Point]] = []
        self.widths = WIDE if len(sides) > 1 else NARROW
        self.rows: dict[tuple[int, str], tuple[float, ...]] = {}
        self.bundles = [bundled(b.down, b.device.key, self.widths.board - 12.0) for b in self.boards]
        self.board_width = max([self.widths.board, *(bundle.width + 12.0 for bundle in self.bundles)])
        self.stacks = [
            {side: stacked(board.beside[side], board.device.key, self.widths) for side in sides}
            for board in self.boards
        ]

    def drawing(self) -> Drawing:
        tops, talls, height = self._heights()
        self._columns()
        for index, board in enumerate(self.boards):
            self._board(index, tops[index], talls[index])
            for side, stack in self.stacks[index].items():
                self._beside(board, stack, side, tops[index] + self._head(index))
        self._lanes()
        for index, board in enumerate(self.boards[:-1]):
            if board.down:
                self._down(index, tops[index] + talls[index], tops[index + 1])
        shapes = tuple(self.boxes), tuple(self.strands), tuple(self.labels), tuple(self.marks), tuple(self.ticks)
        return Drawing(self.width, height, *shapes)

    # --- where the boards are

    def _heights(self) -> tuple[list[float], list[float], float]:
        """Tops and heights of the boards, and the height of the picture; rows become absolute."""
        y, tops, talls = _MARGIN, [], []
        for index in range(len(self.boards)):
            head, foot = self._head(index), self._band(index) or 6.0
            stacks = self.stacks[index].values()
            for stack in stacks:
                self.rows |= {key: tuple(y + head + row for row in rows) for key, rows in stack.rows.items()}
            tops.append(y)
            talls.append(head + max(stack.height for stack in stacks) + foot)
            y += talls[-1] + self._drop(index)
        return tops, talls, y - self._drop(len(self.boards) - 1) + _MARGIN if self.boards else 2 * _MARGIN

    def _head(self, index: int) -> float:
        """Height of a board's upper part: signs of the wires from above, its name, what the shelf calls it."""
        device, room = self.boards[index].device, self.board_width - 12.0
        lines = TITLE * len(title_lines(device, room)) + LINE * len(self._about(device))
        return ((self._band(index - 1) if index else 0.0) or 5.0) + lines + 6.0

    def _about(self, device: Device) -> tuple[str, ...]:
        """What the shelf calls a board."""
        return wrapped(device.about, PAD - 1.0, self.board_width - 12.0, 3)

    def _band(self, index: int) -> float:
        """Height of the names of the wires between a board and the next, in either."""
        levels = self.bundles[index].levels
        return 2 * _EDGE_ROOM + _LEVEL * levels if levels else 0.0

    def _drop(self, index: int) -> float:
        """Height between a board and the next: the words of the runs between them."""
        lines = [len(down_words(run, self._room_down(index))) for run in self.boards[index].down]
        return max(_LEAST_DROP, 8.0 + sum(LINE * count + 8.0 for count in lines))

    def _room_down(self, index: int) -> float:
        """Width of the words to the right of the runs to the next board, and of the lanes if there are any."""
        aside = self.widths.zone + self.widths.leaf
        if self._laned() or not self.boards[index].down:
            return aside - 34.0
        bundle = self.bundles[index]
        return self.board_width / 2 + bundle.width / 2 - bundle.reach[1] + aside - 40.0

    def _laned(self) -> bool:
        """Whether runs go round boards on the right."""
        return any(thing.far for board in self.boards for thing in board.beside[-1]) or any(
            side == -1 for _, side in self.detours
        )

    def _columns(self) -> None:
        """Where the columns are; lanes are wanted before it is known how wide they are."""
        self.lanes = {side: self._wanted(side) for side in self.sides}
        placed = {side: lanes([lane for _, lane in wanted]) for side, wanted in self.lanes.items()}
        self.near = {side: near for side, (near, _) in placed.items()}
        taken = {side: room + self.widths.zone + self.widths.leaf for side, (_, room) in placed.items()}
        self.left = _MARGIN + taken.get(1, 0.0)
        self.right = self.left + self.board_width
        self.leaf_edge = {1: _MARGIN + self.widths.leaf, -1: self.right + taken.get(-1, 0.0) - self.widths.leaf}
        self.width = self.right + taken.get(-1, 0.0) + _MARGIN

    def _wanted(self, side: int) -> list[tuple[Run, Lane]]:
        """Ways that runs to elsewhere take on one side."""
        wanted = []
        for board in self.boards:
            for thing in board.beside[side]:
                for run in thing.far:
                    assert thing.device is not None
                    there = run.end if run.start == thing.device.key else run.start
                    wanted.append((run, self._lane(run, thing.device.key, there, outside=True)))
        for run, its_side in self.detours:
            if its_side == side:
                wanted.append((run, self._lane(run, run.start, run.end, outside=False)))
        return wanted

    def _turns_back(self, run: Run, key: str) -> bool:
        """Whether a run comes back to the boards here, with its strands in the other order so that none cross."""
        return run.end == key and any(run is detour for detour, _ in self.detours)

    def _lane(self, run: Run, start: str, end: str, outside: bool) -> Lane:
        target = self.rows[id(run), end]
        counts = tuple(count for _, count in grouped(run.conductors))
        return Lane(self.rows[id(run), start], target if outside else target[::-1], counts, outside)

    # --- boards and what is beside them

    def _board(self, index: int, top: float, tall: float) -> None:
        device = self.boards[index].device
        rect = Rect(self.left, top, self.board_width, tall)
        self.boxes.append(Box(device, rect, True))
        middle = (self.left + self.right) / 2
        y = top + ((self._band(index - 1) if index else 0.0) or 5.0)
        for line in title_lines(device, self.board_width - 12.0):
            y += TITLE
            self.labels.append(Label(middle, y - 3.0, line, TITLE_SIZE, "middle", "name"))
        for line in self._about(device):
            y += LINE
            self.labels.append(Label(middle, y - 3.0, line, PAD - 1.0, "middle", "quiet"))

    def _beside(self, board: Board, stack: Stack, side: int, top: float) -> None:
        for pile in stack.piles:
            if pile.thing.device is not None:
                self._leaf(pile, side, top)
                for run in pile.thing.runs:
                    self._across(run, board.device.key, pile.thing.device.key, side)
                for run in pile.thing.far:
                    self._pads(run, pile.thing.device.key, self.leaf_edge[side], side, self.widths.leaf_room)
            else:
                for run in pile.thing.runs:
                    rows = self.rows[id(run), board.device.key]
                    if self._turns_back(run, board.device.key):
                        rows = rows[::-1]
                    self._pads(run, board.device.key, self._edge(side), -side, self._pad_room(), rows)
        for run, y in stack.heads:
            self._words(run, side, top + y)

    def _edge(self, side: int) -> float:
        return self.left if side == 1 else self.right

    def _pad_room(self) -> float:
        return self.board_width / len(self.sides) - 8.0

    def _leaf(self, pile: Pile, side: int, top: float) -> None:
        """The box of a thing beside a board, and those that hang on it by coaxial leads."""
        leaf = self.widths.leaf
        x = self.leaf_edge[side] - (leaf if side == 1 else 0.0)
        device, y = pile.thing.device, top + pile.bottom
        assert device is not None
        self._boxed(device, Rect(x, top + pile.top, leaf, pile.bottom - pile.top))
        if not pile.thing.runs and not pile.thing.far and not pile.thing.below:
            left = self.leaf_edge[side] if side == 1 else self.leaf_edge[side] - self.widths.zone
            self.labels.append(Label(left + 20.0, top + pile.top + TITLE, "not wired", PAD, style="quiet"))
        for run, hanging in pile.thing.below:
            tall, drop = hanging_height(hanging, self.widths), drop_height(run, self.widths)
            self._boxed(hanging, Rect(x, y + drop, leaf, tall))
            middle = x + 22.0
            self._strand(run, 0, ((middle, y), (middle, y + drop)))
            self._numbered(run, x + 40.0, y + 5.0, self.widths.lead_room)
            y += drop + tall

    def _boxed(self, device: Device, rect: Rect) -> None:
        self.boxes.append(Box(device, rect, False))
        for index, line in enumerate(title_lines(device, self.widths.leaf_room)):
            y = rect.y + TITLE * (index + 1)
            self.labels.append(Label(rect.x + rect.width / 2, y, line, TITLE_SIZE, "middle", "name"))

    def _across(self, run: Run, board: str, leaf: str, side: int) -> None:
        """Straight wires between a board and a thing beside it."""
        for index, y in enumerate(self.rows[id(run), board]):
            self._strand(run, index, ((self._edge(side), y), (self.leaf_edge[side], y)))
        self._pads(run, board, self._edge(side), -side, self._pad_room())
        self._pads(run, leaf, self.leaf_edge[side], side, self.widths.leaf_room, rows=self.rows[id(run), board])

    def _pads(
        self, run: Run, key: str, edge: float, way: int, room: float, rows: Sequence[float] | None = None
    ) -> None:
        """Names of the pads inside a box: to the left of its edge for `way` 1, else to the right."""
        groups = grouped(run.conductors)
        for y, (conductor, count) in zip(rows or self.rows[id(run), key], groups, strict=True):
            words = pad_words(conductor, count, run.start == key, room)
            self.labels.append(Label(edge - 5.0 * way, y + 4.0, words, PAD, "end" if way == 1 else "start", "pad"))

    # --- runs

    def _strand(self, run: Run, index: int, points: tuple[tuple[float, float], ...]) -> None:
        conductor, count = grouped(run.conductors)[index]
        self.strands.append(Strand(conductor.role, run.basis, self.plan.number(run), points, count))

    def _words(self, run: Run, side: int, y: float) -> None:
        left = self.leaf_edge[1] if side == 1 else self.leaf_edge[-1] - self.widths.zone
        self._numbered(run, left + 5.0, y, self.widths.words_room)

    def _numbered(self, run: Run, x: float, y: float, room: float) -> None:
        """Number of a run, and beside it what is known of its wire."""
        self.marks.append(Mark(x + 8.0, y + 8.0, self.plan.number(run)))
        for index, line in enumerate(beside_words(run, room)):
            self.labels.append(Label(x + 20.0, y + 11.0 + LINE * index, shortened(line, PAD, room), PAD))

    def _lanes(self) -> None:
        for side in self.sides:
            for (run, lane), near in zip(self.lanes[side], self.near[side], strict=True):
                for index in range(len(lane.counts)):
                    way = path(lane, index, near, self._edge(side), -float(side), self.leaf_edge[side])
                    self._strand(run, index, way)

    def _down(self, index: int, top: float, bottom: float) -> None:
        """Runs to the board below, side by side, each with a number across it and its words to the right."""
        bundle = self.bundles[index]
        left = (self.left + self.right - bundle.width) / 2
        right, y = left + bundle.reach[1] + 10.0, top + 4.0
        if self._laned():
            right = self.leaf_edge[-1] - self.widths.zone + 5.0
        for run, low, high in bundle.spans:
            lines = down_words(run, self._room_down(index))
            self.marks.append(Mark(left + (low + high) / 2, y + 11.0, self.plan.number(run), high - low - 6.0))
            self.marks.append(Mark(right + 8.0, y + 11.0, self.plan.number(run)))
            for k, line in enumerate(lines):
                self.labels.append(Label(right + 20.0, y + 15.0 + LINE * k, line, PAD))
            y += LINE * len(lines) + 8.0
        for slot in bundle.slots:
            self._strand(slot.run, slot.index, ((left + slot.x, top), (left + slot.x, bottom)))
            self._pad_names(slot, left + slot.x, top, bottom)

    def _pad_names(self, slot: Slot, x: float, top: float, bottom: float) -> None:
        """Names at both ends of a strand that goes down; those a line deeper have a tick to it."""
        deep = _LEVEL * slot.level
        self.labels.append(Label(x, top - _EDGE_ROOM - deep, slot.above, PAD, "middle", "pad"))
        self.labels.append(Label(x, bottom + 0.8 * PAD + _EDGE_ROOM + deep, slot.below, PAD, "middle", "pad"))
        if slot.level:
            self.ticks += [((x, top), (x, top - deep - 1.0)), ((x, bottom), (x, bottom + deep + 1.0))]
