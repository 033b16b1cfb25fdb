"""Which input makes how much of a result's scatter."""

import numpy as np
from numpy.typing import NDArray

__all__ = ["first_order_share"]

Array = NDArray[np.float64]


def first_order_share(deviate: Array, result: Array, bins: int | None = None) -> float:
    """First-order share of variance S = Var(E[y | x]) / Var(y) of an input from given samples [1].

    The samples are sorted by the input and cut into `bins` groups of equal size (64 samples each unless said); the
    variance of the groups' means, less what means of pure noise would show, is the estimate (correlation ratio).

    deviate, result : shape (n,); samples where the result is not finite are left out
    Noise of the estimate about sqrt(2 bins)/n; refuses with NaN below 20 samples a bin.
    """
    bins = bins or min(max(len(result) // 64, 16), 128)
    found = np.isfinite(result)
    x, y = deviate[found], result[found]
    if len(y) < 20 * bins:
        return float("nan")
    total = float(np.var(y))
    if total == 0.0:
        return 0.0
    groups = np.array_split(y[np.argsort(x, kind="stable")], bins)
    sizes = np.array([len(group) for group in groups])
    means = np.array([group.mean() for group in groups])
    between = float(np.sum(sizes * (means - y.mean()) ** 2) / len(y))
    within = total - between
    noise = (bins - 1) * within / (len(y) - bins)
    return float(min(max((between - noise) / total, 0.0), 1.0))
