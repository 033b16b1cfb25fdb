"""Brushless motor, first order: one speed constant, one winding resistance, one idle current.

Current, voltage and resistance are those of the equivalent direct-current motor: resistance between two
terminals, voltage after the controller's duty, current as averaged over the commutation.

Valid for trapezoidal drive well below saturation of the iron. Field weakening by timing advance,
saturation and switching ripple are not modelled. Measured resistance and idle current of small motors
were not found in any open source: see docs/theory/motor.md.
"""

from math import nan, sqrt

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.compiled import kernel

__all__ = [
    "copper_resistance",
    "current_at_peak_efficiency",
    "motor_voltage",
    "motors_at_current",
    "no_load_current",
    "peak_efficiency",
    "shaft_torque",
    "torque_constant",
]

Array = NDArray[np.float64]

COPPER_COEFFICIENT = 0.00393  # of resistance at 20 C, IEC 60028 [1/K]
REFERENCE_TEMPERATURE = 293.15  # 20 C [K]
CONSTANT_SHARE = 0.5  # of the idle current; typical, no source [-]


@kernel
def torque_constant(kv: float) -> float:
    """Torque per current, Kt = 1/Kv: in SI the torque constant and the back-EMF constant are one number.

    kv: speed constant, scalar > 0 [rad/s per V]
    returns: scalar [N m/A]
    source: energy balance of the ideal motor; 60/(2 pi Kv) with Kv in rpm/V
    """
    return 1.0 / kv


@kernel
def copper_resistance(resistance_20: float, temperature_k: float) -> float:
    """Winding resistance when warm, R = R20 (1 + 0.00393 (T - 293.15 K)).

    resistance_20: at 20 C, scalar [ohm]
    temperature_k: of the copper, scalar [K]
    returns: scalar [ohm]
    valid: about -40..200 C
    source: IEC 60028 (constant from memory, universally tabulated)
    """
    return resistance_20 * (1.0 + COPPER_COEFFICIENT * (temperature_k - REFERENCE_TEMPERATURE))


@kernel
def no_load_current(idle_current: float, rotation: float, idle_rotation: float) -> float:
    """Current that turns the bare motor, I0(omega) = I0_ref (0.5 + 0.5 omega/omega_ref).

    Half of it stands for friction and hysteresis, which are constant torques, half for eddy currents,
    whose torque grows with speed. The half is typical, from no source.

    idle_current: as published, scalar [A]
    rotation: scalar >= 0 [rad/s]
    idle_rotation: speed at which the idle current was measured, scalar > 0 [rad/s]
    returns: scalar [A]
    """
    return idle_current * (CONSTANT_SHARE + (1.0 - CONSTANT_SHARE) * rotation / idle_rotation)


@kernel
def shaft_torque(current: float, kt: float, no_load: float) -> float:
    """Torque left for the propeller, Q = Kt (I - I0).

    current: scalar [A]
    kt: torque constant, scalar [N m/A]
    no_load: no-load current at this speed, scalar [A]
    returns: scalar [N m], negative while the current is below the no-load current
    source: first-order direct-current motor
    """
    return kt * (current - no_load)


@kernel
def motor_voltage(rotation: float, current: float, kt: float, resistance: float) -> float:
    """Voltage the motor needs, V = Kt omega + I R.

    rotation: scalar [rad/s]
    current: scalar [A]
    kt: torque constant = back-EMF constant, scalar [N m/A = V s/rad]
    resistance: terminal to terminal, warm, scalar [ohm]
    returns: scalar [V]
    source: first-order direct-current motor
    """
    return kt * rotation + current * resistance


@kernel
def motors_at_current(
    voltage: float, kt: Array, resistance: Array, idle_current: Array, idle_rotation: Array, current: Array
) -> tuple[Array, Array]:
    """Rotation omega = (V - I R)/Kt and shaft torque Q = Kt (I - I0(omega)) of many motors at one voltage.

    voltage: scalar [V]
    kt, resistance, idle_current, idle_rotation, current: shape (n,) [N m/A], [ohm], [A], [rad/s], [A]
    returns: two arrays of shape (n,) [rad/s], [N m]
    """
    rotation, torque = np.empty_like(current), np.empty_like(current)
    for i in range(current.shape[0]):
        rotation[i] = (voltage - current[i] * resistance[i]) / kt[i]
        torque[i] = shaft_torque(current[i], kt[i], no_load_current(idle_current[i], rotation[i], idle_rotation[i]))
    return rotation, torque


@kernel
def peak_efficiency(voltage: float, resistance: float, idle_current: float) -> float:
    """Best efficiency at a fixed voltage, eta = (1 - sqrt(I0 R / V))^2.

    voltage: scalar > 0 [V]
    resistance: scalar >= 0 [ohm]
    idle_current: taken as constant, scalar >= 0 [A]
    returns: scalar [-], NaN when the motor cannot turn at all (I0 R > V)
    source: maximum of (V - I R)(I - I0)/(V I) over the current I
    """
    lost = idle_current * resistance / voltage
    if 0.0 <= lost <= 1.0:
        return (1.0 - sqrt(lost)) ** 2
    return nan


@kernel
def current_at_peak_efficiency(voltage: float, resistance: float, idle_current: float) -> float:
    """Current at which that efficiency is reached, I = sqrt(V I0 / R).

    voltage: scalar >= 0 [V]
    resistance: scalar > 0 [ohm]
    idle_current: taken as constant, scalar >= 0 [A]
    returns: scalar [A], NaN when the motor cannot turn at all (I0 R > V)
    source: maximum of (V - I R)(I - I0)/(V I) over the current I
    """
    if 0.0 <= idle_current * resistance <= voltage:
        return sqrt(voltage * idle_current / resistance)
    return nan
