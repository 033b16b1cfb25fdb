"""Arcs found again in drawn outlines, and exact moments."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest
import shapely

from rotorwright.craft import Craft
from rotorwright.frame.arms import arm_outline, plan_arms
from rotorwright.frame.drawing import disc, filleted, rectangle, rounded, slot
from rotorwright.frame.materials import materials
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


@pytest.mark.parametrize(("radius", "tip_at_end"), [(0.03, False), (0.034, False), (0.05, True)])
def test_an_arm_that_is_held_to_its_end_has_no_taper(craft: Craft, radius: float, tip_at_end: bool) -> None:
    """12 mm wide, 15 mm at the tip, held to 34 mm: before that the tip's edges would run back on themselves."""
    table = craft.frame.arm
    assert table is not None and table.width is not None
    wide = replace(table, form="plate", tip_width=replace(table.width, value=0.015))
    wide = replace(wide, width=replace(table.width, value=0.012), root=replace(table.width, value=0.013))
    plan = replace(plan_arms(wide, materials()["carbon-cross-ply"], 0.034, (0.001,), 0.002), pad=0.006, fillet=0.0)
    outline = arm_outline(plan, radius)
    assert outline.is_valid
    low, high = outline.bounds[1], outline.bounds[3]
    assert (low, high) == pytest.approx((-0.0075, 0.0075) if tip_at_end else (-0.006, 0.006))
