"""Every part in its place for any combination of candidates; what motor and propeller move is kept by class."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.craft.placing import LAYOUT_ROLES, heights
from rotorwright.errors import CannotCompute
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Motor
from rotorwright.parts.solids import solid_of
from rotorwright.parts.source_map import SourceMap
from rotorwright.search.barred import Barred, barred_by
from rotorwright.search.space import Space
from rotorwright.search.swapped import swapped

__all__ = ["Assembly", "assembled", "outline", "undrawn"]

Index = NDArray[np.int64]
InPlace = tuple[PlacedPart, ...]
Put = Callable[[dict[int, int]], Craft]

# Real craft that are built for one class each.
_MOST_CLASSES = 8000
# Placed by the layout in the disc plane: nothing moves them.
_IN_THE_DISC = ("propeller", "propeller-nut")


@dataclass(frozen=True)
class Assembly:
    """Parts in place: pairs of motor and propeller that put everything at the same heights are one class.

    deciding: places whose candidates make the class; classes: its number by their candidates
    fixed: by class, the parts that are not chosen; chosen: by place, class and candidate, that part in place, with a
    single class where nothing moves it; barred: pairs about which the frame cannot be drawn
    """

    craft: Craft
    deciding: tuple[int, ...]
    classes: Index
    fixed: tuple[InPlace, ...]
    chosen: tuple[tuple[InPlace, ...], ...]
    barred: Barred | None = None

    def is_moved(self, k: int) -> bool:
        """Whether motor or propeller decide where the candidates of a place sit."""
        return len(self.chosen[k]) > 1


def outline(placed: PlacedPart) -> tuple[Any, ...]:
    """What decides the shadow of a part in place: its size, or its mass where it states none, and its places."""
    extent = solid_of(placed.part).extent()
    mass = placed.part.mass
    lump = (mass.value if mass else 0.0, placed.count) if not extent.all() else ()
    return (*extent, *lump, placed.places)


def assembled(space: Space, parts: Sequence[Sequence[Part]]) -> Assembly:
    """The assembly of a space with these candidates in each place, from real craft.

    Raises CannotCompute when there are too many classes, or a frame can be drawn about no pair.
    """
    base, put = space.craft, _put(space, parts)
    at = [base.parts.index(choice.placed) for choice in space.choices]
    deciding, classes, first = _paired(space, parts)
    settled, reasons = _settled(deciding, first, put)
    fixed = tuple(tuple(p for n, p in enumerate(craft.parts) if n not in at) for craft in settled)
    chosen = []
    for k, choice in enumerate(space.choices):
        moved = len(first) > 1 and (choice.placed.assumed or _by_levels(choice.placed))
        alone = tuple(put({k: i}).parts[at[k]] for i in range(len(parts[k])))
        pairs = [None if number in reasons else pair for number, pair in enumerate(first)]
        chosen.append(_moved(k, at[k], deciding, classes, pairs, alone, put) if moved else (alone,))
    light = replace(base, parts=(), source=SourceMap(base.file, ""))
    return Assembly(light, deciding, classes, fixed, tuple(chosen), _barred(deciding, classes, reasons))


def undrawn(space: Space, parts: Sequence[Sequence[Part]]) -> Barred | None:
    """Pairs of motor and propeller about which a drawn frame cannot be drawn."""
    if not space.craft.frame.draws:
        return None
    deciding, classes, first = _paired(space, parts)
    return _barred(deciding, classes, _settled(deciding, first, _put(space, parts))[1])


def _put(space: Space, parts: Sequence[Sequence[Part]]) -> Put:
    """The craft with candidates in some places, by their numbers."""
    at = [space.craft.parts.index(choice.placed) for choice in space.choices]

    def put(picked: dict[int, int]) -> Craft:
        craft = space.craft
        for k, i in picked.items():
            craft = swapped(craft, craft.parts[at[k]], parts[k][i])
        return craft

    return put


def _paired(
    space: Space, parts: Sequence[Sequence[Part]]
) -> tuple[tuple[int, ...], Index, Sequence[tuple[int, ...]]]:
    """Places of motor and propeller, the class of every pair, and the first pair of each class."""
    base = space.craft
    roles = {
        k: role for k, c in enumerate(space.choices) for role in ("motor", "propeller") if base.the(role) is c.placed
    }
    classes, first = _classes(base, [(role, parts[k]) for k, role in roles.items()])
    if len(first) > _MOST_CLASSES:
        raise CannotCompute(f"motors and propellers differ in {len(first)} pairs of heights: choose from fewer")
    return tuple(roles), classes, first


def _settled(
    deciding: tuple[int, ...], first: Sequence[tuple[int, ...]], put: Put
) -> tuple[list[Craft], dict[int, str]]:
    """A craft for each class, and why some cannot be drawn; another stands in for those, which nobody asks for."""
    found: list[Craft | None] = []
    reasons: dict[int, str] = {}
    for number, pair in enumerate(first):
        try:
            found.append(put(dict(zip(deciding, pair, strict=True))))
        except CannotCompute as error:
            found.append(None)
            reasons[number] = str(error)
    good = next((craft for craft in found if craft is not None), None)
    if good is None:
        raise CannotCompute(reasons[0])
    return [craft or good for craft in found], reasons


def _barred(deciding: tuple[int, ...], classes: Index, reasons: Mapping[int, str]) -> Barred | None:
    """The pairs of these classes."""
    if not reasons:
        return None
    pairs = {pair: reasons[int(classes[pair])] for pair in np.ndindex(classes.shape) if int(classes[pair]) in reasons}
    return barred_by(deciding, tuple(np.arange(n) for n in classes.shape), pairs)


def _by_levels(placed: PlacedPart) -> bool:
    return placed.role in LAYOUT_ROLES and placed.role not in _IN_THE_DISC


def _classes(base: Craft, deciding: Sequence[tuple[str, Sequence[Part]]]) -> tuple[Index, list[tuple[int, ...]]]:
    """The class of every pair, and the first pair of each class."""
    fixed = {role: placed.part if (placed := base.the(role)) else None for role in ("motor", "propeller")}
    classes = np.zeros(tuple(len(parts) for _, parts in deciding), np.int64)
    known: dict[Any, int] = {}
    first: list[tuple[int, ...]] = []
    for pair in np.ndindex(classes.shape):
        here = fixed | {role: parts[i] for (role, parts), i in zip(deciding, pair, strict=True)}
        levels, motor = heights(base.frame, here["motor"], here["propeller"]), here["motor"]
        seat = (motor.mount_pattern, motor.mount_thread) if base.frame.draws and isinstance(motor, Motor) else ()
        key = levels.motor, levels.base, repr(seat)
        if key not in known:
            known[key] = len(first)
            first.append(pair)
        classes[pair] = known[key]
    return classes, first


def _moved(
    k: int,
    at: int,
    deciding: tuple[int, ...],
    classes: Index,
    first: Sequence[tuple[int, ...] | None],
    alone: InPlace,
    put: Put,
) -> tuple[InPlace, ...]:
    """Candidates of a place that motor and propeller move, by class; as they sit alone in a class not theirs.

    first: the first pair of each class, None where it cannot be built
    """
    rows = []
    for number, pair in enumerate(first):
        row = list(alone)
        for i in range(len(alone)) if pair is not None else ():
            assert pair is not None
            picked = dict(zip(deciding, pair, strict=True)) | {k: i}
            if k in deciding and classes[tuple(picked[j] for j in deciding)] != number:
                others = np.argwhere(np.take(classes, i, axis=deciding.index(k)) == number)
                if not len(others):
                    continue
                rest = iter(int(x) for x in others[0])
                picked = {j: i if j == k else next(rest) for j in deciding}
            row[i] = put(picked).parts[at]
        rows.append(tuple(row))
    return tuple(rows)
