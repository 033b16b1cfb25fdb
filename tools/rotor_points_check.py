"""What bench points do for a prediction: the advance curve with two static points, and static points left out."""

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from rotor_data import DENSITY, SOUND, VISCOSITY, Measured

from rotorwright.physics.blade import Blade
from rotorwright.physics.rotor import RotorTable, coefficients, rotor_table, stack_tables
from rotorwright.physics.rotor_error import GEOMETRY, TYPICAL, Scatter
from rotorwright.physics.rotor_points import BenchPoints, Posterior, attach_points
from rotorwright.physics.typical_blade import typical_blade

__all__ = ["bench_check"]

Array = NDArray[np.float64]
Rows = NDArray[np.int64]


def _points(item: Measured, rows: Rows) -> BenchPoints:
    n = item.rotation_rate[rows]
    T = item.ct[rows] * DENSITY * n**2 * item.diameter**4
    P = item.cp[rows] * DENSITY * n**3 * item.diameter**5
    return BenchPoints(n, T, P, DENSITY, VISCOSITY, SOUND, item.advance[rows])


def _predict(item: Measured, blade: Blade, table: RotorTable, posterior: Posterior, rows: Rows, x: Array) -> Array:
    """CT and CP [n_row, 2] at measured points for one state (levels, Reynolds slopes, ln stretch)."""
    stack, gains = stack_tables([table])
    Re, M = item.reynolds(blade)[rows], item.mach[rows]
    J = item.advance[rows] / math.exp(x[4])
    expected = np.array([coefficients(stack, gains, 0, *point) for point in zip(J, Re, M, strict=True)])
    slope = np.log(Re / posterior.reynolds)
    return np.asarray(expected * np.exp(np.column_stack([x[0] + slope * x[2], x[1] + slope * x[3]])))


def _score(item: Measured, blade: Blade, scatter: Scatter) -> tuple[Array, Array, Array, Array] | None:
    """Median advance error with two static points and without, left-out static error, share of rows in the band."""
    static = np.flatnonzero(item.advance == 0.0).astype(np.int64)
    advance = np.flatnonzero(item.loaded & (item.advance > 0.0)).astype(np.int64)
    if static.size < 4 or advance.size < 3:
        return None
    static = static[np.argsort(item.rotation_rate[static])]
    chord, table = blade, rotor_table(blade)
    try:
        posterior = attach_points(table, _points(item, static[[static.size // 2, -1]]), scatter)
        others = [
            (i, attach_points(table, _points(item, np.delete(static[-5:], i)), scatter))
            for i in range(static[-5:].size)
        ]
    except ValueError:  # further from the table than the mixed-up-columns check allows
        return None
    measured = np.column_stack([item.ct, item.cp])
    at = measured[advance]
    mean = _predict(item, chord, table, posterior, advance, posterior.mean)
    bare = _predict(item, chord, table, posterior, advance, np.zeros(5))
    single = [
        _predict(item, chord, table, p, static[-5:][[i]], p.mean)[0] / measured[static[-5:][i]] - 1.0
        for i, p in others
    ]
    root = np.linalg.cholesky(posterior.covariance + 1e-15 * np.eye(5))
    normals = np.random.default_rng(3).standard_normal((100, 5))
    some = advance[::4]
    drawn = [_predict(item, chord, table, posterior, some, posterior.mean + root @ z) for z in normals]
    low, high = np.quantile(drawn, [0.05, 0.95], axis=0)
    inside = ((measured[some] >= low) & (measured[some] <= high)).mean(axis=0)
    return (
        np.median(np.abs(mean / at - 1.0), axis=0),
        np.median(np.abs(bare / at - 1.0), axis=0),
        np.median(np.abs(single), axis=0),
        inside,
    )


def bench_check(with_blade: list[Measured], sets: list[Measured]) -> list[list[str]]:
    """Rows of the bench-point table."""
    groups: list[tuple[str, list[tuple[Measured, Blade]], Scatter]] = [
        ("geometry and pitch", [(s, s.blade) for s in with_blade if s.blade is not None], GEOMETRY),
        ("typical blade", [(s, typical_blade(s.diameter, s.pitch, s.count)) for s in sets], TYPICAL),
    ]
    out = []
    for name, pairs, scatter in groups:
        scores = [score for item, blade in pairs if (score := _score(item, replace(blade), scatter)) is not None]
        cells = [np.median([score[k] for score in scores], axis=0) for k in range(3)]
        cells.append(np.mean([score[3] for score in scores], axis=0))
        out.append([name, str(len(scores)), *(f"{100 * a:.1f} / {100 * b:.1f}" for a, b in cells)])
    return out
