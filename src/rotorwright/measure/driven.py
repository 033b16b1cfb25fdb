"""What throttle and measured voltage make of a craft's motors and rotors: the operating point with the pack left out.

Speed of rotation, motor current and thrust follow from the voltage across the motors alone, duty times supply, and
from the air's speed through and along the discs. So the balance of the operating-point kernel is solved on a small
grid for every sample, and read at each moment of a log:

    I = N d Im(d V, speed) + Pe/V
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import PowertrainColumns
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.compiled import kernel
from rotorwright.physics.powertrain import balanced_rotation, motor_load, rotor_coefficients

__all__ = ["Driven", "DrivenTable", "driven_table"]

Array = NDArray[np.float64]

_VOLTS, _LOWEST = 80, 0.02
_HALF = 0.5  # state of charge at which attitudes are trimmed; they hardly depend on it


@dataclass(frozen=True, slots=True)
class Driven:
    """What each sample of a craft does at every moment, shape (samples, moments)."""

    current: Array
    """Out of the pack [A]."""
    rotation: Array
    """[rad/s]."""
    load: Array
    """Thrust over weight [1]."""


@dataclass(frozen=True, slots=True)
class DrivenTable:
    """Motors and rotors over voltage and level speed, for every sample."""

    columns: PowertrainColumns
    volts: Array
    speeds: Array
    values: Array
    """Rotation [rad/s], motor current [A] and thrust of a rotor [N]: (samples, speeds, volts, 3)."""

    def part(self, rows: slice) -> "DrivenTable":
        """Some of the samples."""
        own = replace(self.columns, craft=self.columns.craft[rows])
        return replace(self, columns=own, values=self.values[rows])

    def at(self, throttle: Array, voltage: Array, speed: Array | None = None) -> Driven:
        """Every sample at throttle [1], measured voltage [V] and speed (n,) [m/s], standing where None.

        throttle, voltage: (n,), or (samples, n) where each sample reads its sensors in its own way
        """
        craft = self.columns.craft
        one = np.arange(len(craft))[:, None]
        u = np.clip(np.atleast_2d(throttle * voltage), self.volts[0], self.volts[-1])
        i = np.clip(np.searchsorted(self.volts, u) - 1, 0, len(self.volts) - 2)
        a = (u - self.volts[i]) / (self.volts[i + 1] - self.volts[i])
        s = np.clip(speed if speed is not None else np.zeros(u.shape[1]), self.speeds[0], self.speeds[-1])
        k = np.clip(np.searchsorted(self.speeds, s) - 1, 0, max(len(self.speeds) - 2, 0))
        after = np.minimum(k + 1, len(self.speeds) - 1)
        width = np.where(after > k, self.speeds[after] - self.speeds[k], 1.0)
        b = (s - self.speeds[k]) / width

        def read(which: int) -> Array:
            table = self.values[..., which]
            low = (1 - a) * table[one, k, i] + a * table[one, k, i + 1]
            high = (1 - a) * table[one, after, i] + a * table[one, after, i + 1]
            return np.asarray((1 - b) * low + b * high)

        motors = craft["motors"][:, None]
        electronics = craft["electronics_power"][:, None] / voltage
        thrust = motors * read(2)
        return Driven(
            current=motors * np.clip(throttle, 0.0, 1.0) * read(1) + electronics,
            rotation=read(0),
            load=thrust / (craft["mass"][:, None] * GRAVITY),
        )


@kernel
def _fill(craft: Any, rotors: Any, volts: Any, axial: Any, edgewise: Any, values: Any) -> None:
    for i in range(craft.shape[0]):
        c = craft[i]
        for k in range(axial.shape[0]):
            for j in range(volts.shape[0]):
                rotation = balanced_rotation(c, rotors, 1.0, np.nan, volts[j], axial[k], edgewise[k])
                CT, CP, _, _, _ = rotor_coefficients(c, rotors, rotation, axial[k], edgewise[k])
                _, current, _ = motor_load(c, rotation, CP)
                n = rotation / (2.0 * np.pi)
                values[i, k, j, 0], values[i, k, j, 1] = rotation, current
                values[i, k, j, 2] = CT * c.density * n * n * c.diameter**4


def driven_table(columns: PowertrainColumns, top_voltage: float, top_speed: float = 0.0) -> DrivenTable:
    """Solve the grid up to a voltage [V] and a level speed [m/s], at which the discs lean as level flight needs.

    columns: rows of flight (`columns.flight_columns`)
    """
    speeds = np.linspace(0.0, top_speed, 9) if top_speed > 1.0 else np.zeros(1)
    trim = PowertrainColumns(columns.craft[:1], columns.tables, columns.gains, columns.oblique)
    points = trim.level(speed=speeds[None, :], charge=_HALF)[0]
    known = np.isfinite(points["axial_speed"])
    speeds = speeds[known] if known.any() else np.zeros(1)
    flow = (points["axial_speed"], points["edgewise_speed"])
    axial, edgewise = (speed[known] if known.any() else np.zeros(1) for speed in flow)
    rows = columns.craft.copy()
    for name in ("battery_resistance", "lead_resistance", "electronics_power"):
        rows[name] = 0.0
    volts = np.linspace(_LOWEST, 1.0, _VOLTS) ** 1.5 * top_voltage
    values = np.empty((len(rows), len(speeds), _VOLTS, 3))
    axial, edgewise = np.ascontiguousarray(axial), np.ascontiguousarray(np.abs(edgewise))
    _fill(rows.view(np.recarray), columns.rotors, volts, axial, edgewise, values)
    return DrivenTable(columns, volts, speeds, values)
