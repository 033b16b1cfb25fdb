"""Edges of the radio functions: arrays, NaN, nothing radiated, below the reference distance."""

import numpy as np
import pytest

from rotorwright.physics.radio import (
    axial_ratio_ellipticity,
    clear_distance,
    dbm,
    eirp_of_field,
    free_space_loss,
    fresnel_radius,
    noise_level,
    path_loss,
    path_range,
    polarisation_match,
    received_level,
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


def test_a_field_of_five_volts_a_metre_at_three_metres_is_seven_and_a_half_watts() -> None:
    assert eirp_of_field(5.0, 3.0) == pytest.approx(7.5)


def test_levels_add_up() -> None:
    assert received_level(14.0, 2.0, 90.0) == -74.0
    assert noise_level(1e6, 6.0) == pytest.approx(-113.975 + 6.0, abs=1e-3)  # k T B at 290 K over 1 MHz


def test_the_zone_is_widest_halfway_and_flat_ground_touches_it_there() -> None:
    """r = sqrt(lambda d/4) halfway; ground h below both ends touches k r when d = 4 h^2/(k^2 lambda)."""
    wave = 299792458.0 / 2.4e9
    assert fresnel_radius(50.0, 50.0, 2.4e9) == pytest.approx(np.sqrt(wave * 25.0))
    assert fresnel_radius(10.0, 90.0, 2.4e9) == pytest.approx(np.sqrt(wave * 9.0))
    d = clear_distance(1.5, 1.5, 2.4e9)
    assert 0.6 * np.asarray(fresnel_radius(d / 2, d / 2, 2.4e9)) == pytest.approx(1.5)
    assert clear_distance(1.5, 6.0, 2.4e9, share=1.0) == pytest.approx(4 * 9.0 / wave)


def test_linear_antennas_pass_the_square_of_the_cosine() -> None:
    for angle in (0.0, 0.4, 1.1):
        assert polarisation_match(0.0, 0.0, angle) == pytest.approx(np.cos(angle) ** 2)
        assert polarisation_match(1.0, 0.0, angle) == pytest.approx(0.5)
    # ellipses of 0.5 along each other's major axis: s = (0.6, 0.8), and across it
    assert polarisation_match(0.5, 0.5, np.pi / 2) == pytest.approx((1 + 0.64 - 0.36) / 2)
