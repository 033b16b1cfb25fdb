"""Triangles of the frame's pieces as plain data, for pictures: named, placed, watertight each."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from rotorwright.frame.shape import Extrusion, Piece

__all__ = ["Mesh", "extrusion_mesh", "frame_meshes", "piece_mesh"]

Array = NDArray[np.float64]
Indices = NDArray[np.int64]


@dataclass(frozen=True)
class Mesh:
    """One copy of one piece in the craft's axes: vertices (n, 3) [m] and triangles (m, 3) that turn outwards."""

    name: str
    role: str
    material: str
    vertices: Array
    triangles: Indices

    @property
    def volume(self) -> float:
        """Enclosed volume by the divergence theorem, sum of a . (b x c)/6 [m3]."""
        a, b, c = (self.vertices[self.triangles[:, k]] for k in range(3))
        return float(np.sum(a * np.cross(b, c)) / 6)


def extrusion_mesh(body: Extrusion) -> tuple[Array, Indices]:
    """Vertices (n, 3) [m] and outward triangles (m, 3) of an extrusion, in its piece's axes."""
    polygon = body.outline.polygon
    rings = [shapely.get_coordinates(ring)[:-1] for ring in (polygon.exterior, *polygon.interiors)]
    flat = np.vstack(rings)
    number = {(x, y): i for i, (x, y) in enumerate(flat.tolist())}
    caps = []
    for triangle in shapely.constrained_delaunay_triangles(polygon).geoms:
        corners = [number[x, y] for x, y in shapely.get_coordinates(triangle)[:3].tolist()]
        a, b, c = flat[corners]
        left = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) > 0
        caps.append(corners if left else corners[::-1])
    top = np.array(caps)
    n, sides, start = len(flat), [], 0
    for ring in rings:
        i = np.arange(start, start + len(ring))
        j = np.concatenate((i[1:], i[:1]))
        sides += [np.column_stack([i, j, j + n]), np.column_stack([i, j + n, i + n])]
        start += len(ring)
    low = np.column_stack([flat, np.zeros(n)])
    high = np.column_stack([flat, np.full(n, body.height)])
    triangles = np.vstack([top[:, ::-1], top + n, *sides])
    return body.pose.outward(np.vstack([low, high])), triangles


def piece_mesh(piece: Piece) -> tuple[Array, Indices]:
    """Vertices and triangles of all bodies of a piece, in its own axes; bodies that touch are left apart."""
    vertices, triangles, count = [], [], 0
    for body in piece.bodies:
        points, faces = extrusion_mesh(body)
        vertices.append(points)
        triangles.append(faces + count)
        count += len(points)
    return np.vstack(vertices), np.vstack(triangles)


def frame_meshes(pieces: Sequence[Piece]) -> list[Mesh]:
    """Every copy of every piece in the craft's axes."""
    meshes = []
    for piece in pieces:
        points, triangles = piece_mesh(piece)
        for index, place in enumerate(piece.places):
            name = piece.name if len(piece.places) == 1 else f"{piece.name}-{index + 1}"
            meshes.append(Mesh(name, piece.role, piece.material.name, place.outward(points), triangles))
    return meshes
