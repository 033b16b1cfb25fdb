"""What the craft does to its rotors: arms under the discs, and discs that share a shaft line."""

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns.draws import Draws
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute
from rotorwright.parts.hardware import Plate, Tube
from rotorwright.parts.propulsion import Propeller
from rotorwright.physics.rotor_corrections import Correction, arm_blockage, coaxial_pair

__all__ = ["disturb_rotors"]

_USUAL_HUB = 0.006  # [m] radius of a hub nobody has stated


def disturb_rotors(rows: NDArray[np.void], craft: Craft, draws: Draws) -> None:
    """Lower the thrust level for the arms below the discs, raise the power level for coaxial pairs.

    All motors are alike in the solver, so that a pair's extra power is spread over all of them.
    """
    if (correction := _of_arms(craft)) is not None:
        rows["thrust_level"] *= _factor(correction, 1.0, draws, "arms.blockage")
    if paired := _paired_share(craft):
        rows["power_level"] *= _factor(coaxial_pair(), paired, draws, "coaxial pair.power")


def _factor(correction: Correction, share: float, draws: Draws, key: str) -> NDArray[np.float64]:
    mean = 1.0 + share * (correction.factor - 1.0)
    return np.asarray(mean * np.exp(share * correction.ln_sd * draws.normal(key)))


def _of_arms(craft: Craft) -> Correction | None:
    """Blockage by the arms, or None when there are none or their width is not known.

    CannotCompute for arms wider than a propeller's radius, far outside of what the model is for.
    """
    arm, propeller = craft.the("arm"), craft.the("propeller")
    if arm is None or propeller is None or not arm.places or not isinstance(propeller.part, Propeller):
        return None
    width = _width(arm)
    radius = propeller.part.diameter.value / 2 if propeller.part.diameter else 0.0
    hub = propeller.part.hub_diameter.value / 2 if propeller.part.hub_diameter else min(_USUAL_HUB, radius / 4)
    if width is None or radius == 0.0:
        return None
    if width > radius:
        raise CannotCompute(f"the arms, {width * 1e3:.0f} mm wide, hide the propellers: no model says what is left")
    drop = max(-arm.places[0].z, 0.0)  # an arm above the disc counts as one at it
    shape = "tube" if isinstance(arm.part, Tube) and arm.part.section == "round" else "plate"
    return arm_blockage(shape, width, drop, radius, hub)


def _width(arm: PlacedPart) -> float | None:
    if isinstance(arm.part, Tube):
        return arm.part.outer_diameter.value if arm.part.outer_diameter else None
    if isinstance(arm.part, Plate):
        return arm.part.width.value if arm.part.width else None
    return None


def _paired_share(craft: Craft) -> float:
    """Share of the motors that have another one above or below."""
    columns = [(round(m.x, 6), round(m.y, 6)) for m in craft.motors]
    return sum(columns.count(place) > 1 for place in columns) / max(len(columns), 1)
