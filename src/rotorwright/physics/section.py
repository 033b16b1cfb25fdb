"""Stiffness of cross-sections: area, second moments, torsion constant, and the distances to the outer fibre.

Axes of a member: x along it, y across it in the plane of the craft, z up. `vertical` bending deflects along z
and has the second moment about y; `lateral` bending deflects along y and has the second moment about z.

Sources: second moments from any statics text; torsion of a rectangle by Roark's formula
J = b h^3 [1/3 - 0.21 (h/b)(1 - h^4/(12 b^4))] (Roark's Formulas for Stress and Strain, from memory), within
0.1 % of a finite-element section for 12 x 5 mm; thin square tube by Bredt.
"""

import math
from dataclasses import dataclass

__all__ = ["Section", "grooved_plate", "plate", "round_tube", "square_tube"]


@dataclass(frozen=True, slots=True)
class Section:
    """One cross-section."""

    area: float  # [m2]
    vertical: float  # second moment about y [m4]
    lateral: float  # second moment about z [m4]
    torsion: float  # St Venant torsion constant [m4]
    half_height: float  # from the neutral axis to the outer fibre along z [m]
    half_width: float  # along y [m]
    shear_share: float = 5 / 6  # share of the area that carries shear [1]


def plate(width: float, thickness: float) -> Section:
    """Rectangle lying flat: I_vertical = b t^3/12, I_lateral = t b^3/12, J by Roark.

    width, thickness: [m]
    """
    wide, thin = max(width, thickness), min(width, thickness)
    ratio = thin / wide if wide else math.nan
    torsion = wide * thin**3 * (1 / 3 - 0.21 * ratio * (1 - ratio**4 / 12))
    return Section(
        width * thickness,
        width * thickness**3 / 12,
        thickness * width**3 / 12,
        torsion,
        thickness / 2,
        width / 2,
    )


def round_tube(outer: float, inner: float) -> Section:
    """Round tube: I = pi (D^4 - d^4)/64, J = 2 I; half the area carries shear (thin wall).

    outer, inner: diameters [m]
    """
    moment = math.pi / 64 * (outer**4 - inner**4)
    area = math.pi / 4 * (outer**2 - inner**2)
    return Section(area, moment, moment, 2 * moment, outer / 2, outer / 2, 0.5 if inner else 0.9)


def square_tube(outer: float, inner: float) -> Section:
    """Square tube: I = (a^4 - b^4)/12; J = t a_m^3 with the middle-line side a_m (Bredt, thin wall).

    outer, inner: sides [m]; without a bore the section is a solid square
    """
    if inner <= 0:
        return plate(outer, outer)
    moment = (outer**4 - inner**4) / 12
    wall, middle = (outer - inner) / 2, (outer + inner) / 2
    return Section(outer**2 - inner**2, moment, moment, wall * middle**3, outer / 2, outer / 2, 0.44)


def grooved_plate(width: float, thickness: float, groove_width: float, groove_depth: float) -> Section:
    """Plate with a groove along the middle of one face: composite second moments about the common neutral axis.

    The torsion constant is that of the two flanks and the floor side by side, each by Roark.

    width, thickness, groove_width, groove_depth: [m]
    """
    if groove_width <= 0 or groove_depth <= 0:
        return plate(width, thickness)
    area = width * thickness - groove_width * groove_depth
    middle_of_groove = thickness - groove_depth / 2
    middle = (width * thickness * thickness / 2 - groove_width * groove_depth * middle_of_groove) / area
    vertical = (
        width * thickness**3 / 12
        + width * thickness * (thickness / 2 - middle) ** 2
        - groove_width * groove_depth**3 / 12
        - groove_width * groove_depth * (middle_of_groove - middle) ** 2
    )
    lateral = (thickness * width**3 - groove_depth * groove_width**3) / 12
    flank = plate((width - groove_width) / 2, thickness)
    torsion = 2 * flank.torsion + plate(groove_width, thickness - groove_depth).torsion
    return Section(area, vertical, lateral, torsion, max(middle, thickness - middle), width / 2)
