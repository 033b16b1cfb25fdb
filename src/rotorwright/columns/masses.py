"""Masses of every line of the ledger, sampled, and conditioned on a weighing of the whole craft."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns.draws import Draws
from rotorwright.craft.model import Craft
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.physics.wire import mass as wire_mass

__all__ = ["MassColumns", "MassLine", "mass_columns"]

Array = NDArray[np.float64]

# Kinds that the trade leaves out of the dry weight.
_NOT_DRY = ("battery", "recording-camera")

# Solder, heat-shrink and glue as a share of the sum of all lines: common practice, no source.
_UNACCOUNTED = 0.02

# No scale reads finer than this [kg]; it also keeps two exact weighings from contradicting each other.
_FINEST = 1e-6


@dataclass(frozen=True, slots=True)
class MassLine:
    """One line of the ledger; `mass` is that of all its pieces [kg], None when nobody knows."""

    id: str
    part: str
    kind: str
    count: int
    mass: Estimate | None
    dry: bool


@dataclass(frozen=True, slots=True)
class MassColumns:
    """Lines of the ledger and their sampled masses `values[row, line]` [kg]; NaN where unknown."""

    lines: tuple[MassLine, ...]
    values: Array
    unaccounted: Array | None
    surprise_kg: float | None = None

    def total(self, dry: bool = False) -> Array:
        """Sum of the known lines [kg], shape (rows,); without battery and recording camera when `dry`."""
        counted = [line.dry or not dry for line in self.lines]
        rest = 0.0 if self.unaccounted is None else self.unaccounted
        return np.asarray(np.nansum(self.values[:, counted], axis=1) + rest)

    @property
    def unknown(self) -> tuple[str, ...]:
        """Lines without a mass."""
        return tuple(line.id for line in self.lines if line.mass is None)


def _lines(craft: Craft) -> list[MassLine]:
    lines = [
        MassLine(
            id=placed.id,
            part=placed.part.name,
            kind=placed.part.kind,
            count=placed.count,
            mass=placed.part.mass.times(placed.count) if placed.part.mass else None,
            dry=placed.part.kind not in _NOT_DRY,
        )
        for placed in craft.parts
    ]
    for wire in craft.wires:
        assert wire.length is not None and wire.gauge is not None
        kilograms = wire.conductors * float(wire_mass(wire.length.value, wire.gauge.value))
        mass = Estimate(kilograms, 0.15 * kilograms, Basis.DERIVED)
        lines.append(MassLine(f"wire {wire.from_} to {wire.to}", "wire", "wire", wire.conductors, mass, True))
    return lines


def mass_columns(craft: Craft, draws: Draws) -> MassColumns:
    """Sampled masses of the lines of `craft`; conditioned when the whole craft has been weighed."""
    lines = tuple(_lines(craft))
    unknown = draws.constant(np.nan)
    columns = [draws.of(line.mass, f"{line.part}.mass") if line.mass else unknown for line in lines]
    values = np.stack(columns, axis=1) if columns else np.zeros((draws.rows, 0))
    pair = ((craft.weighed.all_up, False), (craft.weighed.dry, True))
    weighings = [(estimate, dry) for estimate, dry in pair if estimate is not None]
    if not weighings:
        return MassColumns(lines, values, None)
    return _conditioned(lines, values, weighings, draws)


def _conditioned(
    lines: tuple[MassLine, ...], values: Array, weighings: list[tuple[Estimate, bool]], draws: Draws
) -> MassColumns:
    """Every sample moved to agree with the weighings, each line by its share of the variance.

    With m the lines and what is unaccounted, H the rows that sum them, S their covariance (lines of one part share
    its chance) and R that of the scale,
    m' = m + S H^T (H S H^T + R)^-1 (w + e - H m): the posterior of a Gaussian, sample by sample. A weighing that
    the lines' scatter cannot explain is not forced onto them: what is unaccounted widens to half the difference,
    and `surprise_kg` reports it when it exceeds three standard deviations.
    """
    known = np.array([line.mass is not None for line in lines])
    sd = np.array([line.mass.sd if line.mass else 0.0 for line in lines])
    H = np.array(
        [[k and (line.dry or not dry) for k, line in zip(known, lines, strict=True)] for _, dry in weighings]
    )
    H = np.column_stack([H, np.ones(len(weighings))]).astype(float)
    w = np.array([e.value for e, _ in weighings])
    scale = np.maximum([e.sd for e, _ in weighings], _FINEST)
    missing = float(np.max(np.abs(w - H[:, :-1] @ np.where(known, values[0], 0.0))))
    usual = _UNACCOUNTED * float(np.nansum(values[0]))
    rest = max(usual, missing / 2)
    S = np.zeros((len(lines) + 1, len(lines) + 1))
    S[:-1, :-1] = np.outer(sd, sd) * [[a.part == b.part for b in lines] for a in lines] if lines else 0.0
    S[-1, -1] = rest**2
    prior = np.column_stack([np.where(known, values, 0.0), rest * draws.normal("whole craft.unaccounted mass")])
    noise = np.stack(
        [e.sd * draws.normal(f"{'dry craft' if dry else 'whole craft'}.weighing") for e, dry in weighings], axis=1
    )
    gain = S @ H.T @ np.linalg.inv(H @ S @ H.T + np.diag(scale**2))
    posterior = prior + (w + noise - prior @ H.T) @ gain.T
    spread = float(np.sqrt(np.sum(S[:-1, :-1]) + usual**2 + np.max(scale) ** 2))
    surprise = missing if missing > 3 * spread else None
    # A part never weighs less than nothing: what a sample would take too much stays with the unaccounted.
    accounted = np.maximum(posterior[:, :-1], 0.0)
    unaccounted = posterior[:, -1] + np.sum(posterior[:, :-1] - accounted, axis=1)
    return MassColumns(lines, np.where(known, accounted, np.nan), unaccounted, surprise)
