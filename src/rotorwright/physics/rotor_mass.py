"""Inertia and root load of a propeller from blade geometry and mass, and its bounds of speed."""

import math
from dataclasses import dataclass

import numpy as np

from rotorwright.physics.blade import Blade

__all__ = ["MassModel", "propeller_mass_model", "rotation_rate_at_tip_mach"]

HUB_SOLID = 0.25
"""Mass of the hub cylinder over that of one propeller [-], judgement: moulded hubs 0.15-0.35."""
ROOT_THICKNESS, TIP_THICKNESS = 0.16, 0.08  # thickness over chord, the habit of moulded blades; no source


@dataclass(frozen=True)
class MassModel:
    """What follows from the mass of a propeller and where it sits along the blade."""

    inertia: float
    """Moment of inertia about the axis [kg m2]."""
    inertia_ln_sd: float
    """Standard deviation of its ln [-]."""
    root_moment: float
    """Mass times radius of one blade [kg m]; times (2 pi n)^2 it is the pull at the blade's root."""

    def root_load(self, rotation_rate: float) -> float:
        """Centrifugal pull of one blade on the hub, F = (2 pi n)^2 m r [N], at n [rev/s]."""
        return self.root_moment * (2.0 * math.pi * rotation_rate) ** 2


def propeller_mass_model(blade: Blade, mass: float) -> MassModel:
    """Inertia I = integral r^2 dm and root moment integral r dm, blade mass per length as chord^2 x thickness ratio.

    Parameters: blade; mass - of the whole propeller [kg], a quarter of it in the hub. Returns: mass model.
    Errors: ValueError when the mass is not positive. Range: moulded or carved solid blades; 0.2 in ln inertia is
    the spread from hub share 0.15-0.35 and straight or steep thinning (judgement).
    """
    if not mass > 0.0:
        raise ValueError("The mass of a propeller must be positive.")
    x = np.linspace(blade.hub, 1.0, 201)
    thickness = np.interp(x, [blade.hub, 1.0], [ROOT_THICKNESS, TIP_THICKNESS])
    line = np.interp(x, blade.station, blade.chord) ** 2 * thickness
    R, share = 0.5 * blade.diameter, (1.0 - HUB_SOLID) * mass
    total, first, second = (float(np.trapezoid(line * x**k, x)) for k in (0, 1, 2))
    hub = 0.5 * HUB_SOLID * mass * (blade.hub * R) ** 2
    return MassModel(share * R**2 * second / total + hub, 0.2, share * R * first / total / blade.count)


def rotation_rate_at_tip_mach(diameter: float, tip_mach: float, sound_speed: float) -> float:
    """Speed of rotation [rev/s] at which the tip in still air reaches a Mach number, n = M a/(pi D)."""
    return tip_mach * sound_speed / (math.pi * diameter)
