"""Shadows of boxes."""

import numpy as np
import pytest

from rotorwright.physics.rigid_body import rotation_matrix
from rotorwright.physics.silhouette import box_corners, shadow_area


def box(x: float, y: float, z: float, at: tuple[float, float, float] = (0, 0, 0), yaw: float = 0.0) -> np.ndarray:
    return box_corners(np.array(at, dtype=float), rotation_matrix(0.0, 0.0, yaw), np.array([x, y, z]))


@pytest.mark.parametrize(("axis", "area"), [(0, 0.04 * 0.02), (1, 0.1 * 0.02), (2, 0.1 * 0.04)])
def test_a_box_throws_its_face(axis: int, area: float) -> None:
    assert shadow_area([box(0.1, 0.04, 0.02)], axis, 5e-4) == pytest.approx(area, rel=0.03)


def test_what_lies_behind_is_not_counted_twice() -> None:
    one, behind = box(0.02, 0.04, 0.04), box(0.02, 0.03, 0.03, (-0.1, 0, 0))
    assert shadow_area([one, behind], 0) == pytest.approx(shadow_area([one], 0))


def test_a_box_turned_by_45_degrees_shows_its_diagonal() -> None:
    assert shadow_area([box(0.1, 0.1, 0.02, yaw=np.pi / 4)], 0, 5e-4) == pytest.approx(0.1 * 2**0.5 * 0.02, rel=0.03)
    assert shadow_area([box(0.1, 0.1, 0.02, yaw=np.pi / 4)], 2, 5e-4) == pytest.approx(0.01, rel=0.03)


def test_nothing_throws_no_shadow() -> None:
    assert shadow_area([], 0) == 0.0
