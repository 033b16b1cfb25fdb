"""Stiffness, modes and stress of the frame, against the speeds at which its rotors shake it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.frame.beams import ArmLine, cantilever, whole_frame
from rotorwright.parts.propulsion import Propeller
from rotorwright.physics.beam import Beams, NoSolution, modes, static, strain_energy
from rotorwright.predict.frame_arms import FrameArms, frame_arms, lumps
from rotorwright.predict.result import Prediction
from rotorwright.predict.rotor_speeds import RotorSpeeds, rotor_speeds

__all__ = ["ArmStrength", "Crossing", "FrameMode", "Structure", "structure"]

Array = NDArray[np.float64]

# Speed of the stated tip strike [m/s].
STRIKE_SPEED = 10.0
# Scatter of a stiffness from what the model leaves out: play at the clamp, lumped body; and, for modes of the whole
# frame, how far the decks work together. Judgement, no source.
_MODEL_SCATTER, _BODY_SCATTER = 0.10, 0.25
_Z95 = 1.645

_WORDS = {"vertical": "bending up and down", "lateral": "bending sideways", "torsion": "torsion", "axial": "stretch"}


@dataclass(frozen=True, slots=True)
class FrameMode:
    """One natural mode of the whole frame in flight; `shares` is where its elastic energy sits."""

    frequency_hz: Prediction
    kind: str
    shares: dict[str, float]
    tip_motion: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True)
class Crossing:
    """A rotor speed at which a mode is shaken: once, or as often as there are blades, per turn."""

    mode: int
    kind: str
    order: int
    rpm: float
    throttle_band: str


@dataclass(frozen=True, slots=True)
class ArmStrength:
    """One arm, held where the decks let go of it, pushed at its motor."""

    motor: str
    free_length_m: float
    mass_kg: float
    stiffness_n_per_m: Prediction
    side_stiffness_n_per_m: Prediction
    twist_stiffness_n_m_per_rad: Prediction
    first_mode_hz: Prediction
    deflection_at_full_thrust_m: Prediction
    stress_at_full_thrust_pa: Prediction
    strike_force_n: Prediction
    strike_stress_pa: Prediction
    strength_pa: float | None


@dataclass(frozen=True, slots=True)
class Structure:
    """Arms, modes and crossings; strike figures are comparative."""

    speeds: RotorSpeeds
    arms: tuple[ArmStrength, ...]
    modes: tuple[FrameMode, ...]
    crossings: tuple[Crossing, ...]
    strike_speed_m_per_s: float
    notes: tuple[str, ...]


def structure(craft: Craft, speeds: RotorSpeeds | None = None, count: int = 8) -> Structure:
    """Stiffness, stress and the `count` slowest elastic modes of a craft's frame.

    Bars are linearised: frequency goes with the root of modulus over mass, stiffness with the modulus.
    Raises CannotCompute when the craft has neither [frame.arm] nor arms of known thickness and width.
    """
    arms = frame_arms(craft)
    speeds = speeds or rotor_speeds(craft)
    blades = next((p.part.blades for p in craft.parts if isinstance(p.part, Propeller)), 2)
    lines = list({round(a.motor.radius, 6): a for a in reversed(arms.lines)}.values())[::-1]
    try:
        found = _modes(craft, arms, count)
        strength = tuple(_strength(craft, arms, line, speeds) for line in lines)
    except NoSolution as error:
        raise CannotCompute(str(error)) from None
    return Structure(
        speeds=speeds,
        arms=strength,
        modes=tuple(found),
        crossings=tuple(_crossings(found, speeds, blades)),
        strike_speed_m_per_s=STRIKE_SPEED,
        notes=arms.notes,
    )


def _bar(value: float, relative: float, unit: str) -> Prediction:
    if not math.isfinite(value):
        return Prediction.absent(unit, "no full-throttle figure")
    return Prediction(value, value * (1 - _Z95 * relative), value * (1 + _Z95 * relative), unit)


def _modes(craft: Craft, arms: FrameArms, count: int) -> list[FrameMode]:
    """Elastic modes of the craft floating free; the six motions of a rigid body come first and are left out."""
    beams, tips = whole_frame(arms.lines)
    found = modes(beams, lumps(craft, arms, tips), count=count + 6)
    relative = math.hypot(arms.modulus_scatter, _BODY_SCATTER) / 2
    result = []
    for frequency, shape in zip(found.frequency[6:], found.shape[6:], strict=True):
        shares = _shares(beams, shape)
        tip = shape[tips, :3]
        largest = float(np.max(np.abs(tip))) or 1.0
        motion = tuple((float(x), float(y), float(z)) for x, y, z in tip / largest)
        kind = _WORDS[max(shares, key=shares.__getitem__)]
        result.append(FrameMode(_bar(float(frequency), relative, "Hz"), kind, shares, motion))
    return result


def _shares(beams: Beams, shape: Array) -> dict[str, float]:
    sums = {motion: float(np.sum(energy)) for motion, energy in strain_energy(beams, shape).items()}
    whole = sum(sums.values()) or 1.0
    return {motion: energy / whole for motion, energy in sums.items()}


def _crossings(found: Sequence[FrameMode], speeds: RotorSpeeds, blades: int) -> list[Crossing]:
    """Speeds within the throttle range at which a mode meets once per turn or blade passing."""
    crossings = []
    for index, mode in enumerate(found):
        assert mode.frequency_hz.value is not None
        for order in (1, blades):
            rpm = 60 * mode.frequency_hz.value / order
            if speeds.low_rpm <= rpm <= speeds.full_rpm:
                crossings.append(Crossing(index, mode.kind, order, rpm, speeds.band(rpm)))
    return crossings


def _strength(craft: Craft, arms: FrameArms, line: ArmLine, speeds: RotorSpeeds) -> ArmStrength:
    beams, lump = cantilever(line, arms.tip_mass)
    give = _tip_give(beams)
    k, side, twist = (1 / g for g in give)
    E = math.hypot(arms.modulus_scatter, _MODEL_SCATTER)
    first = float(modes(beams, lump, held=[0], count=1).frequency[0])
    thrust, root = speeds.full_thrust_n, line.at_clamp
    bending = line.free_length * root.half_height / root.vertical
    force = STRIKE_SPEED * math.sqrt(side * _struck_mass(craft, line))
    sideways = line.free_length * root.half_width / root.lateral
    return ArmStrength(
        motor=line.motor.name,
        free_length_m=line.free_length,
        mass_kg=arms.mass or line.mass,
        stiffness_n_per_m=_bar(k, E, "N/m"),
        side_stiffness_n_per_m=_bar(side, E, "N/m"),
        twist_stiffness_n_m_per_rad=_bar(twist, E, "N m/rad"),
        first_mode_hz=_bar(first, E / 2, "Hz"),
        deflection_at_full_thrust_m=_bar(thrust / k, E, "m"),
        stress_at_full_thrust_pa=_bar(thrust * bending, 0.1, "Pa"),
        strike_force_n=_bar(force, E, "N"),
        strike_stress_pa=_bar(force * sideways, E, "Pa"),
        strength_pa=line.strength,
    )


def _tip_give(beams: Beams) -> tuple[float, float, float]:
    """Give of a held arm's tip to a unit force up, one sideways, and a unit moment along it [m/N, m/N, rad/N m]."""
    gives = []
    for degree in (2, 1, 3):
        loads = np.zeros((len(beams.nodes), 6))
        loads[-1, degree] = 1.0
        gives.append(float(static(beams, loads, held=[0])[-1, degree]))
    return gives[0], gives[1], gives[2]


def _struck_mass(craft: Craft, line: ArmLine) -> float:
    """Mass that a sideways blow at one motor has to stop: 1/(1/m + r^2/I_z), I_z of the parts as points [kg]."""
    bodies = [
        (p.part.mass.value * p.count / len(p.places), place)
        for p in craft.parts
        if p.part.mass and p.places
        for place in p.places
    ]
    total = sum(m for m, _ in bodies)
    spin = sum(m * (place.x**2 + place.y**2) for m, place in bodies)
    if not total or not spin:
        raise CannotCompute("nothing on the craft has a known mass")
    return 1 / (1 / total + line.motor.radius**2 / spin)
