"""Unit suffixes of file keys and JSON keys, to SI and back.

Every dimensional key carries its unit as a suffix: `mass_g`, `diameter_in`, `kv_rpm_per_v`. A dimension has
one SI unit, in which everything is computed, and any number of suffixes, in which files may speak.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

__all__ = ["SI_UNIT", "UNITS", "Unit", "from_si", "si_suffix", "split_key", "suffixes", "to_si"]


@dataclass(frozen=True, slots=True)
class Unit:
    """One suffix: value in SI = (value + offset) * factor, unless a pair of functions says otherwise."""

    suffix: str
    dimension: str
    factor: float = 1.0
    offset: float = 0.0
    rank: int = 0
    into: Callable[[float], float] | None = None
    out_of: Callable[[float], float] | None = None

    def to_si(self, value: float) -> float:
        """SI value of `value` in this unit."""
        return self.into(value) if self.into else (value + self.offset) * self.factor

    def from_si(self, value: float) -> float:
        """Value in this unit of the SI `value`."""
        return self.out_of(value) if self.out_of else value / self.factor - self.offset


def _gauge_to_area(gauge: float) -> float:
    """Area [m2] of American wire gauge `gauge` by ASTM B258: d = 0.127 mm * 92^((36 - n)/39)."""
    if not -3 <= gauge <= 56:  # 0000 to 56
        raise ValueError(f"wire gauge {gauge:g} is outside -3 to 56")
    diameter: float = 0.127e-3 * 92.0 ** ((36 - gauge) / 39)
    return math.pi / 4 * diameter**2


def _area_to_gauge(area: float) -> float:
    return 36 - 39 * math.log(math.sqrt(4 * area / math.pi) / 0.127e-3, 92)


# dimension: (SI unit as people write it, {suffix: factor to SI})
_DIMENSIONS: dict[str, tuple[str, dict[str, float]]] = {
    "mass": ("kg", {"g": 1e-3, "kg": 1.0, "mg": 1e-6, "oz": 28.349523125e-3, "lb": 0.45359237}),
    "length": ("m", {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": 0.0254, "ft": 0.3048, "km": 1e3, "um": 1e-6}),
    "area": ("m2", {"m2": 1.0, "cm2": 1e-4, "mm2": 1e-6}),
    "time": ("s", {"s": 1.0, "ms": 1e-3, "us": 1e-6, "min": 60.0, "h": 3600.0}),
    "angle": ("rad", {"deg": math.pi / 180, "rad": 1.0}),
    "rotation": ("rad/s", {"rpm": math.pi / 30, "rad_per_s": 1.0, "deg_per_s": math.pi / 180, "hz": 2 * math.pi}),
    "speed": ("m/s", {"m_per_s": 1.0, "km_per_h": 1 / 3.6, "mph": 0.44704}),
    "force": ("N", {"n": 1.0, "gf": 9.80665e-3, "kgf": 9.80665}),
    "torque": ("N m", {"n_m": 1.0, "mn_m": 1e-3}),
    "inertia": ("kg m2", {"kg_m2": 1.0, "g_cm2": 1e-7, "g_mm2": 1e-9}),
    "density": ("kg/m3", {"kg_per_m3": 1.0, "g_per_cm3": 1e3}),
    "modulus": ("Pa", {"pa": 1.0, "mpa": 1e6, "gpa": 1e9}),
    "voltage": ("V", {"v": 1.0, "mv": 1e-3}),
    "current": ("A", {"a": 1.0, "ma": 1e-3}),
    "charge": ("C", {"ah": 3600.0, "mah": 3.6, "coulomb": 1.0}),
    "energy": ("J", {"j": 1.0, "wh": 3600.0}),
    "power": ("W", {"w": 1.0, "mw": 1e-3, "kw": 1e3}),
    "resistance": ("ohm", {"ohm": 1.0, "mohm": 1e-3, "kohm": 1e3}),
    "capacitance": ("F", {"f": 1.0, "uf": 1e-6}),
    "inductance": ("H", {"henry": 1.0, "nh": 1e-9, "uh": 1e-6}),
    "speed constant": ("rad/s/V", {"rpm_per_v": math.pi / 30, "rad_per_s_per_v": 1.0}),
    "charge rate": ("1/h", {"c": 1.0}),
    "frequency": ("Hz", {"hz": 1.0, "khz": 1e3, "mhz": 1e6, "ghz": 1e9}),
    "power level": ("dBm", {"dbm": 1.0}),
    "gain": ("dBi", {"dbi": 1.0}),
    "level": ("dB", {"db": 1.0}),
    "share": ("1", {"percent": 1e-2, "fraction": 1.0}),
}

UNITS: dict[str, list[Unit]] = {}
SI_UNIT: dict[str, str] = {name: si for name, (si, _) in _DIMENSIONS.items()}
for _name, (_si, _factors) in _DIMENSIONS.items():
    for _suffix, _factor in _factors.items():
        UNITS.setdefault(_suffix, []).append(Unit(_suffix, _name, _factor))

SI_UNIT |= {"temperature": "K", "wire area": "m2"}
for _special in (
    Unit("degc", "temperature", 1.0, 273.15),
    Unit("degf", "temperature", 5 / 9, 459.67),
    Unit("k", "temperature"),
    Unit("awg", "wire area", into=_gauge_to_area, out_of=_area_to_gauge),
    Unit("mm2", "wire area", 1e-6),
    Unit("m2", "wire area", rank=1),
):
    UNITS.setdefault(_special.suffix, []).append(_special)


def suffixes(dimension: str) -> list[str]:
    """Every suffix of a dimension, the one files use most first."""
    found = [unit for units in UNITS.values() for unit in units if unit.dimension == dimension]
    return [unit.suffix for unit in sorted(found, key=lambda unit: unit.rank)]


def si_suffix(dimension: str) -> str:
    """The suffix that stands for the SI unit of a dimension."""
    return next(s for s in suffixes(dimension) if _unit(dimension, s).to_si(1.0) == 1.0)


def split_key(key: str) -> list[tuple[str, Unit]]:
    """All readings of `key` as (stem, unit), longest suffix first; empty when no known suffix ends it.

    A suffix may serve two dimensions (`mm2` is an area and a wire's cross-section), so that one key can have
    several readings; the field it names decides.
    """
    cuts = [i for i, letter in enumerate(key) if letter == "_" and i > 0]
    return [(key[:i], unit) for i in cuts for unit in UNITS.get(key[i + 1 :], ())]


def _unit(dimension: str, suffix: str) -> Unit:
    for unit in UNITS.get(suffix, ()):
        if unit.dimension == dimension:
            return unit
    raise KeyError(f"'{suffix}' is not a unit of {dimension}; known: {', '.join(suffixes(dimension))}")


def to_si(value: float, suffix: str, dimension: str) -> float:
    """SI value of `value` given in the unit `suffix` of `dimension`; KeyError for a unit of another one."""
    return _unit(dimension, suffix).to_si(value)


def from_si(value: float, suffix: str, dimension: str) -> float:
    """Value in the unit `suffix` of an SI `value` of `dimension`; KeyError for a unit of another one."""
    return _unit(dimension, suffix).from_si(value)
