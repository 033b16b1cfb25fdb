"""Blade elements in oblique flow, averaged over azimuth with Glauert's inflow: axial, edgewise and descending.

Speeds are in units of n D: rotation pi r, axial flow J, edgewise flow E = V_edgewise/(n D).
"""

import math

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.blade_annulus import BRACKET, SPEED_75, STALL_DELAY, Annulus, Cut, Stream, annulus_of
from rotorwright.physics.compiled import kernel
from rotorwright.physics.polars import Section, section_coefficients
from rotorwright.physics.rotor_inflow import loss_factor, oblique_speed_ratio

__all__ = ["fill_oblique", "solve_oblique"]

Array = NDArray[np.float64]
# Without cyclic inflow the two halves of the disc, fore and aft, mirror each other: half a turn is enough.
AZIMUTHS = 6
SINES: Array = np.sin((np.arange(AZIMUTHS) + 0.5) * np.pi / AZIMUTHS - 0.5 * np.pi)


@kernel
def _element(section: Section, ring: Annulus, air: Stream, tangential: float, normal: float) -> tuple[float, float]:
    """W^2 Cn and W^2 Ct of one blade element, forces along the axis and against rotation [(n D)^2]."""
    W_2 = tangential * tangential + normal * normal
    W = math.sqrt(W_2)
    phi = math.atan2(normal, tangential)
    speed = W / SPEED_75
    cl, cd = section_coefficients(
        section, ring.theta - phi, air.Re * speed * ring.c, air.M * speed, ring.c / ring.r, STALL_DELAY, ring.slope
    )
    return W * (cl * tangential - cd * normal), W * (cl * normal + cd * tangential)


@kernel
def _swirl(r: float, axial: float, v: float) -> float:
    """Swirl u at a disc without drag: the induced velocity is normal to the local flow, u (pi r - u) = v (V + v)."""
    a = math.pi * r
    return 0.5 * (a - math.sqrt(max(a * a - 4.0 * max(v * (axial + v), 0.0), 0.0)))


@kernel
def _lag(v: float, section: Section, ring: Annulus, air: Stream, edgewise: float) -> float:
    """Assumed induced speed minus the one that momentum theory gives for the mean load of the annulus."""
    mean = 0.0
    turning = math.pi * ring.r - _swirl(ring.r, air.J, v)
    for sine in SINES:
        mean += _element(section, ring, air, turning + edgewise * sine, air.J + v)[0]
    mean /= AZIMUTHS
    flow = air.J + v
    F = loss_factor(ring.blades, ring.r, ring.hub, flow / math.sqrt(flow * flow + (math.pi * ring.r) ** 2))
    vh = math.sqrt(abs(mean) * ring.blades * ring.c / (8.0 * math.pi * ring.r * F))
    if vh < 1e-9:
        return v
    sign = 1.0 if mean >= 0.0 else -1.0
    return v - sign * vh * oblique_speed_ratio(sign * air.J / vh, edgewise / vh)


@kernel
def _induced(section: Section, ring: Annulus, air: Stream, edgewise: float) -> float:
    """Induced speed of one annulus [n D], NaN when its bracket holds no root."""
    if abs(ring.theta - math.atan2(air.J, math.pi * ring.r)) > 0.5 * math.pi:
        return 0.0
    a, fa = 0.0, _lag(0.0, section, ring, air, edgewise)
    if abs(fa) < 1e-9:
        return 0.0
    # The bracket reaches the flow at which the lift is reversed at every azimuth with tangential speed left.
    reach = math.pi * ring.r + edgewise
    if fa < 0.0:
        b = reach * math.tan(min(max(ring.theta, 0.0) + BRACKET, 1.45)) - air.J
    else:
        b = -reach * math.tan(min(max(-ring.theta, 0.0) + BRACKET, 1.45)) - air.J
    fb = _lag(b, section, ring, air, edgewise)
    if fa * fb > 0.0:
        return math.nan
    for step in range(80):
        x = 0.5 * (a + b) if step % 4 == 3 else (a * fb - b * fa) / (fb - fa)
        fx = _lag(x, section, ring, air, edgewise)
        if fx * fb <= 0.0:
            a, fa = b, fb
        else:
            fa *= 0.5
        b, fb = x, fx
        if abs(b - a) < 1e-8 or abs(fb) < 1e-8:
            return b
    return math.nan


@kernel
def solve_oblique(
    cut: Cut, section: Section, advance: float, edgewise: float, reynolds: float, mach: float
) -> tuple[float, float, float, float]:
    """CT, CP, in-plane force CH and roll moment CR of a rigid propeller in oblique flow.

    Parameters: cut; section; advance J, edgewise E - components of flight speed over n D [-]; reynolds, mach - at
    0.75 R from rotation alone [-].
    Returns: CT, CP as usual; CH = H/(rho n^2 D^4), along the edgewise flow; CR = M/(rho n^2 D^5), lifting the
    advancing side [-]; NaN where an annulus has no solution.
    Range: no flapping, no spanwise flow, no cyclic inflow; trends checked against published inflow-angle tests.
    Source: Glauert, ARC R&M 1111 (1926); blade elements averaged over azimuth.
    """
    CT = CP = CH = CR = 0.0
    air = Stream(advance, reynolds / cut.chord_75, mach)
    for i in range(cut.radius.size):
        ring = annulus_of(cut, i)
        v = _induced(section, ring, air, edgewise)
        turning = math.pi * ring.r - _swirl(ring.r, air.J, v)
        load = 0.125 * ring.blades * ring.c * cut.width[i] / AZIMUTHS
        for sine in SINES:
            n, t = _element(section, ring, air, turning + edgewise * sine, advance + v)
            CT += load * n
            CP += load * t * math.pi * ring.r
            CH += load * t * sine
            CR += load * n * 0.5 * ring.r * sine
    return CT, CP, CH, CR


@kernel
def fill_oblique(cut: Cut, section: Section, advance: Array, edgewise: Array, reynolds: Array, out: Array) -> None:
    """Fill `out` [4, n_reynolds, n_edgewise, n_advance]: change of CT and CP against axial flow, CH and CR."""
    for i in range(reynolds.size):
        for j in range(advance.size):
            axial = solve_oblique(cut, section, advance[j], 0.0, reynolds[i], 0.0)
            out[:, i, 0, j] = 0.0
            for e in range(1, edgewise.size):
                point = solve_oblique(cut, section, advance[j], edgewise[e], reynolds[i], 0.0)
                out[0, i, e, j] = point[0] - axial[0]
                out[1, i, e, j] = point[1] - axial[1]
                out[2, i, e, j] = point[2]
                out[3, i, e, j] = point[3]
