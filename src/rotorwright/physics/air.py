"""Standard atmosphere up to 11 km, with off-standard temperature and density altitude. Dry air only.

Altitude is geopotential throughout (what pressure altitude means); `geopotential` converts a height
taken with a tape or by satellite. The two differ by 1.5e-4 of the density at 3 km.

Source: ISO 2533:1975 = ICAO Doc 7488/3 (constants as printed in public libraries; the paper standard
itself was not opened).
"""

from dataclasses import dataclass
from math import sqrt

__all__ = [
    "GRAVITY",
    "Air",
    "air",
    "density_altitude",
    "geopotential",
    "sound_speed",
    "standard_atmosphere",
    "sutherland_viscosity",
]

GRAVITY = 9.80665  # [m/s2]
GAS_CONSTANT = 287.05287  # of dry air [J/(kg K)]
HEAT_RATIO = 1.4
LAPSE_RATE = 0.0065  # [K/m]
EARTH_RADIUS = 6_356_766.0  # nominal, for geopotential altitude [m]
SEA_LEVEL_TEMPERATURE = 288.15  # [K]
SEA_LEVEL_PRESSURE = 101_325.0  # [Pa]
SEA_LEVEL_DENSITY = SEA_LEVEL_PRESSURE / (GAS_CONSTANT * SEA_LEVEL_TEMPERATURE)  # 1.225 [kg/m3]
PRESSURE_EXPONENT = GRAVITY / (GAS_CONSTANT * LAPSE_RATE)  # 5.25588
LOWEST, HIGHEST = -2_000.0, 11_000.0  # the one layer of constant lapse rate that is modelled [m]


@dataclass(frozen=True, slots=True)
class Air:
    """State of the air around the craft."""

    density: float  # [kg/m3]
    viscosity: float  # dynamic [Pa s]
    sound_speed: float  # [m/s]
    temperature: float  # [K]
    pressure: float  # [Pa]


def standard_atmosphere(altitude: float) -> Air:
    """Air of the standard day, T = T0 - L H, p = p0 (T/T0)^(g/(R L)).

    altitude: geopotential, scalar [m]
    returns: Air
    raises: ValueError outside -2000..11000 m
    source: ISO 2533:1975
    """
    return air(altitude, _standard_temperature(altitude))


def air(altitude: float, temperature: float) -> Air:
    """Air of measured temperature at the standard pressure of an altitude, rho = p / (R T).

    altitude: geopotential, scalar [m]
    temperature: scalar [K]
    returns: Air
    raises: ValueError outside -2000..11000 m, or for a temperature that is not above zero
    valid: dry air; the day's own pressure may differ by some 3 %, which is not modelled
    source: ISO 2533:1975
    """
    if temperature <= 0:
        raise ValueError(f"air temperature must be above 0 K, not {temperature:g} K")
    ratio = _standard_temperature(altitude) / SEA_LEVEL_TEMPERATURE
    pressure = SEA_LEVEL_PRESSURE * ratio**PRESSURE_EXPONENT
    return Air(
        density=pressure / (GAS_CONSTANT * temperature),
        viscosity=sutherland_viscosity(temperature),
        sound_speed=sound_speed(temperature),
        temperature=temperature,
        pressure=pressure,
    )


def sutherland_viscosity(temperature: float) -> float:
    """Dynamic viscosity of air, mu = 1.458e-6 T^1.5 / (T + 110.4).

    temperature: scalar > 0 [K]
    returns: scalar [Pa s]
    valid: about 200..400 K
    source: Sutherland's law with the constants of ISO 2533:1975
    """
    return 1.458e-6 * temperature * sqrt(temperature) / (temperature + 110.4)


def sound_speed(temperature: float) -> float:
    """Speed of sound in dry air, a = sqrt(1.4 R T).

    temperature: scalar > 0 [K]
    returns: scalar [m/s]
    source: ISO 2533:1975
    """
    return sqrt(HEAT_RATIO * GAS_CONSTANT * temperature)


def density_altitude(density: float) -> float:
    """Altitude at which the standard day has this density, H = (T0/L) (1 - (rho/rho0)^(1/(g/(R L) - 1))).

    density: scalar > 0 [kg/m3]
    returns: geopotential, scalar [m]
    raises: ValueError for a density that is not positive or is thinner than the standard at 11000 m
    source: ISO 2533:1975, solved for the altitude
    """
    if density <= 0:
        raise ValueError(f"air density must be positive, not {density:g} kg/m3")
    ratio: float = (density / SEA_LEVEL_DENSITY) ** (1 / (PRESSURE_EXPONENT - 1))
    altitude = SEA_LEVEL_TEMPERATURE / LAPSE_RATE * (1 - ratio)
    if altitude > HIGHEST:
        raise ValueError(f"{density:g} kg/m3 is thinner than the standard air at {HIGHEST:g} m")
    return altitude


def geopotential(geometric: float) -> float:
    """Geopotential altitude of a geometric height above the sea, H = r Z / (r + Z).

    geometric: scalar [m]
    returns: scalar [m]
    source: ISO 2533:1975, r = 6 356 766 m
    """
    return EARTH_RADIUS * geometric / (EARTH_RADIUS + geometric)


def _standard_temperature(altitude: float) -> float:
    # Written so that NaN passes through instead of being called out of range.
    if altitude < LOWEST or altitude > HIGHEST:
        raise ValueError(f"altitude {altitude:g} m is outside {LOWEST:g} to {HIGHEST:g} m")
    return SEA_LEVEL_TEMPERATURE - LAPSE_RATE * altitude
