"""Closed outlines of straight edges and true arcs, and their exact area, centre and second moments.

Drawing is done with shapely, which knows straight edges only. `Outline.of` finds the arcs again in what it drew, so
that area, cut path and solid all speak of the same curve.
"""

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import pi

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.polygon import Polygon

__all__ = ["SEGMENTS", "Moments", "Outline", "Path"]

Array = NDArray[np.float64]

# Straight edges that shapely draws for a quarter circle.
SEGMENTS = 16
_NODE, _WEIGHT = np.polynomial.legendre.leggauss(10)

# Turns of the edges that may belong to one drawn arc [rad]: below three quarter circles of SEGMENTS edges.
_ARC_TURN = (2e-3, 2.2 * pi / 2 / SEGMENTS)
# How far centres may differ and still be that of one arc [m].
_SAME_CENTRE = 2e-8
# No arc of a path turns further than this, so that every kernel can draw it from start, middle and end.
_LONGEST_ARC = pi


@dataclass(frozen=True, slots=True)
class Moments:
    """Area [m2], its centre [m], and second moments about the centre: of x^2, y^2 and x y [m4]."""

    area: float
    centre: tuple[float, float]
    xx: float
    yy: float
    xy: float


@dataclass(frozen=True)
class Path:
    """A closed path; `bulge` of a vertex is tan(a quarter of the angle) of the edge behind it, left positive."""

    points: Array  # (n, 2) [m]
    bulge: Array  # (n,)

    @property
    def angle(self) -> Array:
        """Angle that each edge turns through, (n,) [rad]; 0 for a straight one."""
        return np.asarray(4 * np.arctan(self.bulge))

    @cached_property
    def chord(self) -> Array:
        """Vector of each edge from its vertex to the next, (n, 2) [m]."""
        return _next(self.points) - self.points

    @cached_property
    def length(self) -> float:
        """Length of the path [m]."""
        half = np.abs(self.angle) / 2
        stretch = np.where(half > 1e-9, half / np.sin(np.where(half > 1e-9, half, 1.0)), 1.0)
        return float(np.sum(np.linalg.norm(self.chord, axis=1) * stretch))

    def centres(self) -> Array:
        """Centre of each edge's circle, (n, 2) [m]; NaN for straight edges."""
        with np.errstate(divide="ignore", invalid="ignore"):
            lift = (1 - self.bulge**2) / (4 * self.bulge)
        left = np.column_stack([-self.chord[:, 1], self.chord[:, 0]])
        lift = np.where(self.bulge != 0, lift, np.nan)
        return np.asarray(self.points + self.chord / 2 + lift[:, None] * left)

    def middles(self) -> Array:
        """Point halfway along each edge, (n, 2) [m]."""
        right = np.column_stack([self.chord[:, 1], -self.chord[:, 0]])
        return np.asarray(self.points + self.chord / 2 + self.bulge[:, None] / 2 * right)

    @property
    def circle(self) -> tuple[float, float, float] | None:
        """Centre and radius when the path is one full circle, else None."""
        if len(self.points) != 2 or not np.allclose(np.abs(self.bulge), 1.0):
            return None
        x, y = self.points.mean(axis=0)
        return float(x), float(y), float(np.linalg.norm(self.chord[0]) / 2)


@dataclass(frozen=True)
class Outline:
    """An area with holes: the outer path runs counter-clockwise, holes clockwise."""

    polygon: Polygon
    outer: Path
    holes: tuple[Path, ...]

    @classmethod
    def of(cls, polygon: Polygon) -> "Outline":
        """The outline that shapely drew as `polygon`, with its arcs found again.

        Raises ValueError when there is nothing left of it, or when it has fallen apart.
        """
        if polygon.is_empty or not polygon.area > 1e-9:
            raise ValueError("nothing is left of it")
        if not isinstance(polygon, Polygon):
            raise ValueError("it falls apart")
        tidy = shapely.orient_polygons(shapely.remove_repeated_points(polygon, 1e-9))
        return cls(tidy, _with_arcs(tidy.exterior), tuple(_with_arcs(ring) for ring in tidy.interiors))

    @property
    def paths(self) -> tuple[Path, ...]:
        """Outer path and holes."""
        return (self.outer, *self.holes)

    @property
    def cut_length(self) -> float:
        """Length of all paths [m]."""
        return sum(path.length for path in self.paths)

    @cached_property
    def moments(self) -> Moments:
        """Area, centre and second moments."""
        area, x, y, xx, yy, xy = _integrals(self.paths)
        cx, cy = x / area, y / area
        return Moments(
            float(area),
            (float(cx), float(cy)),
            float(xx - area * cx**2),
            float(yy - area * cy**2),
            float(xy - area * cx * cy),
        )


def _next(rows: Array) -> Array:
    """Each row's successor, round the ring; `np.roll` is ten times slower on rings as short as these."""
    return np.concatenate((rows[1:], rows[:1]))


def _before(rows: Array) -> Array:
    return np.concatenate((rows[-1:], rows[:-1]))


def _integrals(paths: tuple[Path, ...]) -> Array:
    """Integrals of 1, x, y, x^2, y^2, x y over the area within closed paths, by Green's theorem, (6,) [m2 ... m4].

    Counter-clockwise paths add and clockwise ones take away. Ten Gauss points an edge: exact for straight edges, and
    to rounding for arcs of up to a half circle.
    """
    points, chord, bulge, centre = (
        np.concatenate(columns)
        for columns in zip(*((p.points, p.chord, p.bulge, p.centres()) for p in paths), strict=True)
    )
    t, w = (_NODE + 1) / 2, _WEIGHT / 2
    theta, straight = 4 * np.arctan(bulge[:, None]), bulge[:, None] == 0
    arm = points - np.nan_to_num(centre)
    c, s = np.cos(theta * t), np.sin(theta * t)
    x_arm, y_arm = c * arm[:, :1] - s * arm[:, 1:], s * arm[:, :1] + c * arm[:, 1:]
    x = np.where(straight, points[:, :1] + t * chord[:, :1], np.nan_to_num(centre[:, :1]) + x_arm)
    y = np.where(straight, points[:, 1:] + t * chord[:, 1:], np.nan_to_num(centre[:, 1:]) + y_arm)
    dy = w * np.where(straight, chord[:, 1:], theta * x_arm)
    terms = (x, x**2 / 2, x * y, x**3 / 3, x * y**2, x**2 * y / 2)
    return np.array([np.sum(term * dy) for term in terms])


def _with_arcs(ring: shapely.LinearRing) -> Path:
    """Runs of vertices that lie on one circle, each replaced by arcs."""
    points = shapely.get_coordinates(ring)[:-1]
    if len(points) == 4 * SEGMENTS and (whole := _whole_circle(points)):
        return whole
    on_arc, centre = _circumcentres(points)
    apart = np.linalg.norm(centre - _next(centre), axis=1)
    joined = on_arc & np.concatenate((on_arc[1:], on_arc[:1])) & (apart < _SAME_CENTRE)
    if joined.all():
        return _circle(points, centre.mean(axis=0))
    # `joined[i]`: the edge from i to i + 1 lies on the circle of both its ends
    start = int(np.flatnonzero(~joined)[0]) + 1
    points, joined = np.roll(points, -start, axis=0), np.roll(joined, -start)
    keep, bulges, i, n = [], [], 0, len(points)
    while i < n:
        last = i
        while last < n - 1 and joined[last]:
            last += 1
        if last - i < 2:  # fewer than three vertices of one circle: keep as drawn
            keep.append(i)
            bulges.append(0.0)
            i += 1
            continue
        # the run's first vertex belongs to the edge before it, the last one to the edge behind it
        first, end = i - 1, last + 1
        if keep and keep[-1] == first:
            keep.pop()
            bulges.pop()
        ids, b = _arc(points, first, end)
        keep += ids
        bulges += b
        i = end
    keep_array = np.array(keep) % n
    return Path(points[keep_array], np.array(bulges))


def _whole_circle(points: Array) -> Path | None:
    """The circle that a ring of as many vertices as a drawn disc lies on, or None; most rings are holes."""
    centre = points.mean(axis=0)
    away = points - centre
    squares = away[:, 0] ** 2 + away[:, 1] ** 2
    radius = float(squares.mean()) ** 0.5
    return _circle(points, centre) if float(np.ptp(squares)) < 2 * radius * _SAME_CENTRE else None


def _circumcentres(points: Array) -> tuple[NDArray[np.bool_], Array]:
    """Which vertices turn as gently as those of a drawn arc, and the centre of the circle through neighbours."""
    before, after = points - _before(points), _next(points) - points
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turn = np.abs(np.arctan2(cross, np.sum(before * after, axis=1)))
    a, b = np.sum(before**2, axis=1), np.sum(after**2, axis=1)
    # an arc's vertices lie at equal steps
    even = np.abs(a - b) < 1e-3 * (a + b)
    with np.errstate(divide="ignore", invalid="ignore"):
        across = (a[:, None] * after + b[:, None] * before) / (2 * cross[:, None])
    centre = points + np.column_stack([-across[:, 1], across[:, 0]])
    on_arc = (turn > _ARC_TURN[0]) & (turn < _ARC_TURN[1]) & even
    return on_arc, np.where(on_arc[:, None], centre, 0.0)


def _circle(points: Array, centre: Array) -> Path:
    radius = float(np.mean(np.linalg.norm(points - centre, axis=1)))
    after = _next(points)
    area = float(np.sum(points[:, 0] * after[:, 1] - points[:, 1] * after[:, 0]))
    return Path(centre + np.array([[radius, 0.0], [-radius, 0.0]]), np.full(2, 1.0 if area > 0 else -1.0))


def _arc(points: Array, first: int, end: int) -> tuple[list[int], list[float]]:
    """Vertices and bulges that stand for the arc through `points[first..end]`, cut so that none is too long."""
    n = len(points)
    steps = end - first
    a, b, c = (points[(first + k) % n] for k in (0, 1, 2))
    cross = (b - a)[0] * (c - b)[1] - (b - a)[1] * (c - b)[0]
    turn = float(np.arctan2(cross, (b - a) @ (c - b)))
    parts = max(1, int(np.ceil(abs(turn) * steps / _LONGEST_ARC - 1e-9)))
    cuts = [first + round(steps * k / parts) for k in range(parts + 1)]
    bulges = [float(np.tan(turn * (q - p) / 4)) for p, q in pairwise(cuts)]
    return cuts[:-1], bulges
