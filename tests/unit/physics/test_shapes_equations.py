"""Bodies and shadows put beside a general library, point masses and areas known exactly."""

import math

import numpy as np
import pytest
from scipy.spatial import ConvexHull
from scipy.spatial.transform import Rotation

from rotorwright.physics.rigid_body import Box, Cylinder, Disc, Tube, combine, rotated, rotation_matrix
from rotorwright.physics.silhouette import box_corners, cover, raster, shadow_area

ROLL, PITCH, YAW = 0.3, -0.7, 1.9


def test_extents_are_whole_lengths_of_radii_and_diameters() -> None:
    assert Disc(0.7).extent().tolist() == [1.4, 1.4, 0.0]
    assert Cylinder(0.7, 0.3).extent().tolist() == [1.4, 1.4, 0.3]
    assert Tube(0.7, 0.5, 0.3).extent().tolist() == [0.3, 0.7, 0.7]
    assert Box(0.7, 0.5, 0.3).extent().tolist() == [0.7, 0.5, 0.3]


def test_rotation_is_yaw_then_pitch_then_roll() -> None:
    expected = Rotation.from_euler("ZYX", [YAW, PITCH, ROLL]).as_matrix()
    assert rotation_matrix(ROLL, PITCH, YAW) == pytest.approx(expected)


def test_a_turned_tensor_is_that_of_the_turned_points() -> None:
    points, turn = np.random.default_rng(3).normal(size=(9, 3)), rotation_matrix(ROLL, PITCH, YAW)
    assert rotated(tensor(points), turn) == pytest.approx(tensor(points @ turn.T))
    several = rotated(np.stack([tensor(points), np.diag([1.0, 2.0, 3.0])]), np.stack([turn, turn.T]))
    assert several[1] == pytest.approx(turn.T @ np.diag([1.0, 2.0, 3.0]) @ turn)


def tensor(points: np.ndarray, masses: np.ndarray | None = None) -> np.ndarray:
    """Inertia of point masses about the origin, element by element."""
    m = np.ones(len(points)) if masses is None else masses
    x, y, z = points.T
    return np.array(
        [
            [(m * (y * y + z * z)).sum(), -(m * x * y).sum(), -(m * x * z).sum()],
            [-(m * x * y).sum(), (m * (z * z + x * x)).sum(), -(m * y * z).sum()],
            [-(m * x * z).sum(), -(m * y * z).sum(), (m * (x * x + y * y)).sum()],
        ]
    )


def test_parts_together_are_their_points_together() -> None:
    """Each part is a cloud of points of its own; the tensor comes out symmetric to the last digit."""
    random = np.random.default_rng(5)
    masses, places = np.array([0.3, 0.7, 1.1]), random.normal(size=(3, 3))
    clouds = random.normal(size=(3, 8, 3))
    clouds -= clouds.mean(axis=1, keepdims=True)
    own = np.array([tensor(cloud) / 8 for cloud in clouds])
    mass, centre, inertia = combine(masses, places, own)
    points, weights = (places[:, None] + clouds).reshape(-1, 3), np.repeat(masses / 8, 8)
    assert mass == pytest.approx(2.1)
    assert centre == pytest.approx(np.average(points, axis=0, weights=weights))
    assert inertia == pytest.approx(tensor(points - centre, weights))
    lopsided = own + np.array([[0.0, 0.2, 0.0], [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]])
    _, _, evened = combine(masses, places, lopsided)
    assert (evened == evened.T).all()
    assert evened[0, 1] - inertia[0, 1] == pytest.approx(0.1 * 2.1)


def test_some_parts_may_weigh_nothing() -> None:
    assert combine(np.array([0.0, 0.4]), np.eye(3)[:2], np.zeros((2, 3, 3)))[1].tolist() == [0.0, 1.0, 0.0]


@pytest.mark.parametrize(("span", "cell"), [(0.0, 1e-3), (0.4, 1e-3), (2.5, 2.5e-3)])
def test_cells_of_the_raster(span: float, cell: float) -> None:
    assert raster(span) == pytest.approx(cell)
    assert raster(np.array([0.01, span])) == pytest.approx(cell)


def test_corners_of_a_turned_box() -> None:
    """Each lies half of each length from the centre, along the box's own axes; all eight are different."""
    centre, turn = np.array([0.1, -0.2, 0.3]), rotation_matrix(ROLL, PITCH, YAW)
    corners = box_corners(centre, turn, np.array([0.4, 0.6, 0.9]))
    back = (corners - centre) @ turn
    assert np.abs(back) == pytest.approx(np.tile([0.2, 0.3, 0.45], (8, 1)))
    assert len({tuple(row) for row in np.sign(back)}) == 8


def test_cells_hold_their_share_of_a_rectangle() -> None:
    """Edges at unlike fractions of a cell; a corner's cell holds the product of both."""
    covered = np.zeros((9, 12))
    cover(covered, np.array([[1.25, 3.4], [6.5, 3.4], [6.5, 10.7], [1.25, 10.7], [3.0, 5.0]]))
    rows, columns = np.zeros(9), np.zeros(12)
    rows[1:7], columns[3:11] = [0.75, 1, 1, 1, 1, 0.5], [0.6, 1, 1, 1, 1, 1, 1, 0.7]
    assert covered == pytest.approx(np.outer(rows, columns), abs=1e-12)


def test_a_second_body_only_adds_what_it_covers_more() -> None:
    square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    covered = np.array([[0.4, 0.9], [0.4, 0.9]])
    cover(covered, square * [0.6, 2.0])
    assert covered == pytest.approx(np.array([[0.6, 0.9], [0.4, 0.9]]))


def test_a_line_throws_no_shadow() -> None:
    covered = np.zeros((4, 4))
    cover(covered, np.array([[0.0, 0.0], [1.0, 1.0], [3.0, 3.0]]))
    assert not covered.any()


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_a_turned_box_far_from_the_origin(axis: int) -> None:
    """Its shadow is the hull of its corners."""
    corners = box_corners(np.array([3.0, -5.0, 7.0]), rotation_matrix(ROLL, PITCH, YAW), np.array([0.05, 0.08, 0.13]))
    hull = ConvexHull(np.delete(corners, axis, axis=1))
    assert shadow_area([corners], axis) == pytest.approx(hull.volume, rel=1e-9)


def test_two_boxes_apart_and_overlapping() -> None:
    """Union of two squares of 40 mm, the second moved by 15 and 25 mm: 2 x 1600 less 25 x 15 mm2; 1 %: corners."""
    one = box_corners(np.zeros(3), np.eye(3), np.array([0.04, 0.04, 0.01]))
    near, far = one + np.array([0.015, 0.025, 0.3]), one + np.array([0.1, 0.0, 0.0])
    assert shadow_area([one, near], 2) == pytest.approx(2825e-6, rel=0.01)
    assert shadow_area([one, far], 2) == pytest.approx(3200e-6, rel=0.01)
    assert math.isclose(shadow_area([one, far], 0), shadow_area([one], 0), rel_tol=1e-9)
