"""What a fit returns: values for fields of parts with their covariance, and every row it did not trust, with why."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

__all__ = ["Fit", "FittedValue", "SetAside", "set_aside"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SetAside:
    """A row, or one reading of a row, that a fit did not use."""

    row: int
    """Index into the arrays given to the fit, from 0 (no line of a file: whoever read the file knows the line)."""
    reason: str
    """Plain words that end a sentence 'row 7: ...', lower case, no full stop."""


@dataclass(frozen=True, slots=True)
class FittedValue:
    """One number a fit found, for one field of a part kind, or of the craft.

    A fit lists only what its readings found; what they leave open is said in `Fit.identifies`.
    """

    kind: str
    """Kind of the part as its file names it ("motor", "speed-controller", ...), or "craft"."""
    field: str
    """Field of that kind's record ("resistance"); a name of the model where the record has no such field."""
    value: float
    """In SI [`unit`]."""
    sd: float
    """Standard deviation [`unit`], calibration of the instruments included where the fit says so."""
    unit: str
    """SI unit, "1" for a ratio."""
    note: str = ""
    """What to know before using it: what it stands for, what was held, how far it reaches; may be empty."""
    part: str = ""
    """Name of the part, where one fit speaks of several of a kind."""
    redefines: str = ""
    """Set where the value says something else than the one it replaces, so that their bars do not compare: why, in a
    sentence."""

    @property
    def relative(self) -> float:
        """Standard deviation over value [-]."""
        return abs(self.sd / self.value) if self.value else float("inf")


@dataclass(frozen=True, slots=True)
class Fit:
    """Values found in measurements, with what they rest on."""

    name: str
    """Which fit: "thrust stand", "battery", "winding", "swing", ..."""
    values: tuple[FittedValue, ...]
    """What was found, in the order of `covariance`."""
    covariance: Array = field(repr=False, metadata={"printed": False})
    """Of `values` (k, k), in their units multiplied."""
    rows_used: int
    """Rows of which at least one reading was used."""
    rows_set_aside: tuple[SetAside, ...]
    """Rows, or readings of rows, that were not used, each with its reason; never silently dropped."""
    residual_sd: Mapping[str, float]
    """Standard deviation of what the fit leaves over in each measured quantity; the name carries the unit
    ("thrust_n", "amps_a")."""
    residuals: Mapping[str, Array] = field(repr=False, metadata={"printed": False})
    """Measured less fitted by the names of `residual_sd`, one for each given row; NaN where nothing was used."""
    identifies: str
    """Plain words: what the data can and cannot tell apart."""
    notes: tuple[str, ...] = ()
    """Warnings and assumptions, each a sentence."""
    aside: Mapping[str, Array] = field(default_factory=dict, repr=False, metadata={"printed": False})
    """As `residuals`, of the readings that were set aside by the fit alone; NaN elsewhere."""

    def value(self, field: str, kind: str | None = None) -> FittedValue:
        """The fitted value of `field` (of `kind` where two kinds share it); KeyError when the fit has none."""
        for found in self.values:
            if found.field == field and kind in (None, found.kind):
                return found
        raise KeyError(field)


def set_aside(flags: Mapping[str, NDArray[np.bool_]]) -> tuple[SetAside, ...]:
    """Rows by the reasons they are flagged for, each row once, with its first reason; in the order of the rows."""
    reasons: dict[int, str] = {}
    for reason, flagged in flags.items():
        for row in np.flatnonzero(flagged):
            reasons.setdefault(int(row), reason)
    return tuple(SetAside(row, reasons[row]) for row in sorted(reasons))
