"""What a product page leaves out, from size, mass and rating, each with its scatter.

Each law says where it comes from: FIT (fitted to open data), or MEM (judgement or memory, no source). The scatter
is the standard deviation of the logarithm. A given value is never replaced.
"""

import math
from dataclasses import replace
from functools import singledispatch

from rotorwright.parts.electronics import (
    Buzzer,
    Camera,
    FlightController,
    Light,
    Receiver,
    SatellitePositioning,
    VideoTransmitter,
)
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.parts.hardware import Plate, Screw, Standoff, Tube, Wire
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Battery, Motor, Propeller, SpeedController
from rotorwright.physics.wire import mass as wire_mass

__all__ = ["completed", "lithium_resistance", "motor_constant", "rotor_inertia"]


def _derived(value: float, scatter: float, law: str = "") -> Estimate:
    return Estimate(value, scatter * value, Basis.DERIVED, law)


@singledispatch
def completed(part: Part) -> Part:
    """`part` with every field filled that its kind has a law for."""
    return part


def motor_constant(diameter: float, height: float) -> float:
    """Km = Kt/sqrt(R) = 9.48e-5 (D^2 h)^0.650 [N m/sqrt(W)], D and h [mm] of the stator; FIT, n = 22, scatter 0.12.

    Fitted on makers' catalogue values in an open research component corpus, motors of 11-70 g.
    """
    return float(9.48e-5 * (diameter**2 * height) ** 0.650)


def _motor_resistance(motor: Motor) -> Estimate | None:
    """R = (Kt/Km)^2 with Km from the stator, or else from the mass: Km = 1.385e-3 m_g^0.717 (FIT, scatter 0.145)."""
    assert motor.kv is not None
    Kt = 1.0 / motor.kv.value
    light = motor.mass is not None and motor.mass.value < 0.015
    if motor.stator_diameter and motor.stator_height:
        Km = motor_constant(motor.stator_diameter.value * 1e3, motor.stator_height.value * 1e3)
        return _derived((Kt / Km) ** 2, 0.35 if light else 0.25, "motor resistance")
    if motor.mass:
        return _derived(
            (Kt / (1.385e-3 * (motor.mass.value * 1e3) ** 0.717)) ** 2, 0.35 if light else 0.30, "motor resistance"
        )
    return None


def _idle_current(motor: Motor, volume: float) -> Estimate:
    """I0 at 10 V = 1.84e-9 Kv^1.557 (D^2 h)^1.005 [A], Kv [rpm/V], D and h [mm]; FIT, scatter 0.45."""
    assert motor.kv is not None
    kv = motor.kv.value * 30 / math.pi
    return _derived(1.84e-9 * kv**1.557 * volume**1.005, 0.45, "idle current")


def rotor_inertia(mass: float, diameter: float) -> float:
    """Moment of inertia of an outrunner's rotor, 0.4 m r_can^2 [kg m2]; MEM, scatter 0.3."""
    return 0.4 * mass * (diameter / 2) ** 2


@completed.register
def _(motor: Motor) -> Part:
    D = motor.stator_diameter.value * 1e3 if motor.stator_diameter else None
    h = motor.stator_height.value * 1e3 if motor.stator_height else None
    mass = motor.mass
    if mass is None and D and h:
        mass = _derived(0.0086e-3 * D**2.20 * h**0.816, 0.08, "motor mass")  # FIT, motors up to 70 g
    grams = mass.value * 1e3 if mass else 30.0
    diameter = motor.diameter or _derived(1e-3 * (1.06 * D + 4.84 if D else 8.7 * grams ** (1 / 3)), 0.05)  # FIT, MEM
    height = motor.height or _derived(1e-3 * (h + 12.0 if h else 5.8 * grams ** (1 / 3)), 0.08)  # MEM
    volume = D**2 * h if D and h else 100.0 * grams
    inertia = motor.rotor_inertia or (
        _derived(rotor_inertia(mass.value, diameter.value), 0.3, "rotor inertia") if mass else None
    )
    return replace(
        motor,
        mass=mass,
        diameter=diameter,
        height=height,
        rotor_inertia=inertia,
        resistance=motor.resistance or _motor_resistance(motor),
        idle_current=motor.idle_current or _idle_current(motor, volume),
        idle_voltage=motor.idle_voltage or Estimate(10.0, 0.0, Basis.TYPICAL),
        poles=motor.poles or 14,
    )


@completed.register
def _(propeller: Propeller) -> Part:
    """Mass 0.086 D_in^2.38 g for two blades (FIT, 4-10 in, scatter 0.15); a blade more adds 40 % (MEM)."""
    assert propeller.diameter is not None
    inches = propeller.diameter.value / 0.0254
    grams = 0.086 * inches**2.38 * (1 + 0.4 * (propeller.blades - 2))
    scatter = 0.15 if propeller.blades == 2 else 0.20
    return replace(propeller, mass=propeller.mass or _derived(grams * 1e-3, scatter, "propeller mass"))


@completed.register
def _(controller: SpeedController) -> Part:
    """On-resistance 4 mohm (MEM, scatter 0.4); mass a channel 0.98 I^1.02 g (FIT, 0.27), on a board of four half."""
    assert controller.current is not None
    grams = 0.98 * controller.current.value**1.02 * controller.channels * (0.5 if controller.channels > 1 else 1.0)
    # a switch for more current has the lower resistance; the exponent is a judgement
    ohms = 4e-3 * (controller.current.value / 35.0) ** -0.5
    return replace(
        controller,
        resistance=controller.resistance or _derived(ohms, 0.4, "controller resistance"),
        mass=controller.mass or _derived(grams * 1e-3, 0.27 if controller.channels == 1 else 0.5, "controller mass"),
        idle_power=controller.idle_power or _derived(0.5, 0.4, "controller power"),
    )


def lithium_resistance(capacity_ah: float, rating: float) -> tuple[float, float]:
    """Resistance of one lithium polymer cell [ohm] and its scatter.

    R = 91.6e-3 C^-0.981 c^-0.505 (FIT, 68 packs measured at 10C, 0.35-8 Ah, labels 25-50C, residual scatter 0.085,
    widened to 0.15 for a label nobody tested); above a label of 50C the exponent of c is -0.753 (MEM) and the
    scatter grows to 0.3 at 75C, since no measured packs reach there.
    """
    base = 91.6e-3 * capacity_ah**-0.981
    if rating <= 50.0:
        return base * rating**-0.505, 0.15
    beyond = min((rating - 50.0) / 25.0, 1.0)
    return base * 50.0**-0.505 * (rating / 50.0) ** -0.753, 0.15 + 0.15 * beyond


def _pack_resistance(battery: Battery) -> Estimate:
    assert battery.capacity is not None
    string_ah = battery.capacity.value / 3600 / battery.parallel
    if battery.chemistry == "li-ion":
        cell, scatter = 0.058 / string_ah, 0.3  # MEM: 20-25 mohm for a 2.5-3 Ah cylindrical cell
    elif battery.rating:
        cell, scatter = lithium_resistance(string_ah, battery.rating.value)
    else:
        cell, scatter = lithium_resistance(string_ah, 60.0)[0], 0.4
    return _derived(cell * battery.cells / battery.parallel, scatter, "battery resistance")


def _pack_mass(battery: Battery) -> Estimate:
    """7.00 Wh^0.928 c^0.105 g (FIT, 69 packs, scatter 0.092); cylindrical cells 4.6 g/Wh (MEM)."""
    assert battery.capacity is not None
    if battery.chemistry == "li-ion":
        return _derived(4.6e-3 * battery.capacity.value / 3600 * 3.6 * battery.cells, 0.10, "battery mass")
    energy = battery.capacity.value / 3600 * 3.7 * battery.cells
    rating = battery.rating.value if battery.rating else 60.0
    return _derived(7.00e-3 * energy**0.928 * rating**0.105, 0.092, "battery mass")


@completed.register
def _(battery: Battery) -> Part:
    mass = battery.mass or _pack_mass(battery)
    size = battery.size
    if size is None:  # MEM: 2 g/cm3, sides as 2.2 : 1 : 0.9
        side = (mass.value / 2000.0 / (2.2 * 0.9)) ** (1 / 3)
        size = (2.2 * side, side, 0.9 * side)
    return replace(battery, mass=mass, size=size, resistance=battery.resistance or _pack_resistance(battery))


def _material_mass(part: Plate | Tube, volume: float | None, usual_density: float) -> Estimate | None:
    if part.mass or volume is None:
        return part.mass
    density = part.density.value if part.density else usual_density
    return _derived(density * volume, 0.05)


@completed.register
def _(plate: Plate) -> Part:
    """Mass = density x length x width x thickness x fill, carbon laminate 1 600 kg/m3 unless said."""
    sides = (plate.length, plate.width, plate.thickness)
    fill = plate.fill.value if plate.fill else 1.0
    given = [side.value for side in sides if side]
    volume = math.prod(given) * fill if len(given) == 3 else None
    size = plate.size or ((given[0], given[1], given[2]) if len(given) == 3 else None)
    return replace(plate, mass=_material_mass(plate, volume, 1600.0), size=size)


@completed.register
def _(tube: Tube) -> Part:
    """Mass = density x cross-section x length, carbon laminate 1 600 kg/m3 unless said."""
    volume = None
    if tube.outer_diameter and tube.inner_diameter and tube.length:
        shape = math.pi / 4 if tube.section == "round" else 1.0
        volume = shape * (tube.outer_diameter.value**2 - tube.inner_diameter.value**2) * tube.length.value
    return replace(tube, mass=_material_mass(tube, volume, 1600.0))


@completed.register
def _(wire: Wire) -> Part:
    """Mass from copper cross-section and length."""
    assert wire.gauge is not None
    if wire.mass or wire.length is None:
        return wire
    return replace(wire, mass=_derived(float(wire_mass(wire.length.value, wire.gauge.value)) * wire.conductors, 0.15))


@completed.register
def _(screw: Screw) -> Part:
    """A steel shank of the thread's mean section and a head of 1.8 d x 0.8 d (MEM, scatter 0.2)."""
    if screw.mass or not (screw.thread and screw.length):
        return screw
    d = screw.thread.value
    density = 2700.0 if "alu" in screw.material else 4500.0 if "titan" in screw.material else 7850.0
    head = 0.0 if screw.head == "none" else math.pi / 4 * (1.8 * d) ** 2 * 0.8 * d
    volume = math.pi / 4 * (0.9 * d) ** 2 * screw.length.value + head
    return replace(screw, mass=_derived(density * volume, 0.2))


@completed.register
def _(standoff: Standoff) -> Part:
    """An aluminium sleeve about its thread (MEM, scatter 0.25)."""
    if standoff.mass or not (standoff.thread and standoff.length and standoff.diameter):
        return standoff
    section = math.pi / 4 * (standoff.diameter.value**2 - standoff.thread.value**2 * 0.7)
    return replace(standoff, mass=_derived(2700.0 * section * standoff.length.value, 0.25))


# Draw of electronics when nothing is stated [W]: typical, from memory, scatter 0.35.
_USUAL_POWER: dict[type[Part], float] = {
    FlightController: 0.8,
    Receiver: 0.25,
    Camera: 1.0,
    VideoTransmitter: 4.0,
    SatellitePositioning: 0.15,
    Buzzer: 0.0,
    Light: 0.5,
}


def _with_power(part: Part) -> Part:
    usual = _USUAL_POWER[type(part)]
    stated = getattr(part, "power", None) or getattr(part, "current", None) or getattr(part, "levels", ())
    return part if stated or not usual else replace(part, power=_derived(usual, 0.35, "electronics power"))  # type: ignore[call-arg]


for _kind in _USUAL_POWER:
    completed.register(_kind, _with_power)
