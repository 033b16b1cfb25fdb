"""The operating point of a craft: battery, leads, controllers, motors and rotors in balance.

One kernel serves one craft and a million: each row of a record array is one craft, or one sample of one. It
is asked either for a duty (throttle) or for a thrust of each rotor, at a state of charge and an axial speed.

The balance at rotation omega, with all motors alike:

    Q  = CP rho n^2 D^5 / (2 pi)            rotor torque, CP from the rotor's table at J, Re75, tip Mach number
    I  = I0(omega) + Q / Kt                 motor current
    Vm = Kt omega + I (R + Rc)              voltage across motor and controller
    Vs = Voc - (Rb + Rl) Ib                 supply at the controllers
    Ib = N d I + Pe / Vs                    battery current (duty d, constant-power electronics Pe)
    d Vs = Vm                               at full throttle d = 1

Throttle is taken as duty. Six-step commutation is lossless but for the on-resistance; iron loss is in I0.
"""

import math
from typing import Any

from rotorwright.physics.battery import open_circuit_voltage, terminal_voltage_at_power
from rotorwright.physics.compiled import kernel
from rotorwright.physics.motor import no_load_current
from rotorwright.physics.rotor_lookup import coefficients, oblique_coefficients
from rotorwright.physics.rows import CRAFT, POINT

__all__ = [
    "CANNOT",
    "COLLAPSED",
    "CRAFT",
    "OK",
    "POINT",
    "TOO_HEAVY",
    "UNSOLVED",
    "balanced_rotation",
    "motor_load",
    "operating_points",
    "rotor_coefficients",
    "rotor_points",
    "supply_load",
]

OK, TOO_HEAVY, COLLAPSED, UNSOLVED = 0, 1, 2, 3
CANNOT = {
    TOO_HEAVY: "more than full throttle would be needed",
    COLLAPSED: "the battery's voltage collapses under this load",
    UNSOLVED: "no balance of motor and rotor was found",
}

_TOLERANCE = 1e-9
_LOG_REFERENCE = math.log(1e5)
# In-plane force over CT and the edgewise advance that azimuth-averaged blade elements do not find, whatever its
# cause. Fitted: with it the drag of a published five-inch craft grows with its weight as measured
# (docs/theory/flight.md).
_UNRESOLVED_DRAG = 0.12


@kernel
def rotor_coefficients(
    c: Any, rotors: Any, rotation: float, axial_speed: float, edgewise_speed: float
) -> tuple[float, float, float, float, float]:
    """CT, CP, in-plane CH, Reynolds and Mach number at 0.75 R [-] of a rotor at `rotation` [rad/s], speeds [m/s]."""
    tables, gains, oblique = rotors
    n = rotation / (2.0 * math.pi)
    speed = 0.75 * math.pi * n * c.diameter
    reynolds = c.density * speed * c.chord_75 / c.viscosity
    k, J, CH = c.propeller, axial_speed / (n * c.diameter * c.advance_stretch), 0.0
    if edgewise_speed == 0.0:
        CT, CP = coefficients(tables, gains, k, J, reynolds, 0.0)
    else:
        E = edgewise_speed / (n * c.diameter)
        CT, CP, CH, _ = oblique_coefficients(tables, gains, oblique, k, J, E, reynolds, 0.0)
        CH = c.in_plane_level * (CH * c.power_level + _UNRESOLVED_DRAG * CT * c.thrust_level * min(E, 1.2))
    mach = speed / c.sound_speed
    m = c.mach_scale * (1.0 / math.sqrt(max(1.0 - mach * mach, 0.2)) - 1.0)
    CT *= c.thrust_level * (1.0 + gains[k, 0] * m)
    CP *= c.power_level * (1.0 + gains[k, 1] * m)
    if c.thrust_slope != 0.0 or c.power_slope != 0.0:
        x = math.log(reynolds) - _LOG_REFERENCE
        CT *= math.exp(c.thrust_slope * x)
        CP *= math.exp(c.power_slope * x)
    return CT, CP, CH, reynolds, mach


@kernel
def motor_load(c: Any, rotation: float, CP: float) -> tuple[float, float, float]:
    """Torque [N m], current [A] and voltage with the controller's [V] of a motor at `rotation` [rad/s]."""
    n = rotation / (2.0 * math.pi)
    Q = CP * c.density * n * n * c.diameter**5 / (2.0 * math.pi)
    current = no_load_current(c.idle_current, rotation, c.idle_rotation) + Q / c.torque_constant
    voltage = c.torque_constant * rotation + current * (c.motor_resistance + c.controller_resistance)
    return Q, current, voltage


@kernel
def _excess(
    c: Any, rotors: Any, rotation: float, duty: float, thrust: float, voc: float, v: float, e: float
) -> float:
    """What the demand leaves over at `rotation`: volts when a duty is asked, newtons when a thrust; falls with it."""
    CT, CP, _, _, _ = rotor_coefficients(c, rotors, rotation, v, e)
    if math.isnan(duty):
        n = rotation / (2.0 * math.pi)
        left: float = thrust - CT * c.density * n * n * c.diameter**4
        return left
    _, current, voltage = motor_load(c, rotation, CP)
    resistance = c.battery_resistance + c.lead_resistance
    loaded = voc - resistance * c.motors * duty * current
    discriminant = max(loaded * loaded - 4.0 * resistance * c.electronics_power, 0.0)
    volts: float = duty * 0.5 * (loaded + math.sqrt(discriminant)) - voltage
    return volts


@kernel
def balanced_rotation(c: Any, rotors: Any, duty: float, thrust: float, voc: float, v: float, e: float) -> float:
    """Rotation at which the demand is met [rad/s], by a bracketed inverse-quadratic search; NaN if there is none.

    duty [1], or thrust of one rotor [N] where duty is NaN; voc [V] of the pack; v, e: axial and edgewise speed [m/s]
    """
    b: float = voc / c.torque_constant
    if math.isnan(duty):
        if thrust < 0.0:
            return math.nan
        b = min(b, 2.0 * math.pi * math.sqrt(thrust / (0.08 * c.density * c.diameter**4)))
    else:
        b *= duty
    a = 0.6 * b
    fa = _excess(c, rotors, a, duty, thrust, voc, v, e)
    fb = _excess(c, rotors, b, duty, thrust, voc, v, e)
    for _ in range(12):
        if not fb > 0.0:
            break
        a, fa = b, fb
        b *= 1.5
        fb = _excess(c, rotors, b, duty, thrust, voc, v, e)
    for _ in range(12):
        if not fa < 0.0:
            break
        b, fb = a, fa
        a *= 0.5
        fa = _excess(c, rotors, a, duty, thrust, voc, v, e)
    if not (fa >= 0.0 and fb <= 0.0):
        return math.nan
    x, fx = a, fa
    t = 0.5
    for _ in range(80):
        s = a + t * (b - a)
        fs = _excess(c, rotors, s, duty, thrust, voc, v, e)
        if (fs > 0.0) == (fa > 0.0):
            x, fx = a, fa
        else:
            x, fx = b, fb
            b, fb = a, fa
        a, fa = s, fs
        width = abs(b - a)
        best = a if abs(fa) < abs(fb) else b
        if width <= 2.0 * _TOLERANCE * abs(best) or fa == 0.0:
            return best
        xi = (a - b) / (x - b)
        phi = (fa - fb) / (fx - fb)
        if phi * phi < xi and (1.0 - phi) ** 2 < 1.0 - xi:
            t = fa / (fb - fa) * fx / (fb - fx) + (x - a) / (b - a) * fa / (fx - fa) * fb / (fx - fb)
        else:
            t = 0.5
        margin = _TOLERANCE * abs(best) / width
        t = min(max(t, margin), 1.0 - margin)
    return math.nan


@kernel
def supply_load(
    c: Any, demand: float, duty: float, current: float, voltage: float, voc: float
) -> tuple[float, float, float]:
    """Duty [-], supply voltage [V] and battery current [A] once motor current [A] and voltage [V] are known."""
    resistance = c.battery_resistance + c.lead_resistance
    if math.isnan(demand):
        power = c.motors * voltage * current + c.electronics_power
        supply = terminal_voltage_at_power(voc, resistance, power)
        return voltage / supply, supply, power / supply
    supply = voltage / duty
    loaded = voc - resistance * c.motors * duty * current
    if loaded < 0.0 or loaded * loaded < 4.0 * resistance * c.electronics_power:
        supply = math.nan  # no voltage feeds the electronics beside the motors
    return duty, supply, c.motors * duty * current + c.electronics_power / supply


@kernel
def operating_points(
    craft: Any, rotors: Any, duty: Any, thrust: Any, charge: Any, axial_speed: Any, points: Any
) -> None:
    """Fill `points[i]` with the operating point of `craft[i]`.

    craft : record array CRAFT, shape (n,); points : record array POINT, shape (n,)
    rotors : stacked rotor tables (tables, gains, oblique), see `rotor.stack_tables` and `rotor.stack_oblique`
    duty : (n,) [1], NaN where a thrust is asked; thrust : (n,) [N] of one rotor, read where duty is NaN
    charge : (n,) state of charge 0..1; axial_speed : (n,) [m/s], positive into the disc's front

    A row that has no solution holds NaN and a status of `CANNOT`; a thrust that needs more than full duty is
    solved all the same and marked TOO_HEAVY. Valid for axial flow within the rotor table.
    """
    for i in range(craft.shape[0]):
        c = craft[i]
        p = points[i]
        voc = c.cells * open_circuit_voltage(charge[i], c.chemistry)
        v = axial_speed[i]
        rotation = balanced_rotation(c, rotors, duty[i], thrust[i], voc, v, 0.0)
        CT, CP, _, reynolds, mach = rotor_coefficients(c, rotors, rotation, v, 0.0)
        torque, current, voltage = motor_load(c, rotation, CP)
        d, supply, battery_current = supply_load(c, duty[i], duty[i], current, voltage, voc)
        n = rotation / (2.0 * math.pi)
        p.rotation = rotation
        p.thrust = CT * c.density * n * n * c.diameter**4
        p.torque = torque
        p.ct = CT
        p.cp = CP
        p.duty = d
        p.motor_current = current
        p.motor_voltage = voltage
        p.battery_current = battery_current
        p.battery_voltage = voc - c.battery_resistance * battery_current
        p.supply_voltage = supply
        p.tip_mach = mach / 0.75
        p.reynolds = reynolds
        p.status = 3 if math.isnan(rotation) else 2 if math.isnan(supply) else 1 if d > 1.0 + 1e-9 else 0


@kernel
def rotor_points(craft: Any, rotors: Any, rotation: Any, axial_speed: Any, points: Any) -> None:
    """Fill `points[i]` with thrust, torque and coefficients of one rotor of `craft[i]` turned at `rotation[i]`.

    rotation : (n,) [rad/s], positive; axial_speed : (n,) [m/s]; other shapes as in `operating_points`
    """
    for i in range(craft.shape[0]):
        c = craft[i]
        p = points[i]
        CT, CP, _, reynolds, mach = rotor_coefficients(c, rotors, rotation[i], axial_speed[i], 0.0)
        n = rotation[i] / (2.0 * math.pi)
        p.rotation = rotation[i]
        p.thrust = CT * c.density * n * n * c.diameter**4
        p.torque = CP * c.density * n * n * c.diameter**5 / (2.0 * math.pi)
        p.ct = CT
        p.cp = CP
        p.tip_mach = mach / 0.75
        p.reynolds = reynolds
