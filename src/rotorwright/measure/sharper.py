"""Whether a measurement sharpens what is known of a value, and whether it agrees with it.

Fits that start from what the part's file says hold the old value in theirs already. The others (a scale, an ohmmeter)
share their calibration with what the same tool read before, so that old and new are not averaged: the narrower holds.
"""

import math
from dataclasses import dataclass

from rotorwright.measure.fit import FittedValue
from rotorwright.measure.spelling import after_words, words_of
from rotorwright.parts.estimate import Estimate

__all__ = ["Weighed", "weighed_against"]

_WIDER = 1.02
"""Bar over the old one beyond which a value sharpens nothing; two of one tool differ by less."""
_FAR = 4.0
"""Standard deviations of old and new together beyond which no chance explains their distance."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A new value held against the old one."""

    left_out: str
    """Why it is not offered, a sentence's end without a full stop; '' when it is."""
    notes: tuple[str, ...]
    """What to know before it is applied, in sentences."""


def weighed_against(value: FittedValue, before: Estimate | None, dimension: str, key: str, asked: bool) -> Weighed:
    """Judge a new value by the old one: left out when its bar is wider, unless it was asked for by name.

    before: what was known without these readings; key: as the file spells it
    """
    if before is None or not before.sd > 0.0:
        return Weighed("", ())
    old, new, name = words_of(before, key, dimension), after_words(value, dimension), value.part or value.kind
    apart = abs(value.value - before.value) / math.hypot(value.sd, before.sd)
    notes = []
    if apart > _FAR:
        notes.append(
            f"{key} of {name}: {new} lies far from what was believed, {old}: {apart:.0f} times what both bars "
            "together explain. Is it the right part, number of pieces and unit?"
        )
    if value.sd <= _WIDER * before.sd:
        return Weighed("", tuple(notes))
    if asked:
        return Weighed("", (*notes, f"{key} of {name}: {new} is known less well than what it replaces, {old}."))
    why = f"{old} is known already, and these readings ({new}) cannot sharpen it; --only {value.field} takes them"
    return Weighed(why, tuple(notes))
