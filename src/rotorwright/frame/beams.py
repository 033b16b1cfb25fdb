"""The frame as beams: every arm a row of segments from the middle of the craft to its motor.

Within the decks an arm and a strip of each deck that holds it bend together without being bonded. The rest of the
craft is a rigid body at the middle. What this leaves out: the play of screws, the give of holes, and cracks.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from rotorwright.frame.arms import ArmPlan
from rotorwright.frame.layout import MotorPlace
from rotorwright.frame.materials import Material
from rotorwright.physics.beam import Beams, Lump
from rotorwright.physics.laminate import Moduli
from rotorwright.physics.section import Section, grooved_plate, plate, round_tube, square_tube

__all__ = ["ArmLine", "Segment", "Strip", "arm_line", "cantilever", "segment_of", "whole_frame"]

Array = NDArray[np.float64]

# Beams between the decks' edge and the motor, and along the part that the decks hold.
_FREE, _HELD = 5, 1
# Two decks that sandwich the arms work together in bending by this share of what bonded ones would. Judgement: the
# truth lies between loose plates (0) and glued ones (1).
_SANDWICH = 0.5


@dataclass(frozen=True, slots=True)
class Segment:
    """One beam of an arm: from radius to radius [m], its stiffness and its mass."""

    start: float
    end: float
    axial: float  # E A [N]
    vertical: float  # E I for bending up and down [N m2]
    lateral: float  # E I for bending sideways [N m2]
    torsion: float  # G J [N m2]
    shear: float  # G A_s [N]
    line_mass: float  # [kg/m]
    polar: float  # [kg m]


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip of a deck that holds an arm: width and thickness [m]."""

    material: Material
    width: float
    thickness: float


@dataclass(frozen=True, slots=True)
class ArmLine:
    """One arm as beams, and what stress needs: moduli of its plate and its section at the decks' edge."""

    motor: MotorPlace
    height: float
    segments: tuple[Segment, ...]
    clamp: float
    at_clamp: Section
    strength: float | None

    @property
    def free_length(self) -> float:
        """Length from the decks' edge to the motor [m]."""
        return self.motor.radius - self.clamp

    @property
    def mass(self) -> float:
        """Mass of its beams [kg]."""
        return sum(s.line_mass * (s.end - s.start) for s in self.segments)


def segment_of(section: Section, moduli: Moduli, shear: float, density: float, tube: bool) -> Segment:
    """Stiffness of a length of one section; a tube's wall bends by membrane moduli, a plate by bending ones.

    shear: modulus between the plies, for the shear deflection [Pa]; start and end are left 0
    """
    E, G = (moduli.membrane, moduli.shear) if tube else (moduli.bending, moduli.twisting)
    return Segment(
        0.0,
        0.0,
        moduli.membrane * section.area,
        E * section.vertical,
        moduli.membrane * section.lateral,
        G * section.torsion,
        shear * section.shear_share * section.area,
        density * section.area,
        density * (section.vertical + section.lateral),
    )


def section_at(plan: ArmPlan, radius: float, reach: float) -> Section:
    """Cross-section of an arm of length `reach` at `radius` [m]."""
    if plan.tube:
        inner = plan.table.inner_diameter.value if plan.table.inner_diameter else 0.0
        return (round_tube if plan.table.form == "round-tube" else square_tube)(plan.height, inner)
    share = min(max((radius - plan.clamp) / (reach - plan.clamp), 0.0), 1.0)
    width = plan.width + share * (plan.tip_width - plan.width)
    if plan.clamp < radius < reach - plan.pad / 2:
        return grooved_plate(width, plan.height, plan.groove_width, plan.groove_depth)
    return plate(width, plan.height)


def _moduli(plan: ArmPlan, bearing: float) -> Moduli:
    table = plan.table
    grain = table.grain[0] if table.grain else 0.0
    angle = bearing - grain if table.build == "unibody" else -grain
    return plan.material.moduli(angle, table.layup)


def _ply_shear(material: Material, moduli: Moduli) -> float:
    return material.shear_modulus.value if material.shear_modulus else moduli.shear


def arm_line(plan: ArmPlan, motor: MotorPlace, height: float, strips: Sequence[Strip]) -> ArmLine:
    """The arm to `motor` with its middle at `height` [m], held by `strips` of decks up to the plan's clamp."""
    assert plan.material.density is not None
    moduli, reach = _moduli(plan, motor.bearing), motor.radius
    density, shear = plan.material.density.value, _ply_shear(plan.material, moduli)
    edges = [*np.linspace(plan.root, plan.clamp, _HELD + 1), *np.linspace(plan.clamp, reach, _FREE + 1)[1:]]
    segments = []
    held = [_strip_segment(strip, motor.bearing) for strip in strips]
    if len(strips) == 2:
        held.append(_sandwich(strips, held, plan.height))
    if plan.root > 0:
        inner = held or [segment_of(section_at(plan, 0.0, reach), moduli, shear, 0.0, plan.tube)]
        segments.append(_joined(inner, 0.0, plan.root))
    for start, end in pairwise(edges):
        own = segment_of(section_at(plan, (start + end) / 2, reach), moduli, shear, density, plan.tube)
        segments.append(_joined([own, *held] if end <= plan.clamp + 1e-9 else [own], float(start), float(end)))
    strength = plan.material.strength.value if plan.material.strength else None
    return ArmLine(motor, height, tuple(segments), plan.clamp, section_at(plan, plan.clamp, reach), strength)


def _strip_segment(strip: Strip, bearing: float) -> Segment:
    """A deck's strip bends with the arm; its mass is in the body."""
    moduli = strip.material.moduli(bearing)
    section = plate(strip.width, strip.thickness)
    return segment_of(section, moduli, _ply_shear(strip.material, moduli), 0.0, False)


def _sandwich(strips: Sequence[Strip], held: Sequence[Segment], gap: float) -> Segment:
    """What two strips add by working together across the arms between them: E A e^2, and no mass."""
    together = sum(part.axial * ((gap + strip.thickness) / 2) ** 2 for strip, part in zip(strips, held, strict=True))
    return Segment(0.0, 0.0, 0.0, _SANDWICH * together, 0.0, 0.0, 0.0, 0.0, 0.0)


def _joined(parts: Sequence[Segment], start: float, end: float) -> Segment:
    names = ("axial", "vertical", "lateral", "torsion", "shear", "line_mass", "polar")
    return Segment(start, end, *(sum(getattr(part, name) for part in parts) for name in names))


def _beams(nodes: list[Array], ends: list[tuple[int, int]], segments: Sequence[Segment]) -> Beams:
    columns = {
        name: np.array([getattr(s, name) for s in segments])
        for name in ("axial", "vertical", "lateral", "torsion", "shear", "line_mass", "polar")
    }
    return Beams(np.array(nodes), np.array(ends), **columns)


def whole_frame(arms: Sequence[ArmLine]) -> tuple[Beams, list[int]]:
    """Beams of all arms about the middle, which is node 0, and the node of each motor."""
    height = arms[0].height
    nodes, ends, segments, tips = [np.array([0.0, 0.0, height])], [], [], []
    for arm in arms:
        along = np.array([math.cos(arm.motor.bearing), math.sin(arm.motor.bearing), 0.0])
        last = 0
        for segment in arm.segments:
            nodes.append(segment.end * along + [0.0, 0.0, arm.height])
            ends.append((last, len(nodes) - 1))
            segments.append(segment)
            last = len(nodes) - 1
        tips.append(last)
    return _beams(nodes, ends, segments), tips


def cantilever(arm: ArmLine, tip_mass: float) -> tuple[Beams, list[Lump]]:
    """One arm alone along x, from the decks' edge (node 0, to be held) to a mass at the motor (last node)."""
    free = [s for s in arm.segments if s.start >= arm.clamp - 1e-9]
    nodes = [np.array([free[0].start, 0.0, 0.0]), *(np.array([s.end, 0.0, 0.0]) for s in free)]
    ends = [(i, i + 1) for i in range(len(free))]
    lump = Lump(len(free), tip_mass, np.zeros((3, 3)), np.zeros(3))
    return _beams(nodes, ends, free), [lump]
