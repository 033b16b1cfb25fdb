"""Units of the files as people write them, and the one in which a builder says a value."""

from rotorwright.sheet.quantities import Display
from rotorwright.units import from_si, suffixes, to_si

__all__ = ["SPOKEN", "digits", "in_unit", "usual_suffix"]

SPOKEN = {
    "g": "g", "kg": "kg", "mg": "mg", "oz": "oz", "lb": "lb",
    "mm": "mm", "cm": "cm", "m": "m", "in": "in", "ft": "ft", "km": "km", "um": "\u00b5m",
    "m2": "m\u00b2", "cm2": "cm\u00b2", "mm2": "mm\u00b2", "awg": "AWG",
    "s": "s", "ms": "ms", "us": "\u00b5s", "min": "min", "h": "h",
    "deg": "\u00b0", "rad": "rad",
    "rpm": "rpm", "rad_per_s": "rad/s", "deg_per_s": "\u00b0/s", "hz": "Hz",
    "m_per_s": "m/s", "km_per_h": "km/h", "mph": "mph",
    "n": "N", "gf": "gf", "kgf": "kgf", "n_m": "N\u202fm", "mn_m": "mN\u202fm",
    "kg_m2": "kg\u202fm\u00b2", "g_cm2": "g\u202fcm\u00b2", "g_mm2": "g\u202fmm\u00b2",
    "kg_per_m3": "kg/m\u00b3", "g_per_cm3": "g/cm\u00b3", "pa": "Pa", "mpa": "MPa", "gpa": "GPa",
    "v": "V", "mv": "mV", "a": "A", "ma": "mA", "ah": "Ah", "mah": "mAh", "coulomb": "coulomb",
    "j": "J", "wh": "Wh", "w": "W", "mw": "mW", "kw": "kW",
    "ohm": "\u03a9", "mohm": "m\u03a9", "kohm": "k\u03a9", "f": "F", "uf": "\u00b5F",
    "henry": "H", "nh": "nH", "uh": "\u00b5H",
    "rpm_per_v": "rpm/V", "rad_per_s_per_v": "rad/s/V", "c": "C",
    "khz": "kHz", "mhz": "MHz", "ghz": "GHz", "dbm": "dBm", "dbi": "dBi", "db": "dB",
    "percent": "%", "fraction": "of 1", "degc": "\u00b0C", "degf": "\u00b0F", "k": "K",
}  # fmt: skip
"""How each suffix is written beside a number."""

# The trade's unit of a dimension; where two are named, the first in which a value is at least one.
_USUAL = {
    "area": ("mm2",),
    "time": ("min", "s", "ms"),
    "rotation": ("rpm",),
    "torque": ("mn_m",),
    "inertia": ("g_cm2",),
    "density": ("g_per_cm3",),
    "modulus": ("gpa",),
    "voltage": ("v",),
    "current": ("a",),
    "charge": ("mah",),
    "power": ("w", "mw"),
    "resistance": ("mohm",),
    "capacitance": ("uf",),
    "frequency": ("ghz", "mhz", "khz", "hz"),
    "share": ("percent",),
    "wire area": ("awg",),
}
# A propeller is sold by the inch everywhere.
_IN_INCHES = (("propeller", "diameter"), ("propeller", "pitch"))
_OF_READER = {"mm": "mm", "in": "in", "g": "g", "oz": "oz", "\u00b0C": "degc", "\u00b0F": "degf"}


def usual_suffix(dimension: str, value: float | None, display: Display, kind: str = "", field: str = "") -> str:
    """The suffix in which a value [SI] of a dimension is said: the reader's unit, or the trade's."""
    if (kind, field) in _IN_INCHES:
        return "in"
    if dimension in ("mass", "length", "temperature"):
        return _OF_READER[getattr(display, dimension)]
    usual = _USUAL.get(dimension, (suffixes(dimension)[0],))
    if value is None:
        return usual[0] if dimension != "power" else "w"
    return next((suffix for suffix in usual if abs(from_si(value, suffix, dimension)) >= 1.0), usual[-1])


def in_unit(value: float, sd: float, suffix: str, dimension: str) -> tuple[float, float]:
    """Value and standard deviation [SI] in a unit, also in one that is no plain multiple such as a wire gauge."""
    said = from_si(value, suffix, dimension)
    try:
        return said, abs(from_si(value + sd, suffix, dimension) - said)
    except ValueError:  # beyond the gauges there are
        return said, sd / abs(to_si(said, suffix, dimension)) * abs(said) if value else 0.0


def digits(value: float, most: int = 4) -> str:
    """A number with at most `most` digits that count, never as a power of ten."""
    rounded = float(f"{value:.{most}g}")
    text = f"{rounded:.12f}".rstrip("0").rstrip(".")
    return text if text not in ("", "-0") else "0"
