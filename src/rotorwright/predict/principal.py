"""Principal axes of inertia: about which lines the craft turns most and least readily."""

from dataclasses import dataclass
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from rotorwright.predict.balance import Balance
from rotorwright.predict.result import Prediction

__all__ = ["PrincipalAxes", "PrincipalAxis", "principal_axes"]

Array = NDArray[np.float64]

_NAMES = ("roll", "pitch", "yaw")


@dataclass(frozen=True, slots=True)
class PrincipalAxis:
    """The principal axis that lies nearest to the craft's own axis `name`, and how far it leans from that [rad]."""

    name: str
    moment_kg_m2: Prediction
    direction: tuple[float, float, float]
    lean_rad: float


@dataclass(frozen=True)
class PrincipalAxes:
    """Axes for roll, pitch and yaw, and how the mass is spread about its centre: second moment (3, 3) [m2]."""

    axes: tuple[PrincipalAxis, ...]
    spread: Array


def principal_axes(balance: Balance, mass: float) -> PrincipalAxes | None:
    """Eigenvalues and eigenvectors of the inertia tensor I; None when there is no tensor.

    The spread is that of a body with this tensor and mass m, S = (tr(I)/2 1 - I)/m; the roots of its diagonal are
    the root-mean-square distances of the mass from the centre along each axis.

    mass: of the whole craft [kg], above zero
    source: any statics text (Meriam & Kraige, Engineering Mechanics: Dynamics; from memory)
    """
    rows = [[cell.samples for cell in row] for row in balance.inertia_kg_m2]
    if mass <= 0 or any(cell is None for row in rows for cell in row):
        return None
    J = np.moveaxis(np.array(rows, dtype=float), -1, 0)
    moments, vectors = np.linalg.eigh(J)
    order = _nearest(vectors[0])
    spread = (np.trace(J[0]) / 2 * np.eye(3) - J[0]) / mass
    axes = [_axis(k, moments[:, j], vectors[0][:, j]) for k, j in enumerate(order)]
    return PrincipalAxes(tuple(axes), spread)


def _axis(k: int, moment: Array, vector: Array) -> PrincipalAxis:
    towards = vector if vector[k] >= 0 else -vector
    lean = float(np.arccos(min(abs(vector[k]), 1.0)))
    x, y, z = (float(v) for v in towards)
    return PrincipalAxis(_NAMES[k], Prediction.of(moment, "kg m2"), (x, y, z), lean)


def _nearest(vectors: Array) -> tuple[int, ...]:
    """For x, y and z the column of the eigenvector that lies nearest, each used once."""
    return max(permutations(range(3)), key=lambda order: sum(abs(vectors[k, j]) for k, j in enumerate(order)))
