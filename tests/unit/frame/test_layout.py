"""Motor places of every layout: symmetry, the sizes asked for, and spins that cancel."""

import math
from itertools import combinations

import pytest

from rotorwright.frame.layout import MotorPlace, missing_size, motor_places, smallest_gap
from rotorwright.frame.table import FrameTable
from rotorwright.parts.estimate import Estimate

SPACING = 0.222
COUNTS = dict.fromkeys(("x", "wide-x", "long-x", "y-coaxial", "y-splayed"), 4) | {"hexagon": 6, "octagon": 8}
every_layout = pytest.mark.parametrize("layout", COUNTS)


def places(layout: str, **more: object) -> list[MotorPlace]:
    table = FrameTable(layout=layout, motor_spacing=Estimate(SPACING), **more)  # type: ignore[arg-type]
    assert missing_size(table) == ""
    return motor_places(table)


@every_layout
def test_count_and_names(layout: str) -> None:
    found = places(layout)
    assert len(found) == COUNTS[layout]
    assert len({m.name for m in found}) == len(found)
    for m in found:
        if "left" in m.name:
            assert m.y > 0
        if "right" in m.name:
            assert m.y < 0
        if m.name.startswith(("front", "left-front", "right-front")):
            assert m.x > 0
        if m.name.startswith(("rear", "tail", "left-rear")):
            assert m.x < 0


@every_layout
@pytest.mark.parametrize("rotation", ["inward", "outward"])
def test_torques_cancel_and_every_spin_is_one(layout: str, rotation: str) -> None:
    found = places(layout, rotation=rotation)
    assert sum(m.spin for m in found) == 0
    assert all(abs(m.spin) == 1 for m in found)


@every_layout
def test_left_mirrors_right_with_the_opposite_spin(layout: str) -> None:
    found = [m for m in places(layout) if m.y != 0]
    for m in found:
        assert any(
            math.isclose(o.x, m.x, abs_tol=1e-12) and math.isclose(o.y, -m.y, abs_tol=1e-12) and o.spin == -m.spin
            for o in found
        ), m.name


@every_layout
def test_rotation_outward_is_the_other_way_round(layout: str) -> None:
    inward, outward = places(layout, rotation="inward"), places(layout, rotation="outward")
    assert [(m.x, m.y, m.z, -m.spin) for m in inward] == [(m.x, m.y, m.z, m.spin) for m in outward]


@every_layout
def test_inward_moves_the_front_edge_of_the_front_discs_to_the_middle(layout: str) -> None:
    """Speed of a point ahead of the hub at (r, 0): w z x r x = w r y; the front-left one must go to -y."""
    front_left = next(m for m in places(layout, rotation="inward") if m.name == "front-left")
    assert front_left.spin < 0


@pytest.mark.parametrize("layout", ["x", "wide-x", "long-x"])
def test_diagonal_is_the_spacing(layout: str) -> None:
    at = {m.name: m for m in places(layout)}
    for one, other in (("front-left", "rear-right"), ("front-right", "rear-left")):
        assert math.dist((at[one].x, at[one].y), (at[other].x, at[other].y)) == pytest.approx(SPACING, rel=1e-12)
        assert at[one].spin == at[other].spin


def test_shape_of_the_three_crosses() -> None:
    def ratio(layout: str) -> float:
        m = places(layout)[0]
        return m.x / m.y

    assert ratio("x") == pytest.approx(1.0)
    assert ratio("wide-x") < 1.0 < ratio("long-x")


def test_length_and_width_win_over_the_diagonal() -> None:
    m = places("long-x", motor_length=Estimate(0.2), motor_width=Estimate(0.15))[0]
    assert (m.x, m.y) == (0.1, 0.075)


@pytest.mark.parametrize("layout", ["hexagon", "octagon"])
def test_rings_are_regular_and_neighbours_turn_opposite_ways(layout: str) -> None:
    found = sorted(places(layout), key=lambda m: m.bearing)
    step = 2 * math.pi / len(found)
    for m, following in zip(found, found[1:] + found[:1], strict=True):
        assert m.radius == pytest.approx(SPACING / 2, rel=1e-12)
        assert (following.bearing - m.bearing) % (2 * math.pi) == pytest.approx(step)
        assert m.spin == -following.spin
    assert min(abs(m.bearing) for m in found) == pytest.approx(step / 2)


def test_coaxial_tail() -> None:
    found = places("y-coaxial", tail_height=Estimate(0.04))
    upper, lower = (next(m for m in found if m.name == f"tail-{n}") for n in ("upper", "lower"))
    assert (upper.x, upper.y) == (lower.x, lower.y)
    assert upper.y == 0
    assert (upper.z, lower.z) == (0.0, -0.04)
    assert upper.spin == -lower.spin


def test_splayed_tail_is_narrower_than_the_front() -> None:
    usual = {m.name: m for m in places("y-splayed")}
    assert 0 < usual["rear-left"].y < usual["front-left"].y
    given = {m.name: m for m in places("y-splayed", tail_width=Estimate(0.06))}
    assert given["rear-left"].y == pytest.approx(0.03)


def test_what_is_missing() -> None:
    both = {"motor_length": Estimate(0.2), "motor_width": Estimate(0.2)}
    assert missing_size(FrameTable()) == "motor_spacing_mm or motor_length_mm and motor_width_mm"
    assert missing_size(FrameTable(motor_length=Estimate(0.2))) != ""
    assert missing_size(FrameTable(**both)) == ""  # type: ignore[arg-type]
    assert missing_size(FrameTable(layout="hexagon", **both)) == "motor_spacing_mm"  # type: ignore[arg-type]


@every_layout
def test_smallest_gap(layout: str) -> None:
    found = places(layout)
    apart = [math.dist((a.x, a.y), (b.x, b.y)) for a, b in combinations(found, 2)]
    diameter = 0.05
    assert smallest_gap(found, diameter) == pytest.approx(min(d for d in apart if d > 0) - diameter)
    assert smallest_gap(found, 0.5) < 0


def test_gap_of_one_is_infinite() -> None:
    assert smallest_gap([MotorPlace("a", 0, 0, 0, 1), MotorPlace("b", 0, 0, -0.03, -1)], 0.1) == math.inf
