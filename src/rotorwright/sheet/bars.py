"""Bars for a line of text: a number with its bounds, and a share of a whole."""

from rotorwright.predict.result import Prediction
from rotorwright.sheet.blocks import Inset
from rotorwright.sheet.ink import Picture

__all__ = ["range_bar", "share_bar"]

_WIDE, _TALL = 120.0, 12.0
_EM = 12.0
# The longest bar ends here, so that a bound is seen to end.
_ROOM = 1.12


def range_bar(prediction: Prediction, top: float | None = None, base: float = 0.0) -> Inset | str:
    """From `base` to the value, the bounds laid over it; `top` ends the scale, the upper bound unless given."""
    value, low, high = prediction.value, prediction.low, prediction.high
    if value is None or value < base:
        return ""
    low, high = (value if low is None else max(low, base)), (value if high is None else high)
    value, low, high, top = value - base, low - base, high - base, None if top is None else top - base
    scale = _WIDE / ((top or max(high, value)) * _ROOM or 1.0)
    picture = Picture(_WIDE, _TALL, "")
    picture.line([(0, _TALL / 2), (_WIDE, _TALL / 2)], "line", 1.0)
    picture.box(0, 3, min(low * scale, _WIDE), 6, "accent")
    picture.box(low * scale, 3, min(max((high - low) * scale, 0.0), _WIDE), 6, "accent", opacity=0.35)
    picture.line([(value * scale, 1), (value * scale, _TALL - 1)], "ink", 1.6)
    return Inset(picture.svg(), _WIDE / _EM, _TALL / _EM)


def share_bar(share: float, word: str = "accent", wide: float = _WIDE) -> Inset:
    """A bar of `share` of the full width in the colour `word`."""
    picture = Picture(wide, _TALL, "")
    picture.box(0, 2, max(wide * share, 0.8), 8, word, "ink", 0.4)
    return Inset(picture.svg(), wide / _EM, _TALL / _EM)
