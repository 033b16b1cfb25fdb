"""Differences in words: signed, with half the width of their bounds, and said to be nothing where they may be."""

import math
from collections.abc import Mapping

from rotorwright.predict.result import Prediction
from rotorwright.search.measures import MEASURES
from rotorwright.search.swap import CANNOT_TELL

__all__ = ["LEGEND", "argument", "change", "heading"]

LEGEND = (
    "Differences; \u00b1 is half the width of their 5\u201395 % bounds, in which what both craft share cancels. "
    "~ marks one that the bounds cannot tell from nothing."
)

_HEADINGS = {
    "weight": "weight g",
    "flight-time": "flight s",
    "hover-time": "hover s",
    "thrust-to-weight": "thrust/wt",
    "hover-throttle": "hover %",
    "roll": "roll rad/s2",
    "pitch": "pitch rad/s2",
    "thrust-rise": "rise ms",
    "throttle-gain": "gain g/%",
    "current": "full A",
    "motor-current": "motor A",
    "controller-room": "ESC room %",
    "pack-room": "pack room %",
    "winding": "winding K",
    "tip-mach": "tip Mach",
    "cost": "cost",
}

# What is said of a measure, more and less: (more, less).
_WORDS = {
    "weight": ("heavier", "lighter"),
    "flight-time": ("longer flight", "shorter flight"),
    "hover-time": ("longer hover", "shorter hover"),
    "thrust-to-weight": ("more thrust to weight", "less thrust to weight"),
    "hover-throttle": ("more hover throttle", "less hover throttle"),
    "roll": ("more roll acceleration", "less roll acceleration"),
    "thrust-rise": ("slower thrust", "quicker thrust"),
    "throttle-gain": ("sharper throttle", "softer throttle"),
    "controller-room": ("more room in the controller", "less room in the controller"),
    "pack-room": ("more room in the pack's rating", "less room in the pack's rating"),
    "current": ("more current at full throttle", "less current at full throttle"),
    "winding": ("hotter windings (comparative)", "cooler windings (comparative)"),
    "cost": ("dearer", "cheaper"),
}


def heading(name: str) -> str:
    """A measure as the head of a column."""
    return _HEADINGS[name]


def change(difference: Prediction, name: str, verdict: str) -> str:
    """`+12.3 \u00b10.6`, with ~ before it where the bounds hold zero; a dash for no value."""
    if difference.value is None:
        return "-"
    factor = MEASURES[name].factor
    value = difference.value * factor
    if difference.low is None or difference.high is None or difference.high == difference.low:
        return _signed(value, _places(abs(value)))
    half = (difference.high - difference.low) / 2 * factor
    places = _places(half)
    mark = "~" if verdict == CANNOT_TELL else ""
    return f"{mark}{_signed(value, places)} \u00b1{half:.{max(places, 0)}f}"


def argument(differences: Mapping[str, Prediction], verdicts: Mapping[str, str]) -> str:
    """What is gained and lost, and what cannot be told, in one or two sentences."""
    said: dict[str, list[str]] = {"better": [], "worse": [], "other": []}
    unsure = []
    for name, (more, less) in _WORDS.items():
        found, verdict = differences[name], verdicts[name]
        if verdict in said and found.value is not None:
            said[verdict].append(f"{_amount(found, name)} {more if found.value > 0 else less}")
        elif verdict == CANNOT_TELL:
            unsure.append(MEASURES[name].words)
    parts = [
        f"{lead} {', '.join(words)}."
        for lead, words in (("Gains:", said["better"]), ("Costs:", said["worse"]), ("Also:", said["other"]))
        if words
    ]
    if unsure:
        parts.append(f"No telling: {', '.join(unsure)}.")
    return " ".join(parts) or "Nothing changes."


def _amount(found: Prediction, name: str) -> str:
    """The size of a difference with its bounds and unit: `12.3 g (11.5-13.1)`."""
    measure = MEASURES[name]
    assert found.value is not None
    ends = sorted(abs(x * measure.factor) for x in (found.low, found.high) if x is not None)
    size = abs(found.value * measure.factor)
    places = _places((ends[1] - ends[0]) / 2) if len(ends) == 2 and ends[1] > ends[0] else _places(size)
    unit = f" {measure.shown}" if measure.shown else ""
    text = f"{size:.{max(places, 0)}f}{unit}"
    if len(ends) == 2 and ends[1] > ends[0]:
        text += f" ({ends[0]:.{max(places, 0)}f}\u2013{ends[1]:.{max(places, 0)}f})"
    return text


def _places(width: float) -> int:
    """Decimals at which `width` shows two digits, at most four."""
    return min(1 - math.floor(math.log10(width)), 4) if width > 1e-12 else 1


def _signed(value: float, places: int) -> str:
    return f"{value + 0.0:+.{max(places, 0)}f}"
