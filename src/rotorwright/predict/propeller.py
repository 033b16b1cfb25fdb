"""One propeller by itself: coefficients, thrust and power over speed of rotation and advance ratio."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws, PowertrainColumns, rotor_columns
from rotorwright.parts.propulsion import Propeller
from rotorwright.physics.air import GRAVITY, Air
from rotorwright.physics.rotor_error import outside_validated_range
from rotorwright.predict.result import Prediction

__all__ = ["EqualThrust", "PropellerRow", "PropellerTable", "equal_thrust", "propeller_table"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PropellerRow:
    """One operating point; `ct` = T/(rho n^2 D^4), `cp` = P/(rho n^3 D^5), `advance` = V/(n D)."""

    rpm: float
    advance: float
    ct: Prediction
    cp: Prediction
    efficiency: Prediction
    thrust_n: Prediction
    power_w: Prediction
    grams_per_watt: Prediction
    tip_mach: float
    reynolds: float
    beyond_validation: str | None


@dataclass(frozen=True, slots=True)
class PropellerTable:
    """Rows of one propeller; `blade` says whether its geometry was given or is typical for its size."""

    name: str
    diameter_m: float
    pitch_m: float
    blades: int
    blade: str
    density_kg_per_m3: float
    rows: tuple[PropellerRow, ...]


@dataclass(frozen=True, slots=True)
class EqualThrust:
    """What one propeller needs for a stated thrust, standing; `power_to_first` compares with the first one named."""

    name: str
    thrust_n: float
    rpm: Prediction
    power_w: Prediction
    grams_per_watt: Prediction
    power_to_first: Prediction
    tip_mach: float


def propeller_table(
    propeller: Propeller, rpm: list[float], advance: list[float], air: Air, samples: int = 2048, seed: int = 0
) -> PropellerTable:
    """Every combination of `rpm` and `advance`, with 5-95 % bounds from the scatter of measured propellers."""
    columns = rotor_columns(propeller, air, Draws(samples, seed))
    assert propeller.diameter is not None
    assert propeller.pitch is not None
    return PropellerTable(
        name=propeller.name,
        diameter_m=propeller.diameter.value,
        pitch_m=propeller.pitch.value,
        blades=propeller.blades,
        blade="measured" if propeller.station else "typical for its size",
        density_kg_per_m3=air.density,
        rows=tuple(_row(columns, n, J) for n in rpm for J in advance),
    )


def _row(columns: PowertrainColumns, rpm: float, advance: float) -> PropellerRow:
    n, D = rpm / 60, columns.craft["diameter"]
    points = columns.turn(2 * math.pi * n, advance * n * D)
    ct, cp, thrust = points["ct"], points["cp"], points["thrust"]
    power = points["torque"] * 2 * math.pi * n
    pulls = (ct > 0) & (cp > 0)
    reason = None if pulls[0] else "the rotor does not pull: the air drives or brakes it"
    with np.errstate(divide="ignore", invalid="ignore"):
        efficiency = np.where(pulls, advance * ct / cp, np.nan)
        grams = np.where(pulls, 1e3 * thrust / GRAVITY / power, np.nan)
    return PropellerRow(
        rpm=rpm,
        advance=advance,
        ct=Prediction.of(ct, "1"),
        cp=Prediction.of(cp, "1"),
        efficiency=Prediction.of(efficiency, "1", reason),
        thrust_n=Prediction.of(thrust, "N"),
        power_w=Prediction.of(power, "W"),
        grams_per_watt=Prediction.of(grams, "g/W", reason),
        tip_mach=float(points["tip_mach"][0]),
        reynolds=float(points["reynolds"][0]),
        beyond_validation=outside_validated_range(float(points["reynolds"][0]), 0.75 * float(points["tip_mach"][0])),
    )


def equal_thrust(
    propellers: list[Propeller], thrusts: list[float], air: Air, samples: int = 2048, seed: int = 0
) -> tuple[EqualThrust, ...]:
    """Speed and shaft power at which each propeller gives each of `thrusts` [N] standing.

    The ratio of two powers is taken sample by sample, so that what the propellers share cancels.
    """
    columns = [rotor_columns(propeller, air, Draws(samples, seed)) for propeller in propellers]
    rows = []
    for thrust in thrusts:
        states = [_at_thrust(column, thrust) for column in columns]
        first = states[0][1]
        for propeller, (n, power, mach) in zip(propellers, states, strict=True):
            rows.append(
                EqualThrust(
                    name=propeller.name,
                    thrust_n=thrust,
                    rpm=Prediction.of(n * 60, "rpm"),
                    power_w=Prediction.of(power, "W"),
                    grams_per_watt=Prediction.of(1e3 * thrust / GRAVITY / power, "g/W"),
                    power_to_first=Prediction.of(power / first, "1"),
                    tip_mach=mach,
                )
            )
    return tuple(rows)


def _at_thrust(columns: PowertrainColumns, thrust: float) -> tuple[Array, Array, float]:
    """Speed [rev/s], shaft power [W] and nominal tip Mach number, by fixed point on the slowly varying CT."""
    D, rho = columns.craft["diameter"], columns.craft["density"]
    n = np.sqrt(thrust / (0.1 * rho * D**4))
    for _ in range(30):
        points = columns.turn(2 * math.pi * n)
        n = np.sqrt(thrust / (points["ct"] * rho * D**4))
    return n, points["torque"] * 2 * math.pi * n, float(points["tip_mach"][0])
