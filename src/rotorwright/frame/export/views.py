"""The frame from above, from the left and from ahead, to scale and with its dimensions."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity

from rotorwright.frame.export.canvas import Canvas
from rotorwright.frame.layout import MotorPlace
from rotorwright.frame.shape import Extrusion, Piece, Pose

__all__ = ["Carried", "frame_view", "shadow"]

Array = NDArray[np.float64]

# Rows: picture's right, picture's up, and towards the eye, in the craft's axes. Forward is up in the plan.
_EYES = {
    "above": np.array([[0.0, -1, 0], [1, 0, 0], [0, 0, 1]]),
    "left": np.array([[-1.0, 0, 0], [0, 0, 1], [0, 1, 0]]),
    "ahead": np.array([[0.0, 1, 0], [0, 0, 1], [1, 0, 0]]),
}
_FILLS = {"arm": "plate-2", "deck": "plate", "cage": "plate", "motor-pad": "plate", "standoff": "metal"}
_MARGIN, _GUTTER, _HEAD = 62.0, 74.0, 64.0


@dataclass(frozen=True)
class Carried:
    """Something the frame carries, as points that span it, (n, 3) [m]; the plan names it if it has a name."""

    name: str
    points: Array


def frame_view(
    title: str,
    pieces: Sequence[Piece],
    motors: Sequence[MotorPlace],
    disc: float,
    carried: Sequence[Carried],
    lines: Sequence[str],
) -> str:
    """SVG of three views at one scale; `disc` is the propeller's diameter [m], `lines` go under the title."""
    views = {name: _View(name, pieces, motors, disc, carried) for name in _EYES}
    above, left, ahead = views["above"], views["left"], views["ahead"]
    scale = min(600.0 / above.width, 640.0 / above.height)
    column = max(left.width, ahead.width) * scale
    wide = _MARGIN + above.width * scale + _GUTTER + column + _MARGIN
    tall = _HEAD + 2 * _MARGIN + max(above.height * scale, (left.height + ahead.height) * scale + _GUTTER + 30)
    canvas = Canvas(wide, tall, title)
    canvas.text(_MARGIN / 2, 30, title, 19, bold=True)
    canvas.text(_MARGIN / 2, 50, "  \u00b7  ".join(lines), 12, "soft")
    top = _HEAD + _MARGIN
    above.draw(canvas, scale, _MARGIN, top)
    x = _MARGIN + above.width * scale + _GUTTER
    left.draw(canvas, scale, x, top)
    ahead.draw(canvas, scale, x, top + left.height * scale + _GUTTER + 30)
    canvas.text(
        _MARGIN / 2, tall - 14, "dimensions in mm; dashed: propeller discs and what the frame carries", 11, "soft"
    )
    return canvas.svg()


class _View:
    """One view: what is seen from one side."""

    def __init__(
        self,
        name: str,
        pieces: Sequence[Piece],
        motors: Sequence[MotorPlace],
        disc: float,
        carried: Sequence[Carried],
    ) -> None:
        self.name, self.eye, self.motors, self.disc = name, _EYES[name], motors, disc
        shapes = [(depth, shape, piece) for piece in pieces for depth, shape in _seen(piece, self.eye)]
        self.shapes = sorted(shapes, key=lambda row: (row[0], row[2].name))
        self.boxes = [(c.name, shapely.MultiPoint((c.points @ self.eye.T)[:, :2]).convex_hull) for c in carried]
        self.discs = [self._disc(motor) for motor in motors] if disc > 0 else []
        self.frame = shapely.unary_union([shape for _, shape, _ in self.shapes]) if shapes else shapely.Polygon()
        everything = [self.frame, *(box for _, box in self.boxes), *self.discs]
        self.x0, self.y0, self.x1, self.y1 = shapely.total_bounds([s for s in everything if not s.is_empty])

    @property
    def width(self) -> float:
        return float(self.x1 - self.x0)

    @property
    def height(self) -> float:
        return float(self.y1 - self.y0)

    def _disc(self, motor: MotorPlace) -> shapely.Geometry:
        x, y, _ = self.eye @ np.array([motor.x, motor.y, motor.z])
        if self.name == "above":
            return shapely.Point(x, y).buffer(self.disc / 2, quad_segs=32)
        return shapely.LineString([(x - self.disc / 2, y), (x + self.disc / 2, y)])

    def draw(self, canvas: Canvas, scale: float, left: float, top: float) -> None:
        """Put the view with its upper left corner at (left, top)."""

        def put(shape: shapely.Geometry) -> shapely.Geometry:
            return affinity.affine_transform(
                shape, [scale, 0, 0, -scale, left - scale * self.x0, top + scale * self.y1]
            )

        for _, shape, piece in self.shapes:
            fill = _FILLS.get(piece.role, "print" if piece.material.form == "print" else "metal")
            canvas.area(put(shape), fill, "ink", 0.7, 0.92)
        for _, box in self.boxes:
            if box.geom_type == "Polygon":
                canvas.area(put(box), "none", "soft", 0.9, dash="5 3")
        for disc in self.discs:
            placed = put(disc)
            if placed.geom_type == "Polygon":
                canvas.area(placed, "none", "disc", 1.1, dash="7 4")
                x, y = placed.centroid.coords[0]
                canvas.line([(x - 5, y), (x + 5, y)], "disc", 0.8)
                canvas.line([(x, y - 5), (x, y + 5)], "disc", 0.8)
            else:
                canvas.line(shapely.get_coordinates(placed).tolist(), "disc", 1.4, "7 4")
        self._name_boxes(canvas, put)
        words = {"above": "from above, nose up", "left": "from the left, nose to the left", "ahead": "from ahead"}
        canvas.text(left, top - 34, words[self.name], 12.5, "soft", bold=True)
        self._dimensions(canvas, put)

    def _name_boxes(self, canvas: Canvas, put: object) -> None:
        """Names of what is carried, in the plan only, each on a free line of its own."""
        if self.name != "above":
            return
        taken: list[tuple[float, float, float]] = []
        for name, box in sorted(self.boxes, key=lambda row: -row[1].area):
            if not name or box.area < 1.5e-4:
                continue
            x, y = put(box).centroid.coords[0]  # type: ignore[operator]
            half = 3.2 * len(name)
            while any(abs(y - v) < 13 and abs(x - u) < half + w for u, v, w in taken):
                y += 13
            taken.append((x, y, half))
            canvas.text(x, y + 4, name, 10.5, "soft", "middle", halo=True)

    def _dimensions(self, canvas: Canvas, put: object) -> None:
        """Overall sizes of the frame, and in the plan the motors' spacing."""
        place = put
        frame = place(self.frame)  # type: ignore[operator]
        whole = place(shapely.box(self.x0, self.y0, self.x1, self.y1))  # type: ignore[operator]
        fx0, fy0, fx1, fy1 = frame.bounds
        _, wy0, wx1, wy1 = whole.bounds
        scale = (fx1 - fx0) / (self.frame.bounds[2] - self.frame.bounds[0])
        across, up = 1e3 * (fx1 - fx0) / scale, 1e3 * (fy1 - fy0) / scale
        canvas.dimension((fx0, wy1 + 26), (fx1, wy1 + 26), f"{across:.1f}")
        for x in (fx0, fx1):
            canvas.line([(x, fy1 + 2), (x, wy1 + 30)], "line", 0.7)
        canvas.dimension((wx1 + 26, fy1), (wx1 + 26, fy0), f"{up:.1f}")
        for y in (fy0, fy1):
            canvas.line([(fx1 + 2, y), (wx1 + 30, y)], "line", 0.7)
        if self.name == "above":
            self._spacing(canvas, place, wy0)

    def _spacing(self, canvas: Canvas, put: object, top: float) -> None:
        places = [put(shapely.Point(self.eye[:2] @ [m.x, m.y, m.z])) for m in self.motors]  # type: ignore[operator]
        points = [(p.x, p.y) for p in places]
        pairs = [(i, j) for i in range(len(points)) for j in range(i + 1, len(points))]
        i, j = max(pairs, key=lambda p: round(_gap(self.motors[p[0]], self.motors[p[1]]), 6))
        canvas.line([points[i], points[j]], "disc", 0.8, "1 4")
        (x0, y0), (x1, y1) = points[i], points[j]
        if x0 > x1:
            x0, y0, x1, y1 = x1, y1, x0, y0
        slope = math.atan2(y1 - y0, x1 - x0)
        x, y = x0 + 0.23 * (x1 - x0) + 15 * math.sin(slope), y0 + 0.23 * (y1 - y0) - 15 * math.cos(slope)
        words = f"{1e3 * _gap(self.motors[i], self.motors[j]):.1f} motor to motor"
        canvas.text(x, y, words, 11.5, "disc", "middle", math.degrees(slope), halo=True)
        front = sorted(range(len(points)), key=lambda k: points[k][1])[:2]
        if abs(points[front[0]][1] - points[front[1]][1]) < 1 and points[front[0]][0] != points[front[1]][0]:
            a, b = sorted(front, key=lambda k: points[k][0])
            y = top - 12
            canvas.dimension(
                (points[a][0], y), (points[b][0], y), f"{1e3 * _gap(self.motors[a], self.motors[b]):.1f}"
            )
            for k in (a, b):
                canvas.line([(points[k][0], y - 4), points[k]], "line", 0.7)


def _gap(a: MotorPlace, b: MotorPlace) -> float:
    return float(np.hypot(a.x - b.x, a.y - b.y))


def _seen(piece: Piece, eye: Array) -> list[tuple[float, shapely.Geometry]]:
    """Depth towards the eye and outline of every body of every copy."""
    seen = []
    for place in piece.places:
        for body in piece.bodies:
            seen.append(_projected(body, place, eye))
    return seen


def _projected(body: Extrusion, place: Pose, eye: Array) -> tuple[float, shapely.Geometry]:
    """Shadow of an extrusion: its two faces and its walls, seen along the eye's third row."""
    rings = [shapely.get_coordinates(r) for r in (body.outline.polygon.exterior, *body.outline.polygon.interiors)]

    def flat(ring: Array, z: float) -> Array:
        points = np.column_stack([ring, np.full(len(ring), z)])
        return np.asarray(place.outward(body.pose.outward(points)) @ eye.T)

    low, high = ([flat(ring, z) for ring in rings] for z in (0.0, body.height))
    axis = eye @ place.matrix @ body.pose.matrix @ np.array([0.0, 0.0, 1.0])
    depth = float(max(low[0][:, 2].max(), high[0][:, 2].max()))
    if abs(abs(axis[2]) - 1) < 1e-9:  # seen along its axis: the face is all there is
        return depth, shapely.Polygon(low[0][:, :2], [ring[:, :2] for ring in low[1:]])
    if abs(axis[2]) < 1e-9:  # seen from the side: a strip
        return depth, shapely.MultiPoint(np.vstack([low[0], high[0]])[:, :2]).convex_hull
    walls = [
        shapely.Polygon([low[0][i, :2], low[0][i + 1, :2], high[0][i + 1, :2], high[0][i, :2]])
        for i in range(len(low[0]) - 1)
    ]
    faces = [shapely.Polygon(f[0][:, :2], [r[:, :2] for r in f[1:]]) for f in (low, high)]
    shapes = [s.buffer(0) for s in (*faces, *walls) if s.area > 1e-12]
    return depth, shapely.unary_union(shapes)


def shadow(pieces: Sequence[Piece], side: str) -> shapely.Geometry:
    """What the pieces cover seen from one side [m2]: 'above', 'left' or 'ahead'."""
    shapes = [shape for piece in pieces for _, shape in _seen(piece, _EYES[side])]
    return shapely.unary_union(shapes) if shapes else shapely.Polygon()
