"""Lift and drag of blade sections over all angles and small-propeller Reynolds numbers, from one shipped table."""

import math
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.compiled import kernel

__all__ = [
    "ANGLES",
    "REYNOLDS",
    "Polar",
    "Section",
    "lookup",
    "section_coefficients",
    "section_names",
    "shipped_polar",
]

Array = NDArray[np.float64]

ANGLES: Array = np.arange(-180.0, 181.0)
REYNOLDS: Array = np.exp(np.linspace(math.log(5e3), math.log(1e6), 12))
_LN_RE_0 = math.log(5e3)
_LN_RE_STEP = math.log(1e6 / 5e3) / 11.0
_N_RE = 12


@dataclass(frozen=True)
class Polar:
    """Lift and drag coefficients of one section on the common grid of angle and Reynolds number."""

    lift: Array
    """CL [n_reynolds, n_angle] [-] over `REYNOLDS` and `ANGLES` (degrees)."""
    drag: Array
    """CD [n_reynolds, n_angle] [-]."""

    def section(self) -> "Section":
        """The form that kernels take."""
        return Section(np.ascontiguousarray(np.stack([self.lift, self.drag])), _zero_lift(self.lift))


class Section(NamedTuple):
    """Kernel form of a polar: CL and CD stacked [2, n_reynolds, n_angle], zero-lift angle [n_reynolds] [rad]."""

    polar: Array
    zero_lift: Array


def _zero_lift(lift: Array) -> Array:
    """Angle of zero lift next to zero degrees [n_reynolds] [rad]."""
    near = (ANGLES >= -15.0) & (ANGLES <= 15.0)
    angles = np.radians(ANGLES[near])
    return np.array([np.interp(0.0, np.maximum.accumulate(row[near]), angles) for row in lift])


@cache
def section_names() -> tuple[str, ...]:
    """Names of the sections in the shipped table."""
    with np.load(Path(__file__).with_name("polars.npz")) as data:
        return tuple(str(name) for name in data["names"])


@cache
def shipped_polar(name: str = "typical") -> Polar:
    """One section of the shipped table, baked by `tools/bake_polars.py` with a general section solver.

    Parameters: name - one of `section_names()`.
    Errors: KeyError when the table has no such section.
    Range: Reynolds number 5e3 to 1e6, all angles; past stall the flat-plate values of the baking script.
    """
    if name not in section_names():
        raise KeyError(f"no section {name!r} in the polar table; it has {', '.join(section_names())}")
    with np.load(Path(__file__).with_name("polars.npz")) as data:
        k = section_names().index(name)
        return Polar(data["lift"][k].astype(np.float64), data["drag"][k].astype(np.float64))


@kernel
def lookup(polar: Array, angle: float, reynolds: float) -> tuple[float, float]:
    """CL and CD by linear interpolation in angle [rad] and in ln(Re); Re is held at the ends of the table."""
    if not math.isfinite(angle) or math.isnan(reynolds):
        return math.nan, math.nan  # no cell of the table is theirs
    d = angle * (180.0 / math.pi)
    d = d - 360.0 * math.floor((d + 180.0) / 360.0) + 180.0
    j = min(int(d), 359)
    u = d - j
    e = (math.log(max(reynolds, 1.0)) - _LN_RE_0) / _LN_RE_STEP
    e = min(max(e, 0.0), _N_RE - 1.000001)
    i = int(e)
    w = e - i
    cl = (1.0 - w) * ((1.0 - u) * polar[0, i, j] + u * polar[0, i, j + 1])
    cl += w * ((1.0 - u) * polar[0, i + 1, j] + u * polar[0, i + 1, j + 1])
    cd = (1.0 - w) * ((1.0 - u) * polar[1, i, j] + u * polar[1, i, j + 1])
    cd += w * ((1.0 - u) * polar[1, i + 1, j] + u * polar[1, i + 1, j + 1])
    return cl, cd


@kernel
def _zero_lift_at(zero_lift: Array, reynolds: float) -> float:
    if math.isnan(reynolds):
        return math.nan
    e = (math.log(max(reynolds, 1.0)) - _LN_RE_0) / _LN_RE_STEP
    e = min(max(e, 0.0), _N_RE - 1.000001)
    i = int(e)
    return float(zero_lift[i] + (e - i) * (zero_lift[i + 1] - zero_lift[i]))


@kernel
def _near_stall_weight(excess: float) -> float:
    """1 up to 25 degrees from zero lift, 0 from 45 degrees on: corrections stay out of deep stall."""
    t = (abs(excess) - 0.43633) / 0.34907
    if t <= 0.0:
        return 1.0
    if t >= 1.0:
        return 0.0
    return 1.0 - t * t * (3.0 - 2.0 * t)


@kernel
def section_coefficients(
    section: Section,
    angle: float,
    reynolds: float,
    mach: float,
    chord_ratio: float,
    delay: float,
    slope: float,
) -> tuple[float, float]:
    """CL and CD of a rotating section: lift-slope factors, then stall delay by rotation.

    With b = (1 - M^2)^-1/4 the polar is read at a0 + (a - a0) s b and CL is multiplied by b: the lift slope grows as
    Prandtl and Glauert have it, the greatest lift half as much (between not at all and in full, both held possible).
    Stall delay: CL += k (c/r)^2 (2 pi (a - a0) - CL), k = `delay`.

    Parameters: section; angle - of attack [rad]; reynolds, mach - local [-]; chord_ratio - c/r [-];
    delay - k [-] (Snel: 3; 0 switches it off); slope - s, lifting-surface factor [-].
    Returns: CL, CD [-]. Range: local Mach below about 0.65; no wave drag.
    Source: Glauert (1928); Snel, Houwink, Bosschers (1994), ECN-C--93-052 (from memory).
    """
    a0 = _zero_lift_at(section.zero_lift, reynolds)
    excess = angle - a0
    weight = _near_stall_weight(excess)
    m = min(mach, 0.9)
    b = (1.0 - m * m) ** -0.25
    excess *= 1.0 + weight * (slope * b - 1.0)
    cl, cd = lookup(section.polar, a0 + excess, reynolds)
    cl *= 1.0 + weight * (b - 1.0)
    if excess > 0.0:
        gain = 2.0 * math.pi * math.sin(excess) - cl
        # The ramp keeps lift continuous at zero lift, where the table's angle of zero lift is interpolated.
        cl += min(delay * chord_ratio * chord_ratio, 1.0) * weight * max(gain, 0.0) * min(10.0 * excess, 1.0)
    return cl, cd
