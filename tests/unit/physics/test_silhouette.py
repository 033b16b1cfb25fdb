"""Shadows of boxes."""

import numpy as np
import pytest
import shapely

from rotorwright.physics.rigid_body import rotation_matrix
from rotorwright.physics.silhouette import box_corners, shadow_area


def box(x: float, y: float, z: float, at: tuple[float, float, float] = (0, 0, 0), yaw: float = 0.0) -> np.ndarray:
    return box_corners(np.array(at, dtype=float), rotation_matrix(0.0, 0.0, yaw), np.array([x, y, z]))


@pytest.mark.parametrize(("axis", "area"), [(0, 0.04 * 0.02), (1, 0.1 * 0.02), (2, 0.1 * 0.04)])
def test_a_box_throws_its_face(axis: int, area: float) -> None:
    assert shadow_area([box(0.1, 0.04, 0.02)], axis, 5e-4) == pytest.approx(area, rel=1e-9)


def test_what_lies_behind_is_not_counted_twice() -> None:
    one, behind = box(0.02, 0.04, 0.04), box(0.02, 0.03, 0.03, (-0.1, 0, 0))
    assert shadow_area([one, behind], 0) == pytest.approx(shadow_area([one], 0))


def test_a_box_turned_by_45_degrees_shows_its_diagonal() -> None:
    assert shadow_area([box(0.1, 0.1, 0.02, yaw=np.pi / 4)], 0, 5e-4) == pytest.approx(0.1 * 2**0.5 * 0.02, rel=1e-9)
    assert shadow_area([box(0.1, 0.1, 0.02, yaw=np.pi / 4)], 2, 5e-4) == pytest.approx(0.01, rel=1e-9)


@pytest.mark.parametrize("yaw", [1e-9, 1e-6, 1e-4, 0.3, -2.35619])
@pytest.mark.parametrize("roll", [0.0, 1e-7, -1e-5, 0.7])
def test_shadows_are_areas_of_hulls(roll: float, yaw: float) -> None:
    """Against an independent hull (shapely): a face seen almost edge-on counts once, and no angle makes a step."""
    corners = box_corners(
        np.array([0.0123, -0.2, 0.3]), rotation_matrix(roll, 0.2, yaw), np.array([0.03, 0.007, 0.012])
    )
    for axis, (a, b) in enumerate(((1, 2), (0, 2), (0, 1))):
        hull = shapely.MultiPoint(corners[:, [a, b]]).convex_hull.area
        assert shadow_area([corners], axis) == pytest.approx(hull, rel=1e-9)


def test_nothing_throws_no_shadow() -> None:
    assert shadow_area([], 0) == 0.0
