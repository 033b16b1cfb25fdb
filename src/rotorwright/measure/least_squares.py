"""Least squares that bears bad rows, and says what the data could not find.

Residuals come in units of their assumed standard deviation, in groups (one for each instrument). Three stages:

1. plain, then soft L1 loss (scipy `least_squares`), each group's scale from the median of its absolute residuals,
   never below the assumed scatter where that is trusted: parameters bend to a group that is believed too well, whose
   scale then shrinks the more;
2. readings that no chance explains are marked;
3. the rest by plain least squares, each group's scale from its sum of squares over its degrees of freedom.

With G the weighted Jacobian and P what was believed before, the covariance is H^-1 (sum w_g G_g^T G_g + P) H^-1,
H = G^T G + P, which is s^2 (J^T J)^-1 for one group, no beliefs and w = 1. w_g = (1 + r)/(1 - r) where neighbouring
residuals of group g are correlated by r: neighbours that err together are no independent witnesses.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.errors import CannotCompute

__all__ = ["Solution", "solve"]

Array = NDArray[np.float64]
Residuals = Callable[[Array], Array]

_SURE = 4.0  # standard deviations beyond which a reading is marked, more where there are few
_MOST_MARKED = 0.25  # share of a group's readings
_MOST_TURNS, _SETTLED = 20, 0.05  # of finding the scale, and the change of its logarithm that ends it
_LOST = 1e3  # residual where the model has no answer
_CLOSE, _CLOSE_BELIEVED, _CLOSE_SOFT = 1e-14, 1e-8, 1e-5  # of the search


@dataclass(frozen=True, slots=True)
class Solution:
    """Parameters at the least sum, and how well they are known."""

    values: Array
    """(k,) in the parameters' own units."""
    covariance: Array
    """(k, k)."""
    residuals: Array
    """(m,) in units of the assumed standard deviation; NaN where nothing was read."""
    marked: NDArray[np.bool_]
    """(m,) readings that were not used, because no chance explains them."""
    scales: Array
    """(groups,) found standard deviation over the assumed one."""
    waves: Array
    """(groups,) w: how many readings count as one, because neighbours err together."""
    freedom: float
    """Readings used less parameters they found."""
    sum_of_squares: float
    """Of the used residuals, in units of the assumed standard deviation."""


@dataclass(frozen=True, slots=True)
class _Problem:
    """Readings that are there, their groups, and what was believed."""

    residuals: Residuals
    there: NDArray[np.bool_]
    group: NDArray[np.int64]
    mean: Array
    root: Array  # inverse Cholesky factor of the believed covariance; no rows when nothing was believed
    bounds: tuple[Array, Array]

    def read(self, x: Array) -> Array:
        found = self.residuals(x)[self.there]
        return np.where(np.isfinite(found), found, _LOST)

    def stacked(self, x: Array, weights: Array) -> Array:
        return np.concatenate([self.read(x) * weights, self.root @ (x - self.mean)])

    def least(self, x: Array, weights: Array, loss: str) -> tuple[Array, Array]:
        """Minimum from `x`, and the Jacobian of the weighted readings there."""
        from scipy.optimize import least_squares

        soft, sure = loss == "soft_l1", len(self.root) > 0
        close = _CLOSE_SOFT if soft else _CLOSE_BELIEVED if sure else _CLOSE
        # where nothing was believed there are long valleys, in which a search ends early: it is sent down twice
        for _ in range(1 if soft or sure else 2):
            found = least_squares(
                self.stacked,
                x,
                args=(weights,),
                loss=loss,
                f_scale=0.5,
                method="lm" if sure and not soft else "trf",
                x_scale="jac",
                bounds=self.bounds,
                ftol=close,
                xtol=close,
                gtol=close,
                max_nfev=400 * (len(x) if sure and not soft else 1),
            )
            x = np.asarray(found.x)
        return x, np.asarray(self.slopes(x, weights))

    def lowest(self, starts: Sequence[Array]) -> Array:
        """The start itself when there is one, else the lowest of the minima that are reached from them."""
        if len(starts) == 1:
            return starts[0]
        weights = np.ones(len(self.group))
        minima = [self.least(x, weights, "linear")[0] for x in starts]
        return min(minima, key=lambda x: float(np.sum(np.square(self.stacked(x, weights)))))

    def slopes(self, x: Array, weights: Array) -> Array:
        """Jacobian of the weighted readings by central differences: the covariance rests on them."""
        columns = []
        for k in range(len(x)):
            step = np.zeros(len(x))
            step[k] = 1e-5 * self._size(x, k)
            up, down = self.read(x + step), self.read(x - step)
            columns.append((up - down) * weights / (2.0 * step[k]))
        return np.array(columns).reshape(len(x), -1).T

    def _size(self, x: Array, k: int) -> float:
        """Scale of a parameter: what was believed of it, or itself, or the others where it is next to nothing."""
        if len(self.root):
            return float(max(abs(x[k]), 1.0 / abs(self.root[k, k])))
        most = float(np.max(np.abs(x)))
        return max(float(abs(x[k])) if abs(x[k]) > 1e-7 * most else 1e-3 * most, 1e-8)


def solve(
    residuals: Residuals,
    start: Array,
    *,
    group: NDArray[np.int64] | None = None,
    believed: Array | None = None,
    bounds: tuple[Array, Array] | None = None,
    trust: float = 0.0,
    robust: bool = True,
    ordered: bool = False,
    also: Sequence[Array] = (),
    least: float = 1e-9,
) -> Solution:
    """Parameters that make the residuals least, from `start` (k,).

    residuals: of the parameters, to (m,) readings less model over the assumed standard deviation; NaN where not read
    group: (m,) index of the instrument each reading comes from; one when None
    believed: (k, k) covariance about `start` of what was known before; None when nothing was
    bounds: lowest and highest parameters, where nothing was believed
    trust: how many readings the assumed standard deviation is worth; where it is worth any, no reading within four of
    it is marked
    also: other parameters to begin from, where sums have more than one hollow
    least: scale below which no instrument is trusted, over its assumed standard deviation
    ordered: readings stand in order of time or of load, so that neighbours which err together are seen
    Raises CannotCompute when there are fewer readings than parameters and nothing was believed.
    """
    first = residuals(start)
    there = np.isfinite(first)
    k = len(start)
    groups = np.zeros(len(first), np.int64) if group is None else group
    root = np.zeros((0, k)) if believed is None else np.linalg.inv(np.linalg.cholesky(believed))
    if int(there.sum()) <= (0 if len(root) else k - 1):
        raise CannotCompute(f"{int(there.sum())} readings cannot find {k} numbers")
    limits = bounds or (np.full(k, -np.inf), np.full(k, np.inf))
    problem = _Problem(residuals, there, groups[there], start.copy(), root, limits)
    x, marked = problem.lowest((np.asarray(start, dtype=float), *also)), np.zeros(int(there.sum()), bool)
    if robust:
        x, marked = _robust(problem, x, 1.0 if trust > 0.0 else 0.0)
    return _plain(problem, x, marked, (trust, least), ordered, len(first), int(groups.max(initial=0)) + 1)


def _robust(problem: _Problem, x: Array, least: float) -> tuple[Array, NDArray[np.bool_]]:
    """Parameters by soft L1, and the readings that no chance explains; no scale below `least`."""
    count = len(problem.group)
    free = max(count - len(x), 1)
    x, _ = problem.least(x, np.ones(count), "linear")
    weights = 1.0 / np.maximum(_median_scales(problem, x, free / count), least)
    for _ in range(_MOST_TURNS):
        before = weights
        x, _ = problem.least(x, weights, "soft_l1")
        weights = 1.0 / np.maximum(_median_scales(problem, x, free / count), least)
        if np.all(np.abs(np.log(weights / before)) < _SETTLED):
            break
    if free < 5:
        return x, np.zeros(count, bool)
    off = np.abs(problem.read(x)) * weights
    marked = off > max(_SURE, _quantile(0.005 / count, free))
    for g in np.unique(problem.group):  # a model that fits few of the readings is wrong, not the readings
        own = problem.group == g
        if marked[own].mean() > _MOST_MARKED:
            marked[own] = False
    return x, marked


def _quantile(chance: float, freedom: int) -> float:
    from scipy.stats import t

    return float(t.isf(chance, freedom))


def _median_scales(problem: _Problem, x: Array, free_share: float) -> Array:
    """Each reading's group scale from the median absolute residual (1.4826 MAD); rows that agree to the last digit
    are not trusted beyond a fiftieth of what all of them leave over.
    """
    found, scales = np.abs(problem.read(x)), np.ones(len(problem.group))
    for g in np.unique(problem.group):
        own = problem.group == g
        if own.sum() >= 5:
            least = max(0.02 * float(np.sqrt(np.mean(np.square(found[own])))), 1e-12)
            scales[own] = max(1.4826 * float(np.median(found[own])) / math.sqrt(free_share), least)
    return scales


def _plain(
    problem: _Problem,
    x: Array,
    marked: NDArray[np.bool_],
    trust: tuple[float, float],
    ordered: bool,
    rows: int,
    groups: int,
) -> Solution:
    """Least squares of the unmarked readings, with the scale of each group found along the way."""
    used = ~marked
    own = [used & (problem.group == g) for g in range(groups)]
    scales = np.ones(groups)
    for _ in range(5):
        x, G = problem.least(x, np.where(used, 1.0 / scales[problem.group], 0.0), "linear")
        found, leverage = problem.read(x), _leverage(problem, G)
        before, scales = (
            scales,
            np.array([_scale(found, leverage, o, trust, s) for o, s in zip(own, scales, strict=True)]),
        )
        # one scale moves no minimum, unless something was believed
        if np.allclose(before, scales, rtol=1e-3) or (groups == 1 and len(problem.root) == 0):
            break
    G = problem.slopes(x, np.where(used, 1.0 / scales[problem.group], 0.0))
    waves = np.array([_wave(found[o]) if ordered else 1.0 for o in own])
    whole, bad = np.full(rows, np.nan), np.zeros(rows, bool)
    whole[problem.there], bad[problem.there] = found, marked
    freedom = float(used.sum() - _leverage(problem, G).sum())
    covariance = _covariance(problem, G, waves)
    return Solution(x, covariance, whole, bad, scales, waves, freedom, float(np.sum(np.square(found[used]))))


def _covariance(problem: _Problem, G: Array, waves: Array) -> Array:
    prior = problem.root.T @ problem.root
    inverse = np.linalg.pinv(G.T @ G + prior, hermitian=True)
    inner = (G * waves[problem.group][:, None]).T @ G + prior
    return np.asarray(inverse @ inner @ inverse)


def _leverage(problem: _Problem, G: Array) -> Array:
    """Share of a parameter that each reading takes up (m,)."""
    inverse = np.linalg.pinv(G.T @ G + problem.root.T @ problem.root, hermitian=True)
    return np.asarray(np.einsum("ij,jk,ik->i", G, inverse, G))


def _scale(found: Array, leverage: Array, own: NDArray[np.bool_], trust: tuple[float, float], before: float) -> float:
    """Standard deviation of a group over the assumed one, from squares over degrees of freedom."""
    rows, least = trust
    freedom = float(own.sum() - leverage[own].sum()) + rows
    if freedom < 0.5:
        return before
    return max(math.sqrt((float(np.sum(np.square(found[own]))) + rows) / freedom), least)


def _wave(found: Array) -> float:
    """(1 + r)/(1 - r) of the correlation r of neighbours, 1 where chance explains it; at most half the readings."""
    count = len(found)
    if count < 8 or not np.any(found):
        return 1.0
    r = float(np.sum(found[1:] * found[:-1]) / np.sum(np.square(found)))
    if r < 2.0 / math.sqrt(count):
        return 1.0
    return min((1.0 + r) / max(1.0 - r, 1e-3), count / 2.0)
