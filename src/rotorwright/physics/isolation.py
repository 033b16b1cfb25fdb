"""Soft mounts: how much of a vibration passes, and how stiff a rubber-like pad or ring is.

Sources: transmissibility of a damped single-degree isolator from any vibration text (Rao, Mechanical Vibrations;
from memory); modulus from Shore A hardness by Gent (1958) and by Qi, Joyce and Boyce (2003), log10 E =
0.0235 S - 0.6403; shape factor of a bonded pad E_c = E (1 + 2 S^2) (Gent and Lindley 1959; from memory).
Printed elastomers scatter by half either way with infill and rate of strain: comparative.
"""

import math

import numpy as np
from numpy.typing import NDArray

__all__ = ["elastomer_modulus", "elastomer_modulus_gent", "natural_frequency", "pad_stiffness", "transmissibility"]

Floats = float | NDArray[np.float64]


def transmissibility(ratio: Floats, damping: Floats) -> Floats:
    """Transmitted over imposed amplitude, sqrt((1 + (2 z r)^2)/((1 - r^2)^2 + (2 z r)^2)).

    ratio: exciting over natural frequency [1]
    damping: share of the critical damping [1]
    returns: [1]; below 1 beyond ratio sqrt(2)
    """
    swing = (2 * np.asarray(damping) * np.asarray(ratio)) ** 2
    with np.errstate(divide="ignore"):
        passed = np.sqrt((1 + swing) / ((1 - np.asarray(ratio) ** 2) ** 2 + swing))
    return float(passed) if np.ndim(passed) == 0 else np.asarray(passed)


def natural_frequency(stiffness: float, mass: float) -> float:
    """Natural frequency of a mass on a spring, sqrt(k/m)/(2 pi) [Hz].

    stiffness: of all springs together [N/m]
    mass: [kg]
    """
    return math.sqrt(stiffness / mass) / (2 * math.pi)


def elastomer_modulus_gent(hardness: float) -> float:
    """Young's modulus from Shore A hardness, E = 0.0981 (56 + 7.62336 S)/(0.137505 (254 - 2.54 S)) MPa [Pa].

    hardness: Shore A, 20 to 95; rises without bound towards 100
    """
    if not hardness < 100:
        return math.nan
    return 1e6 * 0.0981 * (56 + 7.62336 * hardness) / (0.137505 * (254 - 2.54 * hardness))


def elastomer_modulus(hardness: float) -> float:
    """Young's modulus from Shore A hardness, log10(E in MPa) = 0.0235 S - 0.6403 [Pa].

    hardness: Shore A, 20 to 80 as fitted; at 95 within 12 % of Gent's relation
    """
    return float(1e6 * 10 ** (0.0235 * hardness - 0.6403))


def pad_stiffness(modulus: float, area: float, thickness: float, free_area: float) -> float:
    """Stiffness of a pad pressed between stiff faces, E (1 + 2 S^2) A/t with the shape factor S = A/free area [N/m].

    modulus: [Pa]; area: of one loaded face [m2]; thickness: [m]; free_area: of the sides that may bulge [m2]
    """
    shape = area / free_area
    return modulus * (1 + 2 * shape**2) * area / thickness
