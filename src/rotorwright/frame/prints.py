"""Shapes for the printer, each built from a few extrusions that touch."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry.polygon import Polygon

from rotorwright.frame.arms import ArmPlan, arm_outline
from rotorwright.frame.drawing import Cutout, Fault, cut, disc, moved, rectangle, ring_of_holes, rounded
from rotorwright.frame.layout import MotorPlace
from rotorwright.frame.materials import Material
from rotorwright.frame.outline import Outline
from rotorwright.frame.pieces_table import PrintedTable
from rotorwright.frame.shape import Extrusion, Piece, Pose
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.source_map import Key

__all__ = ["Printing", "printed_piece"]

# Gap between a print and what it goes round, and usual sizes: common practice, no source [m].
_PLAY = 0.15e-3


@dataclass(frozen=True, slots=True)
class Printing:
    """What a printed shape has to fit: the arms, and the heights of their faces [m]."""

    plan: ArmPlan | None
    directions: Sequence[MotorPlace]
    arm_bottom: float
    arm_top: float
    motor_base: float


def _or(estimate: Estimate | None, usual: float) -> float:
    return usual if estimate is None else estimate.value


def printed_piece(
    row: PrintedTable, material: Material, fit: Printing, key: Key, faults: list[Fault]
) -> Piece | None:
    """The piece that one `[[frame.printed]]` asks for, or None with a fault."""
    if row.shape in ("arm-bumper", "motor-mount", "landing-pad"):
        if fit.plan is None:
            what = f"a printed {row.shape} goes on an arm, and there is no [frame.arm]"
            faults.append(Fault(key, what, "Give [frame.arm]."))
            return None
        if row.shape != "motor-mount" and fit.motor_base > 0:
            what = f"a printed {row.shape} is drawn for motors above their arms, and these hang below"
            faults.append(Fault((*key, "shape"), what, "Leave it out, or draw it elsewhere and import it."))
            return None
        maker = {"arm-bumper": _bumper, "motor-mount": _motor_mount, "landing-pad": _landing_pad}[row.shape]
        return maker(row, material, fit, fit.plan, key, faults)
    bodies = {"camera-mount": _camera_mount, "camera-shim": _shim, "antenna-holder": _antenna_holder}[row.shape](
        row, key, faults
    )
    place = Pose(*row.at, *row.turn)
    places = tuple(place for _ in range(row.count))
    return Piece(row.name or row.shape, row.shape, material, bodies, places, key, row.infill, flat=False)


def _on_arms(
    row: PrintedTable, material: Material, fit: Printing, shapes: Sequence[tuple[Polygon, float, float]], key: Key
) -> Piece:
    """Bodies (outline about the motor's axis, height, underside) under or round each motor."""
    bodies = tuple(Extrusion(Outline.of(shape), height, Pose(z=z)) for shape, height, z in shapes)
    places = tuple(Pose(m.x, m.y, 0.0, yaw=m.bearing) for m in fit.directions)
    return Piece(row.name or row.shape, row.shape, material, bodies, places, key, row.infill, flat=False)


def _bumper(
    row: PrintedTable, material: Material, fit: Printing, plan: ArmPlan, key: Key, faults: list[Fault]
) -> Piece:
    """A rim round the outer half of the motor pad, on a floor that the motor screws hold under the arm."""
    wall, floor = _or(row.wall, 2.5e-3), 1.2e-3
    height = _or(row.height, plan.height + 2e-3)
    pad = disc(plan.pad) if plan.tube else moved(arm_outline(plan, 4 * plan.pad), -4 * plan.pad, 0.0)
    half = rectangle(4 * plan.pad, 4 * plan.pad, 2 * plan.pad - plan.pad / 8)
    outer = disc(plan.pad + 2 * (wall + _PLAY))
    rim = outer.difference(pad.buffer(_PLAY)).intersection(half)
    turn = plan.table.motor_turn[0]
    holes = [
        Cutout("a motor hole of the bumper", h, key)
        for h in ring_of_holes(plan.pattern, plan.motor_hole, 0.0, 0.0, turn)
    ]
    base = cut(outer, [*holes, Cutout("the middle of the bumper", disc(plan.shaft_hole or 4e-3), key)], faults)
    bottom = fit.arm_bottom - floor
    return _on_arms(row, material, fit, [(base, floor, bottom), (_largest(rim), height, bottom + floor)], key)


def _largest(shape: Polygon) -> Polygon:
    return max(getattr(shape, "geoms", [shape]), key=lambda part: part.area)


def _motor_mount(
    row: PrintedTable, material: Material, fit: Printing, plan: ArmPlan, key: Key, faults: list[Fault]
) -> Piece:
    """A soft pad between motor and arm with the motor's own holes."""
    height = mount_height(row)
    turn = plan.table.motor_turn[0]
    holes = ring_of_holes(plan.pattern, plan.motor_hole, 0.0, 0.0, turn)
    cutouts = [Cutout("a motor hole of the mount", h, key) for h in holes]
    cutouts.append(Cutout("the middle of the mount", disc(plan.shaft_hole or 4e-3), key))
    pad = cut(disc(_or(row.width, plan.pad)), cutouts, faults)
    bottom = min(fit.motor_base, fit.motor_base - height) if fit.motor_base <= 0 else fit.motor_base
    return _on_arms(row, material, fit, [(pad, height, bottom)], key)


def mount_height(row: PrintedTable) -> float:
    """Thickness of a soft mount between motor and arm [m]."""
    return _or(row.height, 2e-3)


def _landing_pad(
    row: PrintedTable, material: Material, fit: Printing, plan: ArmPlan, key: Key, faults: list[Fault]
) -> Piece:
    """A foot under the motor pad."""
    height, width = _or(row.height, 8e-3), _or(row.width, 0.7 * plan.pad)
    foot = cut(disc(width), [Cutout("the hole of the foot", disc(_or(row.hole, plan.motor_hole)), key)], faults)
    return _on_arms(row, material, fit, [(foot, height, fit.arm_bottom - height)], key)


def _camera_mount(row: PrintedTable, key: Key, faults: list[Fault]) -> tuple[Extrusion, ...]:
    """A floor with two screw ears, and a wedge on it whose top tilts by `tilt`."""
    length, width, floor = _or(row.length, 42e-3), _or(row.width, 30e-3), _or(row.wall, 2.5e-3)
    tilt, hole = _or(row.tilt, math.radians(20)), _or(row.hole, 3.2e-3)
    ear = 4 * hole
    base = rounded(rectangle(length, width + 2 * ear), min(3e-3, hole))
    spots = [(0.0, s * (width / 2 + ear / 2)) for s in (1, -1)]
    cutouts = [Cutout("a screw hole of the camera mount", disc(hole, *spot), key) for spot in spots]
    bodies = [Extrusion(Outline.of(cut(base, cutouts, faults)), floor)]
    rise = length * math.tan(tilt)
    if rise > 1e-4:
        profile = Polygon([(-length / 2, 0), (length / 2, 0), (length / 2, rise)])
        # stood up about x, the profile's y becomes z and it runs towards -y
        bodies.append(Extrusion(Outline.of(profile), width, Pose(0.0, width / 2, floor, roll=math.pi / 2)))
    return tuple(bodies)


def _shim(row: PrintedTable, key: Key, faults: list[Fault]) -> tuple[Extrusion, ...]:
    """A flat spacer beside the camera with its pivot hole."""
    length, width, height = _or(row.length, 12e-3), _or(row.width, 12e-3), _or(row.height, 2e-3)
    plate = rounded(rectangle(length, width), 2e-3)
    plate = cut(plate, [Cutout("the pivot hole of the shim", disc(_or(row.hole, 2.2e-3)), key)], faults)
    return (Extrusion(Outline.of(plate), height),)


def _antenna_holder(row: PrintedTable, key: Key, faults: list[Fault]) -> tuple[Extrusion, ...]:
    """A foot with two screw holes, and a sleeve for the antenna's stem."""
    holds, wall, height = _or(row.holds, 5e-3), _or(row.wall, 2e-3), _or(row.height, 20e-3)
    hole = _or(row.hole, 3.2e-3)
    outer = holds + 2 * wall
    length, width = _or(row.length, outer + 5 * hole), _or(row.width, max(outer, 2.5 * hole))
    foot = rounded(rectangle(length, width), min(2e-3, width / 4))
    spot = (length / 2 + outer / 2) / 2
    cutouts = [Cutout("a screw hole of the antenna holder", disc(hole, s * spot), key) for s in (1, -1)]
    cutouts.append(Cutout("the antenna's hole", disc(holds), key))
    sleeve = disc(outer).difference(disc(holds))
    base = Extrusion(Outline.of(cut(foot, cutouts, faults)), wall)
    return base, Extrusion(Outline.of(sleeve), height, Pose(z=wall))
