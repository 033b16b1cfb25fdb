"""Hover, full throttle and the throttle curve, from the one operating-point kernel."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import PowertrainColumns
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.powertrain import CANNOT, COLLAPSED, OK, TOO_HEAVY
from rotorwright.predict.result import Prediction

__all__ = ["FullThrottle", "Hover", "ThrottlePoint", "full_throttle", "hover", "throttle_curve"]

Array = NDArray[np.float64]
Points = NDArray[np.void]

# Share of the rated capacity that a careful pilot uses: common practice, no source.
USABLE_SHARE = 0.8
# A lithium polymer cell is not taken below this: common practice, no source.
CELL_FLOOR = 3.0

_RPM = 30 / math.pi


@dataclass(frozen=True, slots=True)
class Hover:
    """Hovering in still air at half charge; `time_s` spends the usable share of the pack at that current."""

    state_of_charge: float
    usable_share: float
    throttle: Prediction
    rpm: Prediction
    current_a: Prediction
    power_w: Prediction
    time_s: Prediction
    grams_per_watt: Prediction
    disc_loading_n_per_m2: Prediction


@dataclass(frozen=True, slots=True)
class FullThrottle:
    """Full duty at a state of charge and an axial speed; currents are those of the first second."""

    state_of_charge: float
    axial_speed_m_per_s: float
    rpm: Prediction
    thrust_n: Prediction
    thrust_to_weight: Prediction
    motor_current_a: Prediction
    battery_current_a: Prediction
    battery_voltage_v: Prediction
    c_rate: Prediction
    tip_mach: Prediction


@dataclass(frozen=True, slots=True)
class ThrottlePoint:
    """One point of the throttle curve, standing."""

    throttle: float
    thrust_n: Prediction
    thrust_to_weight: Prediction
    battery_current_a: Prediction
    power_w: Prediction


def _weight(columns: PowertrainColumns) -> Array:
    return np.asarray(columns.craft["mass"] * GRAVITY)


def _found(points: Points, values: Array, worst: int) -> Array:
    """`values` where the point's status is at most `worst`, else NaN."""
    return np.where(points["status"] <= worst, values, np.nan)


def hover(columns: PowertrainColumns, charge: float = 0.5) -> Hover:
    """Hover of each row; when it cannot, the reason states the share of the weight that full throttle carries."""
    craft, weight = columns.craft, _weight(columns)
    points = columns.solve(thrust=weight / craft["motors"], charge=charge)
    reason = _why_no_hover(columns, points, weight)

    def result(values: Array, unit: str) -> Prediction:
        return Prediction.of(_found(points, values, OK), unit, reason)

    power = points["battery_current"] * points["battery_voltage"]
    area = craft["motors"] * math.pi / 4 * craft["diameter"] ** 2
    return Hover(
        state_of_charge=charge,
        usable_share=USABLE_SHARE,
        throttle=result(points["duty"], "1"),
        rpm=result(points["rotation"] * _RPM, "rpm"),
        current_a=result(points["battery_current"], "A"),
        power_w=result(power, "W"),
        time_s=result(USABLE_SHARE * craft["capacity"] / points["battery_current"], "s"),
        grams_per_watt=result(1e3 * craft["mass"] / power, "g/W"),
        disc_loading_n_per_m2=Prediction.of(weight / area, "N/m2"),
    )


def _why_no_hover(columns: PowertrainColumns, points: Points, weight: Array) -> str | None:
    status = int(points["status"][0])
    if status == OK:
        return None
    if status in (TOO_HEAVY, COLLAPSED):
        full = columns.solve(duty=1.0)
        share = float(full["thrust"][0] * columns.craft["motors"][0] / weight[0])
        if share < 1.0:
            return f"cannot hover: full throttle carries {share:.2f} of its weight"
    return f"cannot hover: {CANNOT[status]}"


def full_throttle(columns: PowertrainColumns, charge: float, axial_speed: float) -> FullThrottle:
    """Full throttle at a state of charge and an axial speed [m/s]."""
    craft = columns.craft
    points = columns.solve(duty=1.0, charge=charge, axial_speed=axial_speed)
    thrust = points["thrust"] * craft["motors"]

    status = int(points["status"][0])
    why = CANNOT[status] if status > TOO_HEAVY else None

    def result(values: Array, unit: str, reason: str | None = why) -> Prediction:
        return Prediction.of(_found(points, values, TOO_HEAVY), unit, reason)

    return FullThrottle(
        state_of_charge=charge,
        axial_speed_m_per_s=axial_speed,
        rpm=result(points["rotation"] * _RPM, "rpm"),
        thrust_n=result(thrust, "N"),
        thrust_to_weight=result(thrust / _weight(columns), "1"),
        motor_current_a=result(points["motor_current"], "A"),
        battery_current_a=result(points["battery_current"], "A"),
        battery_voltage_v=result(points["battery_voltage"], "V", why or _collapse(points, craft)),
        c_rate=result(points["battery_current"] * 3600 / craft["capacity"], "1/h"),
        tip_mach=result(points["tip_mach"], "1"),
    )


def _collapse(points: Points, craft: NDArray[np.void]) -> str | None:
    cell = float(points["battery_voltage"][0] / craft["cells"][0])
    if cell < CELL_FLOOR:
        return f"the pack collapses to {cell:.2f} V a cell under this load, below {CELL_FLOOR:g} V: it cannot hold it"
    return None


def throttle_curve(columns: PowertrainColumns, charge: float = 0.9) -> tuple[ThrottlePoint, ...]:
    """Ten points from a tenth to full throttle, standing, at a nearly fresh pack."""
    curve = []
    for throttle in np.linspace(0.1, 1.0, 10):
        points = columns.solve(duty=float(throttle), charge=charge)
        thrust = _found(points, points["thrust"] * columns.craft["motors"], TOO_HEAVY)
        curve.append(
            ThrottlePoint(
                throttle=round(float(throttle), 3),
                thrust_n=Prediction.of(thrust, "N"),
                thrust_to_weight=Prediction.of(thrust / _weight(columns), "1"),
                battery_current_a=Prediction.of(points["battery_current"], "A"),
                power_w=Prediction.of(points["battery_current"] * points["battery_voltage"], "W"),
            )
        )
    return tuple(curve)
