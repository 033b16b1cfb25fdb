"""Blade elements in oblique flow."""

import math

import numpy as np
import pytest

from rotorwright.physics.blade import cut_blade
from rotorwright.physics.blade_annulus import solve_annuli
from rotorwright.physics.polars import shipped_polar
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
