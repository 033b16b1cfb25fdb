"""The craft as bodies to draw: every part's outline drawn up into a solid at its place, for pictures of any kind.

The shapes are those that mass, inertia and clearances use: boxes and rounds of the stated sizes, and the pieces that
the frame draws. Only the propellers' blades are a typical shape of the right diameter and number, for the eye.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from rotorwright.craft.model import Craft, Place, PlacedPart
from rotorwright.frame.drawn import piece_of
from rotorwright.frame.mesh import extrusion_mesh
from rotorwright.frame.outline import Outline
from rotorwright.frame.shape import Extrusion, Piece
from rotorwright.parts.electronics import Camera, RecordingCamera
from rotorwright.parts.propulsion import Propeller
from rotorwright.parts.solids import solid_of
from rotorwright.physics.rigid_body import Cylinder, Point, Tube, rotation_matrix

__all__ = ["EYES", "CraftBody", "Mark", "copy_name", "craft_bodies", "marks"]

Array = NDArray[np.float64]

EYES: Mapping[str, Array] = {
    "above": np.array([[0.0, -1, 0], [1, 0, 0], [0, 0, 1]]),
    "left": np.array([[-1.0, 0, 0], [0, 0, 1], [0, 1, 0]]),
    "ahead": np.array([[0.0, 1, 0], [0, 0, 1], [1, 0, 0]]),
}
"""Rows: picture's right, picture's up, and towards the eye, in the craft's axes. Forward is up in the plan."""

# What has no shape of its own, or takes that of what it holds.
_SHAPELESS = ("strap", "wire", "solder")
_ROUND, _COARSE = 32, 2e-5
_HUB = 0.007  # [m], of a propeller that does not state its own: common practice, no source
# A typical blade for the picture: chord over tip radius along the radius; common practice, no source.
_RADIUS = (0.10, 0.22, 0.40, 0.60, 0.80, 0.94, 1.00)
_LEADING = (0.045, 0.085, 0.105, 0.100, 0.085, 0.060, 0.015)
_TRAILING = (0.045, 0.090, 0.120, 0.105, 0.070, 0.035, 0.010)


@dataclass(frozen=True)
class CraftBody:
    """A flat outline [m] drawn up along its own z by `height` [m], turned by `turn` (3, 3) and put at `at` (3,) [m].

    `copy` counts the places of the part `id`; a part may have several bodies at one place.
    """

    id: str
    copy: int
    kind: str
    role: str
    outline: shapely.Polygon
    height: float
    turn: Array
    at: Array

    def ring(self, ring: shapely.LinearRing, top: bool) -> Array:
        """One ring of its lower or upper face in the craft's axes, (n, 3) [m], first point not repeated."""
        flat = shapely.get_coordinates(ring)[:-1]
        points = np.column_stack([flat, np.full(len(flat), self.height if top else 0.0)])
        return np.asarray(points @ self.turn.T + self.at)

    def corners(self) -> Array:
        """Points that span it in the craft's axes, (n, 3) [m]."""
        return np.vstack([self.ring(self.outline.exterior, top) for top in (False, True)])

    def mesh(self) -> tuple[Array, NDArray[np.int64]]:
        """Vertices (n, 3) [m] in the craft's axes and triangles (m, 3) that turn outwards."""
        points, triangles = extrusion_mesh(Extrusion(Outline.of(self.outline), self.height))
        return np.asarray(points @ self.turn.T + self.at), triangles

    def silhouette(self, eye: Array) -> shapely.Geometry:
        """What it covers seen along the third row of `eye` (3, 3): x to the right and y up in the picture [m]."""
        axis = eye @ self.turn[:, 2]
        if abs(abs(axis[2]) - 1) < 1e-9:  # along its axis the face is all there is
            rings = [self.outline.exterior, *self.outline.interiors]
            flat = [(self.ring(ring, True) @ eye.T)[:, :2] for ring in rings]
            return shapely.Polygon(flat[0], flat[1:])
        hull = shapely.MultiPoint((self.corners() @ eye.T)[:, :2]).convex_hull
        if abs(axis[2]) < 1e-9 or self.outline.convex_hull.area - self.outline.area < 1e-9:
            return hull
        low, high = ((self.ring(self.outline.exterior, top) @ eye.T)[:, :2] for top in (False, True))
        walls = [shapely.MultiPoint([low[i - 1], low[i], high[i], high[i - 1]]).convex_hull for i in range(len(low))]
        return shapely.unary_union([shapely.Polygon(low).buffer(0), shapely.Polygon(high).buffer(0), *walls])


@dataclass(frozen=True, slots=True)
class Mark:
    """A part at a place [m] of which no outline can be drawn, and why."""

    id: str
    copy: int
    place: Place
    reason: str


def craft_bodies(craft: Craft) -> list[CraftBody]:
    """Bodies of everything on the craft that has a shape and a place of its own."""
    return [body for placed in craft.parts if not _unplaced(placed) for body in _bodies(craft, placed)]


def marks(craft: Craft) -> list[Mark]:
    """Parts that have a place but no outline: too little is stated about them."""
    found = []
    for placed in craft.parts:
        drawn = piece_of(placed.part) is not None
        reason = _unplaced(placed) or ("" if drawn or any(_bodies(craft, placed)) else "its size is not stated")
        if reason:
            found += [Mark(placed.id, k, place, reason) for k, place in enumerate(placed.places)]
    return found


def copy_name(craft: Craft, placed: PlacedPart, copy: int) -> str:
    """A part's name, with the motor's where there is one for each motor, else with its number."""
    count = len(placed.places)
    if count == len(craft.motors) and count > 1:
        return f"{placed.id} {craft.motors[copy].name}"
    return placed.id if count == 1 else f"{placed.id} {copy + 1}"


def _unplaced(placed: PlacedPart) -> str:
    """Why a part that may have a size is not drawn, '' when it is."""
    if placed.assumed:
        return "no place is given: taken as in the middle"
    if placed.part.kind in _SHAPELESS:
        return f"a {placed.part.kind} has no shape of its own"
    if placed.count > len(placed.places):
        return f"{placed.count} pieces round {len(placed.places)} stated place{'s'[: len(placed.places) != 1]}"
    return ""


def _bodies(craft: Craft, placed: PlacedPart) -> Iterator[CraftBody]:
    if isinstance(placed.part, Propeller):
        yield from _propellers(craft, placed, placed.part)
        return
    if (piece := piece_of(placed.part)) is not None:
        yield from _drawn(placed, piece)
        return
    for copy, place in enumerate(placed.places):
        if (body := _simple(placed, copy, place)) is not None:
            yield body


def _turn(placed: PlacedPart, place: Place) -> Array:
    turn = rotation_matrix(place.roll, place.pitch, place.yaw)
    if isinstance(placed.part, Camera | RecordingCamera) and placed.part.tilt is not None:
        turn = turn @ rotation_matrix(0.0, -placed.part.tilt.value, 0.0)
    return turn


def _body(
    placed: PlacedPart, copy: int, outline: shapely.Polygon, height: float, turn: Array, at: Array
) -> CraftBody:
    return CraftBody(placed.id, copy, placed.part.kind, placed.role, outline, height, turn, at)


def _simple(placed: PlacedPart, copy: int, place: Place) -> CraftBody | None:
    """A box, or a round that stands on z or lies along x."""
    solid = solid_of(placed.part)
    wide, deep, tall = (float(v) for v in solid.extent())
    if isinstance(solid, Point) or min(wide, deep, tall) <= 0:
        return None
    turn = _turn(placed, place)
    outline = shapely.box(-wide / 2, -deep / 2, wide / 2, deep / 2)
    if isinstance(solid, Tube):
        turn = turn @ rotation_matrix(0.0, math.pi / 2, 0.0)
        outline, tall = _ring(solid.outer / 2).difference(_ring(solid.inner / 2)), wide
    elif isinstance(solid, Cylinder):
        outline = _ring(solid.radius)
    foot = np.array([place.x, place.y, place.z]) - turn @ np.array([0.0, 0.0, tall / 2])
    return _body(placed, copy, outline, tall, turn, foot)


def _drawn(placed: PlacedPart, piece: Piece) -> Iterator[CraftBody]:
    """The bodies of a piece that the frame draws, about its centre."""
    outlines = [shapely.simplify(body.outline.polygon, _COARSE) for body in piece.bodies]
    for copy, place in enumerate(placed.places):
        turn, at = _turn(placed, place), np.array([place.x, place.y, place.z])
        for body, outline in zip(piece.bodies, outlines, strict=True):
            foot = at + turn @ (body.pose.origin - piece.properties.centre)
            yield _body(placed, copy, outline, body.height, turn @ body.pose.matrix, foot)


def _ring(radius: float) -> shapely.Polygon:
    angles = 2 * np.pi * np.arange(_ROUND) / _ROUND
    return shapely.Polygon(radius * np.column_stack([np.cos(angles), np.sin(angles)]))


def _propellers(craft: Craft, placed: PlacedPart, propeller: Propeller) -> Iterator[CraftBody]:
    """A hub and typical blades, each propeller turned as it came to rest."""
    if propeller.diameter is None:
        return
    radius, count = propeller.diameter.value / 2, propeller.blades
    thick = propeller.hub_height.value if propeller.hub_height else _HUB
    blade = list(zip(_RADIUS, _LEADING, strict=True))
    blade += [(r, -b) for r, b in reversed(list(zip(_RADIUS, _TRAILING, strict=True)))]
    flat = radius * np.array(blade)
    for copy, (place, motor) in enumerate(zip(placed.places, craft.motors, strict=False)):
        at = np.array([place.x, place.y, place.z])
        yield _body(placed, copy, _ring(0.11 * radius), thick, np.eye(3), at - [0, 0, thick / 2])
        for k in range(count):
            yaw = motor.bearing + 2 * math.pi * k / count - 0.5 * motor.spin
            shape = shapely.Polygon(flat * [1, motor.spin])
            yield _body(placed, copy, shape, 1e-3, rotation_matrix(0.0, 0.0, yaw), at - [0, 0, 5e-4])
