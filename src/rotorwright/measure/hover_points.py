"""Hovers read in flight against the whole chain: mass to thrust, rotor, motor, controller, battery current.

At a hover of known mass and measured voltage the operating point's own balance says throttle and current. What is
read over what is said is the check; which part of the chain may account for it is fitted on the parts' own bars.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rotorwright.columns import PowertrainColumns
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.measure.belief import Belief, Found, find
from rotorwright.measure.fit import Fit, FittedValue, SetAside, set_aside
from rotorwright.measure.stand_model import Bench, bench_of, bench_row
from rotorwright.parts.propulsion import Motor, Propeller, SpeedController
from rotorwright.physics.air import GRAVITY, Air
from rotorwright.physics.compiled import kernel
from rotorwright.physics.powertrain import balanced_rotation, motor_load, rotor_coefficients, supply_load
from rotorwright.predict.airborne import airborne

__all__ = ["HoverChain", "fit_hover", "hover_chain", "hover_readings"]

Array = NDArray[np.float64]

_CURRENT, _CURRENT_FLOOR, _THROTTLE = 0.02, 0.1, 0.01
# Calibration of what a craft carries: from experience with such sensors, no source.
GAINS = {"voltage": 0.01, "current": 0.05, "throttle": 0.02}


@dataclass(frozen=True, slots=True)
class HoverChain:
    """A craft's nominal row, and what is believed of its parts."""

    columns: PowertrainColumns
    bench: Bench
    beliefs: tuple[Belief, ...]
    mass: float
    """All-up [kg]."""


def hover_chain(craft: Craft, gains: Mapping[str, float] | None = None) -> HoverChain:
    """The chain of `craft` in the air of its site; CannotCompute when it lacks what flying takes."""
    columns = airborne(craft, 0).columns
    motor, propeller, controller = (craft.the(role) for role in ("motor", "propeller", "speed-controller"))
    assert motor and propeller and isinstance(motor.part, Motor) and isinstance(propeller.part, Propeller)
    switch = controller.part if controller and isinstance(controller.part, SpeedController) else None
    row = columns.craft[0]
    density, viscosity, sound, warm = (
        float(row[name]) for name in ("density", "viscosity", "sound_speed", "air_temperature")
    )
    here = Air(density, viscosity, sound, warm, pressure=math.nan)  # nothing on the stand asks for the pressure
    bench = bench_of(motor.part, propeller.part, switch, here, gains={**GAINS, **(gains or {})})
    beliefs = tuple(b for b in bench.beliefs if b.field not in ("thrust_gain", "torque_gain"))
    extra = (
        Belief("", "", "mass_gain", "1", 1.0, 0.005),
        Belief("", "", "electronics_gain", "1", 1.0, 0.3),
        Belief("", "", "surroundings", "1", float(row["thrust_level"]), 0.03),
    )
    return HoverChain(columns, bench, (*beliefs, *extra), float(row["mass"]))


@kernel
def _hover(craft: Any, rotors: Any, thrust: Any, volts: Any, out: Any) -> None:
    """Throttle, battery current and rotation that hold a thrust of each rotor at a measured supply."""
    c = craft[0]
    nan = np.nan
    for i in range(thrust.shape[0]):
        rotation = balanced_rotation(c, rotors, nan, thrust[i], volts[i], 0.0, 0.0)
        _, CP, _, _, _ = rotor_coefficients(c, rotors, rotation, 0.0, 0.0)
        _, current, voltage = motor_load(c, rotation, CP)
        out[i, 0], _, out[i, 1] = supply_load(c, nan, nan, current, voltage, volts[i])
        out[i, 2] = rotation


def hover_readings(chain: HoverChain, numbers: Mapping[str, float], volts: Array, mass: Array) -> Array:
    """Throttle [1], battery current [A], rotation [rad/s] of hovers (n, 3) at volts (n,) and masses (n,) [kg]."""
    row = bench_row(chain.bench, numbers)
    for field in ("motors", "mass", "electronics_power"):
        row[field] = chain.columns.craft[field][:1]
    row["electronics_power"] *= numbers["electronics_gain"]
    row["thrust_level"] *= numbers["surroundings"]
    row["battery_resistance"] = row["lead_resistance"] = 0.0
    thrust = mass * numbers["mass_gain"] * GRAVITY / row["motors"][0]
    out = np.empty((len(volts), 3))
    _hover(row.view(np.recarray), chain.columns.rotors, thrust, volts, out)
    return out


def fit_hover(
    chain: HoverChain,
    volts: ArrayLike,
    amps: ArrayLike,
    throttle: ArrayLike | None = None,
    mass: ArrayLike | None = None,
) -> Fit:
    """Check the chain on hovers: volts at the controllers, amps of the whole craft, throttle 0..1, mass [kg] (n,).

    mass: the craft's own where None or NaN
    Raises CannotCompute when no row can be used.
    """
    v, i = (np.atleast_1d(np.asarray(column, dtype=float)) for column in (volts, amps))
    d = np.full(len(v), np.nan) if throttle is None else np.asarray(throttle, dtype=float)
    m = np.full(len(v), np.nan) if mass is None else np.broadcast_to(np.asarray(mass, dtype=float), v.shape)
    m = np.where(np.isfinite(m), m, chain.mass)
    with np.errstate(invalid="ignore"):
        flags = {
            "voltage is missing or not positive": ~(v > 0),
            "current is negative: is the sensor reversed?": i < 0,
            "neither current nor throttle was read": ~(np.isfinite(i) | np.isfinite(d)),
            "throttle is at its end: not a hover": (d <= 0.02) | (d >= 0.98),
        }
    good = ~np.any(list(flags.values()), axis=0)
    if not good.any():
        raise CannotCompute("no hover can be used")
    v = np.where(good, v, np.nan)
    read = np.stack([d, i])
    sd = np.stack([np.full(len(v), _THROTTLE), np.hypot(_CURRENT * i, _CURRENT_FLOOR)])

    def said(numbers: dict[str, float]) -> Array:
        out = np.full((2, len(v)), np.nan)
        true = v[good] / numbers["voltage_gain"]
        out[:, good] = hover_readings(chain, numbers, true, m[good]).T[:2]
        return np.asarray(out * np.array([[numbers["throttle_gain"]], [numbers["current_gain"]]]))

    found = find(
        chain.beliefs,
        lambda numbers: np.asarray((read - said(numbers)) / sd).ravel(),
        group=np.repeat([0, 1], len(v)),
        correlations=chain.bench.correlations,
    )
    nominal = said(_nominal(chain))
    off, marked = read - said(found.mean()), found.solution.marked.reshape(2, -1)
    return _result(found, read / nominal, off, np.where(marked, np.nan, off), set_aside(flags))


def _nominal(chain: HoverChain) -> dict[str, float]:
    return {(f"{b.kind}.{b.field}" if b.kind else b.field): b.value for b in chain.beliefs}


def _result(found: Found, ratio: Array, off: Array, left: Array, flagged: tuple[SetAside, ...]) -> Fit:
    names = ("throttle_1", "amps_a")
    checks = [_check(name, own, r) for name, own, r in zip(("throttle", "current"), ratio, left, strict=True)]
    values = (*(c for c in checks if c is not None), *found.values)
    k = len(values) - len(found.values)
    covariance = np.zeros((len(values), len(values)))
    covariance[np.arange(k), np.arange(k)] = [v.sd**2 for v in values[:k]]
    covariance[k:, k:] = found.covariance
    marked = found.solution.marked.reshape(2, -1)
    aside = [
        SetAside(int(row), f"{word} does not agree with the other hovers")
        for word, own in zip(("throttle", "current"), marked, strict=True)
        for row in np.flatnonzero(own)
    ]
    there = [n for n, r in zip(names, left, strict=True) if np.isfinite(r).any()]
    by_name = dict(zip(names, left, strict=True))
    return Fit(
        name="hover",
        values=values,
        covariance=covariance,
        rows_used=int(np.isfinite(left).any(axis=0).sum()),
        rows_set_aside=tuple(sorted((*flagged, *aside), key=lambda s: s.row)),
        residual_sd={n: float(np.sqrt(np.nanmean(np.square(by_name[n])))) for n in there},
        residuals={n: by_name[n] for n in there},
        identifies=found.identifies
        + " A hover is one point of the chain: it tells that something is off, seldom what.",
        notes=tuple(_said(c) for c in checks if c is not None),
        aside=dict(zip(names, np.where(marked, off, np.nan), strict=True)),
    )


def _check(name: str, ratio: Array, left: Array) -> FittedValue | None:
    own = ratio[np.isfinite(ratio) & np.isfinite(left)]
    if not len(own):
        return None
    sd = float(np.hypot(own.std() / np.sqrt(len(own)), GAINS[name]))
    note = "read over what the parts' files say; a check, no field of a craft"
    return FittedValue("craft", f"hover_{name}_ratio", float(np.mean(own)), sd, "1", note)


def _said(check: FittedValue) -> str:
    what = "Throttle" if "throttle" in check.field else "Current"
    off = check.value - 1.0
    word = "above" if off > 0 else "below"
    return f"{what} in the hover is {abs(off):.0%} {word} what the parts' files say, known to {check.sd:.0%}."
