"""Exact solids of the pieces by the CAD kernel: STEP of parts and assembly, STL of prints, and reading both."""

import math
import re
from collections.abc import Sequence
from copy import deepcopy
from datetime import datetime
from pathlib import Path as File
from typing import Any

import numpy as np

from rotorwright.errors import InputError, Problem
from rotorwright.frame.outline import Path
from rotorwright.frame.shape import Extrusion, Piece, Pose

__all__ = ["assembly_step", "cad", "part_step", "piece_solid", "print_stl", "read_step"]

# A file's date would make two runs differ.
_DATE = datetime(2000, 1, 1)
# How far triangles may be from a curved face [mm, rad].
_CHORD, _ANGLE = 0.02, 0.15


def cad() -> Any:
    """The CAD library; InputError that says how to get it when it is not installed."""
    try:
        import build123d
    except ImportError:
        what = "STEP and STL need the CAD kernel, which is not installed"
        fix = "Install rotorwright[cad], or leave them out with --only dxf,svg,list."
        raise InputError(Problem(what, fix)) from None
    return build123d


def _wire(b: Any, path: Path) -> Any:
    """A closed wire of lines and true arcs, in millimetres."""
    if circle := path.circle:
        x, y, radius = (1e3 * v for v in circle)
        return b.Wire([b.Edge.make_circle(radius, b.Plane((x, y, 0)))])
    points, middles = 1e3 * path.points, 1e3 * path.middles()
    edges = []
    for i, bulge in enumerate(path.bulge):
        start, end = tuple(points[i]), tuple(points[(i + 1) % len(points)])
        if bulge == 0:
            edges.append(b.Edge.make_line((*start, 0), (*end, 0)))
        else:
            edges.append(b.Edge.make_three_point_arc((*start, 0), (*middles[i], 0), (*end, 0)))
    return b.Wire(edges)


def _location(b: Any, pose: Pose) -> Any:
    m = pose.matrix
    return b.Plane(origin=tuple(1e3 * pose.origin), x_dir=tuple(m[:, 0]), z_dir=tuple(m[:, 2])).location


def _extrusion(b: Any, body: Extrusion) -> Any:
    face = b.Face(_wire(b, body.outline.outer), [_wire(b, hole) for hole in body.outline.holes])
    if face.normal_at().Z < 0:
        face = -face
    return b.Solid.extrude(face, b.Vector(0, 0, 1e3 * body.height)).moved(_location(b, body.pose))


def piece_solid(piece: Piece) -> Any:
    """The piece as one exact solid in its own axes [mm], named after it."""
    b = cad()
    solids = [_extrusion(b, body) for body in piece.bodies]
    whole = solids[0] if len(solids) == 1 else solids[0].fuse(*solids[1:])
    whole = whole.solid() if hasattr(whole, "solid") and len(whole.solids()) == 1 else whole
    whole.label = piece.name
    return whole


def assembly_step(solids: Sequence[tuple[Piece, Any]], title: str, file: File) -> None:
    """STEP of all copies of pieces with their solids, in their places, each named."""
    b = cad()
    children = []
    for piece, solid in solids:
        for index, place in enumerate(piece.places):
            copy = deepcopy(solid).moved(_location(b, place))  # copies of one solid would share one name
            copy.label = piece.name if len(piece.places) == 1 else f"{piece.name}-{index + 1}"
            children.append(copy)
    whole = b.Compound(label=title, children=children)
    b.export_step(whole, file, timestamp=_DATE)
    _renumber(file)


def _renumber(file: File) -> None:
    """Number the occurrences of an assembly from one: the kernel counts on through the life of a process."""
    count = iter(range(1, 1_000_000))
    text = file.read_text(encoding="utf-8")
    text = re.sub(r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\(')\d+'", lambda found: f"{found[1]}{next(count)}'", text)
    file.write_text(text, encoding="utf-8")


def part_step(solid: Any, file: File) -> None:
    """STEP of one piece in its own axes."""
    cad().export_step(solid, file, timestamp=_DATE)


def print_stl(solid: Any, file: File) -> None:
    """Watertight STL of a print, standing on the bed as it is drawn: floor down, lowest point at z = 0."""
    b = cad()
    low = solid.bounding_box().min
    b.export_stl(solid.moved(b.Location((0, 0, -low.Z))), file, tolerance=_CHORD, angular_tolerance=_ANGLE)


def read_step(file: File) -> dict[str, Any]:
    """Volume [m3], centre [m], inertia over volume about it [m2], bounding box [m] and names of a STEP file."""
    b = cad()
    try:
        shape = b.import_step(file)
        return {**_measures(shape), "names": _names(shape)}
    except InputError:
        raise
    except Exception as error:  # the kernel raises whatever it likes
        reason = str(error) or "it holds no shape"
        raise InputError(
            Problem(f"not a STEP file that can be read: {reason}", "Export it again.", "", file)
        ) from None


def _measures(shape: Any) -> dict[str, Any]:
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape.wrapped, props)
    centre, matrix = props.CentreOfMass(), props.MatrixOfInertia()
    tensor = np.array([[matrix.Value(i, j) for j in (1, 2, 3)] for i in (1, 2, 3)])
    box = shape.bounding_box()
    volume = props.Mass()
    if not volume > 0 or not math.isfinite(volume):
        raise InputError(Problem("the file holds no closed solid", "Export it as a solid, not as a surface."))
    return {
        "volume": volume * 1e-9,
        "centre": tuple(1e-3 * v for v in (centre.X(), centre.Y(), centre.Z())),
        "inertia_per_mass": tensor / volume * 1e-6,
        "size": tuple(1e-3 * v for v in (box.size.X, box.size.Y, box.size.Z)),
    }


def _names(shape: Any) -> list[str]:
    own = [shape.label] if getattr(shape, "label", "") else []
    return own + [name for child in getattr(shape, "children", ()) for name in _names(child)]
