"""Mass properties of an STL file, by the divergence theorem, without the CAD kernel."""

import struct
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.errors import InputError, Problem

__all__ = ["mesh_measures", "read_stl"]

Array = NDArray[np.float64]


def read_stl(file: Path, unit: float = 1e-3) -> dict[str, Any]:
    """Volume [m3], centre [m], inertia over volume about the centre [m2] and bounding box [m] of a closed STL.

    unit: length of one of the file's units [m]; STL does not say. Raises InputError for a file that is no STL, or
    whose surface is open.
    """
    triangles = unit * _triangles(file)
    if len(triangles) < 4:
        raise InputError(Problem("the file holds no triangles", "Export it again as STL.", "", file))
    open_edges = _open_edges(triangles)
    if open_edges:
        what = f"its surface is open: {open_edges} edges have no partner"
        raise InputError(Problem(what, "Repair the mesh; an open surface has no volume.", "", file))
    return mesh_measures(triangles)


def _triangles(file: Path) -> Array:
    """Corners of all triangles, (m, 3, 3), of a binary or a text STL."""
    try:
        data = file.read_bytes()
    except OSError as error:
        raise InputError(Problem(f"cannot be read: {error.strerror}", "Check the name.", "", file)) from None
    if len(data) >= 84 and len(data) == 84 + 50 * (count := struct.unpack("<I", data[80:84])[0]):
        kind = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("rest", "<u2")])
        return np.frombuffer(data, kind, count, 84)["corners"].astype(float)
    rows = [
        line.split()[1:4] for line in data.decode("ascii", "replace").splitlines() if line.split()[:1] == ["vertex"]
    ]
    try:
        return np.array(rows, dtype=float).reshape(-1, 3, 3)
    except ValueError:
        raise InputError(Problem("not an STL file", "Export it again as STL.", "", file)) from None


def _open_edges(triangles: Array) -> int:
    """Edges that are not walked once each way."""
    corners = np.round(triangles.reshape(-1, 3) * 1e8).astype(np.int64)
    _, number = np.unique(corners, axis=0, return_inverse=True)
    faces = number.reshape(-1, 3)
    faces = faces[(faces[:, 0] != faces[:, 1]) & (faces[:, 1] != faces[:, 2]) & (faces[:, 2] != faces[:, 0])]
    edges = np.vstack([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    size = int(number.max()) + 1
    there, back = edges[:, 0] * size + edges[:, 1], edges[:, 1] * size + edges[:, 0]
    return int(np.sum(np.isin(there, back, invert=True)))


def mesh_measures(triangles: Array) -> dict[str, Any]:
    """Volume, centre, inertia over volume about the centre, and bounding box of a closed surface.

    Sums over the tetrahedra from the origin to each triangle: V = sum d/6 with d = a . (b x c), centre and second
    moments by the tetrahedron's exact formulas. triangles: corners, (m, 3, 3) [m], turning outwards
    """
    a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    d = np.einsum("ij,ij->i", a, np.cross(b, c))
    volume = d.sum() / 6
    if volume < 0:  # the surface is turned inside out
        d, volume = -d, -volume
    s = a + b + c
    centre = (d[:, None] * s).sum(axis=0) / (24 * volume)
    products = sum(np.einsum("i,ij,ik->jk", d, p, p) for p in (a, b, c, s)) / 120
    moments = products - volume * np.outer(centre, centre)
    tensor = (np.trace(moments) * np.eye(3) - moments) / volume
    corners = triangles.reshape(-1, 3)
    size = corners.max(axis=0) - corners.min(axis=0)
    return {
        "volume": float(volume),
        "centre": tuple(float(v) for v in centre),
        "inertia_per_mass": tensor,
        "size": tuple(float(v) for v in size),
    }
