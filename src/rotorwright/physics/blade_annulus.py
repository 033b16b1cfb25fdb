"""Kernels of the blade-element momentum solution in axial flow: one annulus by a bracketed root, and their sum.

Speeds are in units of n D, so that rotation is pi r at radius r (over R) and axial flow is the advance ratio.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.compiled import kernel
from rotorwright.physics.polars import Section, section_coefficients
from rotorwright.physics.rotor_inflow import induced_speed_ratio, loss_factor

__all__ = ["Annulus", "Cut", "Stream", "annulus_loads", "annulus_of", "solve_annuli", "solve_inflow_angle"]

Array = NDArray[np.float64]

STALL_DELAY = 3.0
BRACKET = math.radians(15.0)
SPEED_75 = 0.75 * math.pi


class Cut(NamedTuple):
    """A blade cut into annuli: middle, width and chord over R [n_annulus], twist [n_annulus] [rad]."""

    radius: Array
    width: Array
    chord: Array
    twist: Array
    hub: float
    """Hub radius over R [-]."""
    blades: float
    """Number of blades [-]."""
    slope: float
    """Lifting-surface factor on the section's lift slope [-]."""
    chord_75: float
    """Chord at 0.75 R over R [-]."""


class Annulus(NamedTuple):
    """One annulus: r/R, c/R [-], twist [rad], hub over R, blades, lift-slope factor [-]."""

    r: float
    c: float
    theta: float
    hub: float
    blades: float
    slope: float


class Stream(NamedTuple):
    """Oncoming air: advance ratio J; Re per c/R and Mach number, both at 0.75 R from rotation alone [-]."""

    J: float
    Re: float
    M: float


@kernel
def annulus_of(cut: Cut, i: int) -> Annulus:
    """Annulus i of a blade."""
    return Annulus(cut.radius[i], cut.chord[i], cut.twist[i], cut.hub, cut.blades, cut.slope)


@kernel
def _state(phi: float, section: Section, ring: Annulus, air: Stream) -> tuple[float, float, float, float]:
    """Residual of the momentum balance at inflow angle phi, with resultant speed W and force coefficients.

    Momentum in the annulus gives vh = W sqrt(sigma |Cn|/(4F)); blade and disc agree when W sin(phi) = V + v.
    Divided by W the residual stays finite for V = 0: hover is no special case.
    """
    s, k = math.sin(phi), math.cos(phi)
    speed = math.sqrt((math.pi * ring.r) ** 2 + air.J * air.J) / SPEED_75
    cl, cd = section_coefficients(
        section, ring.theta - phi, air.Re * speed * ring.c, air.M * speed, ring.c / ring.r, STALL_DELAY, ring.slope
    )
    cn, ct = cl * k - cd * s, cl * s + cd * k
    quarter = ring.blades * ring.c / (8.0 * math.pi * ring.r * loss_factor(ring.blades, ring.r, ring.hub, s))
    q = math.sqrt(quarter * abs(cn))
    # Swirl over the mass flow of the annulus; where the net flow stalls (descent) the flow is at least that of vh.
    D = k + quarter * ct / max(abs(s), q, 1e-9)
    if D <= 1e-6:
        return 1.0, 0.0, cn, ct
    W = math.pi * ring.r / D
    sign = 1.0 if cn >= 0.0 else -1.0
    v = sign * q * induced_speed_ratio(sign * air.J / (W * max(q, 1e-12)))
    return s - air.J / W - v, W, cn, ct


@kernel
def solve_inflow_angle(section: Section, ring: Annulus, air: Stream) -> float:
    """Inflow angle of one annulus [rad], NaN when its bracket holds no root.

    Without induction the residual has the sign of minus the lift, and fifteen degrees beyond the blade angle the
    lift is reversed: the root lies between. Regula falsi (Illinois) with a bisection guard. An annulus that the
    air meets from behind (deep descent, steep root) has no momentum balance: it gets no induced speed.
    """
    if not (air.J == air.J and air.Re == air.Re and air.M == air.M):
        return math.nan
    a = math.atan2(air.J, math.pi * ring.r)
    if abs(ring.theta - a) > 0.5 * math.pi:
        return a
    fa = _state(a, section, ring, air)[0]
    if fa == 0.0:
        return a
    b = ring.theta + BRACKET if fa < 0.0 else ring.theta - BRACKET
    fb = _state(b, section, ring, air)[0]
    if fa * fb > 0.0:
        return math.nan
    for step in range(80):
        x = 0.5 * (a + b) if step % 4 == 3 else (a * fb - b * fa) / (fb - fa)
        fx = _state(x, section, ring, air)[0]
        if fx * fb <= 0.0:
            a, fa = b, fb
        else:
            fa *= 0.5
        b, fb = x, fx
        if abs(b - a) < 1e-9 or abs(fb) < 1e-10:
            return b
    return math.nan


@kernel
def annulus_loads(section: Section, ring: Annulus, air: Stream) -> tuple[float, float]:
    """Thrust and power of one annulus per unit r/R, as shares of CT and CP [-]."""
    phi = solve_inflow_angle(section, ring, air)
    if phi != phi:
        return math.nan, math.nan
    _, W, cn, ct = _state(phi, section, ring, air)
    load = 0.125 * ring.blades * W * W * ring.c
    return load * cn, load * ct * math.pi * ring.r


@kernel
def solve_annuli(cut: Cut, section: Section, advance: float, reynolds: float, mach: float) -> tuple[float, float]:
    """CT and CP of a blade cut into annuli.

    Parameters: cut; section; advance J [-]; reynolds, mach - at 0.75 R from rotation alone [-].
    Returns: CT, CP [-].
    """
    CT = CP = 0.0
    air = Stream(advance, reynolds / cut.chord_75, mach)
    for i in range(cut.radius.size):
        dCT, dCP = annulus_loads(section, annulus_of(cut, i), air)
        CT += dCT * cut.width[i]
        CP += dCP * cut.width[i]
    return CT, CP
