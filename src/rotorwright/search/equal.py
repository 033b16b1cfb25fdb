"""Comparisons on an equal basis: same battery energy, same motor copper, same all-up weight, same thrust."""

from dataclasses import replace

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute, InputError, Problem
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Battery, Motor
from rotorwright.physics.battery import CHEMISTRIES, open_circuit_voltage
from rotorwright.search.swap import Putting
from rotorwright.search.swapped import find_placed, swapped
from rotorwright.search.sweep import with_field

__all__ = ["BASES", "equal_basis", "rewound"]

BASES = {
    "energy": "each pack is scaled to the present one's energy, mass and resistance along by the laws",
    "copper": "the motor is rewound with the same copper for each pack's cells: Kv times cells is held",
    "weight": "each part is given the present one's mass, as if the difference were carried or saved elsewhere",
    "thrust": "in place of full throttle each stands at the thrust that the present craft reaches; who does not "
    "reach it has no numbers there",
}
"""What is held equal, by the word for it."""


def equal_basis(name: str, placed: PlacedPart) -> Putting:
    """How to put a candidate in place on an equal basis; InputError when the basis does not fit the part."""
    if name not in _WAYS:
        raise InputError(Problem(f"nothing can be held equal by '{name}'", f"Known: {', '.join(_WAYS)}."))
    if name in ("energy", "copper") and not isinstance(placed.part, Battery):
        raise InputError(Problem(f"equal {name} compares packs, not a {placed.part.kind}", "Swap the battery."))
    return _WAYS[name]


def _energy(battery: Battery) -> float:
    """Energy of a full pack at the voltage of half charge [J]."""
    assert battery.capacity is not None
    volts = open_circuit_voltage(0.5, CHEMISTRIES.index(battery.chemistry))
    return float(battery.cells * volts * battery.capacity.value)


def _same_energy(craft: Craft, placed: PlacedPart, part: Part) -> Craft:
    assert isinstance(part, Battery) and isinstance(placed.part, Battery) and part.capacity
    capacity = part.capacity.times(_energy(placed.part) / _energy(part))
    scaled, _ = with_field(replace(placed, part=part), {"capacity": capacity}, hold=False)
    return swapped(craft, placed, scaled)


def rewound(motor: Motor, ratio: float) -> Motor:
    """The same copper in `ratio` times the turns: Kv / ratio, R ratio^2, and I0 / ratio at ratio times the voltage.

    Copper loss, torque for it, iron loss at a speed and all masses stay; only the voltage they come at changes.
    """

    def times(estimate: Estimate | None, factor: float) -> Estimate | None:
        return estimate.times(factor) if estimate else None

    return replace(
        motor,
        kv=times(motor.kv, 1 / ratio),
        resistance=times(motor.resistance, ratio**2),
        idle_current=times(motor.idle_current, 1 / ratio),
        idle_voltage=times(motor.idle_voltage, ratio),
        current_max=times(motor.current_max, 1 / ratio),
        cells_min=None,
        cells_max=None,
    )


def _same_copper(craft: Craft, placed: PlacedPart, part: Part) -> Craft:
    assert isinstance(part, Battery) and isinstance(placed.part, Battery)
    motor = find_placed(craft, "motor")
    if not isinstance(motor.part, Motor):
        raise CannotCompute("no motor on the craft")
    wound = swapped(craft, motor, rewound(motor.part, part.cells / placed.part.cells))
    return swapped(wound, find_placed(wound, placed.id), part)


def _same_weight(craft: Craft, placed: PlacedPart, part: Part) -> Craft:
    made = swapped(craft, placed, part)
    now = find_placed(made, placed.id)
    if placed.part.mass is None:
        raise CannotCompute(f"nobody knows what {placed.part.name} weighs")
    same = placed.part.mass.times(placed.count / now.count)
    chance = same.chance or f"{placed.part.name}.mass"
    return swapped(craft, placed, replace(part, mass=replace(same, chance=chance)))


_WAYS: dict[str, Putting] = {
    "energy": _same_energy,
    "copper": _same_copper,
    "weight": _same_weight,
    "thrust": swapped,  # nothing is changed on the craft: the thrust is held where full throttle is solved
}
