"""What one crash costs: what touches first, what a bumper takes, the work of changing an arm. Comparative."""

import math
from dataclasses import dataclass

import numpy as np

from rotorwright.craft.model import Craft
from rotorwright.frame.drawn import piece_of
from rotorwright.physics.air import GRAVITY
from rotorwright.predict.clearance import Body, bodies, discs
from rotorwright.predict.structure import STRIKE_SPEED, ArmStrength, Structure

__all__ = ["ArmChange", "Contact", "Crash", "crash"]

# Height of the stated flat drop [m], and minutes of bench work: common practice, no source.
DROP_HEIGHT = 2.0
_MINUTES_A_SCREW, _MINUTES_A_SOLDER, _MINUTES_AT_ALL = 0.4, 1.5, 5.0
_MOTOR_SCREWS, _MOTOR_WIRES = 4, 3
# A soft print is spent when it is pressed to half its thickness. Judgement, no source.
_CRUSH = 0.5

_SIDES = {"ahead": (1, 0, 0), "ahead left": (1, 1, 0), "left": (0, 1, 0), "behind": (-1, 0, 0)}
_FALLS = {"flat drop, upright": (0, 0, -1), "flat drop, upside down": (0, 0, 1)}


@dataclass(frozen=True, slots=True)
class Contact:
    """What meets a flat obstacle first from one side, how far it stands out over the next, and what that is."""

    side: str
    first: str
    stands_out_m: float
    next: str
    energy_j: float


@dataclass(frozen=True, slots=True)
class ArmChange:
    """Changing one arm: screws to undo, joints to solder, minutes, and the price of the stock it is cut from."""

    screws: int
    solder_joints: int
    minutes: float
    everything_off: bool


@dataclass(frozen=True, slots=True)
class Crash:
    """Contacts of a stated strike and drop, the arm's margin against that strike, and the repair."""

    contacts: tuple[Contact, ...]
    strike_speed_m_per_s: float
    drop_height_m: float
    arm_stress_over_strength: float | None
    bumper_energy_share: float | None
    arm_change: ArmChange
    spares: tuple[str, ...]
    notes: tuple[str, ...]


def crash(craft: Craft, result: Structure) -> Crash:
    """What the stated tip strike and flat drop meet first, and what they cost."""
    things = [*bodies(craft), *discs(craft)]
    mass = sum(p.part.mass.value * p.count for p in craft.parts if p.part.mass)
    strike, drop = 0.5 * mass * STRIKE_SPEED**2, mass * GRAVITY * DROP_HEIGHT
    contacts = [_contact(side, way, things, strike) for side, way in _SIDES.items()]
    contacts += [_contact(side, way, things, drop) for side, way in _FALLS.items()]
    weakest = max(result.arms, key=_ratio, default=None)
    ratio = _ratio(weakest) if weakest else 0.0
    return Crash(
        contacts=tuple(contacts),
        strike_speed_m_per_s=STRIKE_SPEED,
        drop_height_m=DROP_HEIGHT,
        arm_stress_over_strength=ratio or None,
        bumper_energy_share=_bumper(craft, weakest),
        arm_change=_arm_change(craft),
        spares=_spares(craft, contacts, ratio),
        notes=("comparative: real blows are shorter, aslant, and shared with what is struck",),
    )


def _contact(side: str, way: tuple[int, int, int], things: list[Body], energy: float) -> Contact:
    direction = np.array(way) / math.sqrt(sum(v * v for v in way))
    reach = sorted(((float((body.points @ direction).max()), _label(body)) for body in things), reverse=True)
    if not reach:
        return Contact(side, "", 0.0, "", energy)
    first = reach[0]
    after = next((r for r in reach if r[1].split(" ")[0] != first[1].split(" ")[0]), first)
    return Contact(side, first[1], first[0] - after[0], after[1], energy)


def _spares(craft: Craft, contacts: list[Contact], ratio: float) -> tuple[str, ...]:
    """What to carry: what touches first, and an arm when the stated strike would break one."""
    first = {contact.first.split(" ")[0] for contact in contacts}
    carried = [
        p.id
        for p in craft.parts
        if p.id in first and p.role not in ("propeller", "battery", "recording-camera", "arm")
    ]
    propellers = ["a set of propellers"] if "propeller" in first else []
    arm = ["an arm" if not _arm_change(craft).everything_off else "a main plate"] if ratio > 1 else []
    return (*propellers, *carried, *arm)


def _label(body: Body) -> str:
    return f"propeller {body.name}" if body.role == "propeller" else body.name


def _ratio(arm: ArmStrength) -> float:
    return (arm.strike_stress_pa.value or 0.0) / arm.strength_pa if arm.strength_pa else 0.0


def _bumper(craft: Craft, arm: ArmStrength | None) -> float | None:
    """Share of the strike's energy at the arm's end that one bumper takes: E e^2/2 over its volume, e to half."""
    bumper = craft.the("arm-bumper")
    if bumper is None or arm is None or arm.strike_force_n.value is None:
        return None
    piece = piece_of(bumper.part)
    if piece is None or piece.material.modulus is None or arm.side_stiffness_n_per_m.value is None:
        return None
    takes = 0.5 * piece.material.modulus.value * _CRUSH**2 * piece.properties.volume * piece.infill
    return takes / (arm.strike_force_n.value**2 / (2 * arm.side_stiffness_n_per_m.value))


def _arm_change(craft: Craft) -> ArmChange:
    """A separate arm takes its own screws and its motor's; a unibody takes the whole craft apart."""
    arm = craft.frame.arm
    own = len(arm.screw_at or ()) if arm else 2
    motors = len(craft.motors)
    whole = bool(arm and arm.build == "unibody")
    through = arm is not None and arm.form != "plate"  # wires run inside a tube and have to come off
    screws = _MOTOR_SCREWS * motors + 12 if whole else _MOTOR_SCREWS + own
    joints = _MOTOR_WIRES * (motors if whole else int(through))
    minutes = _MINUTES_AT_ALL + 2 * _MINUTES_A_SCREW * screws + 2 * _MINUTES_A_SOLDER * joints
    return ArmChange(screws, joints, minutes, whole)
