"""Edges of the radio functions: arrays, NaN, nothing radiated, below the reference distance."""

import numpy as np
import pytest

from rotorwright.physics.radio import (
    axial_ratio_ellipticity,
    dbm,
    free_space_loss,
    noise_level,
    path_loss,
    path_range,
    polarisation_match,
    watts,
)


def test_numbers_stay_numbers_and_arrays_arrays() -> None:
    assert isinstance(free_space_loss(1.0, 1e9), float)
    assert isinstance(path_range(80.0, 1e9, 3.0), float)
    many = path_loss(np.array([1.0, 10.0]), 1e9, np.array([2.0, 3.0]))
    assert np.asarray(many).shape == (2,)


def test_nothing_radiated_is_minus_infinity() -> None:
    assert dbm(0.0) == -np.inf
    assert watts(-np.inf) == 0.0
    assert path_range(-np.inf, 1e9) == 0.0


def test_nan_passes() -> None:
    for value in (dbm(np.nan), path_loss(np.nan, 1e9, 3.0), path_range(np.nan, 1e9), noise_level(np.nan)):
        assert np.isnan(value)
    assert np.isnan(polarisation_match(np.nan, 0.0, 0.0))


def test_below_a_metre_every_exponent_is_free_space() -> None:
    assert path_loss(0.5, 1e9, 4.0) == pytest.approx(free_space_loss(0.5, 1e9))
    assert path_range(free_space_loss(0.5, 1e9), 1e9, 4.0) == pytest.approx(0.5)


def test_the_exponent_counts_from_a_metre() -> None:
    assert path_loss(10.0, 1e9, 3.0) == pytest.approx(np.asarray(free_space_loss(1.0, 1e9)) + 30.0)


def test_hands() -> None:
    assert axial_ratio_ellipticity(0.0, 1.0) == 1.0
    assert axial_ratio_ellipticity(0.0, -1.0) == -1.0
    assert axial_ratio_ellipticity(20.0, 1.0) == pytest.approx(0.1)
    assert axial_ratio_ellipticity(3.0, 0.0) == 0.0


def test_opposite_hands_and_crossed_antennas_pass_nothing() -> None:
    assert polarisation_match(1.0, -1.0, 0.3) == pytest.approx(0.0, abs=1e-15)
    assert polarisation_match(0.0, 0.0, np.pi / 2) == pytest.approx(0.0, abs=1e-15)
    assert polarisation_match(0.6, 0.6, 0.0) == pytest.approx(1.0)
