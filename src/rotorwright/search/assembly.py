"""Every part in its place for any combination of candidates; what motor and propeller move is kept by class."""

from collections.abc import Callable, Sequence
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
from rotorwright.search.space import Space
from rotorwright.search.swapped import swapped

__all__ = ["Assembly", "assembled", "outline"]

Index = NDArray[np.int64]
InPlace = tuple[PlacedPart, ...]

# Real craft that are built for one class each.
_MOST_CLASSES = 8000
# Placed by the layout in the disc plane: nothing moves them.
_IN_THE_DISC = ("propeller", "propeller-nut")


@dataclass(frozen=True)
class Assembly:
    """Parts in place: pairs of motor and propeller that put everything at the same heights are one class.

    deciding: places whose candidates make the class; classes: its number by their candidates
    fixed: by class, the parts that are not chosen; chosen: by place, class and candidate, that part in place, with a
    single class where nothing moves it
    """

    craft: Craft
    deciding: tuple[int, ...]
    classes: Index
    fixed: tuple[InPlace, ...]
    chosen: tuple[tuple[InPlace, ...], ...]

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

    Raises CannotCompute when there are too many classes, or a frame cannot be drawn about a pair.
    """
    base = space.craft
    at = [base.parts.index(choice.placed) for choice in space.choices]
    roles = {
        k: role for k, c in enumerate(space.choices) for role in ("motor", "propeller") if base.the(role) is c.placed
    }
    deciding = tuple(roles)
    classes, first = _classes(base, [(roles[k], parts[k]) for k in deciding])
    if len(first) > _MOST_CLASSES:
        raise CannotCompute(f"motors and propellers differ in {len(first)} pairs of heights: choose from fewer")

    def put(picked: dict[int, int]) -> Craft:
        craft = base
        for k, i in picked.items():
            craft = swapped(craft, craft.parts[at[k]], parts[k][i])
        return craft

    settled = [put(dict(zip(deciding, pair, strict=True))) for pair in first]
    fixed = tuple(tuple(p for n, p in enumerate(craft.parts) if n not in at) for craft in settled)
    chosen = []
    for k, choice in enumerate(space.choices):
        moved = len(first) > 1 and (choice.placed.assumed or _by_levels(choice.placed))
        alone = tuple(put({k: i}).parts[at[k]] for i in range(len(parts[k])))
        chosen.append(_moved(k, at[k], deciding, classes, first, alone, put) if moved else (alone,))
    light = replace(base, parts=(), source=SourceMap(base.file, ""))
    return Assembly(light, deciding, classes, fixed, tuple(chosen))


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
    first: Sequence[tuple[int, ...]],
    alone: InPlace,
    put: Callable[[dict[int, int]], Craft],
) -> tuple[InPlace, ...]:
    """Candidates of a place that motor and propeller move, by class; as they sit alone in a class not theirs."""
    rows = []
    for number, pair in enumerate(first):
        row = list(alone)
        for i in range(len(alone)):
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
