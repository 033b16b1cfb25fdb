"""The typical blade of small propellers: chord and twist for a diameter, pitch and blade count.

Builders know no more than these three figures; the shape here is the population mean of measured blades, and
`rotor_error` holds the scatter that comes with it.
"""

import math

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.blade import Blade

__all__ = ["typical_blade"]

Array = NDArray[np.float64]

HUB = 0.15
STATIONS: Array = np.round(np.arange(0.15, 1.001, 0.05), 2)
# Median c/R and median excess of twist over the helix of the nominal pitch [deg], 90 blades of 20 families.
CHORD: Array = np.array(
    [0.1545, 0.1535, 0.161, 0.1684, 0.1752, 0.179, 0.179, 0.1788, 0.1774]
    + [0.1735, 0.1675, 0.1625, 0.152, 0.1395, 0.1255, 0.1133, 0.0865, 0.0435]
)
TWIST_EXCESS: Array = np.array(
    [-18.29, -7.41, -1.91, -0.6, -0.32, 0.42, 0.55, 0.57, 0.66]
    + [0.69, 0.76, 0.75, 0.69, 0.59, 0.38, 0.12, -0.33, -1.08]
)


def typical_blade(diameter: float, pitch: float, count: int) -> Blade:
    """Blade with the population's chord, and twist atan(pitch/(pi x D)) plus the population's excess.

    Parameters: diameter [m]; pitch - nominal advance per turn [m]; count - blades [-].
    Returns: a blade whose scatter is `rotor_error.TYPICAL`.
    Errors: ValueError with all that is wrong in plain sentences.
    Range: fitted on diameters 2.2-11 in, pitch/diameter 0.32-1.1, mostly two blades.
    Source: fit on Brandt, Deters, Ananda, Dantsker, Selig, UIUC Propeller Database, vols. 1-2.
    """
    faults = []
    if not diameter > 0.0 or not math.isfinite(diameter):
        faults.append("The diameter must be positive.")
    if not pitch > 0.0 or not math.isfinite(pitch):
        faults.append("The pitch must be positive.")
    elif diameter > 0.0 and pitch > 2.0 * diameter:
        faults.append("The pitch is more than twice the diameter; are the two swapped?")
    if not 1 <= count <= 12:
        faults.append("A propeller has 1 to 12 blades.")
    if faults:
        raise ValueError(" ".join(faults))
    twist = np.arctan(pitch / (np.pi * STATIONS * diameter)) + np.radians(TWIST_EXCESS)
    return Blade(diameter, count, STATIONS, CHORD, twist, HUB)
