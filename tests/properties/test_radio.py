"""Scaling laws of radio links, polarisation and channel sets."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.physics.channels import best_channels, clearance
from rotorwright.physics.radio import (
    clear_distance,
    fresnel_radius,
    path_loss,
    path_range,
    polarisation_match,
)

frequencies = st.floats(4e8, 6e9)
distances = st.floats(0.1, 2e4)
exponents = st.floats(2.0, 5.0)
ellipticities = st.floats(-1.0, 1.0)
angles = st.floats(-pi, pi)
channel_sets = st.lists(st.integers(5600, 6000), min_size=2, max_size=6, unique=True)


@given(distances, frequencies, exponents)
def test_range_is_the_inverse_of_loss(distance: float, frequency: float, exponent: float) -> None:
    assert path_range(path_loss(distance, frequency, exponent), frequency, exponent) == pytest.approx(
        distance, rel=1e-9
    )


@given(distances, frequencies, exponents, st.floats(0.01, 3.0))
def test_more_clutter_never_carries_farther(distance: float, frequency: float, exponent: float, more: float) -> None:
    assert path_loss(distance, frequency, exponent + more) >= path_loss(distance, frequency, exponent)
    loss = path_loss(distance, frequency)
    assert path_range(loss, frequency, exponent + more) <= path_range(loss, frequency, exponent) * (1 + 1e-12)


@given(st.floats(60, 150), frequencies)
def test_six_decibels_double_the_free_range(loss: float, frequency: float) -> None:
    double = np.asarray(path_range(loss + 20 * np.log10(2), frequency))
    assert double == pytest.approx(2 * np.asarray(path_range(loss, frequency)), rel=1e-9)


@given(ellipticities, ellipticities, angles)
def test_match_is_a_share_and_symmetric(one: float, other: float, angle: float) -> None:
    match = polarisation_match(one, other, angle)
    assert 0.0 <= match <= 1.0 + 1e-12
    assert match == pytest.approx(polarisation_match(other, one, -angle), abs=1e-12)


@given(ellipticities, ellipticities, angles)
def test_an_antenna_and_its_opposite_share_the_power(one: float, other: float, angle: float) -> None:
    """The orthogonal state has the other hand and its major axis across."""
    opposite = polarisation_match(one, -other, angle + pi / 2)
    assert np.asarray(polarisation_match(one, other, angle)) + opposite == pytest.approx(1.0, abs=1e-12)


@given(st.floats(0.5, 5), st.floats(1, 100), frequencies)
def test_clear_distance_touches_the_zone(height: float, other: float, frequency: float) -> None:
    """At that distance the 60 % ellipse just touches flat ground, nowhere deeper."""
    d = float(np.asarray(clear_distance(height, other, frequency)))
    x = np.linspace(0, d, 20_001)[1:-1]
    room = height + (other - height) * x / d - 0.6 * np.asarray(fresnel_radius(x, d - x, frequency))
    assert float(room.min()) == pytest.approx(0.0, abs=2e-3 * max(height, other))


@given(channel_sets, st.integers(5600, 6000))
def test_one_more_channel_never_clears(channels: list[int], more: int) -> None:
    assert clearance([*channels, more]) <= clearance(channels)


@given(channel_sets, st.integers(-3000, 3000))
def test_moving_all_channels_changes_nothing(channels: list[int], shift: int) -> None:
    assert clearance([c + shift for c in channels]) == clearance(channels)


@given(st.lists(st.integers(5600, 6000), min_size=4, max_size=7, unique=True), st.integers(2, 4))
def test_more_candidates_never_make_a_worse_plan(channels: list[int], count: int) -> None:
    fewer = best_channels(channels[:4], count)
    assert clearance(best_channels(channels, count)) >= clearance(fewer)
