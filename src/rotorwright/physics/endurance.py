"""Endurance: a pack integrated through a repeated cycle of segments until it has to land.

The steady flight of each segment fixes rotation and torque, so that the pack sees a power that changes only with
the winding's temperature; where the sagging pack can no longer turn the rotors that fast, full throttle is solved
by the operating point's own balance and the segment counts as limited. Steps last at most a second, so that the
voltage of a step is the one-second mean under the segment's load.
"""

import math
from typing import Any

import numpy as np

from rotorwright.physics.battery import open_circuit_voltage, resistance_factor
from rotorwright.physics.cell import overvoltage
from rotorwright.physics.compiled import kernel
from rotorwright.physics.heat import case_conductance, wake_speed, warmed_motor
from rotorwright.physics.motor import copper_resistance, no_load_current
from rotorwright.physics.powertrain import balanced_rotation, motor_load, rotor_coefficients, supply_load

__all__ = ["CONSUMERS", "END", "ENDINGS", "TRACE", "endure"]

CONSUMERS = ("shaft", "iron", "copper", "controllers", "leads", "pack", "electronics")
"""Where the energy of the pack goes, in the order of `END["energy"]`."""

ENDINGS = ("", "landing voltage", "resting voltage", "empty", "collapse", "a segment without trim", "too long")
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


@kernel
def _demand(
    c: Any, rotors: Any, trim: Any, voc: float
) -> tuple[float, float, float, float, float]:
    """Rotation, torque, motor current, battery current of the segment now; last 1 where full throttle falls short."""
    rotation, torque = trim.rotation, trim.torque
    current = no_load_current(c.idle_current, rotation, c.idle_rotation) + torque / c.torque_constant
    voltage = c.torque_constant * rotation + current * (c.motor_resistance + c.controller_resistance)
    duty, supply, drawn = supply_load(c, math.nan, math.nan, current, voltage, voc)
    if duty <= 1.0:
        return rotation, torque, current, drawn, 0.0
    v, e = trim.axial_speed, abs(trim.edgewise_speed)
    rotation = balanced_rotation(c, rotors, 1.0, math.nan, voc, v, e)
    _, CP, _, _, _ = rotor_coefficients(c, rotors, rotation, v, e)
    torque, current, voltage = motor_load(c, rotation, CP)
    _, _, drawn = supply_load(c, 1.0, 1.0, current, voltage, voc)
    return rotation, torque, current, drawn, 1.0


@kernel
def _spend(c: Any, end: Any, rotation: float, torque: float, current: float, drawn: float, slow: float, h: float) -> Any:
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
def endure(
    craft: Any,
    rotors: Any,
    seconds: Any,
    way: Any,
    trims: Any,
    landing: Any,
    resting: Any,
    ends: Any,
    trace: Any,
) -> int:
    """Fly each craft through the cycle of segments until a cell's voltage reaches the landing voltage.

    craft: record array CRAFT (n,), copied; seconds: (k,) length of each segment [s]; way: (n, k) speed over ground
    [m/s]; trims: (n, k) TRIM of `level_points`; landing, resting: (n,) voltage of a cell under load and at rest at
    which to land [V]; ends: (n,) END, filled; trace: (m, 6) TRACE of row 0, filled
    returns: filled rows of `trace`
    """
    filled = 0
    for i in range(craft.shape[0]):
        c = craft[i]
        end = ends[i]
        fresh, warm_20 = c.battery_resistance, c.resistance_20
        charge, fast, slow = 1.0, 0.0, 0.0
        pack, winding, case = c.pack_start, c.air_temperature, c.air_temperature
        k, left = 0, seconds[0]
        while end.ending == 0:
            trim = trims[i, k]
            c.battery_resistance = fresh * resistance_factor(pack)
            c.motor_resistance = copper_resistance(warm_20, winding)
            open_voltage = c.cells * open_circuit_voltage(charge, c.chemistry)
            voc = open_voltage - fast - slow
            rotation, torque, current, drawn, limited = _demand(c, rotors, trim, voc)
            h = left / math.ceil(left - 1e-9)
            after = charge - drawn * h / c.capacity
            voltage = voc - c.battery_resistance * drawn
            end.segment = k
            if trim.status == 3:
                end.ending = 5
            elif math.isnan(drawn):
                end.ending = 4
            elif voltage < landing[i] * c.cells:
                end.ending = 1
            elif open_voltage < resting[i] * c.cells:
                end.ending = 2
            elif after <= 0.0:
                end.ending = 3
            elif end.time > _LONGEST:
                end.ending = 6
            if end.ending != 0:
                end.rest_voltage = open_voltage
                break
            motor, warmed = _spend(c, end, rotation, torque, current, drawn, fast + slow, h)
            end.stored += open_voltage * drawn * h
            end.delivered += voltage * drawn * h
            end.taken += drawn * h
            end.distance += way[i, k] * h
            end.limited += limited * h
            end.voltage = voltage
            end.current_square += drawn * drawn * h
            end.current_peak = max(end.current_peak, drawn)
            # the step's voltage is that at its start; overvoltages, charge and warmth move on for the next
            fast = overvoltage(fast, drawn, c.battery_resistance * c.polarisation[0], c.relaxation[0], h)
            slow = overvoltage(slow, drawn, c.battery_resistance * c.polarisation[1], c.relaxation[1], h)
            charge = after
            pack += (warmed - c.pack_cooling * (pack - c.air_temperature)) * h / c.pack_heat
            air_speed = wake_speed(trim.thrust, c.diameter, c.density, trim.axial_speed, trim.edgewise_speed)
            outer = case_conductance(c.case_area, c.case_diameter, air_speed)
            winding, case = warmed_motor(
                winding,
                case,
                c.air_temperature,
                motor,
                (c.winding_heat, c.case_heat),
                (c.winding_conductance, outer),
                h,
            )
            end.winding_peak = max(end.winding_peak, winding)
            end.time += h
            end.charge = charge
            end.pack_temperature = pack
            if i == 0 and filled < trace.shape[0]:
                trace[filled, 0], trace[filled, 1], trace[filled, 2] = end.time, voltage, drawn
                trace[filled, 3], trace[filled, 4], trace[filled, 5] = charge, pack, winding
                filled += 1
            left -= h
            if left <= 1e-9:
                k = (k + 1) % seconds.shape[0]
                left = seconds[k]
    return filled
