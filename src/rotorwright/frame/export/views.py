"""The frame from above, from the left and from ahead, to scale and with its dimensions."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity

from rotorwright.frame.export.canvas import Canvas
from rotorwright.frame.export.letters import width_of
from rotorwright.frame.export.spots import Spots
from rotorwright.frame.layout import MotorPlace
from rotorwright.frame.shape import Extrusion, Piece, Pose

__all__ = ["Carried", "frame_view", "shadow"]

Array = NDArray[np.float64]
Placing: TypeAlias = Callable[[shapely.Geometry], Any]
"""Puts a shape of a view into the picture."""

# Rows: picture's right, picture's up, and towards the eye, in the craft's axes. Forward is up in the plan.
_EYES = {
    "above": np.array([[0.0, -1, 0], [1, 0, 0], [0, 0, 1]]),
    "left": np.array([[-1.0, 0, 0], [0, 0, 1], [0, 1, 0]]),
    "ahead": np.array([[0.0, 1, 0], [0, 0, 1], [1, 0, 0]]),
}
_FILLS = {"arm": "plate-2", "deck": "plate", "cage": "plate", "motor-pad": "plate", "standoff": "metal"}
# As wide as a page, in a unit in which letters of this size can be read there.
_WIDE, _SIZE = 880.0, 14.0
_MARGIN, _BESIDE, _HEAD, _ABOVE, _BELOW = 20.0, 46.0, 60.0, 58.0, 44.0
# Room beside a plan whose craft is much longer than wide: no view is taller than this.
_TALLEST = 720.0
_NOTE = "dimensions in mm; dashed: propeller discs and what the frame carries; dotted: motor to motor"
_RING, _LINE, _REACH = 11.0, 21.0, 260.0
# A thing that is smaller than this from above is drawn without a number [m2].
_LEAST_AREA = 1.5e-4


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
    column = max(left.width, ahead.width)
    scale = min((_WIDE - 2 * _MARGIN - 2 * _BESIDE - 24.0) / (above.width + column), _TALLEST / above.height)
    x, top = _MARGIN + above.width * scale + _BESIDE + 24.0, _HEAD + _ABOVE
    second = top + left.height * scale + _BELOW + _ABOVE - 10.0
    listed = second + ahead.height * scale + _BELOW + 24.0
    names = above.named
    rows = -(-len(names) // 2)
    tall = max(top + above.height * scale + _BELOW, listed + _LINE * rows) + 30.0
    canvas = Canvas(_WIDE, tall, title)
    canvas.text(_MARGIN, 26, title, 18, bold=True)
    canvas.text(_MARGIN, 47, "  \u00b7  ".join(lines), _SIZE, "soft")
    above.draw(canvas, scale, _MARGIN, top)
    left.draw(canvas, scale, x, top)
    ahead.draw(canvas, scale, x, second)
    for index, name in enumerate(names):
        at = (x + (_WIDE - x) / 2 * (index // rows), listed + _LINE * (index % rows))
        canvas.text(at[0] + 18, at[1], str(index + 1), _SIZE, "soft", "end")
        canvas.text(at[0] + 26, at[1], name, _SIZE)
    canvas.text(_MARGIN, tall - 10, _NOTE, _SIZE, "soft")
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
        large = sorted((row for row in self.boxes if row[0] and row[1].area >= _LEAST_AREA), key=lambda r: -r[1].area)
        self.named = [name for name, _ in large]
        self.numbered = [box for _, box in large]

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
        words = {"above": "from above, nose up", "left": "from the left, nose to the left", "ahead": "from ahead"}
        canvas.text(left, top - 36, words[self.name], _SIZE, "soft", bold=True)
        self._dimensions(canvas, put)
        if self.name == "above":
            self._words(canvas, put)

    def _words(self, canvas: Canvas, put: Placing) -> None:
        """Motor to motor, and the numbers of what is carried: off everything drawn, with a line to what they name."""
        drawn = [put(shape) for shape in (self.frame, *(box for _, box in self.boxes))]
        circles = [put(disc).exterior for disc in self.discs if disc.geom_type == "Polygon"]
        x0, y0, x1, y1 = put(shapely.box(self.x0, self.y0, self.x1, self.y1)).bounds
        spots = Spots((x0, y0, x1, y1), [*drawn, *circles])
        self._longest(canvas, put, spots)
        for number, box in enumerate(self.numbered, 1):
            half = max(_RING, width_of(str(number), _SIZE) / 2 + 3.0)
            if (spot := spots.near(put(box).exterior, (half, _RING), _REACH, least=4.0)) is not None:
                canvas.line([(spot.x, spot.y), spot.foot], "ink", 0.8)
                canvas.circle(*spot.foot, 2.0, "ink")
                canvas.circle(spot.x, spot.y, _RING, "ground", "ink", 0.9)
                canvas.text(spot.x, spot.y + 5.0, str(number), _SIZE, "ink", "middle")

    def _longest(self, canvas: Canvas, put: Placing, spots: Spots) -> None:
        """The two motors farthest from each other: a dotted line and its length."""
        pairs = [(a, b) for i, a in enumerate(self.motors) for b in self.motors[i + 1 :]]
        if not pairs:
            return
        a, b = max(pairs, key=lambda pair: round(_gap(*pair), 6))
        line = put(shapely.LineString([self.eye[:2] @ [m.x, m.y, m.z] for m in (a, b)]))
        canvas.line(line.coords, "disc", 0.9, "1 4")
        words = f"{1e3 * _gap(a, b):.1f}"
        half = (width_of(words, _SIZE) / 2 + 1.0, _SIZE / 2 + 1.0)
        if (spot := spots.near(line, half, _REACH, least=4.0)) is not None:
            canvas.line([(spot.x, spot.y), spot.foot], "disc", 0.7)
            canvas.text(spot.x, spot.y + 5.0, words, _SIZE, "disc", "middle", halo=True)

    def _dimensions(self, canvas: Canvas, put: Placing) -> None:
        """Overall sizes of the frame, and in the plan the distance of the two front motors."""
        fx0, fy0, fx1, fy1 = put(self.frame).bounds
        _, wy0, wx1, wy1 = put(shapely.box(self.x0, self.y0, self.x1, self.y1)).bounds
        x0, y0, x1, y1 = self.frame.bounds
        canvas.dimension((fx0, wy1 + 27), (fx1, wy1 + 27), f"{1e3 * (x1 - x0):.1f}", _SIZE)
        for x in (fx0, fx1):
            canvas.line([(x, fy1 + 2), (x, wy1 + 31)], "line", 0.7)
        canvas.dimension((wx1 + 28, fy1), (wx1 + 28, fy0), f"{1e3 * (y1 - y0):.1f}", _SIZE)
        for y in (fy0, fy1):
            canvas.line([(fx1 + 2, y), (wx1 + 32, y)], "line", 0.7)
        if self.name == "above":
            self._front(canvas, put, wy0 - 12)

    def _front(self, canvas: Canvas, put: Placing, y: float) -> None:
        """Distance of the two front motors, where they stand side by side."""
        places = [put(shapely.Point(self.eye[:2] @ [m.x, m.y, m.z])) for m in self.motors]
        front = sorted(range(len(places)), key=lambda k: places[k].y)[:2]
        if len(front) < 2 or abs(places[front[0]].y - places[front[1]].y) >= 1:
            return
        a, b = sorted(front, key=lambda k: places[k].x)
        if places[a].x == places[b].x:
            return
        words = f"{1e3 * _gap(self.motors[a], self.motors[b]):.1f}"
        canvas.dimension((places[a].x, y), (places[b].x, y), words, _SIZE)
        for k in (a, b):
            canvas.line([(places[k].x, y - 4), (places[k].x, places[k].y)], "line", 0.7)


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
