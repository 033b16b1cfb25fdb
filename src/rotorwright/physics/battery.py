"""One cell at rest and under load: open-circuit voltage, sag at constant power, effect of temperature.

No open measurement of a pouch cell at 20C to 60C was found, so sag above about 10C is not validated.
"""

from math import exp, nan, sqrt

import numpy as np

from rotorwright.physics.compiled import kernel

__all__ = [
    "CHEMISTRIES",
    "open_circuit_voltage",
    "resistance_factor",
    "terminal_voltage_at_power",
]

CHEMISTRIES = ("lipo", "lihv", "li-ion")  # the index is the `chemistry` of the kernels

_CHARGE = np.array([0.0, 0.05, 0.10, 0.20, 0.30, 0.40, 0.50, 0.60, 0.70, 0.80, 0.90, 1.0])
_VOLTAGE = np.array(
    [
        # Graphite and lithium cobalt oxide pouch of 2.28 Ah: parameters of Ai et al. 2020 as carried by
        # a general open battery library, evaluated at rest.
        [3.000, 3.542, 3.640, 3.695, 3.733, 3.762, 3.793, 3.836, 3.909, 3.995, 4.088, 4.200],
        # Typical, no source: the same electrodes filled further. The row above, continued at the slope
        # of its last tenth (1.12 V per unit of charge) up to 4.35 V, which is 1.134 times the charge.
        [3.000, 3.555, 3.647, 3.705, 3.745, 3.779, 3.822, 3.895, 3.990, 4.096, 4.223, 4.350],
        # Typical, from memory: nickel manganese cobalt oxide and graphite, cylindrical, 2.8 V at empty.
        [2.800, 3.150, 3.350, 3.500, 3.580, 3.640, 3.720, 3.820, 3.910, 4.010, 4.080, 4.200],
    ]
)
_ACTIVATION = 3131.0  # slope of ln R over 1/T [K]
_REFERENCE = 298.15  # 25 C [K]


@kernel
def open_circuit_voltage(state_of_charge: float, chemistry: int) -> float:
    """Voltage of one rested cell, linear between tabulated points and rising everywhere.

    state_of_charge: scalar 0..1 [-]
    chemistry: index into CHEMISTRIES
    returns: scalar [V], NaN outside 0..1 or for an unknown chemistry
    valid: about 25 C, hysteresis neglected
    source: lipo from the parameters of Ai et al., J. Electrochem. Soc. 167 (2020) 013512 (paper cited
        from memory); lihv stretched from it and li-ion from memory: both typical
    """
    if not (0.0 <= state_of_charge <= 1.0 and 0 <= chemistry < 3):
        return nan
    i = 1
    while _CHARGE[i] < state_of_charge:
        i += 1
    share: float = (state_of_charge - _CHARGE[i - 1]) / (_CHARGE[i] - _CHARGE[i - 1])
    low: float = _VOLTAGE[chemistry, i - 1]
    high: float = _VOLTAGE[chemistry, i]
    return low + share * (high - low)


@kernel
def terminal_voltage_at_power(open_circuit: float, resistance: float, power: float) -> float:
    """Voltage of a source that feeds a constant power, the larger root of V^2 - V Voc + R P = 0.

    open_circuit: scalar > 0 [V]
    resistance: of the whole source, scalar >= 0 [ohm]
    power: drawn at the terminals, negative when charging, scalar [W]
    returns: scalar [V], NaN where the source collapses (P > Voc^2 / 4R)
    source: Kirchhoff; the smaller root is beyond the power peak and not stable
    """
    discriminant = open_circuit * open_circuit - 4.0 * resistance * power
    if open_circuit > 0.0 and discriminant >= 0.0:
        return 0.5 * (open_circuit + sqrt(discriminant))
    return nan


@kernel
def resistance_factor(temperature_k: float) -> float:
    """Resistance of a lithium polymer pack over that at 25 C, exp(3131 K (1/T - 1/298.15 K)).

    temperature_k: of the cells, scalar > 0 [K]
    returns: scalar [-], NaN for a temperature that is not positive
    valid: sign and magnitude over 0..40 C; extrapolated above that it is likely optimistic
    source: one hobby measurement of one 2200 mAh two-cell pack, wiring included, at about 0, 10 and
        30 C (docs/theory/battery.md)
    """
    if temperature_k > 0.0:
        return exp(_ACTIVATION * (1.0 / temperature_k - 1.0 / _REFERENCE))
    return nan
