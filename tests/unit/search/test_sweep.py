"""Sweep: ranges, what follows by the laws, and bad keys."""

import re
from collections.abc import Callable

import pytest

from rotorwright.craft.model import Craft
from rotorwright.errors import InputError
from rotorwright.search.measures import MEASURES
from rotorwright.search.swapped import find_placed
from rotorwright.search.sweep import Axis, read_axis, sweep, with_value

Read = Callable[[int], Craft]


def test_ranges() -> None:
    assert read_axis("propeller.pitch_in=3:4:0.5").values == (3.0, 3.5, 4.0)
    assert read_axis("propeller.pitch_in=3:3.9:0.3").values == pytest.approx((3.0, 3.3, 3.6, 3.9))
    assert read_axis("battery.cells=4,6") == Axis("battery.cells", (4.0, 6.0))


@pytest.mark.parametrize(
    "text", ["", "pitch=3", "a.b=", "a.b=x", "a.b=1:2", "a.b=1:2:0", "a.b=2:1:1", "a.b=1:2:nan", "a.b=0:1:1e-9"]
)
def test_bad_ranges_are_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_axis(text)


def test_the_laws_scale_from_where_the_part_stands(lapwing: Read) -> None:
    """Mass goes with capacity^0.928 and resistance with capacity^-0.981, docs/theory/uncertainty.md."""
    craft = lapwing(2)
    before = find_placed(craft, "battery").part
    twice = before.capacity.value * 2 / 3.6
    changed, follows = with_value(craft, "battery.capacity_mah", twice)
    after = find_placed(changed, "battery").part
    assert after.capacity.value == pytest.approx(2 * before.capacity.value)
    assert after.mass.value == pytest.approx(before.mass.value * 2**0.928)
    assert after.resistance.value == pytest.approx(before.resistance.value * 2**-0.981)
    assert set(follows) == {"battery.mass", "battery.resistance", "battery.size"}
    assert after.capacity.relative == pytest.approx(before.capacity.relative)
    held, follows = with_value(craft, "battery.capacity_mah", twice, hold=True)
    assert find_placed(held, "battery").part.mass == before.mass
    assert follows == []


def test_a_curve_has_bounds_and_a_best_point(lapwing: Read) -> None:
    result = sweep(lapwing(3), [read_axis("recording-camera.mass_g=20,40,60")], [MEASURES["hover-time"]], samples=32)
    values = [point.values["hover-time"] for point in result.points]
    assert result.best == 0
    assert [v.value for v in values] == sorted((v.value for v in values), reverse=True)
    assert all(v.low < v.value < v.high for v in values)
    assert [p.as_good for p in result.points] == [True, False, False]


def test_a_map_runs_through_both_axes(lapwing: Read) -> None:
    axes = [Axis("battery.cells", (4.0, 6.0)), Axis("site.altitude_m", (0.0, 1500.0, 3000.0))]
    result = sweep(lapwing(3), axes, [MEASURES["thrust-to-weight"]], samples=0)
    assert [p.at for p in result.points[:3]] == [(4.0, 0.0), (4.0, 1500.0), (4.0, 3000.0)]
    lifts = [p.values["thrust-to-weight"].value for p in result.points]
    assert lifts[3] > lifts[0] > lifts[2]


def test_wider_frames_roll_slower(lapwing: Read) -> None:
    axis = read_axis("frame.motor_spacing_mm=200,260")
    slow = sweep(lapwing(3), [axis], [MEASURES["roll"]], samples=0).points
    assert slow[0].values["roll"].value > slow[1].values["roll"].value


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("propeller.pich_in", 4, "unknown key"),
        ("propeller.pitch", 4, "has no unit"),
        ("battery.cells", 4.5, "whole number"),
        ("motor.mass_g", -1, "more than 0"),
        ("battery.chemistry", 1, "chemistry"),
        ("wing.mass_g", 1, "no part 'wing'"),
        ("site.altitude_m", 1e6, "altitude"),
    ],
)
def test_bad_keys_and_values(lapwing: Read, key: str, value: float, says: str) -> None:
    with pytest.raises(InputError, match=says):
        with_value(lapwing(3), key, value)


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        (("propeller.pitch_in", "propeller.pitch_in"), "propeller.pitch_in is varied twice$"),
        (("propeller.pitch_in", "propellers.pitch_mm"), "propeller.pitch_in is varied twice as propellers.pitch_mm"),
        (("frame.motor_spacing_mm", "frame.motor_spacing_cm"), "varied twice as frame.motor_spacing_cm"),
    ],
)
def test_one_number_is_not_varied_twice(lapwing: Read, keys: tuple[str, str], says: str) -> None:
    with pytest.raises(InputError) as caught:
        sweep(lapwing(3), [Axis(key, (80.0, 100.0)) for key in keys], [MEASURES["weight"]], samples=0)
    assert re.search(says, caught.value.problems[0].what)


def test_the_craft_as_it_is_stands_among_the_points(lapwing: Read) -> None:
    goals = [MEASURES["hover-time"]]
    found = sweep(lapwing(3), [Axis("propeller.pitch_in", (3.5, 3.75))], goals, samples=32)
    exactly = sweep(lapwing(3), [Axis("propeller.pitch_in", (3.5, 3.6))], goals, samples=32)
    assert found.now is not None and found.now.at == pytest.approx((3.6,))
    assert found.now.values["hover-time"].value == pytest.approx(exactly.points[1].values["hover-time"].value)
    assert found.now.values["hover-time"].low == pytest.approx(exactly.points[1].values["hover-time"].low)
    assert exactly.now is None and len(found.points) == len(exactly.points) == 2


def test_what_is_not_known_of_the_craft_stands_nowhere(lapwing: Read) -> None:
    found = sweep(lapwing(3), [Axis("flight.drag_area_cm2", (90.0, 110.0))], [MEASURES["weight"]], samples=0)
    assert found.present == (None,) and found.now is None


def test_too_many_points(lapwing: Read) -> None:
    axes = [Axis("site.altitude_m", tuple(range(100))), Axis("battery.capacity_mah", tuple(range(100)))]
    with pytest.raises(InputError, match="too many"):
        sweep(lapwing(3), axes, [MEASURES["weight"]])
