"""Blade elements in oblique flow."""

import math

import numpy as np
import pytest

from rotorwright.physics.blade import cut_blade
from rotorwright.physics.blade_annulus import Cut, solve_annuli
from rotorwright.physics.polars import section_coefficients, shipped_polar
from rotorwright.physics.rotor_inflow import loss_factor
from rotorwright.physics.rotor_oblique import solve_oblique
from rotorwright.physics.typical_blade import typical_blade

CUT = cut_blade(typical_blade(0.127, 0.109, 3), 14)
SECTION = shipped_polar().section()


@pytest.mark.parametrize("advance", [0.0, 0.2, 0.5])
def test_without_edgewise_flow_it_is_near_the_axial_solution(advance: float) -> None:
    # swirl from profile drag is left out here (the tables use differences only): most at rest, where it is 5 %
    CT, CP, CH, CR = solve_oblique(CUT, SECTION, advance, 0.0, 8e4, 0.0)
    assert pytest.approx(solve_annuli(CUT, SECTION, advance, 8e4, 0.0), rel=0.06) == (CT, CP)
    assert pytest.approx((0.0, 0.0), abs=1e-12) == (CH, CR)


def test_in_plane_force_and_roll_are_odd_and_thrust_even_in_edgewise_flow() -> None:
    there, back = (solve_oblique(CUT, SECTION, 0.1, E, 8e4, 0.0) for E in (0.3, -0.3))
    assert there[:2] == pytest.approx(back[:2], rel=1e-6)
    assert there[2:] == pytest.approx((-back[2], -back[3]), rel=1e-6)
    assert there[2] > 0.0
    assert there[3] > 0.0


def test_not_a_number_in_gives_not_a_number_out() -> None:
    assert np.isnan(solve_oblique(CUT, SECTION, math.nan, 0.1, 8e4, 0.0)).all()
    assert np.isnan(solve_oblique(CUT, SECTION, 0.1, math.nan, 8e4, 0.0)).all()


@pytest.mark.parametrize("i", [3, 8, 12])
@pytest.mark.parametrize(("J", "E"), [(0.0, 0.2), (0.2, 0.4), (0.4, 0.1)])
def test_mean_thrust_of_an_annulus_is_the_momentum_that_oblique_flow_gains(i: int, J: float, E: float) -> None:
    """Per unit x = r/R, speeds over n D: dCT = pi x F v sqrt(E^2 + (J + v)^2) (Glauert), F at the mean inflow.

    v solves that alone; put back as axial speed of a flow that induces nothing, it gives the same loads.
    """
    ring = Cut(*(CUT[k][i : i + 1] for k in range(4)), *CUT[4:])
    r, width = float(ring.radius[0]), float(ring.width[0])
    dCT = solve_oblique(ring, SECTION, J, E, 8e4, 0.0)[0] / width
    low, high = 0.0, 2.0
    for _ in range(60):
        v = 0.5 * (low + high)
        flow = J + v
        F = loss_factor(ring.blades, r, ring.hub, flow / math.hypot(flow, math.pi * r))
        gained = math.pi * r * F * v * math.hypot(E, flow)
        low, high = (v, high) if gained < dCT else (low, v)
    a = math.pi * r
    swirl = 0.5 * (a - math.sqrt(a * a - 4.0 * v * flow))
    loads = element_mean(ring, a - swirl, J + v, E, r)
    assert loads == pytest.approx(dCT, rel=1e-4)


def element_mean(ring: Cut, turning: float, normal: float, edgewise: float, r: float) -> float:
    """Mean over six azimuths of B c/8 W^2 (CL cos - CD sin) at given speeds."""
    Re, c, total = 8e4 / ring.chord_75, float(ring.chord[0]), 0.0
    for k in range(6):
        tangential = turning + edgewise * math.sin((k + 0.5) * math.pi / 6 - math.pi / 2)
        W, phi = math.hypot(tangential, normal), math.atan2(normal, tangential)
        share = W / (0.75 * math.pi)
        cl, cd = section_coefficients(
            SECTION, float(ring.twist[0]) - phi, Re * share * c, 0.0, c / r, 3.0, ring.slope
        )
        total += W * W * (cl * math.cos(phi) - cd * math.sin(phi)) / 6
    return 0.125 * ring.blades * c * total


def test_in_deep_descent_a_steep_root_induces_nothing() -> None:
    steep = Cut(*CUT[:3], np.full(14, 1.4), *CUT[4:])
    assert np.isfinite(solve_oblique(steep, SECTION, -2.0, 0.2, 8e4, 0.0)).all()
