"""Predicted numbers in words: value, bounds and unit, with no more digits than the bounds deserve."""

import math

from rotorwright.predict.result import Prediction

__all__ = ["clock", "either_side", "nominal", "said", "spoken"]


def said(prediction: Prediction, factor: float = 1.0, unit: str = "", most: int = 6) -> str:
    """`8.0 (6.1-10.2)`, times `factor`, with `unit` behind and at most `most` decimals; a dash for no value."""
    if prediction.value is None:
        return "-"
    tail = f" {unit}" if unit else ""
    value = prediction.value * factor
    if prediction.low is None or prediction.high is None or prediction.low == prediction.high:
        return f"{nominal(prediction, factor)}{tail}"
    low, high = sorted((prediction.low * factor, prediction.high * factor))
    places = min(_places(high - low, max(abs(low), abs(high))), most)
    shown, first, last = (_rounded(one, places) for one in (value, low, high))
    if shown == first == last:  # narrower than what is shown
        return f"{shown}{tail}"
    return f"{shown} ({first}\u2013{last}){tail}"


def nominal(prediction: Prediction, factor: float = 1.0) -> str:
    """The value alone, to three digits."""
    if prediction.value is None:
        return "-"
    size = abs(prediction.value * factor)
    return _rounded(prediction.value * factor, _places(size / 10, size))


def either_side(prediction: Prediction) -> str:
    """The bounds as a share of the value: `-26 to +35 %`."""
    if not prediction.value or prediction.low is None or prediction.high is None:
        return "not known"
    return f"{prediction.low / prediction.value - 1:+.0%} to {prediction.high / prediction.value - 1:+.0%}"


def spoken(prediction: Prediction, factor: float = 1.0, unit: str = "") -> str:
    """The same in the middle of a sentence, the reason instead of a missing value."""
    return said(prediction, factor, unit) if prediction.value is not None else (prediction.reason or "unknown")


def clock(prediction: Prediction) -> str:
    """A time [s] as minutes and seconds with bounds."""
    if prediction.value is None:
        return "-"
    if prediction.low is None or prediction.high is None:
        return f"{_minutes(prediction.value)} min"
    return f"{_minutes(prediction.value)} ({_minutes(prediction.low)}\u2013{_minutes(prediction.high)}) min"


def _minutes(seconds: float) -> str:
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02d}"


def _places(width: float, size: float) -> int:
    """Decimal places (negative for tens) at which `width` shows two digits, but no more than four of `size`."""
    if width <= 0 or size <= 0:
        return 0
    return min(1 - math.floor(math.log10(width)), 3 - math.floor(math.log10(size)), 6)


def _rounded(value: float, places: int) -> str:
    rounded = round(value, places) + 0.0
    return f"{rounded:.{max(places, 0)}f}"
