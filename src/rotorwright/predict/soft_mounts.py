"""Soft mounts of motors and boards against what the rotors shake them with. Comparative: printed rubber scatters."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.frame.drawn import piece_of
from rotorwright.parts.electronics import FlightController
from rotorwright.parts.hardware import Grommet
from rotorwright.parts.propulsion import SpeedController
from rotorwright.physics.isolation import elastomer_modulus, natural_frequency, pad_stiffness, transmissibility
from rotorwright.predict.result import Prediction
from rotorwright.predict.rotor_speeds import RotorSpeeds

__all__ = ["SoftMount", "soft_mounts"]

# Share of critical damping of a soft print or grommet, and the scatter of its stiffness: from memory, no source.
_DAMPING, _SCATTER = 0.10, 0.5
_GROMMETS, _HARDNESS = 4, 50.0


@dataclass(frozen=True, slots=True)
class SoftMount:
    """A mass on something soft: its natural frequency, and what passes once a turn in hover and at full throttle."""

    what: str
    mass_kg: float
    stiffness_n_per_m: float
    natural_hz: Prediction
    passes_at_hover: Prediction
    passes_at_full: Prediction
    isolates_above_rpm: float
    note: str


def soft_mounts(craft: Craft, speeds: RotorSpeeds) -> tuple[SoftMount, ...]:
    """Every printed motor mount, and every board on grommets."""
    return (*_motors(craft, speeds), *_boards(craft, speeds))


def _mount(what: str, mass: float, stiffness: float, speeds: RotorSpeeds, note: str) -> SoftMount:
    natural = natural_frequency(stiffness, mass)
    low, high = natural * math.sqrt(1 - _SCATTER), natural * math.sqrt(1 + _SCATTER)
    return SoftMount(
        what,
        mass,
        stiffness,
        Prediction(natural, low, high, "Hz"),
        _passed(speeds.hover_rpm, (natural, low, high)),
        _passed(speeds.full_rpm, (natural, low, high)),
        60 * math.sqrt(2) * natural,
        note,
    )


def _passed(rpm: float, naturals: tuple[float, float, float]) -> Prediction:
    if not math.isfinite(rpm):
        return Prediction.absent("1", "no rotor speed is known")
    value, *ends = (float(transmissibility(rpm / 60 / natural, _DAMPING)) for natural in naturals)
    return Prediction(value, min(value, *ends), max(value, *ends), "1")


def _motors(craft: Craft, speeds: RotorSpeeds) -> Iterator[SoftMount]:
    mount, motor, propeller = craft.the("motor-mount"), craft.the("motor"), craft.the("propeller")
    piece = piece_of(mount.part) if mount else None
    if piece is None or motor is None or motor.part.mass is None or piece.material.modulus is None:
        return
    mass = motor.part.mass.value + (propeller.part.mass.value if propeller and propeller.part.mass else 0.0)
    body = piece.bodies[0]
    area, free = body.outline.moments.area, body.outline.outer.length * body.height
    stiffness = pad_stiffness(piece.material.modulus.value, area, body.height, free) * piece.infill
    note = "as long as the screws do not clamp it hard: a screw pulled tight carries past the pad"
    yield _mount("motor on its soft mount", mass, stiffness, speeds, note)


def _boards(craft: Craft, speeds: RotorSpeeds) -> Iterator[SoftMount]:
    grommet = next((p for p in craft.parts if isinstance(p.part, Grommet)), None)
    if grommet is None or not isinstance(grommet.part, Grommet):
        return
    part = grommet.part
    if part.hole is None or part.height is None:
        return
    bore = part.inner_diameter.value if part.inner_diameter else 0.7 * part.hole.value
    area = math.pi / 4 * (part.hole.value**2 - bore**2)
    modulus = elastomer_modulus(part.hardness or _HARDNESS)
    each = pad_stiffness(modulus, area, part.height.value, math.pi * part.hole.value * part.height.value)
    for board in _on_grommets(craft):
        assert board.part.mass is not None
        hardness = part.hardness or _HARDNESS
        note = f"{_GROMMETS} grommets of Shore A {hardness:g}; wires that pull on the board stiffen it"
        yield _mount(board.id, board.part.mass.value, _GROMMETS * each, speeds, note)


def _on_grommets(craft: Craft) -> list[PlacedPart]:
    boards = [p for p in craft.parts if isinstance(p.part, FlightController | SpeedController)]
    return [p for p in boards if p.part.mass and p.count == 1]
