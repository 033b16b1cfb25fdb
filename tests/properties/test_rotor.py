"""Laws that rotor tables and the inflow model must keep, for blades and flows of all kinds."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.physics.blade import Blade, blade_element_momentum
from rotorwright.physics.polars import ANGLES, REYNOLDS, Polar
from rotorwright.physics.rotor import coefficients, oblique_coefficients, rotor_table, stack_oblique, stack_tables
from rotorwright.physics.rotor_inflow import induced_speed_ratio, loss_factor, oblique_speed_ratio
from rotorwright.physics.typical_blade import typical_blade

AIR = 1.225, 1.79e-5, 340.3
TABLES = [rotor_table(typical_blade(0.0254 * d, 0.0254 * p, n)) for d, p, n in ((5, 4.3, 3), (6, 4, 2), (7, 7, 2))]
STACK, GAINS = stack_tables(TABLES)
OBLIQUE = stack_oblique(TABLES)

sizes = st.floats(0.06, 0.3)
pitches = st.floats(0.3, 1.5)
counts = st.integers(2, 6)
speeds = st.floats(-4.0, 6.0)
tables = st.integers(0, len(TABLES) - 1)


@settings(max_examples=40, deadline=None)
@given(sizes, pitches, counts, st.floats(-0.5, 1.6), st.floats(30.0, 600.0))
def test_every_typical_blade_has_a_solution_everywhere(
    diameter: float, ratio: float, count: int, advance: float, rate: float
) -> None:
    pair = blade_element_momentum(typical_blade(diameter, ratio * diameter, count), advance, rate, *AIR)
    assert np.isfinite(pair).all()


@settings(max_examples=25, deadline=None)
@given(st.floats(0.5, 2.0), pitches, st.floats(0.0, 0.6))
def test_coefficients_do_not_know_the_scale(scale: float, ratio: float, advance: float) -> None:
    # same Reynolds and Mach numbers: rate/scale, viscosity*scale
    small = typical_blade(0.127, 0.127 * ratio, 2)
    large = Blade(0.127 * scale, 2, small.station, small.chord, small.twist, small.hub)
    one = blade_element_momentum(small, advance, 200.0, 1.225, 1.79e-5, 340.3)
    two = blade_element_momentum(large, advance, 200.0 / scale, 1.225, 1.79e-5 * scale, 340.3)
    assert one == pytest.approx(two, rel=1e-9)


@settings(max_examples=25, deadline=None)
@given(pitches, st.floats(0.0, 0.5), st.floats(3.0, 6.2))
def test_without_drag_power_is_at_least_the_ideal(ratio: float, advance: float, slope: float) -> None:
    # Froude: P >= T (V + v), v from the actuator disc
    lift = np.tile(slope * np.radians(ANGLES), (REYNOLDS.size, 1))
    blade = typical_blade(0.127, 0.127 * ratio, 2)
    CT, CP = blade_element_momentum(blade, advance, 200.0, *AIR, Polar(lift, np.zeros_like(lift)))
    if CT > 0.0:
        vh = math.sqrt(2.0 * CT / math.pi)
        assert CT * (advance + vh * induced_speed_ratio(advance / vh)) * (1.0 - 1e-9) <= CP


@given(speeds, st.floats(0.0, 5.0))
def test_oblique_inflow_solves_its_equation(climb: float, edgewise: float) -> None:
    v = oblique_speed_ratio(climb, edgewise)
    assert 0.0 < v < 2.2
    if climb >= 0.0:
        assert v * math.hypot(edgewise, climb + v) == pytest.approx(1.0, abs=1e-6)


@given(st.floats(-4.0, 4.0), st.floats(0.0, 3.0))
def test_oblique_inflow_is_continuous(climb: float, edgewise: float) -> None:
    # the windmill branch meets x = -2 with infinite slope: square-root step there
    step = 1e-6
    v = oblique_speed_ratio(climb, edgewise)
    near = 5e-3 if abs(climb + 2.0) < 1e-3 else 1e-4
    assert oblique_speed_ratio(climb + step, edgewise) == pytest.approx(v, abs=near)
    assert oblique_speed_ratio(climb, edgewise + step) == pytest.approx(v, abs=near)


@given(st.floats(0.0, 5.0), st.floats(0.0, 5.0))
def test_edgewise_flow_lowers_induced_speed_in_climb(climb: float, edgewise: float) -> None:
    assert oblique_speed_ratio(climb, edgewise + 0.1) < oblique_speed_ratio(climb, edgewise) + 1e-9


@given(st.integers(1, 8), st.floats(0.05, 0.999), st.floats(1e-4, 1.0))
def test_loss_is_a_share_and_falls_with_more_blades(count: int, radius: float, sine: float) -> None:
    few, more = (loss_factor(n, radius, 0.0, sine) for n in (count, count + 1))
    assert 0.0 < few <= more <= 1.0


@given(tables, st.floats(-1.0, 3.0), st.floats(0.0, 2.5), st.floats(1e3, 1e6), st.floats(0.0, 0.8))
def test_oblique_tables_are_continuous(k: int, advance: float, edgewise: float, reynolds: float, mach: float) -> None:
    here = np.array(oblique_coefficients(STACK, GAINS, OBLIQUE, k, advance, edgewise, reynolds, mach))
    moved = np.array(
        oblique_coefficients(STACK, GAINS, OBLIQUE, k, advance + 1e-6, edgewise + 1e-6, reynolds * (1 + 1e-6), mach)
    )
    assert np.isfinite(here).all()
    assert moved == pytest.approx(here, abs=1e-4 * (1.0 + advance**2 + edgewise**2))


@given(tables, st.floats(2e4, 3e5), st.floats(0.0, 0.3))
def test_thrust_falls_from_half_its_range_on(k: int, reynolds: float, mach: float) -> None:
    J = np.linspace(0.0, 1.2, 49)
    CT = np.array([coefficients(STACK, GAINS, k, j, reynolds, mach)[0] for j in J])
    falling = 0.8 * CT[0] > CT
    loaded = CT > 0.0
    assert np.all(np.diff(CT[falling & loaded]) < 0.0)


@given(tables, st.floats(0.0, 0.5), st.floats(3e4, 2e5))
def test_edgewise_flow_lifts_level_thrust_and_drags(k: int, edgewise: float, reynolds: float) -> None:
    # trend of the published inflow-angle study (Kolaei et al. 2018, Int. J. Aerospace Eng., 10.1155/2018/2560370):
    # CT constant or rising with edgewise flow, CP about constant; here within 15 % up to E = 0.5
    level = oblique_coefficients(STACK, GAINS, OBLIQUE, k, 0.0, 0.0, reynolds, 0.1)
    blown = oblique_coefficients(STACK, GAINS, OBLIQUE, k, 0.0, edgewise, reynolds, 0.1)
    assert blown[0] >= 0.995 * level[0]
    assert blown[1] == pytest.approx(level[1], rel=0.15)
    assert blown[2] >= 0.0
