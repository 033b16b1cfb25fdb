"""Numbers a fit may move, what was believed of them before, and what readings added: in figures and in plain words.

A fit works on the logarithm of what is positive. How much readings found is judged in the unit of what was believed:
with S the posterior covariance divided by the believed standard deviations, the eigenvalues of S are 1/(s^2 + 1) for
the singular values s of the weighted Jacobian in that unit. A direction with s below one is not found: readings say
less of it than was known before.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.measure.fit import FittedValue
from rotorwright.measure.least_squares import Residuals, Solution, solve
from rotorwright.parts.estimate import Basis, Estimate

__all__ = ["Belief", "Found", "believed", "find", "known_to", "tell_apart", "values_of"]

Array = NDArray[np.float64]

FOUND, NARROWED = 0.5, 0.85
"""Standard deviation after over before: below the first a value is found, below the second narrowed."""
_PART = 0.35  # of a direction, for a parameter to belong to it
_TOUCHED = 0.97  # numbers that the readings leave alone are in no tangle
_MOST_SAID = 3


@dataclass(frozen=True, slots=True)
class Belief:
    """One number: what it is, where it starts and how far it may be off before any row was read."""

    words: str
    """For people: "winding resistance"."""
    kind: str
    """Kind of part, "craft", or "" for a number of the measurement itself, such as an instrument's calibration."""
    field: str
    unit: str
    value: float
    sd: float
    """Relative where `log`, else in `unit`."""
    log: bool = True
    note: str = ""


_STATED = (Basis.WEIGHED, Basis.MEASURED, Basis.DATASHEET)
_FINEST = 1e-3


def known_to(estimate: Estimate, least: float) -> float:
    """Relative standard deviation of what was believed: as a measurement or a data sheet states it, at least `least`
    where nobody did.
    """
    stated = estimate.basis in _STATED and estimate.sd > 0.0
    return max(estimate.relative, _FINEST if stated else least)


@dataclass(frozen=True, slots=True)
class Found:
    """Numbers after the readings, with the solution they come from."""

    beliefs: tuple[Belief, ...]
    solution: Solution
    values: tuple[FittedValue, ...]
    """Those of parts that the readings found or narrowed."""
    covariance: Array
    """Of `values`."""
    identifies: str

    def mean(self) -> dict[str, float]:
        """Every number by "kind.field", those of the measurement by field, found or not."""
        return _named(self.beliefs, self.solution.values)


def _named(beliefs: Sequence[Belief], x: Array) -> dict[str, float]:
    keys = (f"{b.kind}.{b.field}" if b.kind else b.field for b in beliefs)
    return dict(zip(keys, values_of(beliefs, x), strict=True))


def values_of(beliefs: Sequence[Belief], x: Array) -> list[float]:
    """Values [SI] of a vector of parameters, which holds logarithms of ratios to what was believed."""
    return [float(b.value * math.exp(v) if b.log else b.value + v) for b, v in zip(beliefs, x, strict=True)]


def believed(beliefs: Sequence[Belief], correlations: Sequence[tuple[str, str, float]] = ()) -> Array:
    """Covariance of the parameters (k, k); correlations: pairs of fields and their correlation."""
    matrix = np.eye(len(beliefs))
    fields = [b.field for b in beliefs]
    for one, other, value in correlations:
        if one in fields and other in fields:
            i, j = fields.index(one), fields.index(other)
            matrix[i, j] = matrix[j, i] = value
    sd = np.array([b.sd for b in beliefs])
    return np.asarray(matrix * np.outer(sd, sd))


def find(
    beliefs: Sequence[Belief],
    residuals: Callable[[dict[str, float]], Array],
    *,
    group: NDArray[np.int64] | None = None,
    correlations: Sequence[tuple[str, str, float]] = (),
    trust: float = 4.0,
    ordered: bool = False,
    robust: bool = True,
    also: Sequence[Mapping[str, float]] = (),
    least: float = 1e-9,
) -> Found:
    """Numbers that make the residuals least, given what was believed; arguments otherwise as `least_squares.solve`.

    residuals: of the numbers by name (see `Found.mean`); also: parameters by name to begin from as well, where they
    are not as believed
    Raises CannotCompute when nothing was read.
    """
    covariance = believed(beliefs, correlations)

    def of(x: Array) -> Array:
        return residuals(_named(beliefs, x))

    function: Residuals = of
    keys = list(_named(beliefs, np.zeros(len(beliefs))))
    starts = [np.array([other.get(key, 0.0) for key in keys]) for other in also]
    solution = solve(
        function,
        np.zeros(len(beliefs)),
        group=group,
        believed=covariance,
        trust=trust,
        ordered=ordered,
        robust=robust,
        also=starts,
        least=least,
    )
    return _found(tuple(beliefs), solution)


def _found(beliefs: tuple[Belief, ...], solution: Solution) -> Found:
    before = np.array([b.sd for b in beliefs])
    after = np.sqrt(np.diag(solution.covariance))
    numbers = values_of(beliefs, solution.values)
    kept = [i for i, b in enumerate(beliefs) if b.kind and after[i] <= NARROWED * before[i]]
    scale = np.array([_slope(numbers[i], float(after[i])) if beliefs[i].log else 1.0 for i in kept])
    values = tuple(
        FittedValue(b.kind, b.field, numbers[i], float(abs(s) * after[i]), b.unit, b.note)
        for i, s in zip(kept, scale, strict=True)
        for b in (beliefs[i],)
    )
    covariance = solution.covariance[np.ix_(kept, kept)] * np.outer(scale, scale)
    parts = [i for i, b in enumerate(beliefs) if b.kind]
    words = tell_apart([beliefs[i].words for i in parts], before[parts], solution.covariance[np.ix_(parts, parts)])
    return Found(beliefs, solution, values, covariance, words)


def _slope(number: float, sd: float) -> float:
    """Standard deviation of a positive number over that of its logarithm, so that predictions draw the same bar:
    they spread a value by the factor exp(sqrt(ln(1 + (sd/value)^2)) z).
    """
    return number * math.sqrt(math.expm1(sd**2)) / sd if sd > 0.0 else number


def tell_apart(names: Sequence[str], before: Array, covariance: Array) -> str:
    """What the readings found, narrowed and cannot tell apart, in sentences.

    names: (k,) of the numbers; before: (k,) standard deviations; covariance: (k, k) after, in the same units
    """
    scaled = covariance / np.outer(before, before)
    ratio = np.sqrt(np.diag(scaled))
    found = [name for name, r in zip(names, ratio, strict=True) if r <= FOUND]
    narrowed = [name for name, r in zip(names, ratio, strict=True) if FOUND < r <= NARROWED]
    silent = [name for name, r in zip(names, ratio, strict=True) if r > NARROWED]
    sentences = []
    if found:
        sentences.append(f"The readings find {_listed(found)}.")
    if narrowed:
        sentences.append(f"The readings narrow {_listed(narrowed)}, and no more.")
    if silent:
        sentences.append(f"The readings say next to nothing of {_listed(silent)}: as believed before.")
    touched = np.flatnonzero(ratio <= _TOUCHED)
    tangles = _tangles([names[int(i)] for i in touched], scaled[np.ix_(touched, touched)])
    return " ".join([*sentences, *tangles[:_MOST_SAID]])


def _tangles(names: Sequence[str], scaled: Array) -> list[str]:
    """A sentence for each direction that is not found and takes in several numbers."""
    sizes, directions = np.linalg.eigh(scaled)
    sentences = []
    for size, way in sorted(zip(sizes, directions.T, strict=True), key=lambda pair: -float(pair[0])):
        if size < 0.5:  # singular value of one
            break
        part = [(names[i], way[i]) for i in np.argsort(-np.abs(way)) if abs(way[i]) >= _PART]
        if len(part) < 2:
            continue
        first, sign = part[0]
        with_it = [name for name, share in part[1:] if share * sign > 0]
        against = [name for name, share in part[1:] if share * sign < 0]
        how = [f"more of {_listed(with_it)}"] if with_it else []
        how += [f"less of {_listed(against)}"] if against else []
        sentences.append(f"More of {first} with {' and '.join(how)} reads nearly the same.")
    return sentences


def _listed(names: Sequence[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else names[0]
