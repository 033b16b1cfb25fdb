"""Refusals, limits and symmetries of `physics.section`."""

import pytest

from rotorwright.physics.section import grooved_plate, plate, round_tube, square_tube


def test_plate_on_edge_swaps_the_bendings_and_keeps_the_torsion() -> None:
    flat, upright = plate(0.012, 0.005), plate(0.005, 0.012)
    assert flat.vertical == upright.lateral
    assert flat.lateral == upright.vertical
    assert flat.torsion == upright.torsion


def test_a_groove_of_no_depth_is_no_groove() -> None:
    assert grooved_plate(0.012, 0.005, 0.004, 0.0) == plate(0.012, 0.005)


def test_a_groove_through_the_plate_leaves_two_flanks() -> None:
    """As the floor vanishes, so do its area and its share of the bending."""
    whole = grooved_plate(0.012, 0.005, 0.004, 0.005 - 1e-9)
    flank = plate(0.004, 0.005)
    assert whole.area == pytest.approx(2 * flank.area, rel=1e-5)
    assert whole.vertical == pytest.approx(2 * flank.vertical, rel=1e-5)
    assert whole.torsion == pytest.approx(2 * flank.torsion, rel=1e-5)


def test_a_groove_moves_the_neutral_axis_away_from_it() -> None:
    assert grooved_plate(0.012, 0.005, 0.004, 0.002).half_height > 0.0025


def test_tubes_without_a_bore_are_solid() -> None:
    assert square_tube(0.01, 0.0) == plate(0.01, 0.01)
    assert round_tube(0.01, 0.0).area == pytest.approx(7.853982e-5, rel=1e-6)
