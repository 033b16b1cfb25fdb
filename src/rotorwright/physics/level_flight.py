"""Steady flight: the attitude, thrust and power at which a craft holds a speed, a climb and a load factor.

Forces in the plane of symmetry, with the discs pitched nose down by theta, T and H the thrust and the in-plane drag
of each of N rotors, D the body's drag against the flight path and n the load factor:

    N T (sin, cos)(theta) - N H (cos, -sin)(theta) = D (u, w)/V + (0, n m g)

so that theta = phi + asin(N H / |F|) and N T = sqrt(F^2 - (N H)^2), phi the direction of the right side F. H comes
from the rotor at the rotation that gives T, by the operating point's own balance; the pair is iterated.
Body drag is rho V^2/2 (A cos^2 + A_top sin^2) of the angle between the flow and the discs.
Below a load factor of one nothing is balanced along the path: the craft coasts with level discs, and the drag slows
it.
"""

import math
from typing import Any

from rotorwright.physics.air import GRAVITY
from rotorwright.physics.battery import open_circuit_voltage
from rotorwright.physics.compiled import kernel
from rotorwright.physics.powertrain import balanced_rotation, motor_load, rotor_coefficients, supply_load

__all__ = ["IDLE", "LIMITS", "body_drag", "brake_distance", "fastest", "level_points", "trim_forces"]

IDLE = 0.05
"""Rotors never turn slower than this share of the unloaded full speed: common practice, no source."""

LIMITS = ("none", "power", "pitch", "no trim")
"""What ends a speed, by the number that `fastest` writes."""

_LIGHTEST = 1e-9
_SCAN = 3.0  # [m/s]
_STEP = 1.001


@kernel
def body_drag(c: Any, axial_speed: float, edgewise_speed: float) -> float:
    """Drag of the body without its rotors, D = rho V^2/2 (A cos^2 a + A_top sin^2 a) [N], a from the discs to the
    flow.

    c: one row of CRAFT; axial_speed, edgewise_speed: scalars [m/s]
    """
    axial, edgewise = axial_speed * axial_speed, edgewise_speed * edgewise_speed
    return 0.5 * c.density * (c.drag_area * edgewise + c.drag_area_top * axial)  # type: ignore[no-any-return]


@kernel
def _turned(c: Any, rotors: Any, rotation: float, v: float, e: float) -> tuple[float, float, float]:
    """Thrust, CP and in-plane drag of one rotor at a rotation."""
    CT, CP, CH, _, _ = rotor_coefficients(c, rotors, rotation, v, e)
    pressure = c.density * (rotation / (2.0 * math.pi)) ** 2 * c.diameter**4
    return CT * pressure, CP, CH * pressure


@kernel
def _rotor_at(
    c: Any, rotors: Any, guess: float, thrust: float, voc: float, v: float, e: float
) -> tuple[float, float, float, float, float]:
    """Rotation for a thrust, and thrust, CP, in-plane drag at that rotation; last the rotation to try next.

    With a guess: there, and one Newton step of ln T over ln omega from it. Without: the operating point's own
    balance. Where the air alone gives more than the thrust, the rotor idles.
    """
    idle = IDLE * voc / c.torque_constant
    if guess > idle:
        T, CP, H = _turned(c, rotors, guess, v, e)
        T_up, _, _ = _turned(c, rotors, _STEP * guess, v, e)
        if T > 0.0 and T_up > T:
            change = math.log(thrust / T) * math.log(_STEP) / math.log(T_up / T)
            return guess, T, CP, H, guess * math.exp(min(max(change, -0.3), 0.3))
    rotation = balanced_rotation(c, rotors, math.nan, thrust, voc, v, e)
    if rotation >= idle:
        _, CP, H = _turned(c, rotors, rotation, v, e)
        return rotation, thrust, CP, H, rotation
    T, CP, H = _turned(c, rotors, idle, v, e)
    surplus = T - thrust
    if rotation < idle or surplus >= 0.0:
        return idle, T, CP, H, math.nan
    return math.nan, math.nan, math.nan, math.nan, math.nan


@kernel
def trim_forces(
    c: Any, rotors: Any, load: float, speed: float, climb: float, voc: float
) -> tuple[float, float, float, float, float, float, float, float]:
    """Pitch, axial and edgewise speed, rotation, thrust, CP, in-plane drag of a rotor and body drag; NaN if
    untrimmed.

    c: one row of CRAFT; load: factor n [1]; speed: horizontal, climb: vertical [m/s]; voc: of the pack [V]
    """
    weight = load * c.mass * GRAVITY
    V = math.sqrt(speed * speed + climb * climb)
    if load < 1.0:
        rotation, lifted, CP, H, _ = _rotor_at(c, rotors, math.nan, weight / c.motors, voc, climb, speed)
        return 0.0, climb, speed, rotation, lifted, CP, H, body_drag(c, climb, speed)
    H, D = 0.0, 0.0
    guess = balanced_rotation(c, rotors, math.nan, weight / c.motors, voc, 0.0, 0.0)
    for turn in range(80):
        ahead = D * speed / V if V > 0.0 else 0.0
        up = weight + (D * climb / V if V > 0.0 else 0.0)
        force = max(math.sqrt(ahead * ahead + up * up), _LIGHTEST)
        drawn = min(max(c.motors * H, -0.9 * force), 0.9 * force)
        pitch = math.atan2(ahead, up) + math.asin(drawn / force)
        thrust = math.sqrt(force * force - drawn * drawn) / c.motors
        v = speed * math.sin(pitch) + climb * math.cos(pitch)
        e = speed * math.cos(pitch) - climb * math.sin(pitch)
        rotation, lifted, CP, new_H, guess = _rotor_at(c, rotors, guess, thrust, voc, v, abs(e))
        new_H = new_H if e >= 0.0 else -new_H
        new_D = body_drag(c, v, e)
        short = 0.0 if math.isnan(guess) else thrust - lifted
        error = c.motors * (abs(new_H - H) + abs(short)) + abs(new_D - D)
        if error <= 1e-5 * (force + weight):
            return pitch, v, e, rotation, lifted, CP, new_H, new_D
        if not error >= 0.0:
            break
        # pitch and in-plane drag answer each other in turn; damped, they agree
        share = 0.8 if turn < 25 else 0.4
        H, D = H + share * (new_H - H), D + share * (new_D - D)
        guess = guess if turn < 50 else math.nan
    return math.nan, math.nan, math.nan, math.nan, math.nan, math.nan, math.nan, math.nan


@kernel
def _fill(c: Any, rotors: Any, load: float, speed: float, climb: float, voc: float, p: Any) -> None:
    pitch, v, e, rotation, thrust, CP, H, D = trim_forces(c, rotors, load, speed, climb, voc)
    torque, current, voltage = motor_load(c, rotation, CP)
    duty, supply, battery_current = supply_load(c, math.nan, math.nan, current, voltage, voc)
    p.pitch, p.axial_speed, p.edgewise_speed, p.rotation, p.thrust = pitch, v, e, rotation, thrust
    p.in_plane, p.drag, p.torque, p.motor_current = H, D, torque, current
    p.duty, p.battery_current = duty, battery_current
    p.power = battery_current * (voc - c.battery_resistance * battery_current)
    p.status = 3 if math.isnan(rotation) else 2 if math.isnan(supply) else 1 if duty > 1.0 + 1e-9 else 0


@kernel
def level_points(craft: Any, rotors: Any, load: Any, speed: Any, climb: Any, charge: float, points: Any) -> None:
    """Fill `points[i, k]` (TRIM) with the steady flight of craft i at speed, climb and load factor `[i, k]`.

    craft: record array CRAFT (n,); load [1], speed, climb [m/s], points: (n, k); charge: of the pack, 0..1
    A row without solution holds NaN and a status of `powertrain.CANNOT`; one that needs more than full throttle is
    solved all the same and marked TOO_HEAVY.
    valid: without accelerations; edgewise tip speed ratio below about 0.3
    """
    for i in range(craft.shape[0]):
        voc = craft[i].cells * open_circuit_voltage(charge, craft[i].chemistry)
        for k in range(load.shape[1]):
            _fill(craft[i], rotors, load[i, k], speed[i, k], climb[i, k], voc, points[i, k])


@kernel
def _limit(c: Any, rotors: Any, speed: float, climb: float, voc: float, pitch_limit: float) -> int:
    """Index into LIMITS of what forbids a steady flight; 0 when nothing does."""
    pitch, _, _, rotation, _, CP, _, _ = trim_forces(c, rotors, 1.0, speed, climb, voc)
    if math.isnan(rotation):
        return 3
    if pitch > pitch_limit:
        return 2
    _, current, voltage = motor_load(c, rotation, CP)
    duty, _, _ = supply_load(c, math.nan, math.nan, current, voltage, voc)
    return 0 if duty <= 1.0 else 1


@kernel
def fastest(
    craft: Any, rotors: Any, path: float, charge: float, pitch_limit: float, speeds: Any, limits: Any
) -> None:
    """Largest steady speed of each craft along a path, and what limits it.

    path: angle of the flight path above the horizon, 0 level, pi/2 straight up [rad]
    charge: of the pack, 0..1; pitch_limit [rad]
    speeds: (n,) [m/s], filled, NaN when the craft cannot even hover; limits: (n,) index into LIMITS, filled
    The speed is scanned upwards until a limit is met, then halved down on: a higher island of speeds is not looked
    for.
    """
    along, up = math.cos(path), math.sin(path)
    for i in range(craft.shape[0]):
        c = craft[i]
        voc = c.cells * open_circuit_voltage(charge, c.chemistry)
        low, high = 0.0, 0.0
        met = _limit(c, rotors, 0.0, 0.0, voc, pitch_limit)
        speeds[i], limits[i] = math.nan, met
        if met != 0:
            continue
        while met == 0 and high < 120.0:
            low, high = high, high + _SCAN
            met = _limit(c, rotors, along * high, up * high, voc, pitch_limit)
        limits[i] = met
        for _ in range(14):  # to a fifth of a millimetre a second
            middle = 0.5 * (low + high)
            met = _limit(c, rotors, along * middle, up * middle, voc, pitch_limit)
            if met == 0:
                low = middle
            else:
                high = middle
                limits[i] = met
        speeds[i] = low


@kernel
def brake_distance(c: Any, speed: float, tilt: float, rotor_drag: float) -> float:
    """Way to a stop with the nose held up, height kept: s = int V dV / (g tan(tilt) + k V + rho A V^2/(2 m)) [m].

    c: one row of CRAFT; speed [m/s]; tilt: nose up [rad]; rotor_drag: k, deceleration a speed [1/s]
    The turn into the tilt is not in it.
    """
    steps = 200
    A = c.drag_area * math.cos(tilt) ** 2 + c.drag_area_top * math.sin(tilt) ** 2
    s = 0.0
    for i in range(steps):
        V = (i + 0.5) / steps * speed
        s += V / (GRAVITY * math.tan(tilt) + rotor_drag * V + 0.5 * c.density * A * V * V / c.mass)
    return s * speed / steps
