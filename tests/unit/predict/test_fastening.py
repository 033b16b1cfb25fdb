"""Torques of small screws, and how far a motor's screw reaches."""

from collections.abc import Callable
from pathlib import Path

import pytest

import rotorwright.craft
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.predict.fastening import motor_bite, tightening

DEMO = Path(rotorwright.craft.__file__).parent / "demo_workshop" / "crafts"


@pytest.mark.parametrize(
    "thread, ceiling",
    [(2e-3, 0.372), (2.5e-3, 0.760), (3e-3, 1.352), (5e-3, 6.354)],
)
def test_the_ceiling_is_that_of_a_steel_joint(thread: float, ceiling: float) -> None:
    """T = K F d with K 0.2 at 70 % of 640 MPa (ISO 898-1 class 8.8), worked by hand; to the last digit."""
    found = tightening(thread)
    assert found is not None
    assert found.ceiling_n_m == pytest.approx(ceiling, abs=6e-4)


@pytest.mark.parametrize("thread, low, high", [(3e-3, 0.5, 0.8), (2e-3, 0.15, 0.25)])
def test_usual_torques_are_those_of_practice(thread: float, low: float, high: float) -> None:
    """Common practice, no source; M2 follows from M3 by the cube of the diameter, and practice rounds it: 6 %."""
    found = tightening(thread)
    assert found is not None
    assert found.low_n_m == pytest.approx(low, rel=0.06)
    assert found.high_n_m == pytest.approx(high, rel=0.06)
    assert found.high_n_m < found.ceiling_n_m
    assert "no source" in found.source


@pytest.mark.parametrize("thread", [0.9e-3, 2.7e-3, 10e-3, float("nan")])
def test_a_thread_that_is_none_has_no_torque(thread: float) -> None:
    assert tightening(thread) is None


def test_a_motors_screw_less_its_arm() -> None:
    craft = read_craft(DEMO / "lapwing-1.toml")
    bite = motor_bite(craft, 8e-3)
    assert bite is not None
    assert (bite.under_m, bite.bite_m, bite.depth_m) == pytest.approx((5e-3, 3e-3, 3.5e-3))


def test_pads_on_tubes_count_and_nothing_gives_nothing(small_craft: Callable[..., Craft]) -> None:
    bite = motor_bite(read_craft(DEMO / "curlew-1.toml"), 6e-3)
    assert bite is not None
    assert bite.under_m == pytest.approx(3e-3)
    assert motor_bite(small_craft(), 8e-3) is None
