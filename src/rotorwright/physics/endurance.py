"""Endurance: a pack integrated through a repeated cycle of segments until it has to land.

The steady flight of each segment fixes rotation and torque, so that the pack sees a power that changes only with
the winding's temperature; where the sagging pack can no longer turn the rotors that fast, the duty it can give
is solved by the operating point's own balance and the segment counts as limited; where it cannot even hover, it lands
in the next segment in which anybody would. Steps last at most a second, so
that the voltage of a step is the one-second mean under the segment's load.
"""

import math
from typing import Any, NamedTuple

import numpy as np

from rotorwright.physics.air import GRAVITY
from rotorwright.physics.battery import open_circuit_voltage, resistance_factor
from rotorwright.physics.cell import overvoltage
from rotorwright.physics.compiled import kernel
from rotorwright.physics.heat import case_conductance, wake_speed, warmed_motor
from rotorwright.physics.motor import copper_resistance, no_load_current
from rotorwright.physics.powertrain import balanced_rotation, motor_load, rotor_coefficients, supply_load

__all__ = ["CONSUMERS", "END", "ENDINGS", "TRACE", "State", "endure"]

CONSUMERS = ("shaft", "iron", "copper", "controllers", "leads", "pack", "electronics")
"""Where the energy of the pack goes, in the order of `END["energy"]`."""

ENDINGS = (
    "",
    "landing voltage",
    "resting voltage",
    "empty",
    "collapse",
    "a segment without trim",
    "too long",
    "full throttle does not hover any more",
)
"""Why a flight ended, by the number in `END["ending"]`."""

TRACE = ("time", "voltage", "current", "charge", "pack_temperature", "winding_temperature")
"""Columns of a trace: [s], [V] at the pack, [A], [1], [K], [K]."""

END = np.dtype(
    [
        ("time", "f8"),  # [s]
        ("distance", "f8"),  # [m]
        ("taken", "f8"),  # [C] out of the pack
        ("charge", "f8"),  # state of charge left
        ("voltage", "f8"),  # [V] of the pack in the last second flown
        ("rest_voltage", "f8"),  # [V] open circuit at the end
        ("delivered", "f8"),  # [J] at the pack's terminals
        ("stored", "f8"),  # [J] taken out of the cells, integral of Voc I
        ("energy", "f8", (7,)),  # [J] by CONSUMERS
        ("limited", "f8"),  # [s] flown at full throttle, short of the segment's demand
        ("pack_temperature", "f8"),  # [K] at the end
        ("winding_peak", "f8"),  # [K]
        ("current_peak", "f8"),  # [A] largest of a step
        ("current_square", "f8"),  # [A2 s]
        ("ending", "i8"),
        ("segment", "i8"),  # in which it ended
    ],
    align=True,
)

_LONGEST = 6 * 3600.0


class State(NamedTuple):
    """What a flight carries from one step to the next: charge [1], overvoltages [V], temperatures [K]."""

    charge: float
    fast: float
    slow: float
    pack: float
    winding: float
    case: float


@kernel
def _at_duty(c: Any, rotors: Any, trim: Any, duty: float, voc: float) -> tuple[float, float, float, float]:
    """Rotation, torque, motor current and battery current in the segment's air at a duty."""
    v, e = trim.axial_speed, abs(trim.edgewise_speed)
    rotation = balanced_rotation(c, rotors, duty, math.nan, voc, v, e)
    _, CP, _, _, _ = rotor_coefficients(c, rotors, rotation, v, e)
    torque, current, voltage = motor_load(c, rotation, CP)
    _, _, drawn = supply_load(c, duty, duty, current, voltage, voc)
    return rotation, torque, current, drawn


@kernel
def _eased(c: Any, rotors: Any, trim: Any, voc: float, floor: float) -> tuple[float, float, float, float]:
    """The same at the largest duty that leaves the pack at its floor [V]: the pilot eases off."""
    low, high = 0.0, 1.0
    for _ in range(12):
        duty = 0.5 * (low + high)
        _, _, _, drawn = _at_duty(c, rotors, trim, duty, voc)
        if voc - c.battery_resistance * drawn < floor:
            high = duty
        else:
            low = duty
    return _at_duty(c, rotors, trim, max(low, 1e-3), voc)


@kernel
def _demand(c: Any, rotors: Any, trim: Any, voc: float, floor: float) -> tuple[float, float, float, float, float]:
    """Rotation, torque, motor current, battery current of the segment now; last 1 where the pack cannot give it."""
    rotation, torque = trim.rotation, trim.torque
    current = no_load_current(c.idle_current, rotation, c.idle_rotation) + torque / c.torque_constant
    voltage = c.torque_constant * rotation + current * (c.motor_resistance + c.controller_resistance)
    duty, _, drawn = supply_load(c, math.nan, math.nan, current, voltage, voc)
    limited = 0.0
    if not duty <= 1.0:
        limited = 1.0
        rotation, torque, current, drawn = _at_duty(c, rotors, trim, 1.0, voc)
    if voc - c.battery_resistance * drawn < floor:
        limited = 1.0
        rotation, torque, current, drawn = _eased(c, rotors, trim, voc, floor)
    return rotation, torque, current, drawn, limited


@kernel
def _hovering(c: Any, rotors: Any) -> tuple[float, float]:
    """Rotation and torque of a rotor that hovers in still air; NaN where no rotation carries the craft."""
    full = c.cells * open_circuit_voltage(1.0, c.chemistry)
    rotation = balanced_rotation(c, rotors, math.nan, c.mass * GRAVITY / c.motors, full, 0.0, 0.0)
    _, CP, _, _, _ = rotor_coefficients(c, rotors, rotation, 0.0, 0.0)
    torque, _, _ = motor_load(c, rotation, CP)
    return rotation, torque


@kernel
def _hovers(c: Any, rotation: float, torque: float, voc: float) -> bool:
    """Whether the pack can still turn the rotors as fast as hovering takes."""
    current = no_load_current(c.idle_current, rotation, c.idle_rotation) + torque / c.torque_constant
    voltage = c.torque_constant * rotation + current * (c.motor_resistance + c.controller_resistance)
    duty, _, _ = supply_load(c, math.nan, math.nan, current, voltage, voc)
    return duty <= 1.0


@kernel
def _spend(
    c: Any, end: Any, rotation: float, torque: float, current: float, drawn: float, slow: float, h: float
) -> Any:
    """Add the energy of a step to each consumer; returns the loss of one motor [W] and of the pack [W]."""
    iron = (current - torque / c.torque_constant) * c.torque_constant * rotation
    copper = current * current * c.motor_resistance
    pack = drawn * (drawn * c.battery_resistance + slow)
    leads = drawn * drawn * c.lead_resistance
    controllers = c.motors * current * current * c.controller_resistance
    end.energy[0] += c.motors * torque * rotation * h
    end.energy[1] += c.motors * iron * h
    end.energy[2] += c.motors * copper * h
    end.energy[3] += controllers * h
    end.energy[4] += leads * h
    end.energy[5] += pack * h
    end.energy[6] += c.electronics_power * h
    return iron + copper, pack


@kernel
def _ending(end: Any, trim: Any, drawn: float, volts: Any, after: float) -> int:
    """Index into ENDINGS of what keeps the next step from being flown; 0 when nothing does.

    volts: of a cell under load and at rest, and those at which to land [V]; after: charge left after the step
    """
    loaded, rested, landing, resting = volts
    if trim.status == 3:
        return 5
    if math.isnan(drawn):
        return 4
    if loaded < landing:
        return 1
    if rested < resting:
        return 2
    if after <= 0.0:
        return 3
    return 6 if end.time > _LONGEST else 0


@kernel
def _moved(c: Any, trim: Any, state: State, drawn: float, losses: Any, h: float) -> State:
    """State after a step of `h` seconds at a battery current; losses: of a motor and of the pack [W]."""
    motor, warmed = losses
    air_speed = wake_speed(trim.thrust, c.diameter, c.density, trim.axial_speed, trim.edgewise_speed)
    outer = case_conductance(c.case_area, c.case_diameter, air_speed)
    heat = (c.winding_heat, c.case_heat)
    winding, case = warmed_motor(
        state.winding, state.case, c.air_temperature, motor, heat, (c.winding_conductance, outer), h
    )
    R = c.battery_resistance
    return State(
        state.charge - drawn * h / c.capacity,
        overvoltage(state.fast, drawn, R * c.polarisation[0], c.relaxation[0], h),
        overvoltage(state.slow, drawn, R * c.polarisation[1], c.relaxation[1], h),
        state.pack + (warmed - c.pack_cooling * (state.pack - c.air_temperature)) * h / c.pack_heat,
        winding,
        case,
    )


@kernel
def _count(
    end: Any, state: State, way: float, drawn: float, voltage: float, rested: float, limited: float, h: float
) -> None:
    """Add a step to the sums of a flight; voltage under load and at rest are the pack's [V]."""
    end.time += h
    end.distance += way * h
    end.taken += drawn * h
    end.stored += rested * drawn * h
    end.delivered += voltage * drawn * h
    end.limited += limited * h
    end.current_square += drawn * drawn * h
    end.current_peak = max(end.current_peak, drawn)
    end.winding_peak = max(end.winding_peak, state.winding)
    end.voltage, end.charge, end.pack_temperature = voltage, state.charge, state.pack


@kernel
def _fly(
    c: Any,
    rotors: Any,
    seconds: Any,
    phase: float,
    way: Any,
    trims: Any,
    landing: Any,
    resting: float,
    floor: float,
    end: Any,
    trace: Any,
) -> int:
    """One craft through the cycle, as `endure`; c is changed. Returns filled rows of `trace`."""
    fresh, filled = c.battery_resistance, 0
    hovering, carried = _hovering(c, rotors)
    k, left = 0, seconds[0] - phase * seconds.sum()
    while left <= 1e-9:
        k = (k + 1) % seconds.shape[0]
        left += seconds[k]
    state = State(1.0, 0.0, 0.0, c.pack_start, c.air_temperature, c.air_temperature)
    while True:
        c.battery_resistance = fresh * resistance_factor(state.pack)
        c.motor_resistance = copper_resistance(c.resistance_20, state.winding)
        rested = c.cells * open_circuit_voltage(state.charge, c.chemistry)
        voc = rested - state.fast - state.slow
        least = floor * c.cells if landing[k] < floor else 0.0
        rotation, torque, current, drawn, limited = _demand(c, rotors, trims[k], voc, least)
        h = left / math.ceil(left - 1e-9)
        voltage = voc - c.battery_resistance * drawn
        volts = (voltage / c.cells, rested / c.cells, landing[k], resting)
        end.segment = k
        end.ending = _ending(end, trims[k], drawn, volts, state.charge - drawn * h / c.capacity)
        if end.ending == 0 and landing[k] > 0.0 and not _hovers(c, hovering, carried, voc):
            end.ending = 7
        if end.ending != 0:
            end.rest_voltage = rested
            return filled
        losses = _spend(c, end, rotation, torque, current, drawn, state.fast + state.slow, h)
        state = _moved(c, trims[k], state, drawn, losses, h)
        _count(end, state, way[k], drawn, voltage, rested, limited, h)
        if filled < trace.shape[0]:
            row = trace[filled]
            row[0], row[1], row[2], row[3], row[4], row[5] = (
                end.time,
                voltage,
                drawn,
                state.charge,
                state.pack,
                state.winding,
            )
            filled += 1
        left -= h
        if left <= 1e-9:
            k = (k + 1) % seconds.shape[0]
            left = seconds[k]


@kernel
def endure(
    craft: Any,
    rotors: Any,
    seconds: Any,
    phases: Any,
    way: Any,
    trims: Any,
    landing: Any,
    resting: float,
    floor: float,
    ends: Any,
    trace: Any,
) -> int:
    """Fly each craft through the cycle of segments until a cell's voltage reaches the landing voltage.

    craft: record array CRAFT (n,), a copy: it is changed; seconds: (k,) length of each segment [s]
    phases: (n,) share of the cycle at which the flight begins, 0 to below 1; way: (n, k) speed over ground [m/s]
    trims: (n, k) TRIM of `level_points`; landing: (k,) voltage of a cell under the segment's load at which to land, 0
    where nobody lands; resting: at rest; floor: at which the pilot eases off there [V]
    ends: (n,) END, filled; trace: (m, 6) TRACE of row 0, filled
    returns: filled rows of `trace`
    """
    filled = 0
    for i in range(craft.shape[0]):
        own = trace if i == 0 else trace[:0]
        rows = _fly(craft[i], rotors, seconds, phases[i], way[i], trims[i], landing, resting, floor, ends[i], own)
        filled = rows if i == 0 else filled
    return filled
