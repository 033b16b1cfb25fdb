"""Declared corrections: arm under the disc, coaxial pair, refused ducts."""

import pytest

from rotorwright.physics.rotor_corrections import arm_blockage, coaxial_pair

SIZE = 0.014, 0.02, 0.0635, 0.01


def test_a_plate_blocks_more_than_a_tube_of_the_same_width() -> None:
    tube, plate = arm_blockage("tube", *SIZE), arm_blockage("plate", *SIZE)
    assert plate.factor < tube.factor < 1.0
    assert plate.factor > 0.9
    assert plate.ln_sd > tube.ln_sd


def test_no_arm_no_loss() -> None:
    assert arm_blockage("tube", 0.0, 0.02, 0.0635, 0.01).factor == 1.0


def test_download_by_hand() -> None:
    # arm in the far wake (w = 2 v): D = Cd rho/2 (2v)^2 S = Cd S/A T, as T = 2 rho A v^2
    far = arm_blockage("tube", 0.01, 100.0, 0.1, 0.0)
    assert 1.0 - far.factor == pytest.approx(1.1 * 0.01 * 0.1 / (3.14159265 * 0.01), rel=1e-4)


def test_bad_arms_are_refused() -> None:
    with pytest.raises(ValueError, match="tube or a plate"):
        arm_blockage("wing", *SIZE)
    with pytest.raises(ValueError, match="negative"):
        arm_blockage("tube", -0.01, 0.02, 0.0635, 0.01)


def test_coaxial_power_lies_between_free_and_one_plane() -> None:
    pair = coaxial_pair()
    assert 1.0 < pair.factor < 2.0**0.5
