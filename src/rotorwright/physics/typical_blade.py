"""The typical blade of small propellers: chord and twist for a diameter, pitch and blade count.

Builders know no more than these three figures; the shape here is the population mean of measured blades, and
`rotor_error.TYPICAL` holds the scatter that comes with it.
"""

import math

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.blade import Blade

__all__ = ["typical_blade"]

Array = NDArray[np.float64]

HUB = 0.15
STATIONS: Array = np.round(np.arange(0.15, 1.001, 0.05), 2)
# Median c/R and median excess of twist over the helix of the nominal pitch [deg] of 90 measured blades.
CHORD: Array = np.array([
    0.1545, 0.1535, 0.1610, 0.1684, 0.1752, 0.1790, 0.1790, 0.1788, 0.1774,
    0.1735, 0.1675, 0.1625, 0.1520, 0.1395, 0.1255, 0.1133, 0.0865, 0.0435,
])  # fmt: skip
TWIST_EXCESS: Array = np.array([
    -18.29, -7.41, -1.91, -0.60, -0.32, 0.42, 0.55, 0.57, 0.66,
    0.69, 0.76, 0.75, 0.69, 0.59, 0.38, 0.12, -0.33, -1.08,
])  # fmt: skip
# Fitted to thrust and power of 158 sets and thrust of five five-inch propellers (docs/theory/rotor.md).
EXTRA_TWIST = 1.3
CHORD_LEVEL, SIZE_POWER, COUNT_POWER, REFERENCE_DIAMETER = -0.06, -0.30, -0.50, 9.0 * 0.0254


def typical_blade(diameter: float, pitch: float, count: int) -> Blade:
    """Blade with the population's chord and twist atan(pitch/(pi x D)) plus the population's excess.

    Chord over radius falls with size and count, (D/9 in)^-0.30 (B/2)^-0.50: small propellers have wide blades, and
    products with more blades have narrower ones (the latter rests on four five-inch propellers only).

    Parameters: diameter [m]; pitch - nominal advance per turn [m]; count - blades [-].
    Returns: a blade whose scatter is `rotor_error.TYPICAL`.
    Errors: ValueError with all that is wrong in plain sentences.
    Range: fitted on diameters 2.2-11 in, pitch/diameter 0.32-1.3, mostly two blades.
    Source: fit on Brandt, Deters, Ananda, Dantsker, Selig, UIUC Propeller Database, vols. 1-2, and on P. Cao and
    J. Strawson, open thrust-stand data (2018).
    """
    faults = _faults(diameter, pitch, count)
    if faults:
        raise ValueError(" ".join(faults))
    twist = np.arctan(pitch / (np.pi * STATIONS * diameter)) + np.radians(TWIST_EXCESS + EXTRA_TWIST)
    scale = (diameter / REFERENCE_DIAMETER) ** SIZE_POWER * (count / 2.0) ** COUNT_POWER
    return Blade(diameter, count, STATIONS, CHORD * math.exp(CHORD_LEVEL) * scale, twist, HUB)


def _faults(diameter: float, pitch: float, count: int) -> list[str]:
    """Sentences about what is wrong with the three figures."""
    good_diameter = math.isfinite(diameter) and diameter > 0.0
    good_pitch = math.isfinite(pitch) and pitch > 0.0
    tests = [
        (not good_diameter, "The diameter must be positive."),
        (not good_pitch, "The pitch must be positive."),
        (
            good_diameter and good_pitch and pitch > 2.0 * diameter,
            "The pitch is more than twice the diameter; are the two swapped?",
        ),
        (not 1 <= count <= 12, "A propeller has 1 to 12 blades."),
    ]
    return [sentence for wrong, sentence in tests if wrong]
