"""The shipped polar table and its interpolation."""

import math

import numpy as np
import pytest

from rotorwright.physics.polars import (
    ANGLES,
    REYNOLDS,
    Polar,
    lookup,
    section_coefficients,
    section_names,
    shipped_polar,
)


def linear(slope: float, drag: float = 0.0) -> Polar:
    lift = np.tile(slope * np.radians(ANGLES), (REYNOLDS.size, 1))
    return Polar(lift, np.full_like(lift, drag))


@pytest.mark.parametrize("name", section_names())
def test_shipped_sections_are_whole_and_physical(name: str) -> None:
    polar = shipped_polar(name)
    assert polar.lift.shape == polar.drag.shape == (REYNOLDS.size, ANGLES.size)
    assert np.all(np.isfinite(polar.lift))
    assert np.all(polar.drag > 0.004)
    assert np.all(np.abs(polar.lift) < 1.8)
    at_one_million = polar.lift[-1, ANGLES == 5.0]
    assert 0.6 < float(at_one_million[0]) < 1.4


def test_unknown_section_is_refused_with_the_names() -> None:
    with pytest.raises(KeyError, match="typical"):
        shipped_polar("nowhere")


def test_lookup_hits_the_nodes_and_is_linear_between() -> None:
    section = shipped_polar().section()
    j = int(np.flatnonzero(ANGLES == 4.0)[0])
    for i in (0, 5, 11):
        at_node = lookup(section.polar, math.radians(4.0), float(REYNOLDS[i]))
        assert at_node == pytest.approx((section.polar[0, i, j], section.polar[1, i, j]), rel=2e-5)
    middle = lookup(section.polar, math.radians(4.5), float(REYNOLDS[5]))[0]
    assert middle == pytest.approx(section.polar[0, 5, j : j + 2].mean(), rel=1e-5)


def test_angle_wraps_and_reynolds_is_held() -> None:
    section = shipped_polar().section()
    assert lookup(section.polar, math.radians(190.0), 1e5) == pytest.approx(
        lookup(section.polar, math.radians(-170.0), 1e5)
    )
    assert lookup(section.polar, 0.1, 1.0) == pytest.approx(lookup(section.polar, 0.1, 5e3))
    assert lookup(section.polar, 0.1, 1e9) == pytest.approx(lookup(section.polar, 0.1, 1e6), rel=1e-5)


def test_compressibility_raises_the_slope_by_prandtl_glauert() -> None:
    section = linear(5.7).section()
    at_rest = section_coefficients(section, 0.08, 1e5, 0.0, 0.1, 0.0, 1.0)[0]
    at_mach = section_coefficients(section, 0.08, 1e5, 0.6, 0.1, 0.0, 1.0)[0]
    assert at_mach / at_rest == pytest.approx(1.25, rel=1e-6)  # 1/sqrt(1 - 0.36)


def test_stall_delay_lifts_only_above_zero_lift_and_near_the_hub() -> None:
    section = shipped_polar().section()
    arguments = 5e4, 0.0
    plain = section_coefficients(section, 0.3, *arguments, 0.5, 0.0, 1.0)[0]
    delayed = section_coefficients(section, 0.3, *arguments, 0.5, 3.0, 1.0)[0]
    far_out = section_coefficients(section, 0.3, *arguments, 0.05, 3.0, 1.0)[0]
    assert delayed > plain + 0.2
    assert far_out == pytest.approx(plain, abs=0.02)
    below = section_coefficients(section, -0.2, *arguments, 0.5, 3.0, 1.0)[0]
    assert below == section_coefficients(section, -0.2, *arguments, 0.5, 0.0, 1.0)[0]
