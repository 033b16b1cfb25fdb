"""An invented flight log: a craft's own model flown through a profile, read by the sensors it carries.

The craft that flies is one sample of the nominal one: its truth lies within the bars of its parts. Rotor, motor, pack
and heat are those of endurance; besides, rotors lag behind what the segment asks for, which itself wanders a little.
"""

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.measure.synthetic import Invented
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.battery import open_circuit_voltage, resistance_factor
from rotorwright.physics.cell import overvoltage
from rotorwright.physics.compiled import kernel
from rotorwright.physics.heat import case_conductance, wake_speed, warmed_motor
from rotorwright.physics.motor import copper_resistance, no_load_current
from rotorwright.physics.powertrain import balanced_rotation, motor_load, rotor_coefficients, supply_load
from rotorwright.predict.airborne import airborne_on
from rotorwright.predict.flight import best_speed
from rotorwright.predict.profiles import Leg, profile_of

__all__ = ["FASTEST", "invent_flight"]

Array = NDArray[np.float64]

FASTEST = 2000.0
"""Highest rate of rows [1/s]."""

_SAMPLES = 64
_LAG, _SLOW_DOWN = 0.035, 1.2  # [s] of rotors and of the craft's speed
_FLOOR = 3.0  # [V] of a cell
_WANDER, _WANDER_TIME = 0.025, 0.4  # of rotation, and [s] over which it stays
# Sensors a craft carries: calibration and scatter; from experience, no source.
_GAINS = {"voltage": 0.005, "current": 0.03}
_VOLTS, _AMPS, _AMPS_SHARE, _SPEED = 0.015, 0.08, 0.005, 0.1
_RPM = math.pi / 30


@kernel
def _drive(c: Any, rotors: Any, trim: Any, rotation: float, spin: float, voc: float, floor: float) -> Any:
    """Rotation, thrust, motor current, duty, supply and battery current now; at full throttle if it must."""
    v, e = trim.axial_speed, abs(trim.edgewise_speed)
    _, CP, _, _, _ = rotor_coefficients(c, rotors, rotation, v, e)
    _, current, _ = motor_load(c, rotation, CP)
    current = max(current + c.rotor_inertia * spin / c.torque_constant, 0.0)
    voltage = c.torque_constant * rotation + current * (c.motor_resistance + c.controller_resistance)
    duty, supply, drawn = supply_load(c, np.nan, np.nan, current, voltage, voc)
    for _ in range(60):  # the pilot eases off before a cell falls below what it bears
        if supply >= floor:
            break
        rotation *= 0.98
        _, CP, _, _, _ = rotor_coefficients(c, rotors, rotation, v, e)
        _, current, voltage = motor_load(c, rotation, CP)
        duty, supply, drawn = supply_load(c, np.nan, np.nan, current, voltage, voc)
    if not duty <= 1.0:
        rotation = balanced_rotation(c, rotors, 1.0, np.nan, voc, v, e)
        _, CP, _, _, _ = rotor_coefficients(c, rotors, rotation, v, e)
        _, current, voltage = motor_load(c, rotation, CP)
        duty, supply, drawn = supply_load(c, 1.0, 1.0, current, voltage, voc)
    CT, _, _, _, _ = rotor_coefficients(c, rotors, rotation, v, e)
    thrust = CT * c.density * (rotation / (2.0 * math.pi)) ** 2 * c.diameter**4
    return rotation, thrust, current, duty, supply, drawn


@kernel
def _fly(c: Any, rotors: Any, legs: Any, trims: Any, wander: Any, h: float, least: float, out: Any) -> int:
    """Fill rows: volts, amps, duty, rotation, speed, load factor, charge, pack temperature; returns how many."""
    fresh = c.battery_resistance
    charge, fast, slow = 1.0, 0.0, 0.0
    pack, winding, case = c.pack_start, c.air_temperature, c.air_temperature
    rotation, speed, k, left = trims[0].rotation, 0.0, 0, legs[0, 0]
    for i in range(out.shape[0]):
        trim = trims[k]
        goal = trim.rotation * wander[i]
        change = (goal - rotation) * (1.0 - math.exp(-h / _LAG))
        spin = change / h  # the mean over the row: a log slower than the lag does not catch its first moment
        rotation += change
        speed += (legs[k, 1] - speed) * (1.0 - math.exp(-h / _SLOW_DOWN))
        c.battery_resistance = fresh * resistance_factor(pack)
        c.motor_resistance = copper_resistance(c.resistance_20, winding)
        voc = c.cells * open_circuit_voltage(charge, c.chemistry) - fast - slow
        rotation, thrust, current, duty, supply, drawn = _drive(
            c, rotors, trim, rotation, spin, voc, min(_FLOOR * c.cells, least)
        )
        calm = legs[k, 2] > 0.5
        if math.isnan(drawn) or charge <= 0.01 or (calm and supply < least):
            return i
        out[i, 0], out[i, 1], out[i, 2], out[i, 3], out[i, 4] = supply, drawn, duty, rotation, speed
        out[i, 5], out[i, 6], out[i, 7] = c.motors * thrust / (c.mass * GRAVITY), charge, pack
        R = c.battery_resistance
        loss = drawn * (drawn * R + fast + slow)
        fast = overvoltage(fast, drawn, R * c.polarisation[0], c.relaxation[0], h)
        slow = overvoltage(slow, drawn, R * c.polarisation[1], c.relaxation[1], h)
        pack += (loss - c.pack_cooling * (pack - c.air_temperature)) * h / c.pack_heat
        iron = no_load_current(c.idle_current, rotation, c.idle_rotation) * c.torque_constant * rotation
        wake = wake_speed(thrust, c.diameter, c.density, trim.axial_speed, trim.edgewise_speed)
        outer = case_conductance(c.case_area, c.case_diameter, wake)
        winding, case = warmed_motor(
            winding,
            case,
            c.air_temperature,
            iron + current * current * c.motor_resistance,
            (c.winding_heat, c.case_heat),
            (c.winding_conductance, outer),
            h,
        )
        charge -= drawn * h / c.capacity
        left -= h
        if left <= 0.0:
            k = (k + 1) % legs.shape[0]
            left += legs[k, 0]
    return len(out)


def invent_flight(
    craft: Craft,
    seed: int = 0,
    *,
    profile: str = "",
    seconds: float = 1200.0,
    rate: float = 10.0,
    landing: float = 3.5,
    exact: bool = False,
) -> Invented:
    """A log of `craft` on a profile from a full pack, until a cell falls to `landing` [V] or `seconds` are over.

    rate: rows a second, at most `FASTEST`; exact: the nominal craft and sensors without error
    Columns: time, voltage (at the controllers), current, throttle, rotation (mean of the motors), speed and
    acceleration.
    Raises CannotCompute when the craft lacks what flying takes or cannot fly the profile.
    """
    if not 0.5 <= rate <= FASTEST:
        raise CannotCompute(f"a flight log has 0.5 to {FASTEST:.0f} rows a second")
    rng = np.random.default_rng(seed)
    ready = airborne_on(craft, Draws(_SAMPLES, seed))
    which = 0 if exact else 1
    chosen = profile_of(craft, profile)
    speed = float(best_speed(ready.columns, chosen.best, 0.5)[which]) if chosen.best else 0.0
    legs = [leg for leg in chosen.legs if leg.seconds > 0] or [Leg(30.0, 1.0, speed)]
    points = ready.columns.level(
        load=np.array([[leg.load_factor for leg in legs]]),
        speed=np.array([[leg.speed for leg in legs]]),
        climb=np.array([[leg.climb for leg in legs]]),
        charge=0.5,
    )[which]
    if not np.isfinite(points["rotation"]).all():
        raise CannotCompute(f"this craft cannot fly '{chosen.name}'")
    row = ready.columns.craft[which : which + 1].copy()
    table = np.array([[leg.seconds, math.hypot(leg.speed, leg.climb), float(leg.calm)] for leg in legs])
    out = np.empty((int(seconds * rate), 8))
    wander = _wander(rng, len(out), 1.0 / rate)
    least = landing * float(row["cells"][0])
    truth = _truth(row[0])
    rows = _fly(row.view(np.recarray)[0], ready.columns.rotors, table, points, wander, 1.0 / rate, least, out)
    if rows < 2:
        raise CannotCompute(f"this craft cannot fly '{chosen.name}'")
    return _read(
        out[:rows], rate, rng, exact, truth, f"a flight of {craft.title.full} on {chosen.name} with seed {seed}"
    )


def _wander(rng: np.random.Generator, count: int, h: float) -> Array:
    """Factors on rotation that wander about one, with a memory of `_WANDER_TIME`."""
    from scipy.signal import lfilter

    kept = math.exp(-h / _WANDER_TIME)
    steps = rng.standard_normal(count) * math.sqrt(1.0 - kept**2)
    return np.asarray(1.0 + _WANDER * np.clip(lfilter([1.0], [1.0, -kept], steps), -3.0, 3.0))


def _truth(row: Any) -> dict[str, float]:
    named = {
        "battery.capacity": "capacity",
        "battery.resistance": "battery_resistance",
        "lead_resistance": "lead_resistance",
        "craft.mass": "mass",
        "craft.drag_area": "drag_area",
        "motor.resistance": "resistance_20",
        "motor.idle_current": "idle_current",
        "propeller.thrust_level": "thrust_level",
        "propeller.power_level": "power_level",
        "electronics_power": "electronics_power",
    }
    return {key: float(row[name]) for key, name in named.items()} | {"motor.kv": 1.0 / float(row["torque_constant"])}


def _read(
    out: Array, rate: float, rng: np.random.Generator, exact: bool, truth: dict[str, float], about: str
) -> Invented:
    """What the sensors make of it."""
    n, share = len(out), 0.0 if exact else 1.0
    noise = share * rng.standard_normal((3, n))
    gains = {name: 1.0 + share * sd * float(rng.standard_normal()) for name, sd in _GAINS.items()}
    volts = out[:, 0] * gains["voltage"] + _VOLTS * noise[0]
    amps = out[:, 1] * gains["current"] * (1.0 + _AMPS_SHARE * noise[1]) + _AMPS * noise[1]
    columns = {
        "time": np.arange(n) / rate,
        "voltage": np.round(volts, 2),
        "current": np.round(amps, 2),
        "throttle": np.round(out[:, 2], 3),
        "rotation": np.round(out[:, 3] / _RPM) * _RPM,
        "speed": np.round(np.abs(out[:, 4] + _SPEED * noise[2]), 2),
        "acceleration": np.round(out[:, 5], 3),
    }
    whole = truth | {f"{name}_gain": gain for name, gain in gains.items()}
    whole["charge_left"] = float(out[-1, 6])
    return Invented(columns, whole, about)
