"""What a gram buys: other thickness, width, lay-up, material or tube, each beside the arm as it is."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.frame.arms import ArmPlan, arm_pieces, number_faults, plan_arms, plan_faults
from rotorwright.frame.beams import arm_line, cantilever
from rotorwright.frame.drawing import Fault
from rotorwright.frame.materials import Material, material
from rotorwright.frame.pieces_table import ArmTable
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.physics.beam import NoSolution, modes, static
from rotorwright.predict.frame_arms import FrameArms, frame_arms

__all__ = ["ArmChoice", "arm_choices"]

_TUBES = ((10e-3, 8e-3), (12e-3, 10e-3), (14e-3, 12e-3), (16e-3, 14e-3))


@dataclass(frozen=True, slots=True)
class ArmChoice:
    """One way to make the arm: mass with its motor pad, stiffness at the motor, first mode with the motor on it."""

    what: str
    mass_kg: float
    stiffness_n_per_m: float
    side_stiffness_n_per_m: float
    first_mode_hz: float
    grams_more: float
    stiffness_ratio: float
    stiffness_per_gram: float


def arm_choices(craft: Craft) -> tuple[ArmChoice, ...]:
    """The arm as it is, and others in its place, held at the same radius with the same motor; nominal values."""
    arms = frame_arms(craft)
    ways = [(word, plan) for word, plan in _ways(arms) if not _wrong(plan, arms)]
    try:
        rows = [(word, *_measure(plan, arms)) for word, plan in ways]
    except NoSolution as error:
        raise CannotCompute(str(error)) from None
    _, own_mass, own_k, *_ = rows[0]
    return tuple(
        ArmChoice(word, m, k, side, f, 1e3 * (m - own_mass), k / own_k, k / (1e3 * m)) for word, m, k, side, f in rows
    )


def _wrong(plan: ArmPlan, arms: FrameArms) -> bool:
    return bool(number_faults(plan.table) or plan_faults(plan, [line.motor for line in arms.lines]))


def _length(metres: float) -> Estimate:
    return Estimate(metres, 0.0, Basis.DERIVED)


def _ways(arms: FrameArms) -> Iterator[tuple[str, ArmPlan]]:
    own = arms.plan
    yield "as it is", own
    if not own.tube:
        for step in (-1e-3, 1e-3):
            if own.height + step > 0.9e-3:
                yield f"{1e3 * (own.height + step):g} mm thick", _again(own, thickness=_length(own.height + step))
        for step in (-2e-3, 2e-3):
            wide: dict[str, Any] = {"width": _length(own.width + step), "tip_width": _length(own.tip_width + step)}
            yield f"{1e3 * (own.width + step):g} mm wide", _again(own, **wide)
        if own.groove_depth > 0:
            yield "without the channel", _again(own, channel_width=None, channel_depth=None)
        for name in (
            "carbon-quasi-isotropic",
            "carbon-cross-ply",
            "carbon-high-modulus",
            "glass-epoxy",
            "aluminium-7075",
        ):
            stuff = material(name)
            if stuff and name != own.material.name:
                yield name, _again(own, stuff, layup=None)
    rolled = material("carbon-tube-rolled")
    assert rolled is not None
    for form in ("round-tube", "square-tube"):
        for outer, inner in _TUBES:
            if own.tube and (outer, form) == (own.height, own.table.form):
                continue
            size: dict[str, Any] = {"outer_diameter": _length(outer), "inner_diameter": _length(inner)}
            word = f"{form.replace('-', ' ')} {1e3 * outer:g}/{1e3 * inner:g} mm"
            yield word, _again(own, rolled, form=form, build="separate", layup=None, **size)
    if own.tube:
        flat: dict[str, Any] = {"thickness": _length(5e-3), "width": _length(14e-3)}
        stuff = material("carbon-quasi-isotropic")
        assert stuff is not None
        yield "plate 14 x 5 mm", _again(own, stuff, form="plate", layup=None, **flat)


def _again(own: ArmPlan, stuff: Material | None = None, **changes: object) -> ArmPlan:
    table: ArmTable = replace(own.table, **changes)  # type: ignore[arg-type]
    return plan_arms(table, stuff or own.material, own.clamp, own.pattern, own.motor_hole)


def _measure(plan: ArmPlan, arms: FrameArms) -> tuple[float, float, float, float]:
    """Mass with pad [kg], stiffness up and sideways [N/m], first mode [Hz]."""
    motor, unseen = arms.lines[0].motor, list[Fault]()
    apart = replace(plan, table=replace(plan.table, build="separate"), root=plan.root or 0.4 * plan.clamp)
    mass = sum(piece.mass for piece in arm_pieces(apart, [motor], 0.0, unseen))
    beams, lumps = cantilever(arm_line(plan, motor, 0.0, []), arms.tip_mass)
    gives = []
    for degree in (2, 1):
        loads = np.zeros((len(beams.nodes), 6))
        loads[-1, degree] = 1.0
        gives.append(1 / float(static(beams, loads, held=[0])[-1, degree]))
    first = float(modes(beams, lumps, held=[0], count=1).frequency[0])
    return mass, gives[0], gives[1], first
