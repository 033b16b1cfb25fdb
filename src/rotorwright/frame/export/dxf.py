"""DXF for the router: closed paths in millimetres, true arcs, the same bytes for the same input."""

import io
import math
from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from ezdxf import units
from ezdxf._options import options
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace
from shapely.geometry.polygon import Polygon

from rotorwright.frame.drawing import Fault, relieved
from rotorwright.frame.outline import Outline, Path
from rotorwright.frame.shape import Piece

__all__ = ["bit_faults", "dxf_of", "piece_paths"]

# Layers, with their colour numbers: what is cut through, what is milled to a depth, and marks for holding tabs.
_LAYERS = {"CUT": 1, "POCKET": 5, "TABS": 3}
_TAB_LENGTH, _TABS = 4e-3, 4


def bit_faults(pieces: Iterable[Piece], bit: float) -> list[Fault]:
    """Openings that the router bit does not go into.

    bit: diameter [m]
    """
    faults = []
    for piece in pieces:
        if not piece.flat:
            continue
        for ring in piece.bodies[0].outline.polygon.interiors:
            if Polygon(ring).buffer(-bit / 2 + 1e-6).is_empty:
                x0, y0, x1, y1 = ring.bounds
                small = 1e3 * min(x1 - x0, y1 - y0)
                bit_mm = f"the router bit of {1e3 * bit:g} mm"
                what = f"an opening of {small:.2f} mm in {piece.name} is narrower than {bit_mm}"
                faults.append(Fault(piece.key, what, "Take a thinner bit with --bit-mm, or widen it."))
    return list(dict.fromkeys(faults))


def piece_paths(piece: Piece, bit: float | None) -> tuple[Outline, list[Outline]]:
    """What is cut through, with inside corners relieved for the bit, and the pockets."""
    base = piece.bodies[0].outline
    through = Outline.of(relieved(base.polygon, bit)) if bit else base
    pockets = []
    for upper in piece.bodies[1:]:
        groove = base.polygon.difference(upper.outline.polygon)
        pockets += [
            Outline.of(part)
            for part in getattr(groove, "geoms", [groove])
            if part.geom_type == "Polygon" and part.area > 1e-8
        ]
    return through, pockets


def dxf_of(
    pieces: Sequence[tuple[Piece, float, float, float]], bit: float | None = None, tabs: bool = False
) -> bytes:
    """A DXF of pieces laid at (x, y) [m] and turned [rad] on one sheet."""
    fixed = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True  # no dates, no random handles
    try:
        document = new("R2010", units=units.MM)
        for name, colour in _LAYERS.items():
            document.layers.add(name, color=colour)
        space = document.modelspace()
        for piece, x, y, turn in pieces:
            _draw(space, piece, (x, y, turn), bit, tabs)
        for name in sorted(document.entitydb.dxf_types_in_use()):  # else in the order of a set
            document.classes.add_class(name)
        stream = io.StringIO()
        document.write(stream)
        return stream.getvalue().encode("utf-8")
    finally:
        options.write_fixed_meta_data_for_testing = fixed


def _draw(space: Modelspace, piece: Piece, at: tuple[float, float, float], bit: float | None, tabs: bool) -> None:
    through, pockets = piece_paths(piece, bit)
    for path in through.paths:
        _path(space, path, "CUT", at)
    for pocket in pockets:
        for path in pocket.paths:
            _path(space, path, "POCKET", at)
    if tabs:
        for mark in _tab_marks(through.polygon, bit or 2e-3):
            _path(space, Outline.of(mark).outer, "TABS", at)


def _put(points: np.ndarray, at: tuple[float, float, float]) -> np.ndarray:
    x, y, turn = at
    c, s = math.cos(turn), math.sin(turn)
    return np.asarray(1e3 * (points @ np.array([[c, s], [-s, c]]) + [x, y]))


def _path(space: Modelspace, path: Path, layer: str, at: tuple[float, float, float]) -> None:
    """One closed path: a circle, or a polyline whose arcs are bulges."""
    if circle := path.circle:
        (centre,) = _put(np.array([circle[:2]]), at)
        space.add_circle(_rounded(centre), round(1e3 * circle[2], 6), dxfattribs={"layer": layer})
        return
    rows = [
        (*_rounded(point), round(float(bulge), 9))
        for point, bulge in zip(_put(path.points, at), path.bulge, strict=True)
    ]
    space.add_lwpolyline(rows, format="xyb", close=True, dxfattribs={"layer": layer})


def _rounded(point: np.ndarray) -> tuple[float, float]:
    # a nanometre; `+ 0.0` makes one zero of two
    return round(float(point[0]), 6) + 0.0, round(float(point[1]), 6) + 0.0


def _tab_marks(shape: Polygon, bit: float) -> list[Polygon]:
    """Rectangles across the outer path where a tab may hold the piece, evenly round it."""
    ring, marks = shape.exterior, []
    for k in range(_TABS):
        where = (k + 0.5) / _TABS * ring.length
        a, b = ring.interpolate(where - 1e-4), ring.interpolate(where + 1e-4)
        along = np.array([b.x - a.x, b.y - a.y])
        along /= np.linalg.norm(along)
        ends = [np.array([a.x, a.y]) + s * along * _TAB_LENGTH / 2 for s in (-1, 1)]
        marks.append(shapely.LineString(ends).buffer(bit / 2 + 0.5e-3, cap_style="flat"))
    return marks
