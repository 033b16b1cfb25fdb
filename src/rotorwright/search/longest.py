"""The longest that a combination can fly: its flight in long steps, with the best of everything that is left out.

What a leg asks of the rotors depends on propeller, mass and drag alone, and is tabulated over mass. The pack is drawn
down and the motors warm by the flight's own equations, but the pack warms by more than its losses, which lowers its
resistance, and the windings by less than theirs in the strongest wake. A leg that the pack cannot give is flown at
full throttle, whose power falls with no more than the cube of the voltage, or eased at the cells' floor.
Never shorter than the flight itself: tests/properties.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.battery import open_circuit_voltage, resistance_factor, terminal_voltage_at_power
from rotorwright.physics.compiled import kernel
from rotorwright.physics.heat import case_conductance, warmed_motor
from rotorwright.physics.motor import copper_resistance, no_load_current

__all__ = ["Longest"]

Array = NDArray[np.float64]
Points = NDArray[np.void]

# Share of the pack's voltage that the leads leave, and windings as hot as they may be [K] where a leg is flown short.
_LEADS, _HOT = 0.95, 473.15
# Share of the way from landing to floor voltage that a cell keeps through the hard legs between two calm ones.
_KEPT = 0.8
# For what lies between two masses of the table; how much of its losses warms the pack, to at most [K], and a motor.
_BETWEEN, _WARMS, _HOTTEST, _WARMS_MOTOR = 3e-3, 1.3, 353.15, 0.9
_RUNS_AWAY = 423.15  # [K]
# Steps of the bound, and those in which a flight is counted [s].
_STEP, _SECOND, _LONGEST = 5.0, 1.0, 6 * 3600.0


@dataclass(frozen=True)
class Longest:
    """Tables of the bound.

    seconds, calm: of each leg (k,); masses (m,) [kg]; rotation [rad/s] and torque [N m] that no craft as heavy or
    heavier falls short of, and speed of the wake [m/s] that no lighter one exceeds (propellers, m, k)
    volts: of a cell by chemistry (3, chemistries) [V], under load and at rest at which to land, and at which the
    pilot eases off
    """

    seconds: Array
    calm: NDArray[np.bool_]
    masses: Array
    rotation: Array
    torque: Array
    wake: Array
    volts: Array

    def times(self, rows: Points, heaviest: Array) -> Array:
        """Seconds that no flight exceeds, of craft like `rows` (CRAFT) or heavier up to `heaviest` [kg], (n,)."""
        found = np.full(len(rows), np.inf)
        tables = (self.masses, self.rotation, self.torque, self.wake)
        _longest(rows.view(np.recarray), heaviest, (self.seconds, self.calm), tables, self.volts, found)
        return found


@kernel
def _at_mass(table: Any, propeller: int, masses: Any, mass: float, leg: int) -> float:
    """Value of a table at a mass."""
    j = min(max(np.searchsorted(masses, mass) - 1, 0), masses.shape[0] - 2)
    share = min(max((mass - masses[j]) / (masses[j + 1] - masses[j]), 0.0), 1.0)
    value: float = (1.0 - share) * table[propeller, j, leg] + share * table[propeller, j + 1, leg]
    return value


@kernel
def _ask(c: Any, heaviest: float, calm: Any, tables: Any, volts: Any, legs: Any) -> None:
    """What every leg asks; fills `legs` (k, 5): power [W] with windings as cold as the air, power that each ohm more
    of them takes [W/ohm], the most power that is sure [W], iron loss of a motor [W], what cools its case [W/K]."""
    masses, rotation, torque, wake = tables
    kind, p = c.chemistry, c.propeller
    cold, hot = copper_resistance(c.resistance_20, c.air_temperature), copper_resistance(c.resistance_20, _HOT)
    weakest = c.battery_resistance * resistance_factor(min(c.pack_start, c.air_temperature))
    eased = c.cells * volts[2, kind] * _KEPT * max(volts[0, kind] - volts[2, kind], 0.0) * c.cells / weakest
    for k in range(legs.shape[0]):
        w, Q = _at_mass(rotation, p, masses, c.mass, k), _at_mass(torque, p, masses, c.mass, k)
        idle = no_load_current(c.idle_current, w, c.idle_rotation)
        current = idle + Q / c.torque_constant
        volt = c.torque_constant * w + current * (cold + c.controller_resistance)
        power = c.motors * current * volt
        legs[k, 0] = power * (1.0 - _BETWEEN) if power > 0.0 else 1.5 * power
        legs[k, 1] = c.motors * current * current * (1.0 - _BETWEEN)
        lowest = _LEADS * c.cells * volts[0 if calm[k] else 2, kind]
        most = volt + current * (hot - cold)
        short = math.inf if lowest >= most else c.motors * current * most * (lowest / most) ** 3
        legs[k, 2] = short if calm[k] or power <= 0.0 else min(short, eased)
        legs[k, 3] = idle * c.torque_constant * w
        speed = _at_mass(wake, p, masses, heaviest, k)
        legs[k, 4] = case_conductance(c.case_area, c.case_diameter, speed)


@kernel
def _drawn_down(c: Any, seconds: Any, calm: Any, legs: Any, volts: Any) -> float:
    """Time at which the landing voltage is reached [s]."""
    kind, cold = c.chemistry, copper_resistance(c.resistance_20, c.air_temperature)
    t, charge, fast, slow, pack = 0.0, 1.0, 0.0, 0.0, c.pack_start
    winding, case = c.air_temperature, c.air_temperature
    heat = (c.winding_heat, c.case_heat)
    while t < _LONGEST:
        for k in range(seconds.shape[0]):
            steps = math.ceil(seconds[k] / _STEP)
            h = seconds[k] / steps
            kept_fast, kept_slow = math.exp(-h / c.relaxation[0]), math.exp(-h / c.relaxation[1])
            for _ in range(steps):
                # where heat runs away no share of full throttle is sure: the windings count as cold
                warm = copper_resistance(c.resistance_20, winding) if winding < _RUNS_AWAY else cold
                asked = legs[k, 0] + legs[k, 1] * (warm - cold)
                power = min(asked, legs[k, 2]) + c.electronics_power
                R = c.battery_resistance * resistance_factor(pack)
                rested = c.cells * open_circuit_voltage(max(charge, 0.0), kind)
                voc = rested - fast - slow
                supply = terminal_voltage_at_power(voc, R + c.lead_resistance, power)
                drawn = power / (voc if math.isnan(supply) else supply)
                low = calm[k] and (voc - R * drawn) / c.cells < volts[0, kind]
                if low or rested / c.cells < volts[1, kind] or charge <= 0.0:
                    return t
                most = max(drawn, (asked + c.electronics_power) / voc)
                gained = _WARMS * most * (most * R + fast + slow) - c.pack_cooling * (pack - c.air_temperature)
                pack = min(pack + gained * h / c.pack_heat, max(_HOTTEST, c.air_temperature))
                loss = legs[k, 3] + legs[k, 1] / c.motors * warm if asked <= legs[k, 2] else 0.0
                conductance = (c.winding_conductance, legs[k, 4])
                winding, case = warmed_motor(
                    winding, case, c.air_temperature, _WARMS_MOTOR * loss, heat, conductance, h
                )
                charge -= drawn * h / c.capacity
                fast = fast * kept_fast + drawn * R * c.polarisation[0] * (1.0 - kept_fast)
                slow = slow * kept_slow + drawn * R * c.polarisation[1] * (1.0 - kept_slow)
                t += h
    return math.inf


@kernel
def _longest(craft: Any, heaviest: Any, cycle: Any, tables: Any, volts: Any, found: Any) -> None:
    """Fill `found` as `Longest.times`."""
    seconds, calm = cycle
    legs = np.empty((seconds.shape[0], 5))
    for i in range(craft.shape[0]):
        c = craft[i]
        _ask(c, heaviest[i], calm, tables, volts, legs)
        if legs[:, 0].min() + c.electronics_power > 0.0:
            found[i] = _drawn_down(c, seconds, calm, legs, volts) + _SECOND
