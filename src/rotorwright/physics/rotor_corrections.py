"""Declared corrections to an isolated propeller, each with a wide bar: arm under the disc, coaxial pair.

None of them was checked against a measurement of a small craft; they are estimates from momentum theory and
handbook drag coefficients, and say how large the effect may be.
"""

import math
from dataclasses import dataclass

__all__ = ["DUCT_REFUSAL", "Correction", "arm_blockage", "coaxial_pair"]

DUCT_REFUSAL = (
    "A duct changes the flow through the disc, and gap and lip decide by how much; this model has no ducts. "
    "Leave the duct out and read the result as that of the open propeller."
)
_DRAG = {"tube": 1.1, "plate": 2.0}  # bluff bodies across the flow, subcritical (Hoerner 1965, from memory)


@dataclass(frozen=True)
class Correction:
    """Factor on a coefficient, and the standard deviation of its ln."""

    factor: float
    """[-]."""
    ln_sd: float
    """[-]."""


def arm_blockage(shape: str, width: float, drop: float, radius: float, hub_radius: float) -> Correction:
    """Factor on thrust of an arm that crosses the wake from hub to tip, 1 - Cd (w/v)^2 S/(4 A).

    The wake at the arm has w/v = 1 + d/sqrt(1 + d^2), d = drop/R; its drag pulls down. The bar is half of the loss.

    Parameters: shape - "tube" (Cd 1.1) or "plate" (Cd 2.0); width - of the arm seen along the wake [m]; drop - below
    the disc [m]; radius - of the propeller [m]; hub_radius - where the blades begin [m].
    Returns: correction of thrust at the same power. Errors: ValueError for another shape or a negative size.
    Range: arms narrower than a fifth of the radius. Source: vortex-cylinder wake and bluff-body drag (from memory);
    not validated on small craft.
    """
    if shape not in _DRAG:
        raise ValueError(f"An arm is a tube or a plate here, not {shape!r}.")
    if min(width, drop, radius - hub_radius) < 0.0:
        raise ValueError("Width and drop of an arm must not be negative, and the hub must be smaller than the disc.")
    d = drop / radius
    wake = 1.0 + d / math.sqrt(1.0 + d * d)
    share = width * (radius - hub_radius) / (math.pi * radius**2)
    loss = 0.25 * _DRAG[shape] * wake * wake * share
    return Correction(1.0 - loss, 0.5 * loss)


def coaxial_pair() -> Correction:
    """Factor on the power of two coaxial propellers over that of two free ones at the same total thrust.

    Momentum theory bounds it: sqrt(2) = 1.414 for two discs in one plane, 1.281 for the lower disc in the developed
    wake of the upper at equal torque; swirl recovery and wake contraction bring measurements to about 1.2.
    Returns: 1.24 with ln standard deviation 0.08. Range: spacing 0.1 to 1 radius, equal propellers.
    Source: Leishman, Principles of Helicopter Aerodynamics, ch. 2 (from memory); not validated on small craft.
    """
    return Correction(1.24, 0.08)
