"""The one shape of a predicted number, and how a report of them turns into plain data."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["FEWEST_SAMPLES", "Prediction", "plain"]

Array = NDArray[np.float64]

FEWEST_SAMPLES = 20
"""Samples below which nothing is said of 5-95 % bounds: one of twenty lies beyond each."""


@dataclass(frozen=True, slots=True)
class Prediction:
    """A nominal value with its 5-95 % bounds; `reason` says why a value is absent or what limits it.

    `samples` holds what the bounds were taken from, so that two predictions can be compared sample by sample; it is
    no part of the printed shape.
    """

    value: float | None
    low: float | None
    high: float | None
    unit: str
    reason: str | None = None
    samples: Array | None = field(default=None, repr=False, compare=False, metadata={"printed": False})

    @classmethod
    def of(cls, samples: Array, unit: str, reason: str | None = None) -> "Prediction":
        """From samples whose row 0 is the nominal solve; bounds are absent when there are too few samples.

        Samples that have no solution are left out of the bounds, and the reason says how many.
        """
        nominal = float(samples[0])
        if not np.isfinite(nominal):
            return cls.absent(unit, reason or "no solution")
        found = samples[1:][np.isfinite(samples[1:])]
        if len(found) < FEWEST_SAMPLES:
            return cls(nominal, None, None, unit, reason, samples)
        low, high = (float(q) for q in np.quantile(found, (0.05, 0.95)))
        lost = 1 - len(found) / (len(samples) - 1)
        if lost >= 0.005 and reason is None:
            reason = f"no solution in {lost:.0%} of the samples; the bounds are those of the rest"
        return cls(nominal, min(low, nominal), max(high, nominal), unit, reason, samples)

    @classmethod
    def exact(cls, value: float, unit: str) -> "Prediction":
        """A number without scatter: it follows from what the builder stated."""
        return cls(value, value, value, unit)

    @classmethod
    def absent(cls, unit: str, reason: str) -> "Prediction":
        """A number that could not be computed."""
        return cls(None, None, None, unit, reason)


def plain(result: Any) -> Any:
    """Dictionaries, lists, numbers and texts of a result, ready for JSON; attribute names are the keys."""
    if hasattr(result, "printed"):  # a record that prints otherwise than it computes
        return result.printed()
    if is_dataclass(result) and not isinstance(result, type):
        shown = [f.name for f in fields(result) if f.metadata.get("printed", True)]
        return {name: plain(getattr(result, name)) for name in shown}
    if isinstance(result, Mapping):
        return {key: plain(value) for key, value in result.items()}
    if isinstance(result, list | tuple):
        return [plain(item) for item in result]
    return result
