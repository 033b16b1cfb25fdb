"""Which arms, decks and bodies of a craft make its frame, for the beams of `frame.beams`."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.craft.model import Craft, Place, PlacedPart
from rotorwright.errors import CannotCompute
from rotorwright.frame.arms import ArmPlan, arm_directions, plan_arms
from rotorwright.frame.beams import ArmLine, Strip, arm_line
from rotorwright.frame.drawn import DrawnPlate, DrawnTube
from rotorwright.frame.materials import Material, material
from rotorwright.frame.pieces_table import ArmTable
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.parts.hardware import Plate, Tube
from rotorwright.parts.solids import solid_of
from rotorwright.physics.beam import Lump
from rotorwright.physics.rigid_body import combine, rotated, rotation_matrix

__all__ = ["FrameArms", "frame_arms", "lumps"]

Array = NDArray[np.float64]

# What rides on an arm's end, by role.
_AT_TIP = ("motor", "propeller", "propeller-nut", "motor-mount", "motor-pad", "arm-bumper", "landing-pad")
# A deck holds an arm with a strip this many times as wide as the arm: judgement, no source.
_STRIP = 2.0
_CLAMP = 0.03
# Scatter of a modulus when nobody states one, and what the tolerance of a plate's thickness adds (cubed). Judgement.
_MODULUS_SCATTER, _THICKNESS_SCATTER = 0.15, 0.09


@dataclass(frozen=True, slots=True)
class FrameArms:
    """All arms as beams, their plan, and the mass at the end of one and of one itself [kg], None for a unibody."""

    lines: tuple[ArmLine, ...]
    plan: ArmPlan
    tip_mass: float
    mass: float | None
    modulus_scatter: float
    notes: tuple[str, ...]


def frame_arms(craft: Craft) -> FrameArms:
    """Arms of the craft: those that [frame.arm] draws, or plates and tubes of known size with the role arm."""
    arm = craft.the("arm")
    if arm is None:
        raise CannotCompute("the craft has no arms: give [frame.arm], or a plate or tube with the role arm")
    notes: list[str] = []
    drawn = arm.part.plan if isinstance(arm.part, DrawnPlate | DrawnTube) else None
    plan = drawn or _plan_of(arm, notes)
    height = arm.places[0].z if arm.places else 0.0
    if drawn is not None and arm.part.piece is not None:  # type: ignore[attr-defined]
        height = arm.part.piece.places[0].z + plan.height / 2  # type: ignore[attr-defined]
    strips = _strips(craft, plan)
    lines = tuple(arm_line(plan, motor, height, strips) for motor in arm_directions(craft.motors))
    E = plan.material.modulus
    scatter = math.hypot(E.relative if E else _MODULUS_SCATTER, 0.03 if plan.tube else _THICKNESS_SCATTER)
    own = arm.part.mass.value if arm.part.mass and arm.count == len(lines) else None
    return FrameArms(lines, plan, _tip_mass(craft, len(lines)), own, scatter, tuple(notes))


def _plan_of(arm: PlacedPart, notes: list[str]) -> ArmPlan:
    """A plan for an arm off the shelf, whose pad, root and clamp nobody states."""
    part = arm.part
    stuff = _material_of(part, notes)
    if isinstance(part, Tube) and part.outer_diameter and part.inner_diameter:
        table = ArmTable(
            form="square-tube" if part.section == "square" else "round-tube",
            material=stuff.name,
            outer_diameter=part.outer_diameter,
            inner_diameter=part.inner_diameter,
        )
    elif isinstance(part, Plate) and part.thickness and part.width:
        table = ArmTable(material=stuff.name, thickness=part.thickness, width=part.width)
    else:
        raise CannotCompute(f"the arm '{part.name}' has no thickness and width, or diameters")
    notes.append(f"the arm is a part off the shelf: the decks are taken to hold it up to {1e3 * _CLAMP:g} mm")
    pattern = getattr(part, "mount_pattern", None)
    return plan_arms(table, stuff, _CLAMP, pattern, None)


def _material_of(part: object, notes: list[str]) -> Material:
    """The material that a shelf part states by its numbers, or quasi-isotropic carbon."""
    usual = material("carbon-quasi-isotropic")
    assert usual is not None
    E = getattr(part, "modulus", None)
    if E is None:
        notes.append("the arm states no modulus: that of quasi-isotropic carbon laminate is taken")
        return usual
    density = getattr(part, "density", None) or usual.density
    shear = getattr(part, "shear_modulus", None) or Estimate(E.value / 4, E.value / 12, Basis.DERIVED)
    word = str(getattr(part, "material", "")) or "as stated"
    return Material(
        name=word, density=density, modulus=E, shear_modulus=shear, strength=usual.strength, source="the part itself"
    )


def _strips(craft: Craft, plan: ArmPlan) -> list[Strip]:
    """Strips of the two decks nearest to the arms."""
    arm = craft.the("arm")
    assert arm is not None
    z = arm.places[0].z if arm.places else 0.0
    decks = [p for p in craft.with_role("deck") if isinstance(p.part, Plate) and p.part.thickness and p.places]
    nearest = sorted(decks, key=lambda p: abs(p.places[0].z - z))[:2]
    strips = []
    for deck in nearest:
        assert isinstance(deck.part, Plate) and deck.part.thickness
        thickness = deck.part.thickness.value
        if abs(deck.places[0].z - z) < plan.height + 3 * thickness:
            stuff = material(deck.part.material) or _material_of(deck.part, [])
            strips.append(Strip(stuff, _STRIP * plan.width, thickness))
    return strips


def _each(placed: PlacedPart) -> float:
    """Mass of what sits at one place of a part [kg]."""
    if placed.part.mass is None or not placed.places:
        return 0.0
    return placed.part.mass.value * placed.count / len(placed.places)


def _tip_mass(craft: Craft, arms: int) -> float:
    return sum(_each(p) * len(p.places) for p in craft.parts if p.role in _AT_TIP) / max(arms, 1)


def lumps(craft: Craft, arms: FrameArms, tips: Sequence[int]) -> list[Lump]:
    """Bodies on the beams: what rides on each arm's end, and the rest as one rigid body in the middle (node 0)."""
    ends = {node: _tip(line) for node, line in zip(tips, arms.lines, strict=True)}
    found = []
    rest: list[tuple[float, Array, Array]] = []
    for placed in craft.parts:
        mass = _each(placed)
        if mass == 0.0:
            continue
        if placed.role == "arm":
            found += _pads(placed, arms, tips)
            continue
        for place in placed.places:
            at, inertia = np.array([place.x, place.y, place.z]), mass * _tensor(placed, place)
            if placed.role in _AT_TIP:
                node = min(ends, key=lambda n: float(np.hypot(*(ends[n] - at)[:2])))
                found.append(Lump(node, mass, inertia, at - ends[node]))
            else:
                rest.append((mass, at, inertia))
    if rest:
        m = np.array([mass for mass, *_ in rest])
        total, centre, inertia = combine(m, np.array([p for _, p, _ in rest]), np.array([J / q for q, _, J in rest]))
        found.append(Lump(0, float(total), inertia, centre - np.array([0.0, 0.0, arms.lines[0].height])))
    return found


def _tip(line: ArmLine) -> Array:
    return np.array([line.motor.x, line.motor.y, line.height])


def _tensor(placed: PlacedPart, place: Place) -> Array:
    turn = rotation_matrix(place.roll, place.pitch, place.yaw)
    return rotated(solid_of(placed.part).inertia_per_mass(), turn)


def _pads(placed: PlacedPart, arms: FrameArms, tips: Sequence[int]) -> list[Lump]:
    """What an arm weighs more than its beams: the motor pad, at the motor."""
    assert placed.part.mass is not None
    own = placed.part.mass.value
    if placed.count != len(arms.lines):
        return _unibody(own, arms, tips)
    over = [own - line.mass for line in arms.lines]
    pad = arms.plan.pad / 2
    disc = np.diag([0.25, 0.25, 0.5]) * pad**2
    return [Lump(node, m, m * disc, np.zeros(3)) for node, m in zip(tips, over, strict=True) if m > 0]


def _unibody(own: float, arms: FrameArms, tips: Sequence[int]) -> list[Lump]:
    """Pads of a plate of all arms, less the beam below them, and what is left of it as a disc in the middle."""
    plan, density = arms.plan, arms.plan.material.density
    assert density is not None
    pad = density.value * plan.height * (math.pi / 4 * plan.pad**2 - plan.tip_width * plan.pad / 2)
    rest = max(own - len(tips) * pad - sum(line.mass for line in arms.lines), 0.0)
    disc = np.diag([0.25, 0.25, 0.5])
    ends = [Lump(node, pad, pad * disc * (plan.pad / 2) ** 2, np.zeros(3)) for node in tips]
    return [*ends, Lump(0, rest, rest * disc * plan.clamp**2, np.zeros(3))]
