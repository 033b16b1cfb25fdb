"""Random numbers that belong to a part and a field, so that two craft that share a part share its chance.

Every key has its own stratified normal deviates: the same equally likely strata for all, in an order drawn from
the key alone. Row 0 is the nominal craft. Each single input is sampled as evenly as the sample size allows,
whatever other inputs a craft has, which keeps the difference of two craft free of noise from what they share.
"""

from collections.abc import Mapping
from functools import cache
from hashlib import blake2b
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from rotorwright.parts.estimate import Estimate

__all__ = ["Draws"]

Array = NDArray[np.float64]


@cache
def _strata(size: int) -> Array:
    """Middles of `size` equally likely strata of the standard normal distribution."""
    inverse = NormalDist().inv_cdf
    middles = np.array([inverse((i + 0.5) / size) for i in range(size)])
    return np.asarray(middles / middles.std() if size > 1 else np.zeros(size))


# Share of a scaling law's variance that is the law's own error, the same for all parts it is used for; the rest is
# the part's. Judgement, no source.
_SHARED = 0.25


class Draws:
    """Deviates for `size` samples beside the nominal row; `size` 0 gives the nominal row alone.

    `sharpened` maps a key to a relative standard deviation that replaces what the estimate says: what would become
    of the bounds, if it were measured.
    """

    def __init__(self, size: int = 2048, seed: int = 0, sharpened: Mapping[str, float] | None = None) -> None:
        self.size, self.seed = size, seed
        self.sharpened = dict(sharpened or {})
        self.drawn: dict[str, Array] = {}

    @property
    def rows(self) -> int:
        """Rows of every column: the nominal one and the samples."""
        return self.size + 1

    def normal(self, key: str) -> Array:
        """Standard normal deviates of `key`, shape (rows,), zero in row 0."""
        if key not in self.drawn:
            digest = blake2b(key.encode(), digest_size=16, salt=(self.seed % 2**64).to_bytes(8, "little")).digest()
            order = np.random.Generator(np.random.Philox(key=int.from_bytes(digest, "little"))).permutation(self.size)
            self.drawn[key] = np.concatenate(([0.0], _strata(self.size)[order]))
        return self.drawn[key]

    def factor(self, relative: float, key: str, law: str = "") -> Array:
        """Lognormal factor about 1 with the relative standard deviation `relative`, shape (rows,)."""
        if key in self.sharpened:
            relative, law = min(relative, self.sharpened[key]), ""
        if relative == 0.0:
            return np.ones(self.rows)
        z = self.normal(key)
        if law:
            z = np.sqrt(_SHARED) * self.normal(f"law: {law}") + np.sqrt(1.0 - _SHARED) * z
        return np.asarray(np.exp(np.sqrt(np.log1p(relative**2)) * z))

    def of(self, estimate: Estimate, key: str) -> Array:
        """Samples of an estimate [SI], shape (rows,): its value in row 0; a positive value stays positive."""
        return estimate.value * self.factor(estimate.relative, estimate.chance or key, estimate.law)

    def constant(self, value: float) -> Array:
        """One value in every row."""
        return np.full(self.rows, value)
