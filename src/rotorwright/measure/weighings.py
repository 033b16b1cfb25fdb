"""Masses of parts from weighings of single parts, of several of a kind, and of sums of parts."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rotorwright.errors import CannotCompute
from rotorwright.measure.fit import Fit, FittedValue, SetAside, set_aside
from rotorwright.measure.least_squares import Solution, solve

__all__ = ["fit_weighings"]

Array = NDArray[np.float64]

_SMALL = 1e-9


def fit_weighings(
    parts: Sequence[tuple[str, str]],
    counts: ArrayLike,
    readings: ArrayLike,
    sd: ArrayLike = 1e-4,
    gain: float = 1e-3,
) -> Fit:
    """Least-squares masses of the parts that the weighings tell apart.

    parts: (k,) of kind and name; counts: (n, k) how many of each lay on the scale (-1 on the other pan of a balance)
    readings: (n,) [kg]; sd: of one reading, scalar or (n,) [kg]; gain: of the scale's calibration [-]
    Where only a sum is known, its parts are left out and the words say so. Raises CannotCompute when none is known.
    """
    y = np.atleast_1d(np.asarray(readings, dtype=float))
    A = np.atleast_2d(np.asarray(counts, dtype=float))
    if A.shape != (len(y), len(parts)):
        raise ValueError("counts need one row a weighing and one column a part")
    with np.errstate(invalid="ignore"):
        alone = np.all(A >= 0, axis=1)
        flags = {"reading is missing": ~np.isfinite(y), "mass is negative: is the scale zeroed?": (y < 0) & alone}
    good = ~np.any(list(flags.values()), axis=0)
    y = np.where(good, y, np.nan)
    noise = np.broadcast_to(np.asarray(sd, dtype=float), y.shape)
    reach, known = _reach(A[good])
    if not known.any():
        raise CannotCompute("no part's mass follows from these weighings")
    found = _solve(A @ reach, y, noise)
    masses = reach @ found.values
    covariance = reach @ found.covariance @ reach.T + gain**2 * np.outer(masses, masses)
    kept = np.flatnonzero(known)
    left = np.where(found.marked, np.nan, y - A @ masses)
    aside = [SetAside(int(r), _off(float(y[r] - A[r] @ masses))) for r in np.flatnonzero(found.marked)]
    return Fit(
        name="weighings",
        values=tuple(
            FittedValue(
                parts[i][0], "mass", float(masses[i]), float(np.sqrt(covariance[i, i])), "kg", "", parts[i][1]
            )
            for i in map(int, kept)
        ),
        covariance=covariance[np.ix_(kept, kept)],
        rows_used=int(np.isfinite(left).sum()),
        rows_set_aside=tuple(sorted((*set_aside(flags), *aside), key=lambda s: s.row)),
        residual_sd={"mass_kg": float(np.sqrt(np.nanmean(np.square(left))))},
        residuals={"mass_kg": left},
        identifies=_words([name for _, name in parts], A[good], known),
        notes=_notes(masses, known, [name for _, name in parts], found.freedom),
        aside={"mass_kg": np.where(found.marked, y - A @ masses, np.nan)},
    )


def _reach(A: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Combinations of masses that the weighings reach (k, r), and which single masses lie within them (k,)."""
    _, sizes, ways = np.linalg.svd(A, full_matrices=True)
    rank = int(np.sum(sizes > _SMALL * max(float(sizes.max(initial=0.0)), 1.0)))
    unseen = ways[rank:]
    return ways[:rank].T, np.asarray(np.all(np.abs(unseen) < 1e-7, axis=0))


def _solve(design: Array, y: Array, noise: Array) -> Solution:
    """Coordinates within reach; the scale's stated scatter counts as four readings."""
    there = np.isfinite(y)
    start = np.asarray(
        np.linalg.lstsq(design[there] / noise[there, None], y[there] / noise[there], rcond=None)[0], dtype=float
    )
    return solve(lambda x: np.asarray((y - design @ x) / noise), start, trust=4.0)


def _off(kg: float) -> str:
    return f"{abs(kg) * 1e3:.2f} g {'above' if kg > 0 else 'below'} what the other weighings say"


def _words(names: list[str], A: Array, known: NDArray[np.bool_]) -> str:
    words = [f"The weighings find {int(known.sum())} of {len(names)} masses."] if not known.all() else []
    if known.all():
        words.append("The weighings find every mass.")
    never = [name for name, column in zip(names, A.T, strict=True) if not column.any()]
    if never:
        words.append(f"Never weighed: {', '.join(never)}.")
    tied = [name for name, k in zip(names, known, strict=True) if not k and name not in never]
    if tied:
        words.append(f"Only sums of {', '.join(tied)} are known: weigh one of them alone.")
    return " ".join(words)


def _notes(masses: Array, known: NDArray[np.bool_], names: list[str], freedom: float) -> tuple[str, ...]:
    notes = [
        f"{name} comes out with a negative mass."
        for name, m, k in zip(names, masses, known, strict=True)
        if k and m < 0
    ]
    if freedom < 0.5:
        notes.append("Nothing was weighed twice: a slip of the pen would not be seen.")
    return tuple(notes)
