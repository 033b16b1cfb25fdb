"""Arcs found again in drawn outlines, and exact moments."""

from math import pi

import numpy as np
import pytest
import shapely

from rotorwright.frame.drawing import disc, filleted, rectangle, rounded, slot
from rotorwright.frame.outline import Outline


def test_a_disc_is_a_circle_again() -> None:
    outline = Outline.of(disc(0.02, 0.003, -0.001))
    assert outline.outer.circle == pytest.approx((0.003, -0.001, 0.01), abs=1e-12)
    assert outline.moments.area == pytest.approx(pi * 1e-4, rel=1e-12)
    assert outline.moments.xx == pytest.approx(pi / 4 * 1e-8, rel=1e-9)
    assert outline.cut_length == pytest.approx(pi * 0.02, rel=1e-12)


def test_rounded_rectangle() -> None:
    """l w - (4 - pi) r^2, and a perimeter of straight sides and one circle."""
    outline = Outline.of(rounded(rectangle(0.1, 0.04, 0.02, 0.01), 0.005))
    assert len(outline.outer.points) == 8
    assert outline.moments.area == pytest.approx(0.004 - (4 - pi) * 2.5e-5, rel=1e-12)
    assert outline.moments.centre == pytest.approx((0.02, 0.01), abs=1e-12)
    assert outline.cut_length == pytest.approx(2 * (0.09 + 0.03) + pi * 0.01, rel=1e-12)


def test_slot() -> None:
    outline = Outline.of(slot(0.02, 0.004))
    assert len(outline.outer.points) == 4
    assert outline.moments.area == pytest.approx(0.016 * 0.004 + pi * 4e-6, rel=1e-12)


def test_holes_take_away() -> None:
    outline = Outline.of(rectangle(0.04, 0.02).difference(disc(0.01, 0.005)))
    area = 8e-4 - pi * 2.5e-5
    assert outline.moments.area == pytest.approx(area, rel=1e-12)
    assert outline.moments.centre[0] == pytest.approx(-pi * 2.5e-5 * 0.005 / area, rel=1e-9)
    assert len(outline.holes) == 1


def test_a_fillet_is_an_arc() -> None:
    """Each right-angled inner corner gains (1 - pi/4) r^2."""
    cross = rectangle(0.06, 0.01).union(rectangle(0.01, 0.06))
    outline = Outline.of(filleted(cross, 0.003))
    assert outline.moments.area == pytest.approx(1.1e-3 + 4 * (1 - pi / 4) * 9e-6, rel=1e-9)
    assert np.count_nonzero(outline.outer.bulge) == 4
    assert (outline.outer.bulge <= 0).all()


def test_polygons_of_few_corners_keep_them() -> None:
    hexagon = shapely.Polygon([(np.cos(a), np.sin(a)) for a in np.arange(6) * pi / 3])
    outline = Outline.of(hexagon)
    assert len(outline.outer.points) == 6
    assert not outline.outer.bulge.any()


def test_middles_lie_on_the_arc() -> None:
    path = Outline.of(rounded(rectangle(0.1, 0.04), 0.005)).outer
    radius = np.linalg.norm(path.middles() - path.centres(), axis=1)
    np.testing.assert_allclose(radius[path.bulge != 0], 0.005, rtol=1e-9)
