"""One propeller by itself: coefficients, thrust and power over speed of rotation and advance ratio."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws, PowertrainColumns, rotor_columns
from rotorwright.parts.propulsion import Propeller
from rotorwright.physics.air import GRAVITY, Air
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
    """What one propeller needs for a stated thrust, standing."""

    name: str
    thrust_n: float
    rpm: Prediction
    power_w: Prediction
    grams_per_watt: Prediction
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
    with np.errstate(divide="ignore", invalid="ignore"):
        efficiency = np.where(cp > 0, advance * ct / cp, np.nan)
        grams = np.where(power > 0, 1e3 * thrust / GRAVITY / power, np.nan)
    return PropellerRow(
        rpm=rpm,
        advance=advance,
        ct=Prediction.of(ct, "1"),
        cp=Prediction.of(cp, "1"),
        efficiency=Prediction.of(efficiency, "1", None if cp[0] > 0 else "the rotor is driven by the air"),
        thrust_n=Prediction.of(thrust, "N"),
        power_w=Prediction.of(power, "W"),
        grams_per_watt=Prediction.of(grams, "g/W", None if cp[0] > 0 else "the rotor is driven by the air"),
        tip_mach=float(points["tip_mach"][0]),
        reynolds=float(points["reynolds"][0]),
    )


def equal_thrust(propeller: Propeller, thrust: float, air: Air, samples: int = 2048, seed: int = 0) -> EqualThrust:
    """Speed and shaft power at which `propeller` gives `thrust` [N] standing, by fixed point on the coefficient.

    CT varies slowly with speed, so n = sqrt(T / (CT rho D^4)) settles in a few rounds.
    """
    columns = rotor_columns(propeller, air, Draws(samples, seed))
    D, rho = columns.craft["diameter"], columns.craft["density"]
    n = np.sqrt(thrust / (0.1 * rho * D**4))
    for _ in range(30):
        points = columns.turn(2 * math.pi * n)
        n = np.sqrt(thrust / (points["ct"] * rho * D**4))
    power = points["torque"] * 2 * math.pi * n
    return EqualThrust(
        name=propeller.name,
        thrust_n=thrust,
        rpm=Prediction.of(n * 60, "rpm"),
        power_w=Prediction.of(power, "W"),
        grams_per_watt=Prediction.of(1e3 * thrust / GRAVITY / power, "g/W"),
        tip_mach=float(points["tip_mach"][0]),
    )
