"""Scaling and invariance of outlines, masses and arms."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from rotorwright.frame.arms import plan_arms
from rotorwright.frame.beams import arm_line, cantilever
from rotorwright.frame.drawing import disc, filleted, rectangle, rounded
from rotorwright.frame.layout import MotorPlace
from rotorwright.frame.materials import material
from rotorwright.frame.mesh import extrusion_mesh
from rotorwright.frame.outline import Outline
from rotorwright.frame.pieces_table import ArmTable
from rotorwright.frame.shape import Extrusion
from rotorwright.parts.estimate import Estimate
from rotorwright.physics.beam import modes, static

turns = st.floats(-math.pi, math.pi)
shifts = st.floats(-0.2, 0.2)
scales = st.floats(0.3, 3.0)
lengths = st.floats(0.03, 0.15)
widths = st.floats(0.008, 0.03)

METAL = material("aluminium-7075")
CARBON = material("carbon-quasi-isotropic")


def plate(length: float, width: float) -> object:
    """An arm-like outline: tongue, disc, fillets, a hole."""
    body = rectangle(length, width, length / 2).union(disc(1.6 * width, length))
    return filleted(body, 0.2 * width).difference(disc(0.5 * width, length))


@given(lengths, widths, turns, shifts, shifts)
@settings(max_examples=60, deadline=None)
def test_area_and_length_do_not_care_where_it_lies(
    length: float, width: float, turn: float, x: float, y: float
) -> None:
    here = Outline.of(plate(length, width))  # type: ignore[arg-type]
    there = Outline.of(affinity.translate(affinity.rotate(plate(length, width), turn, use_radians=True), x, y))
    # an arc may be found one edge shorter where a vertex turned by rounding: 0.01 %
    assert there.moments.area == pytest.approx(here.moments.area, rel=1e-4)
    assert there.cut_length == pytest.approx(here.cut_length, rel=1e-4)
    total = here.moments.xx + here.moments.yy
    assert there.moments.xx + there.moments.yy == pytest.approx(total, rel=3e-4)


@given(lengths, widths, scales)
@settings(max_examples=40, deadline=None)
def test_area_grows_with_the_square(length: float, width: float, scale: float) -> None:
    small = Outline.of(rounded(rectangle(length, width), width / 5))
    large = Outline.of(rounded(rectangle(scale * length, scale * width), scale * width / 5))
    assert large.moments.area == pytest.approx(scale**2 * small.moments.area, rel=1e-9)
    assert large.moments.xx == pytest.approx(scale**4 * small.moments.xx, rel=1e-9)


@given(lengths, widths)
@settings(max_examples=40, deadline=None)
def test_the_exact_outline_is_never_far_from_the_drawn_one(length: float, width: float) -> None:
    """Polygons with 64 edges to a circle lack at most 0.2 % of its area."""
    shape = plate(length, width)
    outline = Outline.of(shape)  # type: ignore[arg-type]
    assert outline.moments.area == pytest.approx(shape.area, rel=2e-3)  # type: ignore[attr-defined]
    assert len(outline.outer.points) < 30


@given(lengths, widths, st.floats(0.001, 0.01))
@settings(max_examples=30, deadline=None)
def test_triangles_enclose_the_drawn_polygon(length: float, width: float, height: float) -> None:
    body = Extrusion(Outline.of(plate(length, width)), height)  # type: ignore[arg-type]
    vertices, triangles = extrusion_mesh(body)
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    volume = float(np.sum(a * np.cross(b, c)) / 6)
    assert volume == pytest.approx(body.outline.polygon.area * height, rel=1e-9)


def arm(thickness: float, width: float, reach: float, stuff: object = METAL) -> tuple[float, float]:
    """Stiffness up [N/m] and first mode with 36 g at its end [Hz]."""
    table = ArmTable(material="any", thickness=Estimate(thickness), width=Estimate(width))
    plan = plan_arms(table, stuff, 0.03, (0.016,), 0.003)  # type: ignore[arg-type]
    beams, lumps = cantilever(arm_line(plan, MotorPlace("m", reach, 0.0, 0.0, 1), 0.0, []), 0.036)
    loads = np.zeros((len(beams.nodes), 6))
    loads[-1, 2] = 1.0
    return 1 / float(static(beams, loads, [0])[-1, 2]), float(modes(beams, lumps, [0], 1).frequency[0])


@given(st.floats(0.002, 0.008), st.floats(0.009, 0.02), st.floats(0.09, 0.16))
@settings(max_examples=30, deadline=None)
def test_more_thickness_or_width_is_stiffer_and_more_reach_softer(t: float, b: float, r: float) -> None:
    k, f = arm(t, b, r)
    assert arm(1.1 * t, b, r) > (k, f)
    assert arm(t, 1.1 * b, r)[0] > k
    assert arm(t, b, 1.1 * r)[0] < k
    assert arm(t, b, 1.1 * r)[1] < f


@given(st.floats(0.002, 0.006), st.floats(0.09, 0.16))
@settings(max_examples=20, deadline=None)
def test_twice_the_width_is_twice_the_stiffness_of_a_metal_plate(t: float, r: float) -> None:
    assert arm(t, 0.02, r)[0] == pytest.approx(2 * arm(t, 0.01, r)[0], rel=1e-9)


@given(turns)
@settings(max_examples=30, deadline=None)
def test_quasi_isotropic_laminates_pull_alike_every_way(turn: float) -> None:
    assert CARBON is not None
    straight, aslant = CARBON.moduli(0.0), CARBON.moduli(turn)
    assert aslant.membrane == pytest.approx(straight.membrane, rel=1e-9)
    assert aslant.shear == pytest.approx(straight.shear, rel=1e-9)
