"""A thrust stand as a row of the operating-point kernel: one motor, one propeller, a supply whose voltage is read.

What a stand would read at a measured rotation and voltage comes from the kernels of `physics/powertrain`: the supply
has no resistance of its own, since its voltage is measured at the controller.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rotorwright.columns import Draws, PowertrainColumns, rotor_columns
from rotorwright.columns.rotor import table_of
from rotorwright.errors import CannotCompute
from rotorwright.measure.belief import Belief, known_to
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.propulsion import Motor, Propeller, SpeedController
from rotorwright.physics.air import Air
from rotorwright.physics.compiled import kernel
from rotorwright.physics.motor import copper_resistance, torque_constant
from rotorwright.physics.powertrain import motor_load, rotor_coefficients, supply_load
from rotorwright.physics.rotor_points import REYNOLDS_SLOPE_SD

__all__ = ["GAINS", "IDLE_HALF", "Bench", "StandRows", "bench_of", "bench_row", "stand_readings"]

Array = NDArray[np.float64]

# Calibration of the instruments of a careful hobby bench: from experience with such tools, no source.
GAINS = {"thrust": 0.01, "torque": 0.02, "voltage": 0.005, "current": 0.015, "throttle": 0.02}
"""Standard deviation of the factor between what an instrument reads and what is [-]."""

_WINDING_K, _WINDING_SD = 333.15, 20.0  # of a motor on a stand whose winding nobody measured: typical, no source
_GROWTH_SD = 0.5  # ln, of the speed to which the idle current belongs: half constant, half growing is a typical split


IDLE_HALF = "idle_half_voltage"
"""How the idle current grows: the voltage at which half of it came with speed. A motor's file has no key for it, and
takes it for the voltage to which idle_current belongs."""


@dataclass(frozen=True, slots=True)
class StandRows:
    """What a thrust stand read, row by row; NaN where something was not read."""

    volts: Array
    """At the controller (n,) [V]."""
    amps: Array
    """Into the controller (n,) [A]."""
    rotation: Array
    """Of the shaft (n,) [rad/s]."""
    thrust: Array
    """(n,) [N]."""
    torque: Array
    """Of the shaft (n,) [N m]."""
    throttle: Array
    """(n,) 0..1."""
    bare: NDArray[np.bool_]
    """(n,) rows without a propeller."""

    @classmethod
    def of(
        cls,
        volts: ArrayLike,
        amps: ArrayLike,
        rotation: ArrayLike,
        thrust: ArrayLike | None = None,
        torque: ArrayLike | None = None,
        throttle: ArrayLike | None = None,
        bare: ArrayLike | None = None,
    ) -> "StandRows":
        """From arrays of one length [SI]; what is None was not read. Raises ValueError when lengths differ."""
        n = np.size(np.asarray(rotation))

        def column(given: ArrayLike | None) -> Array:
            values = np.full(n, np.nan) if given is None else np.atleast_1d(np.asarray(given, dtype=float))
            if values.shape != (n,):
                raise ValueError("every column of a thrust stand needs one value a row")
            return values

        plain = np.zeros(n, bool) if bare is None else np.broadcast_to(np.asarray(bare, dtype=bool), n).copy()
        return cls(
            column(volts), column(amps), column(rotation), column(thrust), column(torque), column(throttle), plain
        )

    def __len__(self) -> int:
        """Number of rows."""
        return len(self.rotation)

    def part(self, rows: NDArray[Any]) -> "StandRows":
        """Some of the rows, by index or by a mask."""
        return StandRows(*(getattr(self, name)[rows] for name in self.__slots__))


@dataclass(frozen=True, slots=True)
class Bench:
    """A motor, a propeller and a controller on a stand: what is believed of them before a row is read."""

    columns: PowertrainColumns
    """One row of CRAFT."""
    beliefs: tuple[Belief, ...]
    correlations: tuple[tuple[str, str, float], ...]
    warmth: float
    """Winding resistance while running over that at 20 C [-]."""
    idle_voltage: float
    """To which the motor's idle current belongs [V]."""


def bench_of(
    motor: Motor,
    propeller: Propeller,
    controller: SpeedController | None,
    air: Air,
    *,
    winding: Estimate | None = None,
    gains: Mapping[str, float] | None = None,
) -> Bench:
    """A stand from completed parts (`parts.laws.completed`) in measured air.

    winding: temperature of the copper while running [K], 60 +- 20 C when None; gains: calibration of the instruments
    where it is better or worse than `GAINS`. The propeller's own bench points are left out: they may be these rows.
    Raises CannotCompute when a part lacks what its laws need.
    """
    if not (motor.kv and motor.resistance and motor.idle_current and motor.idle_voltage):
        raise CannotCompute(f"motor '{motor.name}': give kv_rpm_per_v, and resistance_mohm or the stator's size")
    idle_at = motor.idle_voltage.value
    copper = winding or Estimate(_WINDING_K, _WINDING_SD)
    warmth = copper_resistance(1.0, copper.value)
    plain = replace(propeller, bench=())
    columns = rotor_columns(plain, air, Draws(0))
    row = columns.craft
    row["motors"], row["cells"], row["capacity"] = 1, 4, np.inf
    row["torque_constant"] = torque_constant(motor.kv.value)
    row["motor_resistance"] = motor.resistance.value * warmth
    row["idle_current"] = motor.idle_current.value
    row["idle_rotation"] = motor.idle_voltage.value * motor.kv.value
    switch = controller.resistance if controller and controller.resistance else Estimate(4e-3, 1.6e-3)
    row["controller_resistance"] = switch.value
    row["electronics_power"] = controller.idle_power.value if controller and controller.idle_power else 0.0
    scatter = table_of(plain)[1]
    beliefs = (
        Belief("the propeller's thrust", "propeller", "thrust_level", "1", 1.0, scatter.ct_sd, note=_LEVEL),
        Belief("its growth with Reynolds number", "propeller", "thrust_slope", "1", 0.0, REYNOLDS_SLOPE_SD, False),
        Belief("the propeller's torque", "propeller", "power_level", "1", 1.0, scatter.cp_sd, note=_LEVEL),
        Belief("its torque's growth", "propeller", "power_slope", "1", 0.0, REYNOLDS_SLOPE_SD, False),
        Belief("Kv", "motor", "kv", "rad/s/V", motor.kv.value, known_to(motor.kv, 0.01)),
        Belief(
            "winding resistance",
            "motor",
            "resistance",
            "ohm",
            motor.resistance.value,
            known_to(motor.resistance, 0.03),
            note=f"at 20 C, from a winding taken to run at {copper.value - 273.15:.0f} C",
        ),
        Belief(
            "idle current",
            "motor",
            "idle_current",
            "A",
            motor.idle_current.value,
            known_to(motor.idle_current, 0.03),
            note=f"at {motor.idle_voltage.value:g} V, as the motor's file has it",
        ),
        Belief(
            "the idle current's growth with speed",
            "motor",
            IDLE_HALF,
            "V",
            motor.idle_voltage.value,
            _GROWTH_SD,
            note="at speed over Kv of this the idle current is twice that of standstill; no field of a motor",
        ),
        Belief(
            "controller resistance", "speed-controller", "resistance", "ohm", switch.value, known_to(switch, 0.05)
        ),
        Belief("", "", "warmth", "1", 1.0, 0.00393 * copper.sd / warmth),
        *(Belief("", "", f"{name}_gain", "1", 1.0, sd) for name, sd in {**GAINS, **(gains or {})}.items()),
    )
    return Bench(columns, beliefs, (("thrust_level", "power_level", scatter.correlation),), warmth, idle_at)


_LEVEL = "over the table's coefficient at a Reynolds number of 1e5; no field of a part: as bench points"


def bench_row(bench: Bench, numbers: Mapping[str, float]) -> NDArray[np.void]:
    """The stand's row of CRAFT with the numbers of a fit, by "kind.field" as in `belief.Found.mean`."""
    row = bench.columns.craft.copy()
    for field in ("thrust_level", "power_level", "thrust_slope", "power_slope"):
        row[field] = numbers[f"propeller.{field}"]
    kv = numbers["motor.kv"]
    row["torque_constant"] = torque_constant(kv)
    row["motor_resistance"] = numbers["motor.resistance"] * bench.warmth * numbers["warmth"]
    half = numbers[f"motor.{IDLE_HALF}"]
    row["idle_current"] = numbers["motor.idle_current"] / (0.5 + 0.5 * bench.idle_voltage / half)
    row["idle_rotation"] = half * kv
    row["controller_resistance"] = numbers["speed-controller.resistance"]
    return row


@kernel
def _read(craft: Any, rotors: Any, rotation: Any, volts: Any, bare: Any, out: Any) -> None:
    """Thrust, torque, current from the supply and duty at each rotation and voltage."""
    c = craft[0]
    nan = np.nan
    for i in range(rotation.shape[0]):
        CT, CP, _, _, _ = rotor_coefficients(c, rotors, rotation[i], 0.0, 0.0)
        if bare[i]:
            CT, CP = 0.0, 0.0
        n = rotation[i] / (2.0 * np.pi)
        torque, current, voltage = motor_load(c, rotation[i], CP)
        duty, _, drawn = supply_load(c, nan, nan, current, voltage, volts[i])
        out[i, 0], out[i, 1] = CT * c.density * n * n * c.diameter**4, torque
        out[i, 2], out[i, 3] = drawn, duty


def stand_readings(
    columns: PowertrainColumns, row: NDArray[np.void], rotation: Array, volts: Array, bare: NDArray[np.bool_]
) -> Array:
    """Thrust [N], torque [N m], current from the supply [A] and duty [1] at measured rotations, shape (n, 4).

    columns: for their rotor tables; row: (1,) of CRAFT; rotation: (n,) [rad/s]; volts: at the controller (n,) [V]
    bare: (n,) rows without a propeller
    """
    out = np.empty((len(rotation), 4))
    _read(row.view(np.recarray), columns.rotors, rotation, volts, bare, out)
    return out
