"""One annulus: what the blade feels is what the air gains."""

import math

import numpy as np
import pytest

from rotorwright.physics.blade import cut_blade
from rotorwright.physics.blade_annulus import (
    Cut,
    Stream,
    annulus_loads,
    annulus_of,
    solve_annuli,
    solve_inflow_angle,
)
from rotorwright.physics.polars import section_coefficients, shipped_polar
from rotorwright.physics.rotor_inflow import loss_factor
from rotorwright.physics.typical_blade import typical_blade

CUT = cut_blade(typical_blade(0.127, 0.109, 3), 14)
SECTION = shipped_polar().section()
RING = [2, 6, 11]


@pytest.mark.parametrize("i", RING)
@pytest.mark.parametrize("J", [0.0, 0.2, 0.5])
def test_momentum_gained_is_the_blades_force(i: int, J: float) -> None:
    """Per unit x = r/R, speeds over n D: dCT = pi x F (J + v) v and dCP = pi^2 x^2 F (J + v) u.

    v = W sin(phi) - J and u = pi x - W cos(phi) are the speeds that the annulus adds along the axis and around it.
    """
    ring, air = annulus_of(CUT, i), Stream(J, 8e4 / CUT.chord_75, 0.1)
    phi = solve_inflow_angle(SECTION, ring, air)
    dCT, dCP = annulus_loads(SECTION, ring, air)
    F = loss_factor(ring.blades, ring.r, ring.hub, math.sin(phi))
    half = 0.5 * J
    v = math.sqrt(half * half + dCT / (math.pi * ring.r * F)) - half
    W = (J + v) / math.sin(phi)
    u = math.pi * ring.r - W * math.cos(phi)
    assert v > 0.0
    assert dCP == pytest.approx(math.pi**2 * ring.r**2 * F * (J + v) * u, rel=1e-6)


@pytest.mark.parametrize("i", RING)
@pytest.mark.parametrize("J", [0.0, 0.3])
def test_the_blades_force_is_that_of_its_section(i: int, J: float) -> None:
    """dCT = B c/8 W^2 (CL cos - CD sin), dCP = B c/8 W^2 (CL sin + CD cos) pi x, section at its own Re and Mach."""
    ring, air = annulus_of(CUT, i), Stream(J, 8e4 / CUT.chord_75, 0.3)
    phi = solve_inflow_angle(SECTION, ring, air)
    dCT, dCP = annulus_loads(SECTION, ring, air)
    share = math.hypot(math.pi * ring.r, J) / (0.75 * math.pi)
    cl, cd = section_coefficients(
        SECTION, ring.theta - phi, air.Re * share * ring.c, 0.3 * share, ring.c / ring.r, 3.0, ring.slope
    )
    cn, ct = cl * math.cos(phi) - cd * math.sin(phi), cl * math.sin(phi) + cd * math.cos(phi)
    assert dCP / dCT == pytest.approx(ct / cn * math.pi * ring.r)
    W_2 = dCT / (0.125 * ring.blades * ring.c * cn)
    assert (math.pi * ring.r) ** 2 * 0.6 < W_2 < ((math.pi * ring.r) ** 2 + 4.0 * (J + 1.0) ** 2)


def test_annuli_add_up() -> None:
    air = Stream(0.1, 8e4 / CUT.chord_75, 0.2)
    loads = np.array([annulus_loads(SECTION, annulus_of(CUT, i), air) for i in range(CUT.radius.size)])
    assert solve_annuli(CUT, SECTION, 0.1, 8e4, 0.2) == pytest.approx(loads.T @ CUT.width)


def test_an_annulus_that_lifts_nothing_adds_nothing() -> None:
    """At its angle of zero lift the inflow angle is that of the air alone."""
    flat = Cut(*CUT[:3], np.full(14, math.radians(10.0)), *CUT[4:])
    ring = annulus_of(flat, 6)
    low, high = 0.2, 1.5
    for _ in range(60):
        J = 0.5 * (low + high)
        load = annulus_loads(SECTION, ring, Stream(J, 8e4 / CUT.chord_75, 0.0))[0]
        low, high = (J, high) if load > 0.0 else (low, J)
    phi = solve_inflow_angle(SECTION, ring, Stream(low, 8e4 / CUT.chord_75, 0.0))
    assert phi == pytest.approx(math.atan2(low, math.pi * ring.r), abs=2e-3)


def test_air_from_behind_meets_a_steep_root_without_an_induced_speed() -> None:
    ring = annulus_of(Cut(*CUT[:3], np.full(14, 1.4), *CUT[4:]), 0)
    J = -2.0
    assert ring.theta - math.atan2(J, math.pi * ring.r) > 0.5 * math.pi
    assert solve_inflow_angle(SECTION, ring, Stream(J, 8e4 / CUT.chord_75, 0.0)) == math.atan2(J, math.pi * ring.r)


@pytest.mark.parametrize("k", range(3))
def test_not_a_number_in_gives_not_a_number_out(k: int) -> None:
    air = [0.1, 8e4 / CUT.chord_75, 0.2]
    air[k] = math.nan
    assert math.isnan(solve_inflow_angle(SECTION, annulus_of(CUT, 5), Stream(*air)))
    assert np.isnan(annulus_loads(SECTION, annulus_of(CUT, 5), Stream(*air))).all()
