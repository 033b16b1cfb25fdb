"""Bench points of one propeller: what they say about its thrust and power, and how they shrink the error bar."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.blade import reynolds_75
from rotorwright.physics.rotor import RotorTable, coefficients, stack_tables
from rotorwright.physics.rotor_error import Scatter

__all__ = ["BenchPoints", "Posterior", "attach_points"]

Array = NDArray[np.float64]

REYNOLDS_SLOPE_SD = 0.08
"""Prior standard deviation of d ln(coefficient)/d ln(Re) about the table's own [-]."""
SHAPE_SD = 0.06
"""Standard deviation of ln of what the points, all at much the same flow, share with no other flow [-]: how far the
curve's shape over advance ratio is from the table's, from the leave-one-out errors in docs/validation/rotor.md."""
THRUST_SD, POWER_SD = 0.02, 0.03
"""Standard deviations of ln of one measured thrust and power on a careful hobby bench [-], common practice."""


@dataclass(frozen=True)
class BenchPoints:
    """Measured operating points of one propeller, static unless `advance` is given."""

    rotation_rate: Array
    """n [n_point] [rev/s]."""
    thrust: Array
    """T [n_point] [N], NaN where not measured."""
    power: Array
    """Shaft power P [n_point] [W], NaN where not measured."""
    density: float
    """Air density [kg/m3]."""
    viscosity: float
    """Air viscosity [Pa s]."""
    sound_speed: float
    """[m/s]."""
    advance: Array | None = None
    """J = V/(nD) [n_point] [-]."""


@dataclass(frozen=True)
class Posterior:
    """Level, Reynolds slope and advance stretch of one propeller given its bench points.

    ln of the factor on CT is mean[0] + mean[2] ln(Re/reynolds), on CP mean[1] + mean[3] ln(Re/reynolds); ln s is
    mean[4].
    """

    mean: Array
    """[5] [-]."""
    covariance: Array
    """[5, 5] [-]."""
    reynolds: float
    """Reynolds number at 0.75 R that the levels belong to [-]."""

    def factors(self, normals: Array, reynolds: float) -> Array:
        """Factors (c_T, c_P, s) [n, 3] at a Reynolds number from standard normal draws [n, 5]."""
        root = np.linalg.cholesky(self.covariance + 1e-15 * np.eye(5))
        x = self.mean + normals @ root.T
        slope = math.log(reynolds / self.reynolds)
        return np.exp(np.column_stack([x[:, 0] + slope * x[:, 2], x[:, 1] + slope * x[:, 3], x[:, 4]]))


def _faults(table: RotorTable, ratio: Array) -> list[str]:
    """Sentences about bench points that cannot be what they are said to be."""
    finite = np.isfinite(ratio)
    if not finite.any():
        return ["The bench points hold neither thrust nor power with a rotation rate."]
    off = finite & ((ratio < 0.4) | (ratio > 2.5))
    if not off.any():
        return []
    worst = ", ".join(f"{value:.2g}" for value in ratio[off][:4])
    return [
        f"Bench points lie at {worst} times the expected thrust or power of a {table.diameter * 1e3:.0f} mm"
        " propeller; are columns mixed up, is thrust in grams, or is the speed of rotation per minute or electrical?"
    ]


def attach_points(table: RotorTable, points: BenchPoints, scatter: Scatter) -> Posterior:
    """Level and Reynolds slope of a propeller from its bench points, with the population's scatter as prior.

    Linear Gaussian update of (ln c_T, ln c_P, two Reynolds slopes, ln s) with independent measurement errors of
    2 % in thrust and 3 % in power, and 6 % that all points of one coefficient share (shape of the curve).

    Parameters: table; points; scatter - of the population that the table stands for.
    Returns: posterior. Errors: ValueError when a point is a factor 2.5 off the table, or lists differ in length.
    """
    if len({np.size(points.rotation_rate), np.size(points.thrust), np.size(points.power)}) > 1:
        raise ValueError("Rotation rate, thrust and power must have one value per bench point.")
    n, D = np.atleast_1d(np.asarray(points.rotation_rate, dtype=np.float64)), table.diameter
    J = np.zeros(n.size) if points.advance is None else np.atleast_1d(points.advance).astype(np.float64)
    measured = np.stack([
        np.atleast_1d(points.thrust) / (points.density * n**2 * D**4),
        np.atleast_1d(points.power) / (points.density * n**3 * D**5),
    ])  # fmt: skip
    Re = np.array([reynolds_75(D, table.chord_75, rate, points.density, points.viscosity) for rate in n])
    M = 0.75 * math.pi * n * D / points.sound_speed
    expected, stretched = _expected(table, J, Re, M, 1.0), _expected(table, J, Re, M, 1.02)
    ratio = measured / expected
    faults = _faults(table, ratio)
    if faults:
        raise ValueError(" ".join(faults))
    reference = float(np.exp(np.mean(np.log(Re))))
    rows, values, noise, kind = [], [], [], []
    for k, sd in ((0, THRUST_SD), (1, POWER_SD)):
        for i in np.flatnonzero(np.isfinite(ratio[k])):
            row = np.zeros(5)
            row[k], row[2 + k] = 1.0, math.log(Re[i] / reference)
            row[4] = math.log(stretched[k, i] / expected[k, i]) / math.log(1.02)
            rows.append(row)
            values.append(math.log(ratio[k, i]))
            noise.append(sd**2)
            kind.append(k)
    prior = np.zeros((5, 5))
    prior[np.ix_([0, 1, 4], [0, 1, 4])] = scatter.covariance()
    prior[2, 2] = prior[3, 3] = REYNOLDS_SLOPE_SD**2
    H, same = np.array(rows), np.equal.outer(kind, kind)
    R = np.diag(noise) + SHAPE_SD**2 * same
    gain = prior @ H.T @ np.linalg.inv(H @ prior @ H.T + R)
    return Posterior(gain @ np.array(values), prior - gain @ H @ prior, reference)


def _expected(table: RotorTable, J: Array, Re: Array, M: Array, stretch: float) -> Array:
    """Table's CT and CP [2, n_point] with the advance ratio stretched."""
    stack, gains = stack_tables([table])
    pairs = [coefficients(stack, gains, 0, j / stretch, re, m) for j, re, m in zip(J, Re, M, strict=True)]
    return np.array(pairs).T
