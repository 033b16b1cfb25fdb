"""The craft as triangles for a picture in space: one mesh for each part, all its copies together."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.craft.model import Craft
from rotorwright.parts.propulsion import Propeller
from rotorwright.predict.craft_bodies import CraftBody, craft_bodies

__all__ = ["PartMesh", "craft_meshes", "disc_meshes"]

Array = NDArray[np.float64]
_ROUND = 64


@dataclass(frozen=True)
class PartMesh:
    """All bodies of one part: vertices (n, 3) [m] in the craft's axes, triangles (m, 3) that turn outwards."""

    id: str
    kind: str
    role: str
    vertices: Array
    triangles: NDArray[np.int64]


def craft_meshes(craft: Craft) -> list[PartMesh]:
    """A mesh for each part that has a shape and a place."""
    groups: dict[str, list[CraftBody]] = {}
    for body in craft_bodies(craft):
        groups.setdefault(body.id, []).append(body)
    return [_joined(bodies) for bodies in groups.values()]


def _joined(bodies: Sequence[CraftBody]) -> PartMesh:
    vertices, triangles, count = [], [], 0
    for body in bodies:
        points, faces = body.mesh()
        vertices.append(points)
        triangles.append(faces + count)
        count += len(points)
    first = bodies[0]
    return PartMesh(first.id, first.kind, first.role, np.vstack(vertices), np.vstack(triangles))


def disc_meshes(craft: Craft) -> Iterator[PartMesh]:
    """The propellers' discs, seen from both sides; nothing when their diameter is not known."""
    placed = craft.the("propeller")
    if placed is None or not isinstance(placed.part, Propeller) or placed.part.diameter is None:
        return
    angles = 2 * np.pi * np.arange(_ROUND) / _ROUND
    rim = placed.part.diameter.value / 2 * np.column_stack([np.cos(angles), np.sin(angles), 0 * angles])
    i = np.arange(1, _ROUND + 1)
    fan = np.column_stack([0 * i, i, np.roll(i, -1)])
    for motor in craft.motors:
        middle = np.array([motor.x, motor.y, motor.z])
        points = np.vstack([middle, middle + rim])
        yield PartMesh(placed.id, "disc", "propeller", points, np.vstack([fan, fan[:, ::-1]]))
