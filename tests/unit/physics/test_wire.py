"""Limits and refusals of `physics.wire`."""

from math import isnan, nan

import numpy as np
import pytest

from rotorwright.physics.wire import (
    awg_area,
    awg_diameter,
    fusing_current_onderdonk,
    fusing_current_preece,
    loop_inductance,
    mass,
    resistance,
)


@pytest.mark.parametrize("gauge", [-4, 57])
def test_refuses_gauges_that_do_not_exist(gauge: int) -> None:
    with pytest.raises(ValueError, match="outside -3 to 56"):
        awg_diameter(gauge)


def test_gauge_36_is_the_anchor_of_the_series() -> None:
    assert awg_diameter(36) == 0.127e-3


def test_resistance_and_mass_take_arrays() -> None:
    lengths = np.array([0.1, 0.2])
    assert np.asarray(resistance(lengths, 2e-6)).shape == (2,)  # type: ignore[arg-type]
    assert np.asarray(mass(lengths, 2e-6)).shape == (2,)  # type: ignore[arg-type]


def test_bare_wire_weighs_its_copper() -> None:
    assert mass(1.0, 1e-6, insulation=0.0) == pytest.approx(8.96e-3)
    assert mass(1.0, 1e-6) == pytest.approx(1.45 * 8.96e-3)


def test_a_warm_wire_fuses_earlier() -> None:
    assert fusing_current_onderdonk(1e-6, 1.0, 350.0) < fusing_current_onderdonk(1e-6, 1.0)


def test_overlapping_wires_are_refused() -> None:
    with pytest.raises(ValueError, match="overlap"):
        loop_inductance(0.1, 0.9e-3, 1e-3)


def test_nan_passes_through() -> None:
    assert isnan(awg_area(nan))
    assert isnan(resistance(nan, 1e-6))
    assert isnan(loop_inductance(nan, 4e-3, 1e-3))


def test_a_millimetre_of_copper_melts_at_eighty_amperes_at_last() -> None:
    """10244 d^1.5 with d in inches."""
    assert fusing_current_preece(1e-3) == pytest.approx(80.0, rel=2e-3)


def test_inductance_of_a_pair_by_hand() -> None:
    """100 mm of 2 mm copper, 3 mm apart: 4e-7 x 0.1 x (ln 3 + 1/4) = 53.9 nH; twice as long is twice as much."""
    assert loop_inductance(0.1, 3e-3, 2e-3) == pytest.approx(53.94e-9, rel=1e-3)
    assert loop_inductance(0.2, 3e-3, 2e-3) == pytest.approx(2 * loop_inductance(0.1, 3e-3, 2e-3))
    assert loop_inductance(0.1, 2e-3, 2e-3) > 0.0
