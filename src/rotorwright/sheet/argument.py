"""Differences in words: signed, with half the width of their bounds, and said to be nothing where they may be."""

import math
from collections.abc import Mapping

from rotorwright.predict.result import Prediction
from rotorwright.search.swap import CANNOT_TELL
from rotorwright.sheet.own_measures import KNOWN
from rotorwright.sheet.quantities import CHOICES, Display, tell
from rotorwright.sheet.words import clock, nominal

__all__ = ["LEGEND", "argument", "brief", "change", "heading", "scale", "short", "signed", "standing", "worth_a_word"]

LEGEND = (
    "Differences; \u00b1 is half the width of their 5\u201395 % bounds, in which what both craft share cancels. "
    "~ marks one that the bounds cannot tell from nothing."
)

_SHORT = {
    "weight": "weight",
    "flight-time": "flight",
    "hover-time": "hover",
    "thrust-to-weight": "thrust/wt",
    "hover-throttle": "hover",
    "roll": "roll",
    "pitch": "pitch",
    "thrust-rise": "rise",
    "throttle-gain": "gain",
    "current": "full",
    "motor-current": "motor",
    "controller-room": "ESC room",
    "pack-room": "pack room",
    "winding": "winding",
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
    "control-range": ("more range of control", "less range of control"),
    "picture-range": ("more range of the picture", "less range of the picture"),
    "rail-room": ("more room on the flight controller's rails", "less room on the flight controller's rails"),
    "cost": ("dearer", "cheaper"),
}

_EQUAL = (
    "No number here tells it from the part on the craft: what decides is what has none, such as plugs, firmware, "
    "trust and the drawer."
)
_NO_GAIN, _NO_COST = "Gains: nothing that has a number here.", "Costs: nothing that has a number here."

# Differences up to these [SI] leave every choice as it is.
_SMALLEST = {
    "thrust-to-weight": 0.05,
    "hover-throttle": 0.005,
    "thrust-rise": 1e-3,
    "winding": 1.0,
    "controller-room": 0.01,
    "pack-room": 0.01,
    "current": 0.5,
    "motor-current": 0.2,
    "tip-mach": 0.005,
}

# Measures whose unit is the reader's choice, by their SI unit. A difference in kelvin is one in degrees Celsius.
_CHOSEN = {"kg": "mass", "K": "temperature"}
_ZERO_CELSIUS = 273.15  # by definition of the unit


def scale(name: str, display: Display | None = None) -> tuple[float, str]:
    """Factor from SI and unit in which the differences of a measure are said."""
    measure = KNOWN[name]
    choice = _CHOSEN.get(measure.unit)
    if choice is None or display is None:
        return measure.factor, measure.shown
    unit = getattr(display, choice)
    return CHOICES[choice][unit][0], "K" if unit == "\u00b0C" else unit


def short(name: str) -> str:
    """A measure in a word or two."""
    return _SHORT[name]


def heading(name: str, display: Display | None = None) -> str:
    """A measure and its unit as the head of a column."""
    return f"{_SHORT[name]} {scale(name, display)[1]}".rstrip()


def change(difference: Prediction, name: str, verdict: str) -> str:
    """`+12.3 \u00b10.6`, with ~ before it where the bounds hold zero; a dash for no value."""
    value, half = signed(difference, name)
    mark = "~" if verdict == CANNOT_TELL and half else ""
    return f"{mark}{value} {half}".rstrip()


def signed(difference: Prediction, name: str, display: Display | None = None) -> tuple[str, str]:
    """A difference as `+12.3` and `\u00b10.6`, the latter empty without bounds; a dash for no value."""
    if difference.value is None:
        return "-", ""
    factor, _ = scale(name, display)
    value = difference.value * factor
    if difference.low is None or difference.high is None or difference.high == difference.low:
        return _signed(value, _places(abs(value))), ""
    half = (difference.high - difference.low) / 2 * factor
    places = _places(half)
    return _signed(value, places), f"\u00b1{half:.{max(places, 0)}f}"


def brief(difference: Prediction, name: str, display: Display | None = None) -> tuple[str, str]:
    """A difference as `+97` and its bounds as `+3\u2026+223`, rounded to what the bounds leave open."""
    if difference.value is None or difference.low is None or difference.high is None:
        return signed(difference, name, display)
    if difference.high == difference.low:
        return signed(difference, name, display)
    factor, _ = scale(name, display)
    half = (difference.high - difference.low) / 2 * factor
    places = _places(half) - (f"{half:e}"[0] > "2")  # one digit of what is open, two where it begins with 1 or 2
    bounds = "\u2026".join(_signed(end * factor, places) for end in (difference.low, difference.high))
    return _signed(difference.value * factor, places), bounds


def worth_a_word(difference: Prediction, name: str) -> bool:
    """Whether a difference, or an end of its bounds, is large enough to choose by (judgement, no source)."""
    found = [abs(x) for x in (difference.value, difference.low, difference.high) if x is not None]
    return bool(found) and max(found) > _SMALLEST.get(name, 0.0)


def standing(value: Prediction, name: str, display: Display | None = None) -> str:
    """A measure's own value, to three digits: a time as minutes, a temperature in the reader's degrees."""
    if value.value is not None and name.endswith("-time"):
        return clock(Prediction.exact(value.value, "s")).split(" ")[0]
    if value.value is not None and KNOWN[name].unit == "K":
        return str(tell(Prediction.exact(value.value - _ZERO_CELSIUS, "degC"), "temperature", display))
    return nominal(value, scale(name, display)[0])


def argument(
    differences: Mapping[str, Prediction],
    verdicts: Mapping[str, str],
    display: Display | None = None,
    *,
    currency: str = "",
    both: bool = False,
) -> str:
    """What is gained and lost, and what cannot be told, in one or two sentences.

    both: say so where nothing is gained, or nothing lost, or where no number tells two parts apart
    """
    said: dict[str, list[str]] = {"better": [], "worse": [], "other": []}
    unsure = []
    for name, (more, less) in _WORDS.items():
        found, verdict = differences.get(name), verdicts.get(name)
        if found is not None and verdict in said and found.value is not None:
            amount = _amount(found, name, display)
            words = more if found.value > 0 else less
            said[verdict].append(f"{amount} {words}{f' ({currency})' if currency and name == 'cost' else ''}")
        elif verdict == CANNOT_TELL:
            unsure.append(KNOWN[name].words)
    parts = [
        f"{lead} {', '.join(told)}." if told else nothing
        for lead, told, nothing in (
            ("Gains:", said["better"], _NO_GAIN if both else ""),
            ("Costs:", said["worse"], _NO_COST if both else ""),
            ("Also:", said["other"], ""),
        )
        if told or nothing
    ]
    if both and not any(said.values()):
        parts = [_EQUAL]
    if unsure:
        parts.append(f"No telling: {', '.join(unsure)}.")
    return " ".join(parts) or "Nothing changes."


def _amount(found: Prediction, name: str, display: Display | None) -> str:
    """The size of a difference with its bounds and unit: `12.3 g (11.5-13.1)`."""
    factor, shown = scale(name, display)
    assert found.value is not None
    ends = sorted(abs(x * factor) for x in (found.low, found.high) if x is not None)
    size = abs(found.value * factor)
    places = _places((ends[1] - ends[0]) / 2) if len(ends) == 2 and ends[1] > ends[0] else _places(size)
    places = 0 if name == "cost" and float(size).is_integer() else places
    unit = f" {shown}" if shown else ""
    if name.endswith("-range") and places < 0:
        size, ends = round(size, places), [round(end, places) for end in ends]
    text = f"{size:.{max(places, 0)}f}{unit}"
    if len(ends) == 2 and ends[1] > ends[0]:
        text += f" ({ends[0]:.{max(places, 0)}f}\u2013{ends[1]:.{max(places, 0)}f})"
    return text


def _places(width: float) -> int:
    """Decimals at which `width` shows two digits, at most four."""
    return min(1 - math.floor(math.log10(width)), 4) if width > 1e-12 else 1


def _signed(value: float, places: int) -> str:
    rounded = round(value, max(places, 0))
    return f"{rounded:+.{max(places, 0)}f}" if rounded else "0"
