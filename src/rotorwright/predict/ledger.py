"""The ledger: what everything weighs, with shares and bounds."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import MassColumns
from rotorwright.predict.result import Prediction

__all__ = ["KindMass", "Ledger", "LedgerLine", "ledger"]


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """One line: a part and all its pieces."""

    id: str
    part: str
    kind: str
    count: int
    basis: str
    dry: bool
    mass_kg: Prediction
    share: float | None


@dataclass(frozen=True, slots=True)
class KindMass:
    """All lines of one kind."""

    kind: str
    mass_kg: Prediction
    share: float


@dataclass(frozen=True, slots=True)
class Ledger:
    """Lines and kinds largest first; dry is without battery and recording camera."""

    dry_kg: Prediction
    all_up_kg: Prediction
    unaccounted_kg: Prediction | None
    lines: tuple[LedgerLine, ...]
    kinds: tuple[KindMass, ...]


def ledger(masses: MassColumns) -> Ledger:
    """The ledger of sampled masses; a line whose mass nobody knows is listed and left out of the sums."""
    reason = f"without {', '.join(masses.unknown)}: no mass is known" if masses.unknown else None
    all_up = masses.total()
    return Ledger(
        dry_kg=Prediction.of(masses.total(dry=True), "kg", reason),
        all_up_kg=Prediction.of(all_up, "kg", reason),
        unaccounted_kg=None if masses.unaccounted is None else Prediction.of(masses.unaccounted, "kg"),
        lines=tuple(sorted(_lines(masses, float(all_up[0])), key=lambda line: -(line.mass_kg.value or 0.0))),
        kinds=tuple(sorted(_kinds(masses, float(all_up[0])), key=lambda kind: -(kind.mass_kg.value or 0.0))),
    )


def _lines(masses: MassColumns, total: float) -> list[LedgerLine]:
    lines = []
    for line, column in zip(masses.lines, masses.values.T, strict=True):
        known = line.mass is not None
        mass = Prediction.of(column, "kg") if known else Prediction.absent("kg", "no mass given, and no law for it")
        basis = str(line.mass.basis) if line.mass else "unknown"
        share = float(column[0]) / total if known and total else None
        lines.append(LedgerLine(line.id, line.part, line.kind, line.count, basis, line.dry, mass, share))
    return lines


def _kinds(masses: MassColumns, total: float) -> list[KindMass]:
    sums: dict[str, NDArray[np.float64]] = {}
    for line, column in zip(masses.lines, masses.values.T, strict=True):
        if line.mass is not None:
            sums[line.kind] = sums.get(line.kind, np.zeros(len(column))) + column
    return [KindMass(kind, Prediction.of(s, "kg"), float(s[0]) / total if total else 0.0) for kind, s in sums.items()]
