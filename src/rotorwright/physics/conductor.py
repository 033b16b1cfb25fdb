"""What a conductor bears for a short time or on a board, and what a supply's leads do when a current stops."""

from math import log, sqrt

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "adiabatic_area",
    "adiabatic_constant",
    "bore_for_wires",
    "held_voltage",
    "insulated_diameter",
    "smoothing_capacitance",
    "trace_area",
    "trace_width",
]

Floats = float | NDArray[np.float64]
ZERO_CELSIUS = 273.15
_MIL = 25.4e-6


def adiabatic_constant(start: float, end: float) -> float:
    """Constant k of a copper conductor that sheds no heat, k = 226e6 sqrt(ln(1 + (Tf - Ti)/(234.5 + Ti))).

    start, end: temperatures before and after, scalars with end > start [K] (degrees Celsius in the equation)
    returns: scalar [A s^0.5/m2], so that I^2 t = k^2 S^2
    source: IEC 60364-4-43 (from memory); 115 and 143 of its table follow for 70 to 160 C and 90 to 250 C
    """
    rise = (end - start) / (234.5 + start - ZERO_CELSIUS)
    return 226e6 * sqrt(log(1 + rise))


def adiabatic_area(current: Floats, seconds: float, start: float, end: float) -> Floats:
    """Copper area that warms no further than `end`, S = I sqrt(t)/k.

    current: scalar or array [A]; seconds: up to about 10 s [s]; start, end: scalars [K]
    returns: as current [m2]
    source: IEC 60364-4-43
    """
    return np.asarray(np.abs(current) * sqrt(seconds) / adiabatic_constant(start, end))


def trace_area(current: float, rise: float, outer: bool = True) -> float:
    """Cross-section of a board's trace, A = (I/(k dT^0.44))^(1/0.725) in square mils, k 0.048 outside, 0.024 inside.

    current: scalar [A]; rise: warming allowed, scalar > 0 [K]; outer: on an outer layer
    returns: scalar [m2]
    valid: 10 to 100 K, up to 35 A
    source: IPC-2221
    """
    k = 0.048 if outer else 0.024
    return float((current / (k * rise**0.44)) ** (1 / 0.725)) * _MIL**2


def trace_width(current: float, rise: float, thickness: float, outer: bool = True) -> float:
    """Width of a trace of a thickness, w = A/h with A from `trace_area`; 1 oz/ft2 of copper is 1.378 mil.

    thickness: scalar [m]; others as in `trace_area`
    returns: scalar [m]
    source: IPC-2221
    """
    return trace_area(current, rise, outer) / thickness


def smoothing_capacitance(inductance: Floats, current: Floats, start: Floats, end: Floats) -> Floats:
    """Capacitance that takes the energy of the leads when their current stops, C = L I^2/(V2^2 - V1^2).

    inductance [H], current [A], start and highest voltage [V]: scalars or arrays
    returns: [F]; infinite where end is not above start
    valid: ideal capacitor, its series resistance adds I R
    source: energy balance
    """
    room = np.asarray(end) ** 2 - np.asarray(start) ** 2
    energy = np.asarray(inductance * np.asarray(current) ** 2)
    with np.errstate(divide="ignore", invalid="ignore"):
        found = np.where(room > 0, energy / room, np.inf)
    return float(found) if np.ndim(found) == 0 else found


def held_voltage(inductance: Floats, current: Floats, start: Floats, capacitance: Floats) -> Floats:
    """Voltage to which the leads drive a capacitor when their current stops, V2 = sqrt(V1^2 + L I^2/C).

    inductance [H], current [A], start [V], capacitance [F] > 0: scalars or arrays
    returns: [V]
    source: energy balance, the inverse of `smoothing_capacitance`
    """
    return np.sqrt(np.asarray(start) ** 2 + inductance * np.asarray(current) ** 2 / capacitance)


def insulated_diameter(area: Floats) -> Floats:
    """Diameter over the silicone insulation of a fine-strand wire, 0.6 mm + 1.75 d of its copper.

    area: of the copper, scalar or array [m2]
    returns: [m]
    valid: 12 to 24 AWG within about 12 %
    source: common practice, no source
    """
    return 0.6e-3 + 1.75 * np.sqrt(4 * np.asarray(area) / np.pi)


def bore_for_wires(diameter: Floats, count: int) -> Floats:
    """Bore of the smallest tube that takes equal round wires side by side, D = d (1 + 1/sin(pi/n)) for up to six.

    diameter: over the insulation, scalar or array [m]; count: 1 to 6
    returns: [m]; two need 2 d, three 2.1547 d, four 2.4142 d
    raises: ValueError for another count
    source: circles round a circle, plane geometry; optimal for up to six
    """
    if not 1 <= count <= 6:
        raise ValueError("the bore is known for one to six wires")
    return np.asarray(diameter) * (1.0 if count == 1 else 1.0 + 1.0 / np.sin(np.pi / count))
