"""A value with its standard deviation and where it comes from."""

from dataclasses import dataclass, replace
from enum import StrEnum

__all__ = ["FINEST_WEIGHING", "USUAL_SCATTER", "Basis", "Estimate", "usual_scatter", "usual_sd"]


class Basis(StrEnum):
    """Where a value comes from, best first."""

    WEIGHED = "weighed"
    MEASURED = "measured"
    DATASHEET = "datasheet"
    TYPICAL = "typical"
    DERIVED = "derived"


# Relative standard deviation when a file states none. Rules of thumb from memory, no source; a field that is
# not named here takes the row of its basis under "".
USUAL_SCATTER: dict[Basis, dict[str, float]] = {
    Basis.WEIGHED: {"": 0.005},
    Basis.MEASURED: {"": 0.03},
    Basis.DATASHEET: {
        "": 0.03,
        "resistance": 0.15,
        "idle_current": 0.25,
        "capacity": 0.04,
        "rating": 0.0,
        "pitch": 0.04,
        "diameter": 0.005,
        "kv": 0.04,
        "current": 0.15,
    },
    Basis.TYPICAL: {
        "": 0.10,
        "resistance": 0.25,
        "idle_current": 0.40,
        "kv": 0.04,
        "diameter": 0.01,
        "rating": 0.0,
    },
    Basis.DERIVED: {"": 0.15},
}


# A scale that reads tenths of a gram is no better than this [kg], however light the part: common practice, no source.
FINEST_WEIGHING = 5e-5


def usual_scatter(basis: Basis, field: str) -> float:
    """Relative standard deviation [1] assumed for `field` when a file states a value without one."""
    row = USUAL_SCATTER[basis]
    return row.get(field, row[""])


def usual_sd(basis: Basis, field: str, value: float) -> float:
    """Standard deviation [same unit as value, SI] assumed when a file states none."""
    sd = abs(value) * usual_scatter(basis, field)
    return max(sd, FINEST_WEIGHING) if basis is Basis.WEIGHED else sd


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value [SI], its standard deviation [same unit] and its basis.

    `law` names the scaling law it follows from: values of one law share part of their error. `chance` is the key of
    another estimate whose error it shares wholly, as `part.field`; '' for an error of its own.
    """

    value: float
    sd: float = 0.0
    basis: Basis = Basis.DATASHEET
    law: str = ""
    chance: str = ""

    @property
    def relative(self) -> float:
        """Standard deviation as a share of the value [1]; zero for a value of zero."""
        return abs(self.sd / self.value) if self.value else 0.0

    def times(self, factor: float) -> "Estimate":
        """The same estimate of `factor` times the thing."""
        return replace(self, value=self.value * factor, sd=abs(self.sd * factor))
