"""Mass, centre and inertia of rigid bodies put together from simple solids.

Axes are right-handed: x forward, y left, z up. An inertia tensor holds tensor elements: its off-diagonals
are minus the products of inertia, I[0, 2] = -sum(m x z).

Source: any statics text (Meriam & Kraige, Engineering Mechanics: Dynamics, appendix; from memory).
"""

from dataclasses import dataclass
from math import cos, sin
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

__all__ = ["Box", "Cylinder", "Disc", "Point", "Solid", "Tube", "combine", "rotated", "rotation_matrix"]

Floats = NDArray[np.float64]


class Solid(Protocol):
    """A uniform body whose shape is known, in its own axes, centred on its own centre of mass."""

    def inertia_per_mass(self) -> Floats:
        """Inertia tensor about the own centre divided by the mass, (3, 3) [m2]."""

    def extent(self) -> Floats:
        """Full lengths along the own x, y and z, (3,) [m]."""


@dataclass(frozen=True, slots=True)
class Box:
    """Rectangular block."""

    x: float  # full length [m]
    y: float  # full width [m]
    z: float  # full height [m]

    def inertia_per_mass(self) -> Floats:
        """I_x = (y^2 + z^2)/12 and so on in turn, (3, 3) [m2]."""
        x, y, z = self.x**2, self.y**2, self.z**2
        return np.diag([y + z, z + x, x + y]) / 12.0

    def extent(self) -> Floats:
        """Full lengths along the own x, y and z, (3,) [m]."""
        return np.array([self.x, self.y, self.z])


@dataclass(frozen=True, slots=True)
class Cylinder:
    """Upright cylinder, axis along z: a motor."""

    radius: float  # [m]
    height: float  # full [m]

    def inertia_per_mass(self) -> Floats:
        """I_z = r^2/2, I_x = I_y = r^2/4 + h^2/12, (3, 3) [m2]."""
        across = self.radius**2 / 4 + self.height**2 / 12
        return np.diag([across, across, self.radius**2 / 2])

    def extent(self) -> Floats:
        """Full lengths along the own x, y and z, (3,) [m]."""
        return np.array([2 * self.radius, 2 * self.radius, self.height])


@dataclass(frozen=True, slots=True)
class Tube:
    """Round tube lying along x: an arm."""

    outer: float  # outer diameter [m]
    inner: float  # inner diameter, at most the outer [m]
    length: float  # [m]

    def __post_init__(self) -> None:
        if self.inner > self.outer:
            raise ValueError(f"tube bore {self.inner:g} m is wider than the tube, {self.outer:g} m")

    def inertia_per_mass(self) -> Floats:
        """I_x = (D^2 + d^2)/8, I_y = I_z = (D^2 + d^2)/16 + l^2/12, (3, 3) [m2]."""
        squares = self.outer**2 + self.inner**2
        across = squares / 16 + self.length**2 / 12
        return np.diag([squares / 8, across, across])

    def extent(self) -> Floats:
        """Full lengths along the own x, y and z, (3,) [m]."""
        return np.array([self.length, self.outer, self.outer])


@dataclass(frozen=True, slots=True)
class Disc:
    """Thin uniform disc across z: a propeller, averaged over its turn.

    A blade pair is nearer to a slender rod: averaged over a turn, a rod of tip radius R has the tensor of a
    disc of radius 0.8165 R (the square root of 2/3).
    """

    radius: float  # [m]

    def inertia_per_mass(self) -> Floats:
        """I_z = r^2/2, I_x = I_y = r^2/4, (3, 3) [m2]."""
        return np.diag([0.25, 0.25, 0.5]) * self.radius**2

    def extent(self) -> Floats:
        """Full lengths along the own x, y and z, (3,) [m]."""
        return np.array([2 * self.radius, 2 * self.radius, 0.0])


@dataclass(frozen=True, slots=True)
class Point:
    """All mass in one place."""

    def inertia_per_mass(self) -> Floats:
        """Zero, (3, 3) [m2]."""
        return np.zeros((3, 3))

    def extent(self) -> Floats:
        """Zero, (3,) [m]."""
        return np.zeros(3)


def rotation_matrix(roll: float, pitch: float, yaw: float) -> Floats:
    """Turn a vector of a part's own axes into the craft's, R = Rz(yaw) Ry(pitch) Rx(roll).

    Intrinsic z-y'-x'': first yaw about z, then pitch about the new y, then roll about the new x, each
    right-handed. With y left and z up, positive yaw turns the nose left, positive pitch lowers the nose and
    positive roll lowers the right side.

    roll, pitch, yaw: scalars [rad]
    returns: (3, 3) [-]; v_craft = R @ v_part
    """
    cr, sr, cp, sp, cy, sy = cos(roll), sin(roll), cos(pitch), sin(pitch), cos(yaw), sin(yaw)
    return np.array(
        [
            [cy * cp, cy * sp * sr - sy * cr, cy * sp * cr + sy * sr],
            [sy * cp, sy * sp * sr + cy * cr, sy * sp * cr - cy * sr],
            [-sp, cp * sr, cp * cr],
        ]
    )


def rotated(inertia: Floats, rotation: Floats) -> Floats:
    """Inertia tensor of a part in the craft's axes, I' = R I R^T.

    inertia: (..., 3, 3) [kg m2, or m2 per mass]
    rotation: from `rotation_matrix`, (..., 3, 3) [-]
    returns: (..., 3, 3), unit of `inertia`
    """
    turned: Floats = rotation @ inertia @ np.swapaxes(rotation, -1, -2)
    return turned


def combine(masses: Floats, places: Floats, inertia_per_mass: Floats) -> tuple[Floats, Floats, Floats]:
    """Put n parts together, I = sum m (I_own + |d|^2 1 - d d^T) with d from the common centre of mass.

    masses: any leading axes of samples, then the parts, (..., n) [kg]
    places: of the parts' centres, (n, 3) [m]
    inertia_per_mass: about the parts' own centres, in the craft's axes, (n, 3, 3) [m2]
    returns: mass (...) [kg], centre (..., 3) [m], inertia about the centre (..., 3, 3) [kg m2], symmetric
    raises: ValueError for a negative mass, or where all masses are zero
    source: parallel-axis theorem
    """
    m, p, own = (np.asarray(a, dtype=float) for a in (masses, places, inertia_per_mass))
    mass = m.sum(axis=-1)
    if (m < 0).any() or (mass == 0).any():
        raise ValueError("masses must not be negative, and not all zero")
    centre = (m @ p) / mass[..., None]
    offset = p - centre[..., None, :]
    spread = np.swapaxes(offset, -1, -2) @ (m[..., None] * offset)
    turning = np.trace(spread, axis1=-2, axis2=-1)[..., None, None] * np.eye(3) - spread
    inertia = np.tensordot(m, own, axes=(-1, 0)) + turning
    # Rounding may differ between mirrored elements; a tensor that is symmetric only nearly is a nuisance.
    return mass, centre, (inertia + np.swapaxes(inertia, -1, -2)) / 2
