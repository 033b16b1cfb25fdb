"""Round copper wire: size from gauge, resistance, mass, fusing, inductance. Plain arithmetic.

`resistance` and `mass` also take arrays. Area is that of the copper itself, strands summed.
"""

from math import log, log10, pi, sqrt

__all__ = [
    "awg_area",
    "awg_diameter",
    "fusing_current_onderdonk",
    "fusing_current_preece",
    "loop_inductance",
    "mass",
    "resistance",
]

COPPER_RESISTIVITY = 1.7241e-8  # at 20 C, 100 % IACS, IEC 60028 [ohm m]
COPPER_COEFFICIENT = 0.00393  # [1/K]
COPPER_DENSITY = 8960.0  # [kg/m3]
CIRCULAR_MIL = pi / 4 * 25.4e-6**2  # [m2]
COPPER_MELTS = 1083.0  # as used by Onderdonk [C]
ICE_POINT = 273.15  # [K]
THICKEST, THINNEST = -3, 56  # 4/0 to 56, the gauges of ASTM B258


def awg_diameter(gauge: float) -> float:
    """Diameter of the solid conductor, d = 0.127 mm x 92^((36 - n)/39).

    gauge: American wire gauge number, 0000 as -3, scalar -3..56
    returns: scalar [m]
    raises: ValueError outside that range
    source: ASTM B258 (formula universally printed; the standard was not opened)
    """
    if gauge < THICKEST or gauge > THINNEST:
        raise ValueError(f"wire gauge {gauge:g} is outside {THICKEST} to {THINNEST}")
    return float(0.127e-3 * 92.0 ** ((36.0 - gauge) / 39.0))


def awg_area(gauge: float) -> float:
    """Copper area of a gauge, A = pi d^2 / 4.

    gauge: American wire gauge number, scalar -3..56
    returns: scalar [m2]
    raises: ValueError outside that range
    source: ASTM B258
    """
    return pi / 4 * awg_diameter(gauge) ** 2


def resistance(length: float, area: float, temperature: float = 293.15) -> float:
    """Resistance of copper wire, R = 1.7241e-8 l/A (1 + 0.00393 (T - 293.15 K)).

    length: of all conductors in series (there and back), scalar or array [m]
    area: scalar or array [m2]
    temperature: scalar or array [K]
    returns: scalar or array [ohm]
    valid: fine strands of the same gauge read up to 2-5 % higher (common practice, no source)
    source: IEC 60028
    """
    warm = 1.0 + COPPER_COEFFICIENT * (temperature - 293.15)
    return COPPER_RESISTIVITY * length / area * warm


def mass(length: float, area: float, insulation: float = 0.45) -> float:
    """Mass of insulated wire, m = 8960 A l (1 + i).

    length: of all conductors, scalar or array [m]
    area: of the copper, scalar or array [m2]
    insulation: mass of the insulation over that of the copper, scalar [-]; 0.45 is typical of silicone
        wire from 12 to 20 AWG, about 1 at 26 AWG (from memory, no source; allow +-0.15)
    returns: scalar or array [kg]
    """
    return COPPER_DENSITY * area * length * (1.0 + insulation)


def fusing_current_onderdonk(area: float, seconds: float, ambient: float = 298.15) -> float:
    """Current that melts a wire in a given time, 33 (I/A)^2 t = log10((Tm - Ta)/(234 + Ta) + 1).

    area: scalar > 0 [m2] (A in circular mils in the equation)
    seconds: scalar > 0 [s]
    ambient: temperature at the start, scalar below 1083 C [K] (degrees Celsius in the equation)
    returns: scalar [A]; a destruction limit, not a working one
    valid: up to about 10 s, while the wire sheds no heat
    source: Onderdonk's equation in the form confirmed by Brooks and Adam, 2015
    """
    celsius = ambient - ICE_POINT
    rise = log10((COPPER_MELTS - celsius) / (234.0 + celsius) + 1.0)
    return area / CIRCULAR_MIL * sqrt(rise / (33.0 * seconds))


def fusing_current_preece(diameter: float) -> float:
    """Current that melts a long bare copper wire in still air at last, I = 10244 d^1.5 (d in inches).

    diameter: scalar >= 0 [m]
    returns: scalar [A]; a destruction limit, not a working one
    source: Preece's rule as quoted in handbooks (second hand)
    """
    return float(10_244.0 * (diameter / 0.0254) ** 1.5)


def loop_inductance(length: float, spacing: float, diameter: float) -> float:
    """Inductance of a pair of parallel wires, L = (mu0/pi) l (ln(2 s/d) + 1/4).

    length: of the pair, one way, scalar >= 0 [m]
    spacing: between the wires' centres, scalar >= diameter [m]
    diameter: of the copper, scalar > 0 [m]
    returns: scalar [H]
    raises: ValueError for wires that overlap
    valid: length much larger than spacing; low frequency (the 1/4 is the field inside the copper)
    source: Grover/Rosa form for the return pair (from memory)
    """
    if spacing < diameter:
        raise ValueError("wires closer than one diameter overlap")
    return 4e-7 * length * (log(2.0 * spacing / diameter) + 0.25)
