"""One motor by itself at a stated voltage."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws
from rotorwright.errors import CannotCompute
from rotorwright.parts.propulsion import Motor
from rotorwright.physics.motor import motors_at_current
from rotorwright.predict.result import Prediction

__all__ = ["MotorRow", "MotorTable", "motor_table"]

Array = NDArray[np.float64]
_RPM = 30 / math.pi


@dataclass(frozen=True, slots=True)
class MotorRow:
    """The motor at one current, winding at 20 C."""

    current_a: float
    rpm: Prediction
    torque_n_m: Prediction
    shaft_power_w: Prediction
    efficiency: Prediction


@dataclass(frozen=True, slots=True)
class MotorTable:
    """Constants of a motor and its state over current, by the first-order model."""

    name: str
    voltage_v: float
    kv_rpm_per_v: Prediction
    torque_constant_n_m_per_a: Prediction
    resistance_ohm: Prediction
    idle_current_a: Prediction
    idle_rpm: Prediction
    peak_efficiency: Prediction
    peak_efficiency_current_a: Prediction
    rows: tuple[MotorRow, ...]


def motor_table(motor: Motor, voltage: float, samples: int = 2048, seed: int = 0) -> MotorTable:
    """State of `motor` fed `voltage` [V]: omega = (V - I R)/Kt, Q = Kt (I - I0(omega)), eta = Q omega/(V I).

    Raises CannotCompute when its resistance neither is given nor follows from size or mass.
    """
    if motor.resistance is None or motor.kv is None or motor.idle_current is None or motor.idle_voltage is None:
        lacks = "resistance_mohm, or stator_diameter_mm and stator_height_mm, or mass_g"
        raise CannotCompute(f"motor '{motor.name}': give {lacks}")
    draws, name = Draws(samples, seed), motor.name
    kv = draws.of(motor.kv, f"{name}.kv")
    R = draws.of(motor.resistance, f"{name}.resistance")
    I0 = draws.of(motor.idle_current, f"{name}.idle_current")
    state = _Motor(voltage, 1 / kv, R, I0, motor.idle_voltage.value * kv)
    idle = state.idle_current()
    currents = np.linspace(0.02, 0.98, 200)[:, None] * (voltage / R)
    efficiencies = np.array([state.at(current)[2] for current in currents])
    best = np.argmax(efficiencies, axis=0)
    rows = np.arange(draws.rows)
    return MotorTable(
        name=name,
        voltage_v=voltage,
        kv_rpm_per_v=Prediction.of(kv * _RPM, "rpm/V"),
        torque_constant_n_m_per_a=Prediction.of(1 / kv, "N m/A"),
        resistance_ohm=Prediction.of(R, "ohm"),
        idle_current_a=Prediction.of(idle, "A"),
        idle_rpm=Prediction.of(state.at(idle)[0] * _RPM, "rpm"),
        peak_efficiency=Prediction.of(efficiencies[best, rows], "1"),
        peak_efficiency_current_a=Prediction.of(currents[best, rows], "A"),
        rows=tuple(_row(state, current) for current in _currents(motor, voltage / float(R[0]))),
    )


def _currents(motor: Motor, stall: float) -> list[float]:
    """Round currents up to what the motor is sold for, or a quarter of its stall current."""
    most = motor.current_max.value if motor.current_max else stall / 4
    return [current for current in (1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 50.0, 60.0) if current <= most]


@dataclass(frozen=True, slots=True)
class _Motor:
    voltage: float
    Kt: Array
    R: Array
    I0: Array
    idle_rotation: Array

    def at(self, current: float | Array) -> tuple[Array, Array, Array]:
        """Rotation [rad/s], torque [N m] and efficiency [1] at `current` [A]."""
        amps = np.array(np.broadcast_to(current, self.R.shape), dtype=float)
        omega, torque = motors_at_current(self.voltage, self.Kt, self.R, self.I0, self.idle_rotation, amps)
        return omega, torque, torque * omega / (self.voltage * amps)

    def idle_current(self) -> Array:
        """Current at which the torque vanishes; torque is linear in current at a fixed voltage."""
        still, more = self.at(1e-9)[1], self.at(1.0)[1]
        return np.asarray(-still / (more - still))


def _row(state: _Motor, current: float) -> MotorRow:
    omega, torque, efficiency = state.at(current)
    works = bool(torque[0] > 0)
    reason = None if works else "below the no-load current"
    turning = np.where(torque > 0, 1.0, np.nan)
    return MotorRow(
        current_a=current,
        rpm=Prediction.of(omega * _RPM * turning, "rpm", reason),
        torque_n_m=Prediction.of(torque * turning, "N m", reason),
        shaft_power_w=Prediction.of(torque * omega * turning, "W", reason),
        efficiency=Prediction.of(efficiency * turning, "1", reason),
    )
