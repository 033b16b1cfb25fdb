"""Suffixes of keys: SI factors against definitions, and how a key splits."""

import math

import pytest

from rotorwright.units import SI_UNIT, UNITS, from_si, si_suffix, split_key, suffixes, to_si

# suffix, dimension, given, SI, where the number is defined (SI brochure, NIST SP 811 appendix B; from memory)
DEFINED = [
    ("in", "length", 5, 0.127, "exact, 1959 yard and pound agreement"),
    ("ft", "length", 1, 0.3048, "exact"),
    ("mm", "length", 222, 0.222, "prefix"),
    ("oz", "mass", 1, 28.349523125e-3, "exact, pound/16"),
    ("lb", "mass", 1, 0.45359237, "exact"),
    ("gf", "force", 1000, 9.80665, "standard gravity"),
    ("rpm", "rotation", 60, 2 * math.pi, "one turn a second"),
    ("hz", "rotation", 1, 2 * math.pi, "one turn a second"),
    ("deg_per_s", "rotation", 180, math.pi, "degree"),
    ("rpm_per_v", "speed constant", 1000, 104.71975511965978, "1000 pi/30"),
    ("mah", "charge", 1500, 5400, "1.5 Ah of 3600 C"),
    ("wh", "energy", 1, 3600, "hour"),
    ("km_per_h", "speed", 36, 10, "hour"),
    ("mph", "speed", 1, 0.44704, "exact, statute mile"),
    ("degc", "temperature", 15, 288.15, "definition of Celsius"),
    ("degf", "temperature", 59, 288.15, "definition of Fahrenheit"),
    ("deg", "angle", 90, math.pi / 2, "degree"),
    ("mohm", "resistance", 45, 0.045, "prefix"),
    ("uf", "capacitance", 470, 470e-6, "prefix"),
    ("ghz", "frequency", 5.8, 5.8e9, "prefix"),
    ("g_cm2", "inertia", 1, 1e-7, "gram, centimetre"),
    ("g_per_cm3", "density", 1.6, 1600, "gram, centimetre"),
    ("gpa", "modulus", 70, 70e9, "prefix"),
    ("min", "time", 2, 120, "minute"),
    ("percent", "share", 85, 0.85, "hundredth"),
]


@pytest.mark.parametrize("suffix, dimension, given, si, source", DEFINED, ids=[row[0] for row in DEFINED])
def test_defined_factors(suffix: str, dimension: str, given: float, si: float, source: str) -> None:
    """1e-12: definitions are exact, the rest is rounding."""
    assert to_si(given, suffix, dimension) == pytest.approx(si, rel=1e-12)


# ASTM B258 rows as printed in wire tables: gauge, diameter [mm]; half a last digit is 0.0005 mm
GAUGES = [(12, 2.053), (14, 1.628), (20, 0.812), (26, 0.405), (36, 0.127)]


@pytest.mark.parametrize("gauge, millimetres", GAUGES)
def test_wire_gauges(gauge: int, millimetres: float) -> None:
    area = to_si(gauge, "awg", "wire area")
    assert 2e3 * math.sqrt(area / math.pi) == pytest.approx(millimetres, abs=0.0005)


@pytest.mark.parametrize("gauge", [-4, 57, 1e6, -1e6])
def test_gauges_that_no_wire_has_are_refused(gauge: float) -> None:
    with pytest.raises(ValueError, match="wire gauge"):
        to_si(gauge, "awg", "wire area")


def test_every_dimension_has_a_suffix_worth_one_si_unit() -> None:
    for dimension in SI_UNIT:
        assert to_si(1.0, si_suffix(dimension), dimension) == 1.0
    assert suffixes("wire area")[0] != "m2"  # nobody speaks of a wire's square metres


def test_unit_of_another_dimension_is_refused_with_the_right_ones() -> None:
    with pytest.raises(KeyError, match=r"'mm' is not a unit of mass; known: g, kg"):
        to_si(1.0, "mm", "mass")
    with pytest.raises(KeyError, match="not a unit of voltage"):
        from_si(1.0, "parsec", "voltage")


def test_split_takes_the_longest_suffix_first() -> None:
    readings = [(stem, unit.suffix) for stem, unit in split_key("roll_rate_limit_deg_per_s")]
    assert readings[0] == ("roll_rate_limit", "deg_per_s")
    assert ("roll_rate_limit_deg_per", "s") in readings


def test_split_knows_a_suffix_of_two_dimensions() -> None:
    assert {unit.dimension for _, unit in split_key("gauge_mm2")} == {"area", "wire area"}
    assert {unit.dimension for _, unit in split_key("limit_hz")} == {"rotation", "frequency"}


@pytest.mark.parametrize("key", ["mass", "_g", "", "mass_", "mass_grams", "mm"])
def test_split_finds_no_unit(key: str) -> None:
    assert split_key(key) == []


def test_no_suffix_stands_twice_for_one_dimension() -> None:
    for suffix, units in UNITS.items():
        dimensions = [unit.dimension for unit in units]
        assert len(dimensions) == len(set(dimensions)), suffix
