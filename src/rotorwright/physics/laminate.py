"""Moduli of a laminate from its plies: classical laminate theory.

Angles are measured from the member's own x axis, counter-clockwise seen from above. Plies are of equal thickness
unless told otherwise, listed from the bottom.

Source: classical laminate theory (Jones, Mechanics of Composite Materials; Tsai and Hahn; from memory). Valid for
thin plates of perfectly bonded, linear plies; interlaminar shear and edges are outside it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Moduli", "Ply", "laminate_moduli", "reduced_stiffness", "stiffness_matrices", "turned_stiffness"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Ply:
    """One layer: moduli along and across its fibres."""

    along: float  # E1 [Pa]
    across: float  # E2 [Pa]
    shear: float  # G12 [Pa]
    poisson: float  # nu12 [1]


@dataclass(frozen=True, slots=True)
class Moduli:
    """Engineering constants of a laminate along its member's x axis [Pa]; bending from D, membrane from A."""

    membrane: float
    membrane_across: float
    shear: float
    poisson: float
    bending: float
    twisting: float


def reduced_stiffness(ply: Ply) -> Array:
    """Plane-stress stiffness of a ply in its own axes, Q11 = E1/(1 - nu12 nu21) and so on, (3, 3) [Pa]."""
    poisson_across = ply.poisson * ply.across / ply.along
    share = 1 - ply.poisson * poisson_across
    return np.array(
        [
            [ply.along / share, ply.poisson * ply.across / share, 0.0],
            [ply.poisson * ply.across / share, ply.across / share, 0.0],
            [0.0, 0.0, ply.shear],
        ]
    )


def turned_stiffness(Q: Array, angle: float) -> Array:
    """Stiffness of a ply turned by `angle` [rad], T^-1 Q R T R^-1, (3, 3) [Pa]."""
    c, s = np.cos(angle), np.sin(angle)
    T = np.array([[c * c, s * s, 2 * c * s], [s * s, c * c, -2 * c * s], [-c * s, c * s, c * c - s * s]])
    R = np.diag([1.0, 1.0, 2.0])
    turned: Array = np.linalg.inv(T) @ Q @ R @ T @ np.linalg.inv(R)
    return turned


def stiffness_matrices(ply: Ply, angles: Sequence[float], thickness: float) -> tuple[Array, Array, Array]:
    """A [N/m], B [N] and D [N m] of a laminate of equal plies; `thickness` is that of the whole [m]."""
    Q = reduced_stiffness(ply)
    faces = np.linspace(-thickness / 2, thickness / 2, len(angles) + 1)
    turned = np.array([turned_stiffness(Q, angle) for angle in angles])
    A, B, D = (
        np.tensordot((faces[1:] ** power - faces[:-1] ** power) / power, turned, axes=1) for power in (1, 2, 3)
    )
    return A, B, D


def laminate_moduli(ply: Ply, angles: Sequence[float], thickness: float = 1.0) -> Moduli:
    """Engineering constants: E = 1/(h a11) from A^-1, E_bending = 12/(h^3 d11) and G_twist = 12/(h^3 d66) from D^-1.

    angles: of the plies, bottom to top [rad]; a stack that is not symmetric couples stretch and bending, and its
    constants here are those of the stack held flat
    thickness: of the whole [m]; the moduli do not depend on it
    """
    A, _, D = stiffness_matrices(ply, angles, thickness)
    a, d = np.linalg.inv(A), np.linalg.inv(D)
    return Moduli(
        membrane=float(1 / (thickness * a[0, 0])),
        membrane_across=float(1 / (thickness * a[1, 1])),
        shear=float(1 / (thickness * a[2, 2])),
        poisson=float(-a[0, 1] / a[0, 0]),
        bending=float(12 / (thickness**3 * d[0, 0])),
        twisting=float(12 / (thickness**3 * d[2, 2])),
    )
