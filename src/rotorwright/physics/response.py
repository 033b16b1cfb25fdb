"""How a craft answers the stick: rotors that lag, a turn about an axis, a punch upwards.

A rotor follows J domega/dt = Kt (I - I0) - Q. Its current comes from the duty, the sagging supply and the winding,
held within the controller's limit; it may be negative, for a controller that brakes actively:

    I = (d Vs' - Kt omega) / (R + Rc + N d^2 (Rb + Rl))

Supply and rotor are those of the operating point. The controller's own delay and its filters are not modelled.
"""

import math
from typing import Any

from rotorwright.physics.air import GRAVITY
from rotorwright.physics.battery import open_circuit_voltage
from rotorwright.physics.compiled import kernel
from rotorwright.physics.level_flight import IDLE, body_drag
from rotorwright.physics.motor import no_load_current
from rotorwright.physics.powertrain import balanced_rotation, rotor_coefficients

__all__ = ["punch_times", "rotor_acceleration", "step_times", "turn_times"]

_STEP, _LONGEST_STEP = 5e-4, 1.0
_PUNCH_STEP, _LONGEST_PUNCH = 2e-3, 20.0
_TURN_STEP, _LONGEST_TURN, _ENOUGH = 2e-3, 3.0, 3e-3  # [s], [s], [rad]
_EASE = 0.05  # of the rate limit, before which the stick's demand eases off: judgement, no source


@kernel
def rotor_acceleration(
    c: Any, rotors: Any, duty: float, rotation: float, voc: float, motors: float, axial: float
) -> tuple[float, float]:
    """Angular acceleration of a rotor [rad/s2] and its thrust [N] at a duty and a rotation that do not balance.

    c: one row of CRAFT; duty [1]; rotation [rad/s]; voc: of the pack [V]; motors: that draw alike; axial: speed [m/s]
    """
    CT, CP, _, _, _ = rotor_coefficients(c, rotors, rotation, axial, 0.0)
    pressure = c.density * (rotation / (2.0 * math.pi)) ** 2 * c.diameter**4
    Q = CP * pressure * c.diameter / (2.0 * math.pi)
    supply = c.battery_resistance + c.lead_resistance
    loaded = voc - supply * c.electronics_power / voc
    path = c.motor_resistance + c.controller_resistance + motors * duty * duty * supply
    current = (duty * loaded - c.torque_constant * rotation) / path
    current = min(max(current, -c.current_limit), c.current_limit)
    idle = no_load_current(c.idle_current, rotation, c.idle_rotation)
    return (c.torque_constant * (current - idle) - Q) / c.rotor_inertia, CT * pressure


@kernel
def _step_time(c: Any, rotors: Any, duty: float, rotation: float, goal: float, voc: float) -> float:
    """Time from 10 to 90 % of the thrust change from `rotation` towards `goal` rotation, after a step to `duty`."""
    _, start = rotor_acceleration(c, rotors, duty, rotation, voc, c.motors, 0.0)
    _, finish = rotor_acceleration(c, rotors, duty, goal, voc, c.motors, 0.0)
    t, share, at_10 = 0.0, 0.0, math.nan
    while t < _LONGEST_STEP:
        half, _ = rotor_acceleration(c, rotors, duty, rotation, voc, c.motors, 0.0)
        slope, _ = rotor_acceleration(c, rotors, duty, rotation + 0.5 * _STEP * half, voc, c.motors, 0.0)
        rotation += _STEP * slope
        _, thrust = rotor_acceleration(c, rotors, duty, rotation, voc, c.motors, 0.0)
        before, share = share, (thrust - start) / (finish - start)
        if math.isnan(at_10) and share >= 0.1:
            at_10 = t + _STEP * (0.1 - before) / (share - before)
        if share >= 0.9:
            return t + _STEP * (0.9 - before) / (share - before) - at_10
        t += _STEP
    return math.nan


@kernel
def step_times(craft: Any, rotors: Any, duties: Any, charge: float, times: Any) -> None:
    """Rise and fall of thrust, 10 to 90 %, between two steady duties, standing.

    craft: record array CRAFT (n,); duties: (n, 2) low and high [1]; charge 0..1; times: (n, 2) up, down [s], filled
    """
    for i in range(craft.shape[0]):
        c = craft[i]
        voc = c.cells * open_circuit_voltage(charge, c.chemistry)
        low = balanced_rotation(c, rotors, duties[i, 0], math.nan, voc, 0.0, 0.0)
        high = balanced_rotation(c, rotors, duties[i, 1], math.nan, voc, 0.0, 0.0)
        times[i, 0] = _step_time(c, rotors, duties[i, 1], low, high, voc)
        times[i, 1] = _step_time(c, rotors, duties[i, 0], high, low, voc)


@kernel
def punch_times(
    craft: Any, rotors: Any, rotation: Any, height: float, charge: float, times: Any, speeds: Any
) -> None:
    """Time from hover through `height` straight up at full throttle, rotor lag and drag included.

    craft: record array CRAFT (n,); rotation: (n,) hovering [rad/s]; height [m]; charge 0..1
    times: (n,) [s], speeds: (n,) at that height [m/s]; filled, NaN when it is not reached in twenty seconds
    """
    h = _PUNCH_STEP
    for i in range(craft.shape[0]):
        c = craft[i]
        voc = c.cells * open_circuit_voltage(charge, c.chemistry)
        t, z, V, w = 0.0, 0.0, 0.0, rotation[i]
        times[i], speeds[i] = math.nan, math.nan
        while t < _LONGEST_PUNCH and w > 0.0:
            spin, thrust = rotor_acceleration(c, rotors, 1.0, w, voc, c.motors, V)
            drag = math.copysign(body_drag(c, V, 0.0), V)
            middle, middle_V = w + 0.5 * h * spin, V + 0.5 * h * ((c.motors * thrust - drag) / c.mass - GRAVITY)
            spin, thrust = rotor_acceleration(c, rotors, 1.0, middle, voc, c.motors, middle_V)
            drag = math.copysign(body_drag(c, middle_V, 0.0), middle_V)
            climbed = h * (V + 0.5 * h * ((c.motors * thrust - drag) / c.mass - GRAVITY))
            if z + climbed >= height:
                left = h * (height - z) / climbed
                times[i], speeds[i] = t + left, V + left * ((c.motors * thrust - drag) / c.mass - GRAVITY)
                break
            z += climbed
            V += h * ((c.motors * thrust - drag) / c.mass - GRAVITY)
            w += h * spin
            t += h


@kernel
def _turned(
    c: Any,
    rotors: Any,
    voc: float,
    rotation: float,
    hover: float,
    arm: float,
    limit: float,
    inertia: float,
    switch: float,
) -> tuple[float, float, float]:
    """Angle, time and highest rate when the turn stands again, stick hard over until `switch` [s], then hard back.

    The side that pushes runs at full throttle, the other at idle; over the last twentieth of the way to the rate
    limit both return to the hover duty.
    """
    h = _TURN_STEP
    t, angle, rate, highest = 0.0, 0.0, 0.0, 0.0
    left, right = rotation, rotation
    half = 0.5 * c.motors
    while t < _LONGEST_TURN:
        back = min(max((t + h - switch) / h, 0.0), 1.0)
        hard = 1.0 if math.isinf(limit) else min(max((limit - rate) / (_EASE * limit), 0.0), 1.0)
        a, b = hover + hard * (1.0 - hover), hover + hard * (IDLE - hover)
        a, b = a + back * (IDLE - a), b + back * (1.0 - b)
        up, T_left = rotor_acceleration(c, rotors, a, left, voc, half, -rate * arm)
        down, T_right = rotor_acceleration(c, rotors, b, right, voc, half, rate * arm)
        spin = half * arm * (T_left - T_right) / inertia
        new = rate + h * spin
        if t >= switch and new <= 0.0:
            share = rate / (rate - new) if rate > new else 0.0
            return angle + 0.5 * h * share * rate, t + h * share, highest
        angle += 0.5 * h * (rate + new)
        rate = min(new, limit) if t < switch else new
        highest = max(highest, rate)
        floor = 0.2 * IDLE * voc / c.torque_constant
        left, right = max(left + h * up, floor), max(right + h * down, floor)
        t += h
    return math.nan, math.nan, math.nan


@kernel
def _first_switch(c: Any, rotors: Any, voc: float, arm: float, limit: float, inertia: float, goal: float) -> float:
    """Where to look for the switch from [s]: half of a turn without lag, or what the rate limit leaves."""
    rotation = balanced_rotation(c, rotors, 1.0, math.nan, voc, 0.0, 0.0)
    CT, _, _, _, _ = rotor_coefficients(c, rotors, rotation, 0.0, 0.0)
    thrust = CT * c.density * (rotation / (2.0 * math.pi)) ** 2 * c.diameter**4
    quickest = math.sqrt(goal * inertia / (0.5 * c.motors * arm * thrust))
    return max(quickest, 0.98 * goal / limit, _TURN_STEP)


@kernel
def turn_times(
    craft: Any,
    rotors: Any,
    axis: int,
    rotation: Any,
    hover: Any,
    limit: Any,
    goal: float,
    charge: float,
    times: Any,
) -> None:
    """Least time of a turn of `goal` about roll (axis 0) or pitch (1), from rest to rest, by one switch of the stick.

    craft: record array CRAFT (n,); rotation: (n,) hovering [rad/s]; hover: (n,) duty; limit: (n,) rate [rad/s]
    goal [rad]; charge 0..1; times: (n,) [s], filled, NaN when the turn does not end within three seconds
    The air's damping comes from each rotor's own axial speed; the body's is left out.
    """
    for i in range(craft.shape[0]):
        c = craft[i]
        voc = c.cells * open_circuit_voltage(charge, c.chemistry)
        arm, inertia = c.arm[axis], c.inertia[axis]
        times[i] = math.nan
        a, fa, b = 0.0, -goal, _first_switch(c, rotors, voc, arm, limit[i], inertia, goal)
        angle, t, highest = _turned(c, rotors, voc, rotation[i], hover[i], arm, limit[i], inertia, b)
        while angle < goal and b < 0.5 * _LONGEST_TURN:
            a, fa, b = b, angle - goal, b + max((goal + _ENOUGH - angle) / highest, 0.02 * b)
            angle, t, highest = _turned(c, rotors, voc, rotation[i], hover[i], arm, limit[i], inertia, b)
        if not angle >= goal:
            continue
        fb = angle - goal
        for _ in range(24):
            if abs(angle - goal) <= _ENOUGH:
                break
            switch = (a * fb - b * fa) / (fb - fa)
            angle, t, highest = _turned(c, rotors, voc, rotation[i], hover[i], arm, limit[i], inertia, switch)
            if (angle < goal) == (fb < 0.0):
                fa *= 0.5
            else:
                a, fa = b, fb
            b, fb = switch, angle - goal
        times[i] = t + (goal - angle) / highest  # a switch that much later or earlier turns on at that rate
