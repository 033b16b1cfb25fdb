"""Resistance of a winding at several temperatures to its value at 20 C, and whether it rises as copper does."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rotorwright.errors import CannotCompute
from rotorwright.measure.belief import Belief, Found, find
from rotorwright.measure.fit import Fit, FittedValue, SetAside, set_aside
from rotorwright.physics.motor import COPPER_COEFFICIENT, REFERENCE_TEMPERATURE, copper_resistance

__all__ = ["COPPER_FIELD", "fit_winding"]

Array = NDArray[np.float64]

COPPER_FIELD = "copper_coefficient"
"""Name of the fitted coefficient of resistance at 20 C [1/K]; no field of a motor, a check."""

# Four-wire meter and thermometer: from experience with such tools, no source.
_SHARE, _FLOOR, _GAIN, _KELVIN = 3e-3, 1e-4, 0.01, 1.0
_LEAST_SPAN = 15.0  # [K] below which the rise is not judged


def fit_winding(
    temperature: ArrayLike, resistance: ArrayLike, *, gain: float = _GAIN, thermometer: float = _KELVIN
) -> Fit:
    """R20 from R = R20 (1 + 0.00393 (T - 293.15 K)), and the coefficient that the rows themselves show.

    temperature: of the copper (n,) [K]; resistance: terminal to terminal (n,) [ohm]
    gain: of the ohmmeter's calibration [-]; thermometer: standard deviation of its offset [K]
    valid: -40 to 200 C, the whole winding at one temperature
    Raises CannotCompute when no row can be used.
    """
    T, R = (np.atleast_1d(np.asarray(column, dtype=float)) for column in (temperature, resistance))
    with np.errstate(invalid="ignore"):
        flags = {
            "temperature or resistance is missing": ~(np.isfinite(T) & np.isfinite(R)),
            "resistance is not positive: are the leads reversed?": R <= 0,
            "temperature is outside -40 to 200 C: is it in kelvin?": (T < 233.0) | (T > 474.0),
        }
    good = ~np.any(list(flags.values()), axis=0)
    if not good.any():
        raise CannotCompute("no row of the winding's resistance can be used")
    T, R = np.where(good, T, np.nan), np.where(good, R, np.nan)
    held, free = _solve(T, R, gain, thermometer, 1e-9), _solve(T, R, gain, thermometer, 0.3)
    span = float(np.nanmax(T) - np.nanmin(T))
    judged = span >= _LEAST_SPAN and int(good.sum()) >= 3
    copper = _coefficient(free)
    as_copper = abs(copper.value - COPPER_COEFFICIENT) <= 2.0 * copper.sd
    found = held if as_copper or not judged else free
    off = R - _model(T, found.mean())
    left = np.where(found.solution.marked, np.nan, off)
    values = [_at_20(found), *([copper] if judged else [])]
    aside = [
        SetAside(int(r), "resistance does not follow from the other rows")
        for r in np.flatnonzero(found.solution.marked)
    ]
    return Fit(
        name="winding",
        values=tuple(values),
        covariance=np.diag([v.sd**2 for v in values]),
        rows_used=int(np.isfinite(left).sum()),
        rows_set_aside=tuple(sorted((*set_aside(flags), *aside), key=lambda s: s.row)),
        residual_sd={"resistance_ohm": float(np.sqrt(np.nanmean(np.square(left))))},
        residuals={"resistance_ohm": left},
        identifies=_words(judged, span),
        notes=_notes(values[1]) if judged else (),
        aside={"resistance_ohm": np.where(found.solution.marked, off, np.nan)},
    )


def _model(T: Array, numbers: dict[str, float]) -> Array:
    """What the ohmmeter reads (n,) [ohm]; a coefficient other than copper's stretches the warmth."""
    stretch = numbers["coefficient"] / COPPER_COEFFICIENT
    warm = REFERENCE_TEMPERATURE + stretch * (T + numbers["offset"] - REFERENCE_TEMPERATURE)
    return np.array([copper_resistance(numbers["motor.resistance"], t) for t in warm]) * numbers["gain"]


def _solve(T: Array, R: Array, gain: float, thermometer: float, freedom: float) -> Found:
    beliefs = (
        Belief("winding resistance", "motor", "resistance", "ohm", float(np.nanmedian(R)), 1.0),
        Belief("", "", "coefficient", "1/K", COPPER_COEFFICIENT, freedom),
        Belief("", "", "offset", "K", 0.0, max(thermometer, 1e-6), log=False),
        Belief("", "", "gain", "1", 1.0, max(gain, 1e-9)),
    )
    sd = np.hypot(_SHARE * R, _FLOOR)
    return find(beliefs, lambda numbers: np.asarray((R - _model(T, numbers)) / sd))


def _at_20(found: Found) -> FittedValue:
    value = found.values[0]
    return FittedValue("motor", "resistance", value.value, value.sd, "ohm", "at 20 C, terminal to terminal")


def _coefficient(found: Found) -> FittedValue:
    value = found.mean()["coefficient"]
    sd = value * float(np.sqrt(found.solution.covariance[1, 1]))
    return FittedValue("motor", COPPER_FIELD, value, sd, "1/K", "copper has 0.00393 at 20 C; no field of a motor")


def _words(judged: bool, span: float) -> str:
    if judged:
        return (
            "The readings find the resistance at 20 C and how it rises. They cannot tell the winding from leads and"
            " contacts in series with it, but for these staying colder."
        )
    return (
        f"The readings find the resistance at 20 C with copper's coefficient taken for granted: {span:.0f} K of"
        " warmth and so few rows do not show the rise."
    )


def _notes(coefficient: FittedValue) -> tuple[str, ...]:
    off = coefficient.value / COPPER_COEFFICIENT - 1.0
    if abs(coefficient.value - COPPER_COEFFICIENT) <= 2.0 * coefficient.sd:
        return ("Resistance rises as copper's does.",)
    if off < 0.0:
        return (
            f"Resistance rises {-off:.0%} less than copper's: that share may be leads and contacts that stayed cold,"
            " or the thermometer was warmer than the winding.",
        )
    return (f"Resistance rises {off:.0%} more than copper's: the winding was warmer than the thermometer.",)
