"""The quickest that the thrust of a combination can rise, whatever rest of a range of masses it carries.

After a step to the duty that holds 1.5 times the weight a rotor follows, with u its rotation over the final one,

    J du/dt = (1 - u)(Kt^2/(R + Rc + N d^2 (Rb + Rl)) + Kt dI0/domega) + (Q(1) - Q(u))/omega

The first term falls with the duty, that is with mass; the second rises with it. The light end in the first and the
heavy end in the second bound du/dt from above; a current limit only slows. Never slower than the answer itself:
tests/properties.
"""

import math
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.battery import open_circuit_voltage
from rotorwright.physics.compiled import kernel
from rotorwright.physics.level_flight import IDLE
from rotorwright.physics.motor import no_load_current
from rotorwright.physics.powertrain import motor_load, rotor_coefficients
from rotorwright.physics.response import rotor_acceleration
from rotorwright.predict.flight import CHARGE

if TYPE_CHECKING:
    from rotorwright.search.grid import Combos

__all__ = ["STEP", "quickest"]

Array = NDArray[np.float64]

STEP = 1.5
"""The step's thrust over the weight, as in the answer to the stick."""

# For the sums on both sides; over a range of masses also for coefficients that bend over the Reynolds number.
_SLACK, _SLACK_OF_RANGE = 0.003, 0.01
_POINTS, _NEAR_IDLE = 4, 1.05


def quickest(light: "Combos", heavy: "Combos") -> Array:
    """Seconds that thrust needs at least to rise, 10 to 90 %, (n,); zero where nothing is known."""
    found = np.zeros(len(light.index))
    a, b = (view.rows.view(np.recarray) for view in (light, heavy))
    duties, rotations = (np.stack([view.lifting[n] for view in (light, heavy)]) for n in ("duty", "rotation"))
    tables = (light.grid.tables, light.grid.gains, light.grid.oblique)
    _quickest(a, b, tables, duties, rotations, CHARGE, found)
    return found


@kernel
def _lead(c: Any, rotors: Any, duty: float, rotation: float, charge: float) -> float:
    """Angular acceleration over rotation [1/s] that is left where the operating point balances.

    The answer takes the electronics' draw as that of an unloaded pack: its own balance lies a little higher.
    """
    voc = c.cells * open_circuit_voltage(charge, c.chemistry)
    spin, _ = rotor_acceleration(c, rotors, duty, rotation, voc, c.motors, 0.0)
    return max(spin / rotation, 0.0) if spin > 0.0 else 0.0


@kernel
def _turn_of(c: Any, rotors: Any, rotation: float, share: float) -> float:
    """Share of a rotation at which the thrust is that share of the rotation's."""
    top, _, _, _, _ = rotor_coefficients(c, rotors, rotation, 0.0, 0.0)
    u = math.sqrt(share)
    for _ in range(3):  # thrust goes nearly with the square
        CT, _, _, _, _ = rotor_coefficients(c, rotors, u * rotation, 0.0, 0.0)
        u *= math.sqrt(share / (u * u * CT / top))
    return u


@kernel
def _quickest(light: Any, heavy: Any, rotors: Any, duties: Any, rotations: Any, charge: float, found: Any) -> None:
    """Fill `found` [s]; duties [1] and rotations [rad/s] of the light and the heavy end under the step's thrust."""
    for i in range(light.shape[0]):
        c, w = light[i], rotations[1, i]
        lead = _lead(c, rotors, duties[0, i], rotations[0, i], charge)
        lead = max(lead, _lead(heavy[i], rotors, duties[1, i], w, charge))
        _, CP, _, _, _ = rotor_coefficients(c, rotors, w, 0.0, 0.0)
        top, _, _ = motor_load(c, w, CP)
        start = _turn_of(c, rotors, w, (1.0 + 0.1 * (STEP - 1.0)) / STEP)
        end = _turn_of(c, rotors, w, (1.0 + 0.9 * (STEP - 1.0)) / STEP)
        h = math.log((1.0 - start) / (1.0 - end)) / _POINTS
        voc = c.cells * open_circuit_voltage(charge, c.chemistry)
        if rotations[0, i] * _turn_of(c, rotors, w, 1.0 / STEP) < _NEAR_IDLE * IDLE * voc / c.torque_constant:
            continue  # it hovers idling, and steps from there
        supply = c.motors * duties[0, i] ** 2 * (c.battery_resistance + c.lead_resistance)
        K = c.torque_constant
        idle = no_load_current(c.idle_current, w, c.idle_rotation) - no_load_current(c.idle_current, 0.0, 1.0)
        electric = K * K / (c.motor_resistance + c.controller_resistance + supply) + K * idle / w
        t = 0.0
        for k in range(_POINTS):  # evenly over the logarithm of what is left, in which the rotor's way is even
            left = (1.0 - start) * math.exp(-(k + 0.5) * h)
            u = 1.0 - left
            _, CP, _, _, _ = rotor_coefficients(c, rotors, u * w, 0.0, 0.0)
            Q, _, _ = motor_load(c, u * w, CP)
            t += h * c.rotor_inertia / (electric + (top - Q) / (w * left) + lead * c.rotor_inertia / left)
        if t > 0.0:
            found[i] = (1.0 - (_SLACK if light[i].mass == heavy[i].mass else _SLACK_OF_RANGE)) * t
