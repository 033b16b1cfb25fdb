"""Arms: plates apart, plates in one piece with the middle, and tubes with a motor pad."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.polygon import Polygon

from rotorwright.frame.drawing import Cutout, Fault, cut, disc, filleted, moved, rectangle, ring_of_holes
from rotorwright.frame.layout import MotorPlace
from rotorwright.frame.materials import Material
from rotorwright.frame.outline import Outline
from rotorwright.frame.pieces_table import ArmTable
from rotorwright.frame.shape import Extrusion, Piece, Pose

__all__ = ["ArmPlan", "arm_directions", "arm_pieces", "crossing_faults", "pad_height", "plan_arms", "screw_holes"]

_KEY = ("frame", "arm")
# Usual sizes where the table is silent: common practice, no source.
_EDGE = 3.0e-3
_FILLET = 4e-3
_ROOT = 10e-3
_MOTOR_HOLE, _MOTOR_PATTERN, _SHAFT_HOLE = 3.2e-3, 16e-3, 6e-3
_SCREW_HOLE = 3.1e-3
_PAD_THICKNESS = 2e-3


@dataclass(frozen=True, slots=True)
class ArmPlan:
    """An arm with everything that the table leaves open filled in [m]."""

    table: ArmTable
    material: Material
    height: float
    width: float
    tip_width: float
    root: float
    clamp: float
    pad: float
    fillet: float
    pattern: tuple[float, ...]
    motor_hole: float
    shaft_hole: float
    screws: tuple[float, ...]
    screw_hole: float
    groove_width: float
    groove_depth: float

    @property
    def tube(self) -> bool:
        """Whether it is a tube."""
        return self.table.form != "plate"


def arm_directions(motors: Sequence[MotorPlace]) -> list[MotorPlace]:
    """The motors that have an arm of their own: the lower one of a coaxial pair shares its partner's."""
    return list({(round(m.x, 9), round(m.y, 9)): m for m in reversed(motors)}.values())[::-1]


def _or(estimate: object, usual: float) -> float:
    return usual if estimate is None else float(estimate.value)  # type: ignore[attr-defined]


def plan_arms(
    table: ArmTable, material: Material, clamp: float, pattern: tuple[float, ...] | None, hole: float | None
) -> ArmPlan:
    """`table` with usual sizes where it is silent; `clamp` is where the decks end, `pattern` the motor's own."""
    tube = table.form != "plate"
    height = _or(table.outer_diameter if tube else table.thickness, 0.0)
    width = _or(table.outer_diameter if tube else table.width, 0.0)
    across = table.motor_pattern or pattern or (_MOTOR_PATTERN,)
    motor_hole = _or(table.motor_hole, hole or _MOTOR_HOLE)
    return ArmPlan(
        table=table,
        material=material,
        height=height,
        width=width,
        tip_width=width if tube else _or(table.tip_width, width),
        root=0.0 if table.build == "unibody" else _or(table.root, _ROOT),
        clamp=_or(table.clamp, clamp),
        pad=_or(table.pad_diameter, max(across) + motor_hole + 2 * _EDGE),
        fillet=_or(table.fillet, _FILLET),
        pattern=across,
        motor_hole=motor_hole,
        shaft_hole=_or(table.shaft_hole, _SHAFT_HOLE),
        screws=table.screw_at or (),
        screw_hole=_or(table.screw_hole, _SCREW_HOLE),
        groove_width=_or(table.channel_width, 0.0),
        groove_depth=_or(table.channel_depth, 0.0),
    )


def number_faults(table: ArmTable) -> list[Fault]:
    """What is wrong with the numbers of `table` before anything is drawn."""
    faults: list[Fault] = []
    needed = ("thickness", "width") if table.form == "plate" else ("outer_diameter", "inner_diameter")
    for name in needed:
        if getattr(table, name) is None:
            faults.append(Fault(_KEY, f"[frame.arm]: a {table.form} arm lacks {name}_mm", f"Give its {name}."))
    if table.form != "plate" and table.build == "unibody":
        faults.append(Fault((*_KEY, "build"), "a unibody of tubes does not exist", 'Use build = "separate".'))
    outer, inner = table.outer_diameter, table.inner_diameter
    if table.form != "plate" and outer and inner and inner.value >= outer.value:
        bore, across = 1e3 * inner.value, 1e3 * outer.value
        what = f"the arm's bore of {bore:g} mm leaves a tube of {across:g} mm no wall: {(across - bore) / 2:g} mm"
        faults.append(Fault((*_KEY, "inner_diameter_mm"), what, "Make the bore smaller than the tube."))
    depth, thickness = table.channel_depth, table.thickness
    if table.form == "plate" and depth and thickness and depth.value >= thickness.value:
        what = f"a channel {1e3 * depth.value:g} mm deep goes through an arm of {1e3 * thickness.value:g} mm"
        faults.append(Fault((*_KEY, "channel_depth_mm"), what, "Make it shallower than the arm is thick."))
    groove, width = table.channel_width, table.tip_width or table.width
    if table.form == "plate" and groove and width and groove.value >= width.value:
        what = f"a channel {1e3 * groove.value:g} mm wide leaves an arm of {1e3 * width.value:g} mm no flanks"
        faults.append(Fault((*_KEY, "channel_width_mm"), what, "Make it narrower than the arm."))
    return faults


def plan_faults(plan: ArmPlan, motors: Sequence[MotorPlace]) -> list[Fault]:
    """What is wrong with an arm as planned: pattern against pad, root and clamp against the motor."""
    faults = []
    needs = max(plan.pattern) + plan.motor_hole
    if needs >= plan.pad:
        what = (
            f"a motor pattern of {1e3 * max(plan.pattern):g} mm with holes of {1e3 * plan.motor_hole:g} mm needs "
            f"{1e3 * needs:g} mm, and the motor pad is {1e3 * plan.pad:g} mm wide"
        )
        faults.append(Fault((*_KEY, "pad_diameter_mm"), what, f"Make it at least {1e3 * (needs + 2e-3):.0f} mm."))
    heights = sorted({round(m.z, 6) for m in arm_directions(motors)})
    if len(heights) > 1:
        words = ", ".join(f"{1e3 * z:g}" for z in heights)
        what = f"the motors stand at {words} mm, and arms that are all alike lie at one height"
        faults.append(Fault(("frame", "motor"), what, "Give the motors one height."))
    shortest = min((m.radius for m in motors), default=math.inf)
    if plan.root >= plan.clamp:
        what = f"the arm begins at {1e3 * plan.root:g} mm, and the decks let go of it at {1e3 * plan.clamp:.1f} mm"
        faults.append(Fault((*_KEY, "root_mm"), what, "Begin it further in, or make the decks larger."))
    if plan.clamp >= shortest:
        what = f"the decks hold the arm to {1e3 * plan.clamp:.1f} mm, beyond the motor at {1e3 * shortest:.1f} mm"
        faults.append(Fault((*_KEY, "clamp_mm"), what, "Make the decks smaller or the spacing larger."))
    for radius in plan.screws:
        if not plan.root < radius < shortest:
            what = f"a screw at {1e3 * radius:g} mm is not on the arm, {1e3 * plan.root:g} to {1e3 * shortest:.1f} mm"
            faults.append(Fault((*_KEY, "screw_at_mm"), what, "Put it between root and motor."))
    return faults


def arm_outline(plan: ArmPlan, radius: float) -> Polygon:
    """Solid outline of a plate arm along x, without its holes; one that is held to its end has no taper."""
    half, tip = plan.width / 2, plan.tip_width / 2
    one_side = [(plan.root, -half), (min(plan.clamp, radius), -half)]
    if plan.clamp < radius:
        one_side.append((radius, -tip))
    body = Polygon([*one_side, *((x, -y) for x, y in reversed(one_side))])
    return filleted(body.union(disc(plan.pad, radius)), plan.fillet)


def motor_cutouts(plan: ArmPlan, radius: float) -> list[Cutout]:
    """Motor holes and shaft hole of an arm along x."""
    turn = plan.table.motor_turn[0]
    holes = ring_of_holes(plan.pattern, plan.motor_hole, radius, 0.0, turn)
    cutouts = [Cutout("a motor hole", hole, (*_KEY, "motor_hole_mm")) for hole in holes]
    if plan.shaft_hole > 0:
        cutouts.append(Cutout("the shaft hole", disc(plan.shaft_hole, radius), (*_KEY, "shaft_hole_mm")))
    return cutouts


def screw_holes(plan: ArmPlan, motors: Sequence[MotorPlace]) -> list[Cutout]:
    """Holes in the decks for the screws of every arm, in the craft's axes."""
    key = (*_KEY, "screw_at_mm")
    return [
        Cutout(
            "a hole for an arm's screw", disc(plan.screw_hole, r * math.cos(m.bearing), r * math.sin(m.bearing)), key
        )
        for m in arm_directions(motors)
        for r in plan.screws
    ]


def _grooved(plan: ArmPlan, plate: Polygon, grooves: Sequence[Polygon]) -> tuple[Extrusion, ...]:
    """The plate, or its floor and the part beside the grooves above it."""
    if not grooves:
        return (Extrusion(Outline.of(plate), plan.height),)
    floor = plan.height - plan.groove_depth
    above = shapely.difference(plate, shapely.unary_union(grooves))
    return Extrusion(Outline.of(plate), floor), Extrusion(Outline.of(above), plan.groove_depth, Pose(z=floor))


def _groove(plan: ArmPlan, radius: float) -> list[Polygon]:
    """Groove for the wires from the decks to the motor pad."""
    if plan.groove_width <= 0 or plan.groove_depth <= 0:
        return []
    start, end = plan.clamp, radius - plan.pad / 2
    return [rectangle(end - start, plan.groove_width, (start + end) / 2)] if end > start else []


def arm_pieces(
    plan: ArmPlan, motors: Sequence[MotorPlace], underside: float, faults: list[Fault], inverted: bool = False
) -> list[Piece]:
    """Pieces of separate arms, one for each length, with their underside at `underside` [m]."""
    lengths: dict[float, list[MotorPlace]] = {}
    for motor in arm_directions(motors):
        lengths.setdefault(round(motor.radius, 6), []).append(motor)
    pieces = []
    for index, (radius, mates) in enumerate(lengths.items()):
        name = "arm" if len(lengths) == 1 else f"arm-{mates[0].name.split('-')[0] if index else 'front'}"
        if plan.tube:
            pad_underside = underside - pad_height(plan) if inverted else underside + plan.height
            pieces += _tube_arm(plan, radius, mates, (underside, pad_underside), name, faults)
            continue
        screws = [
            Cutout("a hole for an arm's screw", disc(plan.screw_hole, r), (*_KEY, "screw_at_mm")) for r in plan.screws
        ]
        plate = cut(arm_outline(plan, radius), [*motor_cutouts(plan, radius), *screws], faults)
        places = tuple(Pose(z=underside, yaw=m.bearing) for m in mates)
        bodies = _grooved(plan, plate, _groove(plan, radius))
        pieces.append(Piece(name, "arm", plan.material, bodies, places, _KEY))
    return pieces


def pad_height(plan: ArmPlan) -> float:
    """Thickness of the pad plate on a tube; none on a plate [m]."""
    return _or(plan.table.pad_thickness, _PAD_THICKNESS) if plan.tube else 0.0


def _tube_arm(
    plan: ArmPlan,
    radius: float,
    mates: Sequence[MotorPlace],
    undersides: tuple[float, float],
    name: str,
    faults: list[Fault],
) -> list[Piece]:
    """A tube along the arm, and the pad plate against it that carries the motor; undersides of both [m]."""
    inner = _or(plan.table.inner_diameter, 0.0)
    if plan.table.form == "round-tube":
        ring = disc(plan.height).difference(disc(inner))
    else:
        ring = rectangle(plan.height, plan.height).difference(rectangle(inner, inner))
    pad_thickness = pad_height(plan)
    length = radius + plan.pad / 2 - plan.root
    # the outline's z becomes the arm's x, its x the arm's z downwards
    lying = Pose(plan.root, 0.0, plan.height / 2, pitch=math.pi / 2)
    tube = Extrusion(Outline.of(ring), length, lying)
    places = tuple(Pose(z=undersides[0], yaw=m.bearing) for m in mates)
    pad = cut(disc(plan.pad, radius), motor_cutouts(plan, radius), faults)
    against = tuple(Pose(z=undersides[1], yaw=m.bearing) for m in mates)
    return [
        Piece(name, "arm", plan.material, (tube,), places, _KEY, flat=False),
        Piece(f"{name}-pad", "motor-pad", plan.material, (Extrusion(Outline.of(pad), pad_thickness),), against, _KEY),
    ]


def unibody(
    plan: ArmPlan,
    motors: Sequence[MotorPlace],
    middle: Sequence[Polygon],
    cutouts: Sequence[Cutout],
    underside: float,
    faults: list[Fault],
) -> Piece:
    """One plate of all arms and the `middle` outlines, with `cutouts` of the middle, in the craft's axes."""
    arms = [(m, arm_outline(plan, m.radius)) for m in arm_directions(motors)]
    whole = shapely.unary_union([*middle, *(moved(outline, 0, 0, m.bearing) for m, outline in arms)])
    own = [
        Cutout(c.what, moved(c.shape, 0, 0, m.bearing), c.key) for m, _ in arms for c in motor_cutouts(plan, m.radius)
    ]
    if not isinstance(whole, Polygon):
        what = f"the unibody falls apart into {len(whole.geoms)} pieces: its decks do not reach its arms"
        faults.append(Fault((*_KEY, "build"), what, "Make the decks with level with-arms larger, or move them."))
    plate = cut(filleted(_single(whole), plan.fillet), [*own, *cutouts], faults)
    grooves = [moved(g, 0, 0, m.bearing) for m, _ in arms for g in _groove(plan, m.radius)]
    return Piece("main-plate", "arm", plan.material, _grooved(plan, plate, grooves), (Pose(z=underside),), _KEY)


def _single(shape: Polygon | shapely.MultiPolygon) -> Polygon:
    return shape if isinstance(shape, Polygon) else max(shape.geoms, key=lambda part: part.area)


def crossing_faults(plan: ArmPlan, motors: Sequence[MotorPlace]) -> list[Fault]:
    """Separate arms that would lie in the same place."""
    if plan.table.build == "unibody":
        return []
    arms = [(m.name, moved(arm_outline(plan, m.radius), 0, 0, m.bearing)) for m in arm_directions(motors)]
    faults = []
    for i, (name, arm) in enumerate(arms):
        for other, shape in arms[i + 1 :]:
            area = 1e6 * arm.intersection(shape).area
            if area > 0.01:
                what = f"the arms {name} and {other} cross: they share {area:.1f} mm2 near the middle"
                fix = "Raise root_mm, make the arms narrower at the root, or cut them as a unibody."
                faults.append(Fault((*_KEY, "root_mm"), what, fix))
    return faults
