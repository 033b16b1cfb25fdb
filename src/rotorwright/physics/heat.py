"""Where the heat of a drive goes: two nodes for a motor, one for a pack, a warmed wire. Comparative models.

The winding node holds copper and stator and takes copper and iron loss; it warms the case node through a fixed
conductance, and the rotor's wake cools the case. No thermal data of motors this small were found anywhere: the
numbers compare two motors or two ways of flying; they do not promise a temperature.
"""

import math

from rotorwright.physics.compiled import kernel

__all__ = ["case_conductance", "motor_heat", "wake_speed", "warmed_motor", "wire_rise"]

_CONDUCTIVITY, _KINEMATIC, _PRANDTL = 0.026, 1.55e-5, 0.71  # air near 25 C, handbook values from memory
_WINDING_SHARE = 0.55  # of a motor's mass in stator and copper; typical, no source
_SPECIFIC_HEAT = 450.0  # [J/(kg K)] of steel and copper together, scatter 0.3
_CONDUCTANCE = 12.0  # winding to case [W/(K kg)] of motor mass; typical, no source, scatter 0.5
_STILL_AIR = 8.0  # film coefficient without flow [W/(m2 K)], radiation included; from memory


def motor_heat(mass: float) -> tuple[float, float, float]:
    """Heat capacities of winding and case [J/K] and the conductance between them [W/K] of a motor of `mass` [kg]."""
    heat = _SPECIFIC_HEAT * mass
    return _WINDING_SHARE * heat, (1.0 - _WINDING_SHARE) * heat, _CONDUCTANCE * mass


@kernel
def wake_speed(thrust: float, diameter: float, density: float, axial_speed: float, edgewise_speed: float) -> float:
    """Speed of the air over a motor under its disc, from the momentum of hover and the speed of flight [m/s].

    thrust: of one rotor [N]; diameter [m]; density [kg/m3]; speeds [m/s]: scalars
    """
    induced = math.sqrt(2.0 * max(thrust, 0.0) / (math.pi * density)) / diameter
    through = max(axial_speed, 0.0) + induced
    return math.sqrt(through * through + edgewise_speed * edgewise_speed)


@kernel
def case_conductance(area: float, diameter: float, speed: float) -> float:
    """Heat a motor gives to the wake a kelvin, h A with Nu = 0.26 Re^0.6 Pr^0.37 and still-air convection as floor.

    area: of the case [m2]; diameter [m]; speed: of the air [m/s]: scalars
    returns: scalar [W/K]
    valid: 1e3 < Re < 2e5, a smooth cylinder across the flow
    source: Zukauskas (1972), constants from memory
    """
    reynolds = speed * diameter / _KINEMATIC
    film = 0.26 * reynolds**0.6 * _PRANDTL**0.37 * _CONDUCTIVITY / diameter
    return area * math.sqrt(film * film + _STILL_AIR * _STILL_AIR)


@kernel
def warmed_motor(
    winding: float,
    case: float,
    air: float,
    loss: float,
    heat: tuple[float, float],
    conductance: tuple[float, float],
    seconds: float,
) -> tuple[float, float]:
    """Winding and case temperature after `seconds` of a constant loss [K], implicit Euler, stable for any step.

    winding, case, air: temperatures [K]; loss: of winding and stator [W]; heat: of winding and case [J/K]
    conductance: winding to case, case to air [W/K]; all scalars
    """
    a, b = heat[0] / seconds, heat[1] / seconds
    inner, outer = conductance
    p, q = a * winding + loss, b * case + outer * air
    determinant = (a + inner) * (b + inner + outer) - inner * inner
    return ((b + inner + outer) * p + inner * q) / determinant, ((a + inner) * q + inner * p) / determinant


def wire_rise(current: float, resistance_per_metre: float, diameter: float) -> float:
    """Steady warming of a wire in moving air, I^2 R'/(h pi d) with h = 30 W/(m2 K) [K]; typical, no source.

    current: root mean square [A]; resistance_per_metre [ohm/m]; diameter: over the insulation [m]
    """
    return current**2 * resistance_per_metre / (30.0 * math.pi * diameter)
