"""Scaling laws of copper wire."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.physics.wire import (
    COPPER_RESISTIVITY,
    awg_area,
    awg_diameter,
    fusing_current_onderdonk,
    fusing_current_preece,
    loop_inductance,
    mass,
    resistance,
)

gauges = st.integers(-3, 40)
lengths = st.floats(0.01, 2.0)
areas = st.floats(1e-8, 1e-5)
factors = st.floats(0.1, 10.0)


@given(gauges)
def test_thirty_nine_gauges_are_a_factor_of_ninety_two(gauge: int) -> None:
    step = awg_diameter(gauge) / awg_diameter(gauge + 13)
    assert step**3 == pytest.approx(92.0, rel=1e-12)
    assert awg_area(gauge) == pytest.approx(pi / 4 * awg_diameter(gauge) ** 2, rel=1e-12)


@given(lengths, areas, factors)
def test_resistance_scales(length: float, area: float, factor: float) -> None:
    ohm = resistance(length, area)
    assert resistance(factor * length, area) == pytest.approx(factor * ohm, rel=1e-12)
    assert resistance(length, factor * area) == pytest.approx(ohm / factor, rel=1e-12)


@given(lengths, areas, areas)
def test_mass_times_resistance_depends_on_length_only(length: float, thin: float, thick: float) -> None:
    """Copper: R m = rho_e rho_m l^2, whatever the gauge. The trade between sag and weight."""
    product = resistance(length, thin) * mass(length, thin, insulation=0.0)
    assert product == pytest.approx(COPPER_RESISTIVITY * 8960 * length**2, rel=1e-12)
    assert product == pytest.approx(resistance(length, thick) * mass(length, thick, insulation=0.0), rel=1e-12)


@given(areas, st.floats(0.05, 10.0), factors)
def test_onderdonk_keeps_current_squared_times_time(area: float, seconds: float, factor: float) -> None:
    current = fusing_current_onderdonk(area, seconds)
    assert fusing_current_onderdonk(area, factor * seconds) == pytest.approx(current * factor**-0.5, rel=1e-9)
    assert fusing_current_onderdonk(factor * area, seconds) == pytest.approx(current * factor, rel=1e-9)


@given(st.floats(1e-4, 5e-3), factors)
def test_preece_scales(diameter: float, factor: float) -> None:
    current = fusing_current_preece(diameter)
    assert fusing_current_preece(factor * diameter) == pytest.approx(current * factor**1.5, rel=1e-9)


@given(lengths, st.floats(1.0, 20.0), st.floats(0.1, 10.0))
def test_wires_drawn_apart_make_a_larger_loop(length: float, ratio: float, more: float) -> None:
    near = loop_inductance(length, ratio * 1e-3, 1e-3)
    assert loop_inductance(length, (ratio + more) * 1e-3, 1e-3) > near > 0.0
