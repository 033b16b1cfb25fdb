"""Limits of `physics.isolation`."""

import math

import numpy as np
import pytest

from rotorwright.physics.isolation import (
    elastomer_modulus,
    elastomer_modulus_gent,
    natural_frequency,
    pad_stiffness,
    transmissibility,
)


def test_everything_passes_slowly_and_at_root_two() -> None:
    assert transmissibility(0.0, 0.2) == 1.0
    np.testing.assert_allclose(transmissibility(math.sqrt(2), np.array([0.0, 0.1, 0.9])), 1.0, rtol=1e-12)


def test_resonance_without_damping_is_infinite() -> None:
    assert transmissibility(1.0, 0.0) == math.inf


def test_nan_passes_through() -> None:
    assert math.isnan(transmissibility(math.nan, 0.1))  # type: ignore[arg-type]
    assert math.isnan(elastomer_modulus_gent(100.0))


def test_four_times_the_stiffness_is_twice_the_frequency() -> None:
    assert natural_frequency(400.0, 0.1) == pytest.approx(2 * natural_frequency(100.0, 0.1))


def test_a_slender_post_has_no_shape_factor() -> None:
    assert pad_stiffness(1e6, 1e-4, 1.0, 1e6) == pytest.approx(100.0, rel=1e-6)


def test_harder_is_stiffer() -> None:
    values = [elastomer_modulus(s) for s in (30, 60, 95)]
    assert values == sorted(values)


def test_moduli_of_fifty_shore_a() -> None:
    """Qi: 10^(1.175 - 0.6403) = 3.425 MPa; Gent: 0.0981 x 437.17/(0.137505 x 127) = 2.456 MPa, none at 100."""
    assert elastomer_modulus(50.0) == pytest.approx(3.425e6, rel=1e-3)
    assert elastomer_modulus_gent(50.0) == pytest.approx(2.456e6, rel=1e-3)
    assert np.isnan(elastomer_modulus_gent(100.0))


def test_stiffness_of_a_pad_by_hand() -> None:
    """1 MPa, 2 cm2, 4 mm thick, 4 cm2 to bulge: S = 1/2, E (1 + 2/4) A/t = 75 kN/m."""
    assert pad_stiffness(1e6, 2e-4, 4e-3, 4e-4) == pytest.approx(75e3)
