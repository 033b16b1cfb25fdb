"""A drawing of one piece, with its sizes and a table of its holes."""

import math
from collections import Counter

import numpy as np
import shapely
from shapely import affinity

from rotorwright.frame.export.canvas import Canvas
from rotorwright.frame.outline import Outline
from rotorwright.frame.shape import Piece

__all__ = ["piece_drawing"]

_LEFT, _TOP, _RIGHT = 78.0, 78.0, 60.0


def piece_drawing(piece: Piece) -> str:
    """SVG of a piece laid flat: outline to scale, length and width, hole diameters, thickness, mass, how many."""
    body = piece.bodies[0]
    x0, y0, x1, y1 = body.outline.polygon.bounds
    scale = min(620.0 / (x1 - x0), 420.0 / max(y1 - y0, 1e-6), 20e3)
    wide, tall = (x1 - x0) * scale, (y1 - y0) * scale
    rows = _rows(piece)
    canvas = Canvas(max(_LEFT + wide + _RIGHT, 520.0), _TOP + tall + 70 + 18 * len(rows) + 30, piece.name)
    canvas.text(28, 32, piece.name, 18, bold=True)
    count = len(piece.places)
    canvas.text(
        28,
        52,
        f"{piece.material.name}, {1e3 * piece.thickness:g} mm, {count} piece{'s' if count > 1 else ''}",
        12,
        "soft",
    )

    def put(shape: shapely.Geometry) -> shapely.Geometry:
        return affinity.affine_transform(shape, [scale, 0, 0, -scale, _LEFT - scale * x0, _TOP + scale * y1])

    canvas.area(put(body.outline.polygon), "plate", "ink", 1.1)
    for upper in piece.bodies[1:]:
        groove = body.outline.polygon.difference(upper.outline.polygon.buffer(1e-7)) if piece.flat else None
        if groove is not None:
            canvas.area(put(groove), "plate-2", "soft", 0.8)
    _centre_lines(canvas, body.outline, put)
    canvas.dimension((_LEFT, _TOP + tall + 34), (_LEFT + wide, _TOP + tall + 34), f"{1e3 * (x1 - x0):.2f}")
    canvas.dimension((_LEFT - 34, _TOP + tall), (_LEFT - 34, _TOP), f"{1e3 * (y1 - y0):.2f}")
    for x in (_LEFT, _LEFT + wide):
        canvas.line([(x, _TOP + tall + 4), (x, _TOP + tall + 40)], "line", 0.7)
    for y in (_TOP, _TOP + tall):
        canvas.line([(_LEFT - 4, y), (_LEFT - 40, y)], "line", 0.7)
    for index, row in enumerate(rows):
        canvas.text(_LEFT, _TOP + tall + 70 + 18 * index, row, 12, "ink" if index == 0 else "soft")
    return canvas.svg()


def _rows(piece: Piece) -> list[str]:
    """What the drawing says in words."""
    outline = piece.bodies[0].outline
    grams = f"{1e3 * piece.mass:.2f} g each"
    rows = [f"{grams}, {1e6 * outline.moments.area:.0f} mm\u00b2, {1e3 * outline.cut_length:.0f} mm to cut"]
    holes = Counter(round(2e3 * path.circle[2], 2) for path in outline.holes if path.circle)
    for diameter, count in sorted(holes.items()):
        rows.append(f"{count} hole{'s' if count > 1 else ''} of {diameter:g} mm")
    others = [path for path in outline.holes if not path.circle]
    sizes = Counter(
        tuple(sorted((round(1e3 * float(v), 1) for v in np.ptp(_turned(path.points), axis=0)), reverse=True))
        for path in others
    )
    for (length, width), count in sorted(sizes.items()):
        rows.append(f"{count} opening{'s' if count > 1 else ''} of about {length:g} x {width:g} mm")
    return rows


def _turned(points: np.ndarray) -> np.ndarray:
    """Points in the axes of the smallest rectangle round them."""
    box = shapely.minimum_rotated_rectangle(shapely.MultiPoint(points))
    corners = shapely.get_coordinates(box)
    side = corners[1] - corners[0]
    c, s = side / (np.linalg.norm(side) or 1.0)
    return np.asarray(points @ np.array([[c, -s], [s, c]]))


def _centre_lines(canvas: Canvas, outline: Outline, put: object) -> None:
    """A cross on every round hole."""
    for path in outline.holes:
        if path.circle:
            x, y, radius = path.circle
            (px, py), edge = put(shapely.Point(x, y)).coords[0], put(shapely.Point(x + radius, y)).x  # type: ignore[operator]
            reach = math.fabs(edge - px) + 4
            canvas.line([(px - reach, py), (px + reach, py)], "soft", 0.6)
            canvas.line([(px, py - reach), (px, py + reach)], "soft", 0.6)
