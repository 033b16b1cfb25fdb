"""Steady flight: speeds, limits, tilt."""

import math
from collections.abc import Callable

import numpy as np
import pytest

from rotorwright.columns import drag_areas
from rotorwright.craft.model import Craft
from rotorwright.predict.airborne import airborne
from rotorwright.predict.flight import Flight

Read = Callable[..., Craft]


def steady(craft: Craft, samples: int = 0) -> Flight:
    return airborne(craft, samples).steady()


def test_speeds_come_in_their_order(small_craft: Read) -> None:
    f = steady(small_craft(), 32)
    least, far, top = f.best_endurance_speed_m_per_s, f.best_range_speed_m_per_s, f.top_speed_m_per_s
    assert least.value is not None and far.value is not None and top.value is not None
    assert 0 < least.value < far.value < top.value
    assert f.top_speed_limit in ("power", "pitch")
    assert top.low is not None and top.low < top.value


def test_power_is_least_at_the_best_endurance_speed(small_craft: Read) -> None:
    ready = airborne(small_craft(), 0)
    best = ready.steady().best_endurance_speed_m_per_s.value
    assert best is not None
    speeds = np.array([[0.85 * best, best, 1.15 * best]])
    left, middle, right = ready.columns.level(speed=speeds, charge=0.8)["power"][0]
    assert middle <= left and middle <= right


def test_a_larger_drag_area_slows(small_craft: Read) -> None:
    small, large = (
        steady(small_craft(more=f"\n[flight]\ndrag_area_cm2 = {a}\ndrag_area_top_cm2 = {2 * a}\n")) for a in (40, 200)
    )
    assert (large.top_speed_m_per_s.value or 0) < (small.top_speed_m_per_s.value or 0)
    assert large.drag_area_m2.value == pytest.approx(0.02)
    assert large.drag_area_basis == "datasheet"


def test_a_pitch_limit_ends_the_speed(small_craft: Read) -> None:
    free, held = steady(small_craft()), steady(small_craft(more="\n[flight]\npitch_limit_deg = 30\n"))
    assert held.top_speed_limit == "pitch"
    assert (held.top_speed_m_per_s.value or 0) < (free.top_speed_m_per_s.value or 0)


def test_camera_tilt_is_the_pitch_at_the_chosen_speed(small_craft: Read) -> None:
    craft = small_craft(more="\n[flight]\ncruise_speed_m_per_s = 12\n")
    ready = airborne(craft, 0)
    pitch = math.degrees(ready.columns.level(speed=12.0, charge=0.8)["pitch"][0, 0])
    assert ready.steady().camera_tilt_deg.value == pytest.approx(pitch, abs=0.3)


def test_a_speed_beyond_the_top_has_no_tilt(small_craft: Read) -> None:
    f = steady(small_craft(more="\n[flight]\ncruise_speed_m_per_s = 90\n"))
    assert f.camera_tilt_deg.value is None
    assert f.camera_tilt_deg.reason == "this speed cannot be flown level"


def test_a_mounted_camera_sees_the_horizon_level_at_some_speed(small_craft: Read) -> None:
    camera = '\n[[camera]]\nname = "eye"\nmass_g = 9\n[[part]]\nuse = "eye"\ntilt_deg = 20\n'
    f = steady(small_craft(more=camera))
    assert f.camera_level_speed_m_per_s.value is not None and 5 < f.camera_level_speed_m_per_s.value < 30
    assert "no camera" in (steady(small_craft()).camera_level_speed_m_per_s.reason or "")


def test_a_craft_that_cannot_hover_says_so(small_craft: Read) -> None:
    f = steady(small_craft(('name = "rest"\nmass_g = 250', 'name = "rest"\nmass_g = 9000')), 32)
    for prediction in (f.top_speed_m_per_s, f.climb_m_per_s, f.brake_distance_m):
        assert prediction.value is None
        assert prediction.reason == "it cannot hover"


def test_vortex_ring_band_and_its_escape(small_craft: Read) -> None:
    """0.45 and 0.95 hover induced speeds: Johnson, NASA/TP-2005-213477 (second hand)."""
    f = steady(small_craft())
    assert f.ring_state_descent_m_per_s.value is not None and f.ring_state_leaves_at_m_per_s.value is not None
    assert f.ring_state_descent_m_per_s.value / f.ring_state_leaves_at_m_per_s.value == pytest.approx(0.45 / 0.95)


def test_punch_is_slower_than_free_acceleration_and_faster_than_its_climb(small_craft: Read) -> None:
    f = steady(small_craft())
    assert f.punch_30m_s.value is not None and f.climb_m_per_s.value is not None
    assert f.punch_30m_s.value > 30 / f.climb_m_per_s.value


def test_drag_area_grows_with_the_body(small_craft: Read) -> None:
    plain, sized = small_craft(), small_craft(('name = "rest"', 'name = "rest"\nsize_mm = [150, 80, 80]'))
    assert drag_areas(sized)[0].value > drag_areas(plain)[0].value
