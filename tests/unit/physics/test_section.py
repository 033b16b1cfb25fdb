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


def test_a_round_tube() -> None:
    """12 mm outside, 10 mm inside: A = pi (36 - 25), I = pi (12^4 - 10^4)/64, J = 2 I, half of the area shears."""
    tube = round_tube(0.012, 0.010)
    assert tube.area == pytest.approx(34.5575e-6, rel=1e-5)
    assert tube.vertical == tube.lateral == pytest.approx(527.002e-12, rel=1e-5)
    assert tube.torsion == pytest.approx(1054.004e-12, rel=1e-5)
    assert (tube.half_height, tube.half_width, tube.shear_share) == pytest.approx((0.006, 0.006, 0.5))
    assert round_tube(0.012, 0.0).shear_share == 0.9


def test_a_square_tube() -> None:
    """10 mm outside, 8 mm inside: A = 36, I = (10^4 - 8^4)/12 = 492, J = 1 x 9^3 = 729 (Bredt)."""
    tube = square_tube(0.010, 0.008)
    assert tube.area == pytest.approx(36e-6)
    assert tube.vertical == tube.lateral == pytest.approx(492e-12)
    assert tube.torsion == pytest.approx(729e-12)
    assert (tube.half_height, tube.half_width, tube.shear_share) == pytest.approx((0.005, 0.005, 0.44))


@pytest.mark.parametrize(("ratio", "share"), [(1, 0.141), (2, 0.229), (4, 0.281), (10, 0.312)])
def test_torsion_of_a_rectangle_is_that_of_the_handbooks(ratio: int, share: float) -> None:
    """J = k b t^3, k by Timoshenko and Goodier's table (from memory), to its last digit."""
    assert plate(ratio * 0.003, 0.003).torsion == pytest.approx(
        share * ratio * 0.003**4, abs=1.1e-3 * ratio * 0.003**4
    )


def test_a_plate() -> None:
    """12 mm by 5 mm: A = 60, I = 12 x 125/12 and 5 x 1728/12, five sixths of the area shear."""
    flat = plate(0.012, 0.005)
    assert (flat.area, flat.vertical, flat.lateral) == pytest.approx((60e-6, 125e-12, 720e-12))
    assert (flat.half_height, flat.half_width, flat.shear_share) == pytest.approx((0.0025, 0.006, 5 / 6))


def test_a_grooved_plate_is_a_floor_and_two_flanks() -> None:
    """12 mm by 5 mm, groove of 4 mm by 2 mm: a floor of 12 x 3 below two ribs of 4 x 2 (parallel axes, in mm)."""
    made = grooved_plate(0.012, 0.005, 0.004, 0.002)
    middle = (36 * 1.5 + 16 * 4.0) / 52
    vertical = 12 * 3**3 / 12 + 36 * (middle - 1.5) ** 2 + 2 * 4 * 2**3 / 12 + 16 * (4.0 - middle) ** 2
    lateral = 3 * 12**3 / 12 + 2 * (2 * 4**3 / 12 + 8 * 4.0**2)
    assert made.area == pytest.approx(52e-6)
    assert made.vertical == pytest.approx(vertical * 1e-12)
    assert made.lateral == pytest.approx(lateral * 1e-12)
    assert made.half_height == pytest.approx((5 - middle) * 1e-3)
    assert made.half_width == pytest.approx(0.006)
    assert made.torsion == pytest.approx(2 * plate(0.004, 0.005).torsion + plate(0.004, 0.003).torsion)
