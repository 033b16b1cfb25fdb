"""The frame's pieces as plain geometry: every piece is a stack of extruded outlines.

One list of pieces feeds mass, centre, inertia, clearances, pictures, cut paths and the exact solid. Lengths are in
metres; `Pose.matrix` and `Pose.origin` are the one transform between a piece's axes and the craft's.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rotorwright.frame.materials import Material
from rotorwright.frame.outline import Outline
from rotorwright.parts.source_map import Key
from rotorwright.physics.rigid_body import combine, rotated, rotation_matrix

__all__ = ["Extrusion", "MassProperties", "Piece", "Pose"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Pose:
    """Where a set of axes lies in another: origin [m], and turn about x, y, z as in `rotation_matrix` [rad]."""

    x: float = 0.0
    y: float = 0.0
    z: float = 0.0
    roll: float = 0.0
    pitch: float = 0.0
    yaw: float = 0.0

    @property
    def origin(self) -> Array:
        """Origin, (3,) [m]."""
        return np.array([self.x, self.y, self.z])

    @property
    def matrix(self) -> Array:
        """Rotation that turns vectors of the inner axes into the outer, (3, 3)."""
        return rotation_matrix(self.roll, self.pitch, self.yaw)

    def outward(self, points: Array) -> Array:
        """Points of the inner axes in the outer, (..., 3) [m]."""
        return np.asarray(points @ self.matrix.T + self.origin)


@dataclass(frozen=True, slots=True)
class Extrusion:
    """An outline in its own xy plane, drawn up from z = 0 by `height` [m], placed in its piece's axes."""

    outline: Outline
    height: float
    pose: Pose = Pose()

    @property
    def volume(self) -> float:
        """Volume [m3]."""
        return self.outline.moments.area * self.height

    def centre(self) -> Array:
        """Centre in the piece's axes, (3,) [m]."""
        return self.pose.outward(np.array([*self.outline.moments.centre, self.height / 2]))

    def inertia_per_mass(self) -> Array:
        """Inertia tensor about the own centre in the piece's axes over the mass, (3, 3) [m2]."""
        m, h = self.outline.moments, self.height**2 / 12
        xx, yy, xy = m.xx / m.area, m.yy / m.area, m.xy / m.area
        own = np.array([[yy + h, -xy, 0.0], [-xy, xx + h, 0.0], [0.0, 0.0, xx + yy]])
        return rotated(own, self.pose.matrix)

    def corners(self) -> Array:
        """Points that span it in the piece's axes, (n, 3) [m]."""
        flat = np.asarray(self.outline.polygon.exterior.coords)[:, :2]
        ends = [np.column_stack([flat, np.full(len(flat), z)]) for z in (0.0, self.height)]
        return self.pose.outward(np.vstack(ends))


@dataclass(frozen=True, slots=True)
class MassProperties:
    """Volume [m3], centre (3,) [m] and inertia per mass about it (3, 3) [m2], in a piece's own axes."""

    volume: float
    centre: Array
    inertia_per_mass: Array


@dataclass(frozen=True)
class Piece:
    """One thing to cut or print, and every place where it goes."""

    name: str
    role: str
    material: Material
    bodies: tuple[Extrusion, ...]
    places: tuple[Pose, ...]
    key: Key
    infill: float = 1.0
    flat: bool = True

    @cached_property
    def properties(self) -> MassProperties:
        """Volume, centre and inertia of the material, as if it were solid throughout."""
        volumes = np.array([body.volume for body in self.bodies])
        centres = np.array([body.centre() for body in self.bodies])
        tensors = np.array([body.inertia_per_mass() for body in self.bodies])
        volume, centre, inertia = combine(volumes, centres, tensors)
        return MassProperties(float(volume), centre, inertia / float(volume))

    @property
    def mass(self) -> float:
        """Mass of one [kg]."""
        assert self.material.density is not None
        return self.material.density.value * self.infill * self.properties.volume

    @property
    def thickness(self) -> float:
        """Height of the whole stack in the piece's z [m]."""
        low, high = self.bounds
        return float(high[2] - low[2])

    @cached_property
    def bounds(self) -> tuple[Array, Array]:
        """Lowest and highest corner in its own axes, (3,) [m]."""
        points = np.vstack([body.corners() for body in self.bodies])
        return points.min(axis=0), points.max(axis=0)

    @property
    def cut_length(self) -> float:
        """Length of the cut paths of one flat piece [m]; a groove's walls are not counted."""
        return self.bodies[0].outline.cut_length

    def corners_in_craft(self) -> Iterator[Array]:
        """Points that span each copy, in the craft's axes, (n, 3) [m]."""
        points = np.vstack([body.corners() for body in self.bodies])
        for place in self.places:
            yield place.outward(points)
