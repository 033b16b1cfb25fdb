"""The standard atmosphere against a general library and against published tables.

Tolerances are two-sided: half a unit in the last printed digit for tables, 1e-6 for the library, whose
constants are the same.
"""

import pytest
from ambiance import Atmosphere

from rotorwright.physics.air import air, density_altitude, geopotential, standard_atmosphere

FOOT = 0.3048


@pytest.mark.parametrize("height", [-1500.0, 0.0, 300.0, 1000.0, 2000.0, 3000.0, 5000.0, 10900.0])
def test_against_the_library_ambiance(height: float) -> None:
    """Library ambiance (ICAO Doc 7488/3), which takes geometric heights; 1e-6: it rounds no constant."""
    theirs, ours = Atmosphere(height), standard_atmosphere(geopotential(height))
    assert ours.density == pytest.approx(theirs.density[0], rel=1e-6)
    assert ours.pressure == pytest.approx(theirs.pressure[0], rel=1e-6)
    assert ours.temperature == pytest.approx(theirs.temperature[0], rel=1e-6)
    assert ours.viscosity == pytest.approx(theirs.dynamic_viscosity[0], rel=1e-6)
    assert ours.sound_speed == pytest.approx(theirs.speed_of_sound[0], rel=1e-6)


# Ratios of a printed aviation textbook table (stored web page), pressure altitude in feet; four digits.
PRINTED = [
    # ft, density, temperature, pressure ratio
    (1_000, 0.9711, 0.9931, 0.9644),
    (5_000, 0.8617, 0.9656, 0.8320),
    (10_000, 0.7385, 0.9312, 0.6877),
]


@pytest.mark.parametrize("feet, density, temperature, pressure", PRINTED)
def test_printed_ratios(feet: float, density: float, temperature: float, pressure: float) -> None:
    sea, there = standard_atmosphere(0.0), standard_atmosphere(feet * FOOT)
    assert there.density / sea.density == pytest.approx(density, abs=0.5e-4)
    assert there.temperature / sea.temperature == pytest.approx(temperature, abs=0.5e-4)
    assert there.pressure / sea.pressure == pytest.approx(pressure, abs=0.5e-4)


@pytest.mark.parametrize("feet, knots", [(0, 661.7), (5_000, 650.3), (10_000, 638.6)])
def test_printed_speed_of_sound(feet: float, knots: float) -> None:
    """Same table; 1e-3, because its sea-level value is 0.04 % above the standard's own 661.47 kt."""
    metres_per_second = knots * 1852 / 3600
    assert standard_atmosphere(feet * FOOT).sound_speed == pytest.approx(metres_per_second, rel=1e-3)


# Recomputed outside this project from the formulas of ISO 2533 (geopotential); half a last digit.
FORMULA = [
    # m, K, Pa, kg/m3, Pa s
    (500, 284.900, 95460.8, 1.167269, 1.77366e-5),
    (1000, 281.650, 89874.6, 1.111643, 1.75785e-5),
    (1500, 278.400, 84556.0, 1.058067, 1.74195e-5),
    (2000, 275.150, 79495.2, 1.006490, 1.72596e-5),
    (3000, 268.650, 70108.5, 0.909122, 1.69372e-5),
]


@pytest.mark.parametrize("altitude, temperature, pressure, density, viscosity", FORMULA)
def test_geopotential_rows(
    altitude: float, temperature: float, pressure: float, density: float, viscosity: float
) -> None:
    there = standard_atmosphere(altitude)
    assert there.temperature == pytest.approx(temperature, abs=0.5e-3)
    assert there.pressure == pytest.approx(pressure, abs=0.05)
    assert there.density == pytest.approx(density, abs=0.5e-6)
    assert there.viscosity == pytest.approx(viscosity, abs=0.5e-10)


# Recomputed outside this project; half a last digit.
OFF_STANDARD = [
    # pressure altitude m, temperature C, density, density altitude m
    (0, 30.0, 1.164386, 525.5),
    (0, 35.0, 1.145493, 693.5),
    (1000, 28.5, 1.037938, 1692.9),
    (2000, 17.0, 0.954457, 2524.7),
    (1500, -4.75, 1.097489, 1130.3),
]


@pytest.mark.parametrize("altitude, celsius, density, equivalent", OFF_STANDARD)
def test_density_altitude_rows(altitude: float, celsius: float, density: float, equivalent: float) -> None:
    there = air(altitude, celsius + 273.15)
    assert there.density == pytest.approx(density, abs=0.5e-6)
    assert density_altitude(there.density) == pytest.approx(equivalent, abs=0.05)


def test_pilot_rule_of_thumb() -> None:
    """120 ft per degree above standard (handbook rule, from memory); a rule, so 5 %: exact is 1724 ft."""
    assert density_altitude(air(0.0, 303.15).density) / FOOT == pytest.approx(1800, rel=0.05)
