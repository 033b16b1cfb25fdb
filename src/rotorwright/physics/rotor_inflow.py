"""Flow through a lifting disc for the blade-element solution: induced speed in every state, tip and hub loss.

Speeds are counted positive along the flow that the rotor itself drives: climbing is positive.
"""

import math

from rotorwright.physics.compiled import kernel

__all__ = ["induced_speed_ratio", "loss_factor", "oblique_speed_ratio", "vortex_ring_band"]

# The published curve ends at 1.026 where the windmill branch begins at 1; this share is taken out of its
# fourth-order term so that the curve is continuous there. It changes the curve by at most 2.6 %.
_JOIN = (1.026 - 1.0) / 16.0
_RING_UPPER, _RING_LOWER, _RING_EDGEWISE = -0.45, -1.5, 0.95


@kernel
def induced_speed_ratio(climb: float) -> float:
    """Induced speed v/vh at climb speed x = Vc/vh, where vh = sqrt(T/(2 rho A)).

    x >= 0: v/vh = -x/2 + sqrt(x^2/4 + 1); x <= -2: v/vh = -x/2 - sqrt(x^2/4 - 1) (both exact momentum theory);
    between: v/vh = 1 - 1.125 x - 1.372 x^2 - 1.718 x^3 - 0.655 x^4 (empirical, there is no momentum solution).

    Parameters: climb - axial speed over hover induced speed [-], negative in descent.
    Returns: induced speed over hover induced speed [-].
    Range: vortex-ring flow (about -1.5 < x < -0.45) is unsteady; the curve is a mean.
    Source: Leishman, Principles of Helicopter Aerodynamics, ch. 2 (from memory; constants seen in public code).
    """
    x = climb
    if x >= 0.0:
        return 1.0 / (0.5 * x + math.sqrt(0.25 * x * x + 1.0))
    if x <= -2.0:
        return 1.0 / (-0.5 * x + math.sqrt(0.25 * x * x - 1.0))
    return 1.0 + x * (-1.125 + x * (-1.372 + x * (-1.718 + x * (-0.655 - _JOIN))))


@kernel
def oblique_speed_ratio(climb: float, edgewise: float) -> float:
    """Induced speed v/vh at climb speed x and edgewise speed m (both over vh), in all working states.

    a is the root in (0, 1] of a^4 + m^2 w^2 = 1 with w = a f(x/a), f = `induced_speed_ratio`; v/vh = w. In climb
    and level flight this is Glauert's v sqrt(m^2 + (x + v)^2) = 1; without edgewise flow it is f(x), empirical in
    descent. The left side grows with a, so the root is unique; the join of the two curves is our own.

    Parameters: climb, edgewise - speeds over hover induced speed [-]. Returns: v/vh [-].
    Source: Glauert, ARC R&M 1111 (1926) (from memory).
    """
    m = abs(edgewise)
    if m < 1e-9:
        return induced_speed_ratio(climb)
    low, g_low = 0.0, -1.0
    high, g_high = 1.0, (m * induced_speed_ratio(climb)) ** 2
    a = 1.0
    for step in range(60):
        a = 0.5 * (low + high) if step % 4 == 3 else (low * g_high - high * g_low) / (g_high - g_low)
        g = a**4 + (m * a * induced_speed_ratio(climb / a)) ** 2 - 1.0
        if abs(g) < 1e-10:
            break
        if g * g_high <= 0.0:
            low, g_low = high, g_high
        else:
            g_low *= 0.5
        high, g_high = a, g
    return a * induced_speed_ratio(climb / a)


@kernel
def loss_factor(count: float, radius_ratio: float, hub_ratio: float, sine: float) -> float:
    """Prandtl tip and hub loss F = F_tip F_hub, F = (2/pi) acos(exp(-f)), f_tip = (B/2)(1-r)/(r |sin phi|).

    Parameters: count - blades B [-]; radius_ratio - r/R [-]; hub_ratio - hub radius over R [-], 0 means no hub
    loss; sine - sin of the inflow angle [-].
    Returns: share of the blade-element load that the annulus mean carries [-], at least 1e-4.
    Source: Prandtl (1919), hub form after Ning (2014), Wind Energy 17, 1327 (from memory).
    """
    s = abs(sine) + 1e-12
    f = 0.5 * count * (1.0 - radius_ratio) / (radius_ratio * s)
    F = 2.0 / math.pi * math.acos(math.exp(-f))
    if hub_ratio > 0.0:
        f = 0.5 * count * (radius_ratio - hub_ratio) / (hub_ratio * s)
        F *= 2.0 / math.pi * math.acos(math.exp(-f))
    return max(F, 1e-4)


@kernel
def vortex_ring_band(edgewise: float) -> tuple[float, float]:
    """Axial speeds over vh between which a rotor is in the vortex-ring state, at edgewise speed m over vh.

    V = (V_N + V_X)/2 +/- (V_N - V_X)/2 (1 - (m/0.95)^2)^e with V_N = -0.45, V_X = -1.5; e = 0.2 above, 1.5 below.

    Parameters: edgewise - in-plane speed over hover induced speed [-]. Returns: lower and upper speed [-], NaN where
    edgewise flow blows the ring away (m > 0.95).
    Source: Johnson, NASA/TP-2005-213477 (parameters seen second hand).
    """
    rest = 1.0 - (edgewise / _RING_EDGEWISE) ** 2
    if not rest >= 0.0:
        return math.nan, math.nan
    middle, half = 0.5 * (_RING_UPPER + _RING_LOWER), 0.5 * (_RING_UPPER - _RING_LOWER)
    return middle - half * rest**1.5, middle + half * rest**0.2
