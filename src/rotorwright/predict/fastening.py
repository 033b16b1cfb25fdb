"""How tight a metric screw may be, in steel and in soft parts, and how far the motors' screws reach."""

from dataclasses import dataclass

from rotorwright.craft.model import Craft
from rotorwright.parts.hardware import Plate, Screw
from rotorwright.parts.propulsion import Motor
from rotorwright.physics.fastener import coarse_pitch, preload, stress_area, tightening_torque

__all__ = ["Bite", "Tightening", "motor_bite", "tightening"]

_PROOF_8_8 = 640e6  # [Pa] yield stress of class 8.8, ISO 898-1
# M3 in an aluminium base or on carbon plate [N m]: common practice, no source. Other sizes as the cube of the
# diameter, which keeps the stress.
_M3, _LOW, _HIGH = 3e-3, 0.5, 0.8


@dataclass(frozen=True, slots=True)
class Tightening:
    """Torques of one thread [N m]: usual in soft parts, and the ceiling of a class 8.8 steel screw in steel."""

    thread_m: float
    low_n_m: float
    high_n_m: float
    ceiling_n_m: float
    source: str = "usual: common practice, no source; ceiling: T = K F d, K 0.2, 70 % of yield, ISO 898-1 class 8.8"


def tightening(thread: float) -> Tightening | None:
    """Torques for a coarse metric thread of nominal diameter `thread` [m]; None when it is no such thread.

    usual: 0.5 to 0.8 N m for M3 in aluminium or on carbon, as d^3 for others (common practice, no source)
    ceiling: T = K F d for steel in steel; far too much for aluminium or carbon
    """
    try:
        pitch = coarse_pitch(thread)
    except ValueError:
        return None
    share = (thread / _M3) ** 3
    force = preload(stress_area(thread, pitch), _PROOF_8_8)
    return Tightening(thread, _LOW * share, _HIGH * share, tightening_torque(force, thread))


@dataclass(frozen=True, slots=True)
class Bite:
    """How a motor's screw ends: thickness under the base, thread in it, and depth to the winding [m]."""

    under_m: float
    bite_m: float
    depth_m: float | None


def motor_bite(craft: Craft, length: float) -> Bite | None:
    """Reach of a screw of `length` [m] into the motor's base, length less plate arm and pads.

    None when no plate arm and no pad says how thick it is.
    """
    arms = [p.part.thickness.value for p in craft.with_role("arm") if isinstance(p.part, Plate) and p.part.thickness]
    roles = ("motor-pad", "motor-mount")
    pads = [p.part.size[2] for p in craft.parts if p.role in roles and not isinstance(p.part, Screw) and p.part.size]
    if not arms and not pads:
        return None
    under = sum(arms[:1]) + sum(pads)
    motor = craft.the("motor")
    depth = motor.part.mount_depth if motor and isinstance(motor.part, Motor) else None
    return Bite(under, length - under, depth.value if depth else None)
