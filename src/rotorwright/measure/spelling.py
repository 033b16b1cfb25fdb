"""Fitted values as a file spells them: in the unit people use, with no more digits than their bars deserve."""

import math
from typing import Any

from rotorwright.measure.fit import FittedValue
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.units import from_si, suffixes

__all__ = ["after_words", "rounded", "spelled", "unit_for", "words_of"]

# The unit that people say a dimension in; the first of the dimension's suffixes otherwise.
_USUAL = {
    "resistance": "mohm",
    "charge": "mah",
    "speed constant": "rpm_per_v",
    "inertia": "g_cm2",
    "area": "cm2",
    "rotation": "rpm",
    "force": "gf",
    "share": "percent",
}


def unit_for(dimension: str) -> str:
    """Suffix of the unit in which a value of `dimension` is written."""
    return _USUAL.get(dimension, suffixes(dimension)[0])


def rounded(value: float, sd: float) -> float:
    """A value to a hundredth of its standard deviation, to six digits without one."""
    size = abs(sd) if sd > 0.0 and math.isfinite(sd) else abs(value) * 1e-3
    return round(value, 2 - math.floor(math.log10(size))) if size > 0.0 else value


def spelled(value: FittedValue, dimension: str) -> tuple[str, dict[str, Any]]:
    """Key with its unit, and the table of value, standard deviation and basis."""
    unit = unit_for(dimension)
    middle = from_si(value.value, unit, dimension)
    sd = abs(from_si(value.value + value.sd, unit, dimension) - middle)
    basis = Basis.WEIGHED if dimension == "mass" else Basis.MEASURED
    table = {"value": rounded(middle, sd), "sd": float(f"{sd:.3g}"), "basis": str(basis)}
    return f"{value.field}_{unit}", table


def after_words(value: FittedValue, dimension: str) -> str:
    """A fitted value in the unit people use, with its scatter."""
    _, table = spelled(value, dimension)
    return f"{table['value']:g} \u00b1 {table['sd']:g}"


def words_of(estimate: Estimate | None, key: str, dimension: str) -> str:
    """An estimate in the unit of `key`, with its scatter and basis; '' for none."""
    if estimate is None:
        return ""
    unit = unit_for(dimension)
    middle = from_si(estimate.value, unit, dimension)
    sd = abs(from_si(estimate.value + estimate.sd, unit, dimension) - middle)
    return f"{float(f'{middle:.4g}'):g} \u00b1 {float(f'{sd:.2g}'):g} ({estimate.basis})"
