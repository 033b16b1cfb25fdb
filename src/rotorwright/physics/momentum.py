"""Momentum theory of an ideal lifting disc: the floor under every real rotor's power.

Every function answers NaN where the theory has no answer; none ever returns the wrong root. Speeds are
positive for climb, and for flow that passes the disc in the direction of the downwash.

Source: Glauert's momentum theory as in Leishman, Principles of Helicopter Aerodynamics, ch. 2
(citation from memory; the numbers are checked in tests/validation).
"""

from math import atan, cos, nan, pi, sin, sqrt

from rotorwright.physics.compiled import kernel

__all__ = [
    "figure_of_merit",
    "hover_induced_velocity",
    "ideal_hover_power",
    "induced_velocity_axial",
    "induced_velocity_forward",
]

STEEPEST_UPFLOW = -atan(sqrt(8.0))  # beyond this tilt the quartic can have three roots [rad]
RING_STATE_SPEED = 0.95  # in-plane speed that blows the vortex ring away, in hover induced velocities
HALVINGS = 60  # leaves less than 1e-18 of the bracket


@kernel
def hover_induced_velocity(thrust: float, area: float, density: float) -> float:
    """Velocity induced at a hovering disc, vh = sqrt(T / (2 rho A)).

    thrust: scalar >= 0 [N]
    area: of the disc, scalar > 0 [m2]
    density: scalar > 0 [kg/m3]
    returns: scalar [m/s], NaN outside these ranges
    source: Leishman ch. 2
    """
    if thrust >= 0.0 and area > 0.0 and density > 0.0:
        return sqrt(thrust / (2.0 * density * area))
    return nan


@kernel
def ideal_hover_power(thrust: float, area: float, density: float) -> float:
    """Least power that holds a thrust still in the air, P = T vh = T^1.5 / sqrt(2 rho A).

    thrust: scalar >= 0 [N]
    area: of the disc, scalar > 0 [m2]
    density: scalar > 0 [kg/m3]
    returns: scalar [W], NaN outside these ranges
    source: Leishman ch. 2
    """
    return thrust * hover_induced_velocity(thrust, area, density)


@kernel
def induced_velocity_axial(thrust: float, area: float, density: float, climb_speed: float) -> float:
    """Velocity induced in vertical flight, v = -Vc/2 +- sqrt(Vc^2/4 +- vh^2).

    Upper signs in climb (Vc >= 0), lower signs in the windmill state (Vc <= -2 vh). Between the two the
    wake recirculates and momentum theory has no answer.

    thrust: scalar >= 0 [N]
    area: of the disc, scalar > 0 [m2]
    density: scalar > 0 [kg/m3]
    climb_speed: climb positive, scalar [m/s]
    returns: scalar [m/s], NaN for -2 vh < Vc < 0
    source: Leishman ch. 2
    """
    vh = hover_induced_velocity(thrust, area, density)
    half = 0.5 * climb_speed
    if climb_speed >= 0.0:
        return sqrt(half * half + vh * vh) - half
    if half <= -vh:
        return -half - sqrt(half * half - vh * vh)
    return nan


@kernel
def induced_velocity_forward(thrust: float, area: float, density: float, speed: float, disc_tilt: float) -> float:
    """Velocity induced in forward flight, the root of v sqrt((V cos a)^2 + (V sin a + v)^2) = vh^2.

    With the disc tilted nose down (a >= 0) the root is unique and at most vh. Tilted back, air comes up
    through the disc: that is answered only where the quartic has one root and the in-plane speed is at
    least 0.95 vh, so that no vortex ring can form.

    thrust: scalar >= 0 [N]
    area: of the disc, scalar > 0 [m2]
    density: scalar > 0 [kg/m3]
    speed: of flight, scalar >= 0 [m/s]
    disc_tilt: nose down positive, scalar -pi/2..pi/2 [rad]
    returns: scalar [m/s], NaN where refused
    source: Glauert's quartic, Leishman ch. 2; limit of the ring state after Johnson, NASA/TP-2005-213477
        (second hand)
    """
    vh = hover_induced_velocity(thrust, area, density)
    if not (vh >= 0.0 and speed >= 0.0 and STEEPEST_UPFLOW <= disc_tilt <= 0.5 * pi):
        return nan
    in_plane, through = speed * cos(disc_tilt), speed * sin(disc_tilt)
    high = vh
    if through < 0.0:
        if in_plane < RING_STATE_SPEED * vh:
            return nan
        high = vh * vh / in_plane
    low = 0.0
    for _ in range(HALVINGS):
        v = 0.5 * (low + high)
        if v * sqrt(in_plane * in_plane + (through + v) * (through + v)) < vh * vh:
            low = v
        else:
            high = v
    return 0.5 * (low + high)


@kernel
def figure_of_merit(ct: float, cp: float) -> float:
    """Ideal over actual hover power from propeller coefficients, FM = sqrt(2/pi) CT^1.5 / CP.

    ct: CT = T/(rho n^2 D^4), scalar >= 0 [-]
    cp: CP = P/(rho n^3 D^5), scalar > 0 [-]
    returns: scalar [-], NaN outside these ranges
    valid: static thrust only
    source: P_ideal = T^1.5/sqrt(2 rho A) with A = pi D^2/4
    """
    if ct >= 0.0 and cp > 0.0:
        return sqrt(2.0 / pi) * ct * sqrt(ct) / cp
    return nan
