"""From the `[frame]` tables to the list of pieces that everything else reads."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from rotorwright.frame.arms import (
    ArmPlan,
    arm_directions,
    arm_pieces,
    crossing_faults,
    number_faults,
    pad_height,
    plan_arms,
    plan_faults,
    screw_holes,
    unibody,
)
from rotorwright.frame.decks import (
    cage_pieces,
    deck_cutouts,
    deck_outline,
    deck_piece,
    reach_along,
    standoff_cutouts,
    standoff_piece,
    undersides,
)
from rotorwright.frame.drawing import Cutout, Fault
from rotorwright.frame.layout import MotorPlace
from rotorwright.frame.materials import Material, material, near_materials
from rotorwright.frame.pieces_table import DeckTable
from rotorwright.frame.prints import Printing, mount_height, printed_piece
from rotorwright.frame.shape import Piece
from rotorwright.frame.table import FrameTable
from rotorwright.parts.source_map import Key

__all__ = ["Drawn", "Seat", "draw_frame"]


@dataclass(frozen=True, slots=True)
class Seat:
    """How the motors sit: height of their base [m], which way is down, and their hole pattern."""

    base: float
    down: float = -1.0
    pattern: tuple[float, ...] | None = None
    hole: float | None = None


@dataclass(frozen=True)
class Drawn:
    """The frame's pieces, the plan of its arms, and what could not be built."""

    pieces: tuple[Piece, ...] = ()
    plan: ArmPlan | None = None
    arm_bottom: float = 0.0
    arm_top: float = 0.0
    faults: tuple[Fault, ...] = field(default=())


def draw_frame(table: FrameTable, motors: Sequence[MotorPlace], seat: Seat) -> Drawn:
    """Every piece that `table` describes, in place; with faults, no piece is to be trusted."""
    faults = _name_faults(table)
    if table.arm:
        faults += number_faults(table.arm)
    if faults or not _any(table):
        return Drawn(faults=tuple(faults))
    return _Drawing(table, list(motors), seat).drawn()


def _any(table: FrameTable) -> bool:
    return bool(table.arm or table.deck or table.cage or table.printed)


def _name_faults(table: FrameTable) -> list[Fault]:
    """Unknown materials, decks named twice, standoffs between decks that are not there."""
    faults = []
    users: list[tuple[Key, str]] = []
    for name in ("arm", "cage"):
        if (one := getattr(table, name)) is not None:
            users.append((("frame", name, "material"), one.material))
    for name in ("deck", "standoff", "printed", "imported"):
        users += [(("frame", name, i, "material"), row.material) for i, row in enumerate(getattr(table, name))]
    for key, word in users:
        if material(word) is None:
            fix = f"Near: {', '.join(near_materials(word))}."
            faults.append(Fault(key, f"no material '{word}'", fix))
    names = [deck.name for deck in table.deck]
    for i, name in enumerate(names):
        if name in names[:i]:
            faults.append(Fault(("frame", "deck", i, "name"), f"a second deck '{name}'", "Give it another name."))
    for i, row in enumerate(table.standoff):
        for end in ("under", "over"):
            if (word := getattr(row, end)) not in names:
                what = f"a standoff stands {end} '{word}', and there is no such deck"
                faults.append(Fault(("frame", "standoff", i, end), what, f"Decks: {', '.join(names) or 'none'}."))
    return faults


def _named(word: str) -> Material:
    found = material(word)
    assert found is not None  # `_name_faults` has seen to it
    return found


def _named_apart(pieces: Sequence[Piece]) -> list[Piece]:
    """Pieces with names that make good file names, and no two alike."""
    taken: dict[str, int] = {}
    apart = []
    for piece in pieces:
        word = re.sub(r"[^\w.-]+", "-", piece.name).strip("-.") or piece.role
        taken[word] = taken.get(word, 0) + 1
        apart.append(replace(piece, name=word if taken[word] == 1 else f"{word}-{taken[word]}"))
    return apart


class _Drawing:
    """One pass from table to pieces."""

    def __init__(self, table: FrameTable, motors: list[MotorPlace], seat: Seat) -> None:
        self.table, self.motors, self.seat = table, motors, seat
        self.faults: list[Fault] = []
        self.outlines = {deck.name: deck_outline(deck) for deck in table.deck}
        self.plan = self._plan()
        mount = sum(mount_height(row) for row in table.printed if row.shape == "motor-mount")
        height = self.plan.height if self.plan else 0.0
        pad = pad_height(self.plan) if self.plan else 0.0
        if seat.down < 0:  # upright: motor, mount and pad plate, arm, downwards
            self.top = seat.base - mount - pad
            self.bottom = self.top - height
        else:  # inverted: the motor hangs below its arm
            self.bottom = seat.base + mount + pad
            self.top = self.bottom + height

    def _plan(self) -> ArmPlan | None:
        arm = self.table.arm
        if arm is None:
            return None
        holding = [
            self.outlines[d.name] for d in self.table.deck if d.level in ("under-arms", "over-arms", "with-arms")
        ]
        clamp = min((reach_along(holding, m.bearing) for m in self.motors), default=0.02)
        return plan_arms(arm, _named(arm.material), clamp, self.seat.pattern, self.seat.hole)

    def drawn(self) -> Drawn:
        heights, resting = undersides(self.table.deck, self.table.standoff, self.bottom, self.top)
        self.faults += resting
        if self.plan:
            self.faults += plan_faults(self.plan, self.motors)
        if self.plan is None or self.plan.table.build != "unibody":
            for i, deck in enumerate(self.table.deck):
                if deck.level == "with-arms":
                    what = f"the deck '{deck.name}' is to be part of the arms' plate, and the arms are not a unibody"
                    fix = 'Use build = "unibody", or another level.'
                    self.faults.append(Fault(("frame", "deck", i, "level"), what, fix))
        if self.faults:
            return Drawn(plan=self.plan, faults=tuple(self.faults))
        pieces = [
            *self._made(("frame", "arm"), "the arm", self._arms),
            *self._decks(heights),
            *self._standoffs(heights),
            *self._made(("frame", "cage"), "the cage", lambda: self._cage(heights)),
            *self._prints(),
        ]
        # the same fault on every arm or copy is one fault
        faults = tuple(dict.fromkeys(self.faults))
        return Drawn(tuple(_named_apart(pieces)), self.plan, self.bottom, self.top, faults)

    def _made(self, key: Key, word: str, make: Callable[[], Sequence[Piece | None]]) -> list[Piece]:
        """What `make` draws; a shape that does not come out is a fault at `key`."""
        try:
            return [piece for piece in make() if piece is not None]
        except ValueError as error:
            what = f"{word} cannot be drawn from these numbers: {error}"
            self.faults.append(Fault(key, what, "Check its sizes against each other."))
            return []

    def _arms(self) -> list[Piece]:
        plan = self.plan
        if plan is None:
            return []
        self.faults += crossing_faults(plan, self.motors)
        if plan.table.build == "separate":
            return arm_pieces(plan, self.motors, self.bottom, self.faults, inverted=self.seat.down > 0)
        merged = [(i, deck) for i, deck in enumerate(self.table.deck) if deck.level == "with-arms"]
        for i, deck in merged:
            if deck.thickness and abs(deck.thickness.value - plan.height) > 1e-6:
                what = (
                    f"the deck '{deck.name}' is part of the arms' plate, and is {1e3 * deck.thickness.value:g} mm "
                    f"thick where that plate is {1e3 * plan.height:g} mm"
                )
                self.faults.append(Fault(("frame", "deck", i, "thickness_mm"), what, "Make them alike."))
        cutouts = [c for i, deck in merged for c in self._cutouts(i, deck)]
        middle = [self.outlines[deck.name] for _, deck in merged]
        return [unibody(plan, self.motors, middle, cutouts, self.bottom, self.faults)]

    def _cutouts(self, index: int, deck: DeckTable) -> list[Cutout]:
        own = deck_cutouts(deck, ("frame", "deck", index))
        return [*own, *standoff_cutouts(deck.name, self.table.standoff)]

    def _decks(self, heights: dict[str, float]) -> list[Piece]:
        pieces: list[Piece] = []
        for i, deck in enumerate(self.table.deck):
            if deck.level == "with-arms":
                continue
            cutouts = self._cutouts(i, deck)
            if self.plan and deck.level in ("under-arms", "over-arms"):
                outline = self.outlines[deck.name]
                cutouts += [c for c in screw_holes(self.plan, self.motors) if outline.intersects(c.shape)]
            make = partial(deck_piece, deck, _named(deck.material), cutouts, heights[deck.name])
            pieces += self._each("deck", i, f"the deck '{deck.name}'", make)
        return pieces

    def _each(self, table: str, index: int, word: str, make: Callable[..., Piece | None]) -> list[Piece]:
        """The one piece of a row of a table; `make` takes the key and the faults."""
        key: Key = ("frame", table, index)
        return self._made(key, word, lambda: [make(key, self.faults)])

    def _standoffs(self, heights: dict[str, float]) -> list[Piece]:
        thickness = {deck.name: deck.thickness.value for deck in self.table.deck if deck.thickness}
        pieces: list[Piece] = []
        for i, row in enumerate(self.table.standoff):
            make = partial(standoff_piece, row, _named(row.material), heights[row.under] + thickness[row.under])
            pieces += self._each("standoff", i, f"the standoffs on '{row.under}'", make)
        return pieces

    def _cage(self, heights: dict[str, float]) -> list[Piece]:
        cage = self.table.cage
        if cage is None:
            return []
        over = [
            heights[d.name] + d.thickness.value for d in self.table.deck if d.level == "over-arms" and d.thickness
        ]
        return cage_pieces(cage, _named(cage.material), max(over, default=self.top), self.faults)

    def _prints(self) -> list[Piece]:
        fit = Printing(self.plan, arm_directions(self.motors), self.bottom, self.top, self.seat.base)
        pieces: list[Piece] = []
        for i, row in enumerate(self.table.printed):
            make = partial(printed_piece, row, _named(row.material), fit)
            pieces += self._each("printed", i, f"the {row.name or row.shape}", make)
        return pieces
