"""Room between the propellers, the parts and the battery, and what the cameras see of the propellers."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from rotorwright.craft.model import Craft, Place, PlacedPart
from rotorwright.frame.drawn import piece_of
from rotorwright.frame.layout import smallest_gap
from rotorwright.parts.electronics import Camera, RecordingCamera
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Propeller
from rotorwright.parts.solids import solid_of
from rotorwright.physics.rigid_body import rotation_matrix

__all__ = ["Body", "CameraView", "Clearances", "Gap", "bodies", "camera_views", "clearances", "discs"]

Array = NDArray[np.float64]

# A turning disc is taken as thick as its hub, and no thinner than this [m].
_HUB = 5e-3
# Roles that belong to a propeller or lie under its axis by design.
_ITS_OWN = ("propeller", "motor", "propeller-nut", "motor-pad", "motor-mount")
# What holds a battery or an antenna touches it by design.
_HOLDERS = ("strap", "mount", "holder", "grip")


@dataclass(frozen=True)
class Body:
    """One piece in space: what it covers seen from above, between what heights [m], and points that span it."""

    name: str
    role: str
    footprint: shapely.Geometry
    low: float
    high: float
    points: Array


@dataclass(frozen=True, slots=True)
class Gap:
    """Smallest distance between two things in space [m]; negative when they overlap."""

    one: str
    other: str
    gap_m: float


@dataclass(frozen=True)
class CameraView:
    """What a lens sees: outlines in degrees right and up of its axis, the picture's half sizes, the share covered."""

    camera: str
    tilt_deg: float
    half_width_deg: float
    half_height_deg: float
    discs: tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
    covered: float
    assumed_field_of_view: bool


@dataclass(frozen=True)
class Clearances:
    """Gaps round each propeller and round battery and antennas, smallest first, and the cameras' views."""

    propeller_gaps: tuple[Gap, ...]
    disc_to_disc_m: float | None
    battery_gaps: tuple[Gap, ...]
    antenna_gaps: tuple[Gap, ...]
    views: tuple[CameraView, ...]


def bodies(craft: Craft) -> list[Body]:
    """Everything on the craft that has a size and a place."""
    found = []
    for placed in craft.parts:
        if placed.role == "propeller" or placed.assumed:
            continue
        names = _names(placed, craft)
        for name, place in zip(names, placed.places, strict=True):
            points = _points(placed.part, place)
            if points is not None:
                found.append(_body(name, placed, place, points))
    return found


def _names(placed: PlacedPart, craft: Craft) -> list[str]:
    count = len(placed.places)
    if count == len(craft.motors) and count > 1:
        return [f"{placed.id} {motor.name}" for motor in craft.motors]
    return [placed.id if count == 1 else f"{placed.id} {i + 1}" for i in range(count)]


def _points(part: Part, place: Place) -> Array | None:
    """Points that span a part at a place, (n, 3) [m]; None for a part without size."""
    turn = rotation_matrix(place.roll, place.pitch, place.yaw)
    at = np.array([place.x, place.y, place.z])
    if (piece := piece_of(part)) is not None:
        own = np.vstack([body.corners() for body in piece.bodies]) - piece.properties.centre
        return np.asarray(own @ turn.T + at)
    half = solid_of(part).extent() / 2
    if max(half) <= 0 or getattr(part, "kind", "") in ("wire", "strap"):
        return None
    signs = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)])
    tilt = getattr(part, "tilt", None)
    if isinstance(part, Camera | RecordingCamera) and tilt is not None:
        turn = turn @ rotation_matrix(0.0, -tilt.value, 0.0)
    return np.asarray((signs * half) @ turn.T + at)


def _body(name: str, placed: PlacedPart, place: Place, points: Array) -> Body:
    footprint: shapely.Geometry = shapely.MultiPoint(points[:, :2]).convex_hull
    piece = piece_of(placed.part)
    if piece is not None and place.roll == 0 and place.pitch == 0:
        upright = [b for b in piece.bodies if b.pose.roll == 0 and b.pose.pitch == 0]
        if len(upright) == len(piece.bodies):
            footprint = _footprint(piece, place)
    return Body(name, placed.role, footprint, float(points[:, 2].min()), float(points[:, 2].max()), points)


def _footprint(piece: object, place: Place) -> shapely.Geometry:
    """What a piece that lies flat covers, with its holes filled."""
    c, s = math.cos(place.yaw), math.sin(place.yaw)
    centre = piece.properties.centre  # type: ignore[attr-defined]
    shapes = []
    for body in piece.bodies:  # type: ignore[attr-defined]
        shape = shapely.Polygon(body.outline.polygon.exterior)
        x0, y0 = body.pose.x - centre[0], body.pose.y - centre[1]
        shapes.append(
            shapely.affinity.affine_transform(
                shape, [c, -s, s, c, place.x + c * x0 - s * y0, place.y + s * x0 + c * y0]
            )
        )
    return shapely.unary_union(shapes)


def _apart(a: Body, b: Body) -> float:
    """Distance of two upright bodies: level gap and height gap together; negative by the smaller overlap."""
    level = float(a.footprint.distance(b.footprint))
    height = max(b.low - a.high, a.low - b.high)
    if level > 0 or height > 0:
        return math.hypot(level, max(height, 0.0))
    return height


def discs(craft: Craft) -> list[Body]:
    """The propellers' discs, as thick as their hubs."""
    propeller = craft.the("propeller")
    if propeller is None or not isinstance(propeller.part, Propeller) or propeller.part.diameter is None:
        return []
    hub = propeller.part.hub_height.value if propeller.part.hub_height else _HUB
    radius, half = propeller.part.diameter.value / 2, max(hub, _HUB) / 2
    found = []
    for motor in craft.motors:
        circle = shapely.Point(motor.x, motor.y).buffer(radius, quad_segs=32)
        rim = shapely.get_coordinates(circle)
        points = np.column_stack([rim, np.full(len(rim), motor.z)])
        found.append(Body(motor.name, "propeller", circle, motor.z - half, motor.z + half, points))
    return found


def _its_own(disc: Body, body: Body) -> bool:
    """Whether `body` carries this disc: its gap is a matter of the hub, not of room."""
    return body.role in _ITS_OWN and bool(
        shapely.Point(*disc.footprint.centroid.coords[0]).distance(body.footprint) < 1e-3
    )


def clearances(craft: Craft) -> Clearances:
    """Gaps in space of discs, battery and antennas, and the cameras' views.

    Bodies are taken upright: the outline seen from above, from their lowest to their highest point; a part that
    leans is covered by more than itself. Blades are taken stiff.
    """
    around, turning = bodies(craft), discs(craft)
    gaps = [
        Gap(disc.name, body.name, _apart(disc, body))
        for disc in turning
        for body in around
        if not _its_own(disc, body)
    ]
    diameter = 2 * max((float(np.ptp(disc.points[:, 0])) / 2 for disc in turning), default=0.0)
    between = smallest_gap(list(craft.motors), diameter) if turning else math.inf
    return Clearances(
        propeller_gaps=tuple(sorted(gaps, key=lambda gap: gap.gap_m)),
        disc_to_disc_m=between if math.isfinite(between) else None,
        battery_gaps=tuple(_round("battery", around, turning)),
        antenna_gaps=tuple(_round("antenna", around, turning)),
        views=tuple(camera_views(craft, turning)),
    )


def _round(kind: str, around: Sequence[Body], turning: Sequence[Body]) -> list[Gap]:
    """What comes nearest to a battery or an antenna, smallest first; what touches by design is left out."""
    found = []
    for body in around:
        if kind in body.role and not body.role.endswith(_HOLDERS):
            found += [Gap(body.name, f"disc {disc.name}", _apart(disc, body)) for disc in turning]
            found += [
                Gap(body.name, other.name, gap)
                for other in around
                if other is not body and not other.role.endswith(_HOLDERS)
                if (gap := _apart(other, body)) < 0.01
            ]
    return sorted(found, key=lambda gap: gap.gap_m)[:8]


def camera_views(craft: Craft, turning: Sequence[Body]) -> list[CameraView]:
    """The propellers in each camera's picture, by an equidistant lens (angle from the axis goes as the distance)."""
    views = []
    for placed in craft.parts:
        part = placed.part
        if isinstance(part, Camera | RecordingCamera) and placed.places and not placed.assumed:
            views.append(_view(placed.id, part, placed.places[0], turning))
    return views


def _view(name: str, part: Camera | RecordingCamera, place: Place, turning: Sequence[Body]) -> CameraView:
    tilt = part.tilt.value if part.tilt else 0.0
    field = part.field_of_view.value if part.field_of_view else math.radians(110)
    aspect = part.aspect or 4 / 3
    turn = rotation_matrix(place.roll, place.pitch, place.yaw) @ rotation_matrix(0.0, -tilt, 0.0)
    extent = solid_of(part).extent()
    reach = part.lens_reach.value if isinstance(part, Camera) and part.lens_reach else extent[0] / 2
    lens = np.array([place.x, place.y, place.z]) + turn @ np.array([reach, 0.0, 0.0])
    half_width, half_height = math.degrees(field) / 2, math.degrees(field) / 2 / aspect
    picture = shapely.box(-half_width, -half_height, half_width, half_height)
    seen, shapes = [], []
    for disc in turning:
        outline = _seen(disc.points, lens, turn)
        shape = shapely.Polygon(outline).buffer(0) if outline is not None else shapely.Polygon()
        inside = shape.intersection(picture)
        if not inside.is_empty:
            seen.append((disc.name, tuple((float(x), float(y)) for x, y in np.asarray(outline))))
            shapes.append(inside)
    covered = float(shapely.unary_union(shapes).area / picture.area) if shapes else 0.0
    return CameraView(
        name, math.degrees(tilt), half_width, half_height, tuple(seen), covered, part.field_of_view is None
    )


def _seen(points: Array, lens: Array, turn: Array) -> Array | None:
    """Points as angles right and up of the lens's axis [deg], (n, 2); None for a rim that passes behind the lens."""
    ray = (points - lens) @ turn
    ahead, left, up = ray[:, 0], ray[:, 1], ray[:, 2]
    across = np.hypot(left, up)
    angle = np.degrees(np.arctan2(across, ahead))
    if angle.max() > 150:
        front = angle <= 150
        if front.sum() < 3:
            return None
        angle, left, up, across = angle[front], left[front], up[front], across[front]
    across = np.where(across > 0, across, 1.0)
    return np.column_stack([-angle * left / across, angle * up / across])
