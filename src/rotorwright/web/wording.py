"""Numbers in the words of a page: without bounds, and with bounds that may be negative."""

from dataclasses import replace

from rotorwright.predict.result import Prediction
from rotorwright.sheet.quantities import Display, Told, tell

__all__ = ["plain", "worded"]


def plain(value: float, unit: str, quantity: str, display: Display) -> str:
    """A number without bounds, in the reader's unit; `value` and `unit` in SI."""
    return str(tell(Prediction.exact(value, unit), quantity, display)).replace("-", "\u2212")


def worded(told: Told) -> Told:
    """A number whose bounds may be negative, so written that no dash is taken for a minus."""
    if "-" not in told.value + told.bounds:
        return told
    bounds = told.bounds.replace("\u2013", " to ").replace("-", "\u2212")
    return replace(told, value=told.value.replace("-", "\u2212"), bounds=bounds)
