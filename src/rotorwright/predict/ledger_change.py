"""The ledger of one craft against that of another: what each line gained or lost, on common samples."""

from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws, MassColumns, mass_columns
from rotorwright.craft.model import Craft
from rotorwright.predict.result import Prediction

__all__ = ["LedgerChange", "LineChange", "ledger_change"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LineChange:
    """One line: its part before and after ('' where the craft had none), and the difference in mass."""

    id: str
    before: str
    after: str
    difference_kg: Prediction


@dataclass(frozen=True, slots=True)
class LedgerChange:
    """Differences by line in the order of the later craft, lines that are gone behind them, and those of the sums."""

    before: str
    lines: tuple[LineChange, ...]
    dry_kg: Prediction
    all_up_kg: Prediction


def ledger_change(before: Craft, after: Craft, samples: int = 1024, seed: int = 0) -> LedgerChange:
    """`after` less `before`, line by line; lines with one id are told apart by their order."""
    draws = Draws(samples, seed)
    a, b = (mass_columns(craft, draws) for craft in (before, after))
    old, new = _lines(a), _lines(b)
    lines = [_line(slot, old.get(slot), new.get(slot)) for slot in (*new, *(s for s in old if s not in new))]
    return LedgerChange(
        before=before.title.full,
        lines=tuple(lines),
        dry_kg=_difference(a.total(dry=True), b.total(dry=True)),
        all_up_kg=_difference(a.total(), b.total()),
    )


Line = tuple[str, Array]


def _lines(masses: MassColumns) -> dict[tuple[str, int], Line]:
    """Part and sampled mass of each line by its id and, where an id stands again, by how often it stood before."""
    seen: Counter[str] = Counter()
    found = {}
    for line, column in zip(masses.lines, masses.values.T, strict=True):
        found[line.id, seen[line.id]] = (line.part, column)
        seen[line.id] += 1
    return found


def _line(slot: tuple[str, int], old: Line | None, new: Line | None) -> LineChange:
    nothing = 0.0 * (old or new or ("", np.zeros(1)))[1]
    (part_a, a), (part_b, b) = old or ("", nothing), new or ("", nothing)
    return LineChange(slot[0], part_a, part_b, _difference(a, b))


def _difference(a: Array, b: Array) -> Prediction:
    """b - a; a difference that only comes from adding up in another order is none."""
    step = b - a
    return Prediction.of(np.where(np.abs(step) < 1e-9 * np.abs(b), 0.0, step), "kg", "no mass is known")
