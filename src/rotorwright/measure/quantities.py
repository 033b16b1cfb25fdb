"""What a column may hold: quantities with their dimension, the words people head them with, and units as written."""

import re
from dataclasses import dataclass
from functools import cache

from rotorwright.units import UNITS, suffixes

__all__ = ["QUANTITIES", "Quantity", "is_unit", "si_of", "split_heading", "unit_of"]

# Accelerations are read from logs only, so that files of crafts and parts need no unit for them.
_ACCELERATION = {"m_per_s2": 1.0, "g": 9.80665}

# Units as people write them, in lower case, by what follows in files as a suffix.
_WRITTEN: dict[str, str] = {
    **dict.fromkeys(("%", "pct", "per cent"), "percent"),
    **dict.fromkeys(("1", "0-1", "0..1"), "fraction"),
    **dict.fromkeys(("sec", "secs", "second", "seconds"), "s"),
    **dict.fromkeys(("msec", "millis", "milliseconds"), "ms"),
    **dict.fromkeys(("\u00b5s", "\u03bcs", "usec", "micros", "microseconds"), "us"),
    **dict.fromkeys(("volt", "volts"), "v"),
    **dict.fromkeys(("amp", "amps", "ampere", "amperes"), "a"),
    **dict.fromkeys(("watt", "watts"), "w"),
    **dict.fromkeys(("1/min", "min-1", "min^-1", "min\u207b\u00b9", "r/min", "u/min"), "rpm"),
    **dict.fromkeys(("newton", "newtons"), "n"),
    **dict.fromkeys(("gram", "grams", "gr"), "g"),
    **dict.fromkeys(("nm", "n m", "n\u00b7m", "n*m"), "n_m"),
    **dict.fromkeys(("mnm", "mn m", "mn\u00b7m", "nmm", "n mm", "n\u00b7mm"), "mn_m"),
    **dict.fromkeys(("m/s", "mps", "m s-1"), "m_per_s"),
    **dict.fromkeys(("km/h", "kmh", "kph"), "km_per_h"),
    **dict.fromkeys(("m/s2", "m/s\u00b2", "m/s^2", "mss"), "m_per_s2"),
    **dict.fromkeys(("\u00b0/s", "deg/s", "dps", "\u00ba/s"), "deg_per_s"),
    "rad/s": "rad_per_s",
    **dict.fromkeys(("\u00b0c", "\u00bac", "c", "celsius"), "degc"),
    **dict.fromkeys(("ohms", "\u03c9", "\u2126"), "ohm"),
    **dict.fromkeys(("mohms", "m\u03c9", "m\u2126"), "mohm"),
    **dict.fromkeys(("\u00b0", "degree", "degrees"), "deg"),
    **dict.fromkeys(("kg/m3", "kg/m\u00b3"), "kg_per_m3"),
}
# Thrust is read off scales.
_OF_FORCE = {"g": "gf", "kg": "kgf"}


@dataclass(frozen=True, slots=True)
class Quantity:
    """One thing that can be measured.

    `words` are what a heading says, best first; `usual` the units tried when nothing states one, each with the
    largest value that it makes believable; `several` says what becomes of several columns: mean, norm, or '' for no
    more than one.
    """

    name: str
    about: str
    dimension: str
    words: tuple[str, ...]
    usual: tuple[tuple[str, float], ...] = ()
    several: str = ""
    lowest: float = float("-inf")
    highest: float = float("inf")
    """Believable bounds [SI]; a row beyond them is set aside."""


QUANTITIES: dict[str, Quantity] = {
    quantity.name: quantity
    for quantity in (
        Quantity("time", "time", "time", ("time", "t", "elapsed", "timestamp"), (("s", 1e9),)),
        Quantity(
            "voltage",
            "voltage of the pack or supply",
            "voltage",
            ("voltage", "volts", "volt", "pack voltage", "battery voltage", "vbat", "u", "v"),
            (("v", 100.0), ("mv", 1e5)),
            lowest=0.0,
            highest=100.0,
        ),
        Quantity(
            "current",
            "current from the pack or supply",
            "current",
            ("current", "amps", "amp", "amperage", "battery current", "pack current", "i", "a"),
            (("a", 500.0), ("ma", 5e5)),
            highest=500.0,
        ),
        Quantity(
            "throttle",
            "throttle, 0 to 1",
            "share",
            ("throttle", "thr", "duty", "throttle out", "motor output", "motor"),
            (("fraction", 1.05), ("percent", 105.0)),
            "mean",
            -0.05,
            1.05,
        ),
        Quantity(
            "rotation",
            "speed of rotation of shaft and propeller",
            "rotation",
            ("rpm", "rotation", "speed of rotation", "rotational speed", "motor speed", "n"),
            (("rpm", 1e5),),
            "mean",
            -1.0,
            1.1e4,
        ),
        Quantity("thrust", "thrust", "force", ("thrust", "pull", "force", "f"), (("gf", 2e4),), "", -2.0, 500.0),
        Quantity("torque", "torque of the shaft", "torque", ("torque", "moment", "m"), (("n_m", 20.0),)),
        Quantity("power", "electrical power", "power", ("power", "watts", "p"), (("w", 2e4),)),
        Quantity(
            "acceleration",
            "what an accelerometer reads: 1 g at rest",
            "acceleration",
            ("acceleration", "accel", "acc", "accelerometer", "load factor", "g load"),
            (("g", 30.0), ("m_per_s2", 400.0)),
            "norm",
        ),
        Quantity(
            "speed",
            "speed over ground or through the air",
            "speed",
            ("speed", "ground speed", "airspeed", "velocity", "gps speed"),
            (("m_per_s", 120.0),),
            "",
            -100.0,
            120.0,
        ),
        Quantity("altitude", "height", "length", ("altitude", "height", "alt"), (("m", 9000.0),)),
        Quantity("mass", "mass", "mass", ("mass", "weight", "grams"), (("g", 2e4),), lowest=0.0),
        Quantity("charge", "charge drawn", "charge", ("charge", "consumed", "capacity", "used"), (("mah", 1e5),)),
        Quantity("temperature", "temperature", "temperature", ("temperature", "temp"), (("degc", 250.0),)),
        Quantity(
            "rate",
            "rate of turn about one axis",
            "rotation",
            ("rate", "gyro", "roll rate", "pitch rate", "yaw rate", "angular rate"),
            (("deg_per_s", 4000.0),),
        ),
        Quantity(
            "command",
            "what the sticks or a script asked for",
            "share",
            ("command", "setpoint", "demand", "stick", "step"),
            (("fraction", 1.05), ("percent", 105.0)),
        ),
        Quantity("swings", "whole swings in one timing", "share", ("swings", "count", "turns"), (("fraction", 1e6),)),
        Quantity("run", "number of the run a row belongs to", "share", ("run", "pass"), (("fraction", 1e6),)),
        Quantity("resistance", "resistance", "resistance", ("resistance", "r"), (("mohm", 1e5),), "", 0.0),
    )
}


@cache
def _units(dimension: str) -> frozenset[str]:
    return frozenset(_ACCELERATION if dimension == "acceleration" else suffixes(dimension))


def unit_of(written: str, dimension: str) -> str | None:
    """The suffix that `written` means for a quantity of `dimension`, None when it is no unit of it."""
    plain = " ".join(written.strip().strip("[](){}").lower().split())
    known = _units(dimension)
    for candidate in (plain, _WRITTEN.get(plain, "")):
        if dimension == "force" and candidate in _OF_FORCE:
            return _OF_FORCE[candidate]
        if candidate in known:
            return candidate
    return None


@cache
def is_unit(written: str) -> bool:
    """Whether a cell, such as one of a row below the headings, is a unit of any kind."""
    plain = written.strip().strip("[](){}").strip().lower()
    return plain in _WRITTEN or plain in UNITS or plain in _ACCELERATION


def si_of(unit: str, dimension: str) -> tuple[float, float]:
    """(factor, offset) that take a value in `unit` to SI: (value + offset) factor."""
    if dimension == "acceleration":
        return _ACCELERATION[unit], 0.0
    found = next(u for u in UNITS[unit] if u.dimension == dimension)
    return found.factor, found.offset


_LONGEST = 200  # letters of a heading that are looked at
_BRACKETED = re.compile(r"^(.*?)\s*[\[({]([^\])}]*)[\])}]\s*$")
_PARTED = re.compile(r"^(.*?)\s*(?:/|,|\bin\b)\s*(\S+)$")


def split_heading(heading: str) -> tuple[str, str]:
    """Words and unit of a heading: `Voltage [V]`, `voltage_v`, `U/V`, `current, A`, `Throttle %`; '' for no unit."""
    heading = " ".join(heading[:_LONGEST].split())
    for pattern in (_BRACKETED, _PARTED):
        if (match := pattern.match(heading)) and is_unit(match[2]):
            return _plain(match[1]), match[2]
    cuts = [i for i, letter in enumerate(heading) if letter == "_"]
    for cut in cuts:
        if is_unit(heading[cut + 1 :].lower()) and cut:
            return _plain(heading[:cut]), heading[cut + 1 :]
    words = heading.split()
    if len(words) > 1 and is_unit(words[-1]):
        return _plain(" ".join(words[:-1])), words[-1]
    return _plain(heading), ""


def _plain(words: str) -> str:
    """Lower case, parted where letters change case or meet digits, nothing but letters and digits."""
    parted = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", words)
    parted = re.sub(r"(?<=[A-Za-z])(?=\d)", " ", parted)
    return " ".join(re.sub(r"[^0-9a-z\u00e0-\u024f]+", " ", parted.lower()).split())
