"""The typical blade of a size."""

import math

import numpy as np
import pytest

from rotorwright.physics.typical_blade import typical_blade


def test_twist_follows_the_pitch() -> None:
    flat, steep = typical_blade(0.127, 0.08, 2), typical_blade(0.127, 0.12, 2)
    assert np.all(steep.twist > flat.twist)
    assert flat.pitch is None


def test_chord_of_small_and_of_many_bladed_propellers() -> None:
    small, large = typical_blade(0.0762, 0.06, 2), typical_blade(0.2286, 0.18, 2)
    assert small.chord_75 / small.diameter > large.chord_75 / large.diameter
    assert typical_blade(0.127, 0.1, 3).chord_75 < typical_blade(0.127, 0.1, 2).chord_75


@pytest.mark.parametrize(
    "figures, sentence",
    [
        ((-0.1, 0.1, 2), "diameter must be positive"),
        ((0.1, math.nan, 2), "pitch must be positive"),
        ((0.1, 0.25, 2), "swapped"),
        ((0.1, 0.1, 0), "1 to 12 blades"),
    ],
)
def test_bad_figures_are_refused(figures: tuple[float, float, int], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        typical_blade(*figures)


def test_all_bad_figures_at_once() -> None:
    with pytest.raises(ValueError, match=r"diameter.*pitch.*blades"):
        typical_blade(0.0, 0.0, 0)
