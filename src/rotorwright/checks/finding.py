"""What a check found, for people and for machines."""

import math
from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Close", "Finding", "Severity", "Unchecked", "Where", "shown"]


class Severity(StrEnum):
    """How much a finding matters, worst first."""

    STOP = "stop"
    WARN = "warn"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Where:
    """The place in a file and the part on the craft that a finding is about."""

    file: str
    line: int | None
    part: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return f"{place} ({self.part})" if self.part else place


@dataclass(frozen=True, slots=True)
class Finding:
    """Something computed, and found wrong or worth knowing.

    `chance` is the share of samples in which the limit is broken; `waived` holds the builder's reason, else None.
    """

    code: str
    severity: Severity
    chance: float | None
    where: Where
    what: str
    why: str
    fix: str
    value: float | str | None
    limit: float | str | None
    unit: str
    margin: float
    waived: str | None = None


@dataclass(frozen=True, slots=True)
class Unchecked:
    """A rule that could not look, and what it lacks."""

    code: str
    give: str
    part: str = ""


@dataclass(frozen=True, slots=True)
class Close:
    """A limit that the nominal craft keeps, and that a fair share of its samples breaks."""

    code: str
    part: str
    chance: float


# SI unit: (factor, unit as people say it)
_SPOKEN = {
    "m": (1e3, "mm"),
    "kg": (1e3, "g"),
    "ohm": (1e3, "mohm"),
    "rad": (180 / math.pi, "deg"),
    "rad/s": (30 / math.pi, "rpm"),
    "m2": (1e6, "mm2"),
    "F": (1e6, "uF"),
    "Pa": (1e-6, "MPa"),
    "share": (1e2, "%"),
    "degC": (1.0, "C"),
    "1": (1.0, ""),
}


def shown(value: float | str | None, unit: str) -> str:
    """A value in the unit people use for it, to three digits."""
    if value is None:
        return "no value that exists"
    if isinstance(value, str):
        return value
    factor, word = _SPOKEN.get(unit, (1.0, unit))
    if unit == "Hz" and abs(value) >= 1e6:  # of radio, not of a frame
        factor, word = 1e-6, "MHz"
    return f"{_digits(value * factor)} {word}".rstrip()


def _digits(value: float) -> str:
    if not math.isfinite(value) or value == 0:
        return f"{value + 0.0:g}"
    places = 2 - math.floor(math.log10(abs(value)))
    rounded = round(value, places)
    return f"{rounded:.{max(places, 0)}f}".rstrip("0").rstrip(".") if places > 0 else f"{rounded:.0f}"
