"""Symmetries and limits of `physics.laminate`."""

from math import pi

import numpy as np
import pytest

from rotorwright.physics.laminate import Ply, laminate_moduli, reduced_stiffness, stiffness_matrices, turned_stiffness

CARBON = Ply(135e9, 10e9, 5e9, 0.3)
METAL = Ply(70e9, 70e9, 70e9 / 2.66, 0.33)


def test_a_metal_is_the_same_every_way() -> None:
    moduli = laminate_moduli(METAL, [0.0, 0.7, -0.2, 1.3])
    for value in (moduli.membrane, moduli.membrane_across, moduli.bending):
        assert value == pytest.approx(70e9, rel=1e-12)
    assert moduli.shear == pytest.approx(70e9 / 2.66, rel=1e-12)


def test_one_ply_along_and_across() -> None:
    assert laminate_moduli(CARBON, [0.0]).membrane == pytest.approx(135e9)
    assert laminate_moduli(CARBON, [pi / 2]).membrane == pytest.approx(10e9)


def test_a_quarter_turn_swaps_the_axes_of_a_ply() -> None:
    Q = reduced_stiffness(CARBON)
    np.testing.assert_allclose(turned_stiffness(Q, pi / 2)[[0, 1], [0, 1]], Q[[1, 0], [1, 0]])


def test_thickness_does_not_matter_to_the_moduli() -> None:
    thin, thick = (laminate_moduli(CARBON, [0.0, pi / 2, pi / 2, 0.0], t) for t in (0.5e-3, 5e-3))
    assert thin.bending == pytest.approx(thick.bending, rel=1e-9)


def test_a_symmetric_stack_does_not_couple() -> None:
    _, B, _ = stiffness_matrices(CARBON, [0.0, 0.6, 0.6, 0.0], 4e-3)
    _, C, _ = stiffness_matrices(CARBON, [0.0, 0.0, 0.6, 0.6], 4e-3)
    assert np.abs(B).max() < 1e-6 * np.abs(C).max()


def test_outer_plies_along_the_arm_bend_stiffer_than_inner_ones() -> None:
    outside = laminate_moduli(CARBON, [0.0, pi / 2, pi / 2, 0.0])
    inside = laminate_moduli(CARBON, [pi / 2, 0.0, 0.0, pi / 2])
    assert outside.membrane == pytest.approx(inside.membrane, rel=1e-12)
    assert outside.bending > 4 * inside.bending
