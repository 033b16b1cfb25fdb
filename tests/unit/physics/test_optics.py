"""Views and elevations at their edges."""

from math import pi, radians

import numpy as np
import pytest

from rotorwright.physics.optics import (
    across,
    across_equidistant,
    elevation_in_picture,
    field_of_view,
    level_acceleration,
)


def test_views_grow_and_stay_below_half_a_turn() -> None:
    views = np.asarray(field_of_view(np.array([1e-3, 5e-3, 1.0]), 2e-3))
    assert np.all(np.diff(views) > 0)
    assert views[-1] < pi


def test_across_and_back() -> None:
    assert across(across(1.7, 0.75), 1 / 0.75) == pytest.approx(1.7)
    assert across(1.2, 1.0) == pytest.approx(1.2)


def test_a_view_of_half_a_turn_is_not_rectilinear() -> None:
    assert np.isnan(across(pi, 0.75))
    assert np.isnan(across(4.0, 0.75))
    assert across_equidistant(4.0, 0.75) == 3.0


def test_equidistant_grows_faster_than_rectilinear() -> None:
    """A longer side adds more angle where the lens does not stretch the rim."""
    assert across_equidistant(1.7, 1.25) > across(1.7, 1.25)
    assert across_equidistant(1.7, 0.75) < across(1.7, 0.75)


ELEVATIONS = [
    # forward, left, up [m], tilt deg, elevation in the picture deg; own vectors: angles of plain triangles
    (1.0, 0.0, 0.0, 0.0, 0.0),
    (1.0, 0.0, 0.0, 30.0, -30.0),
    (1.0, 0.0, 1.0, 0.0, 45.0),
    (1.0, 0.0, 1.0, 45.0, 0.0),
    (1.0, 5.0, 1.0, 45.0, 0.0),
    (0.0, 0.0, 1.0, 30.0, 60.0),
    (2.0, 0.0, -2.0, 10.0, -55.0),
]


@pytest.mark.parametrize("forward, left, up, tilt, degrees", ELEVATIONS)
def test_elevation(forward: float, left: float, up: float, tilt: float, degrees: float) -> None:
    found = elevation_in_picture(forward, left, up, radians(tilt))
    assert np.degrees(found) == pytest.approx(degrees, abs=1e-9)


def test_behind_the_lens_there_is_no_picture() -> None:
    assert np.isnan(elevation_in_picture(-1.0, 0.0, 0.0, 0.0))
    assert np.isnan(elevation_in_picture(1.0, 0.0, -1.0, radians(60)))
    assert np.isnan(elevation_in_picture(1.0, np.nan, 0.0, 0.0))


def test_a_lens_that_looks_level_at_45_degrees_flies_off_at_one_g() -> None:
    assert level_acceleration(radians(45.0)) == pytest.approx(9.80665)
    assert level_acceleration(0.0) == 0.0
