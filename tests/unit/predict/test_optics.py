"""What the cameras of a craft see."""

from collections.abc import Callable
from math import degrees

import numpy as np
import pytest

from rotorwright.columns import Draws
from rotorwright.craft.model import Craft
from rotorwright.physics.optics import across
from rotorwright.predict.optics import CameraOptics, optics

Small = Callable[..., Craft]

CAMERA = """
[[camera]]
name = "cam"
{lens}
[[part]]
use = "cam"
at_mm = [60, 0, 0]
tilt_deg = {{ value = 30, sd = 0 }}
"""


def seen(small_craft: Small, lens: str, more: str = "", samples: int = 0) -> CameraOptics:
    (found,) = optics(small_craft(more=CAMERA.format(lens=lens) + more), Draws(samples))
    return found


def test_from_sensor_and_focal_length(small_craft: Small) -> None:
    """4.8 x 3.6 mm at 2.1 mm: 97.628, 81.203 and 110.016 degrees, computed outside this project; half a digit."""
    found = seen(small_craft, "focal_length_mm = 2.1\nsensor_mm = [4.8, 3.6]")
    assert found.horizontal_deg.value == pytest.approx(97.628, abs=0.5e-3)
    assert found.vertical_deg.value == pytest.approx(81.203, abs=0.5e-3)
    assert found.diagonal_deg.value == pytest.approx(110.016, abs=0.5e-3)


def test_edges_of_the_picture(small_craft: Small) -> None:
    found = seen(small_craft, "focal_length_mm = 2.1\nsensor_mm = [4.8, 3.6]")
    assert found.top_deg.value == pytest.approx(30 + 81.203 / 2, abs=1e-3)
    assert found.bottom_deg.value == pytest.approx(30 - 81.203 / 2, abs=1e-3)
    assert found.level_acceleration_m_per_s2.value == pytest.approx(5.66187, abs=0.5e-5)


def test_other_views_lie_between_the_two_projections(small_craft: Small) -> None:
    found = seen(small_craft, "field_of_view_deg = { value = 120, sd = 0 }\naspect = 1.5", samples=512)
    straight, even = degrees(float(across(np.radians(120), 1 / 1.5))), 120 / 1.5
    assert found.vertical_deg.value == pytest.approx((straight + even) / 2)
    assert found.vertical_deg.low is not None and found.vertical_deg.high is not None
    assert even - 1e-9 <= found.vertical_deg.low < found.vertical_deg.high <= straight + 1e-9


def test_horizontal_from_diagonal(small_craft: Small) -> None:
    found = seen(small_craft, "field_of_view_diagonal_deg = { value = 110, sd = 0 }\naspect = 1.3333333")
    assert found.diagonal_deg.value == pytest.approx(110)
    straight = degrees(float(across(np.radians(110), 0.8)))
    assert found.horizontal_deg.value == pytest.approx((straight + 88) / 2, abs=1e-4)
    assert found.vertical_deg.value is not None and found.vertical_deg.value < found.horizontal_deg.value


def test_a_stated_diagonal_is_kept(small_craft: Small) -> None:
    found = seen(small_craft, "field_of_view_deg = 100\nfield_of_view_diagonal_deg = 125\naspect = 1.33")
    assert found.diagonal_deg.value == pytest.approx(125)


@pytest.mark.parametrize("lens", ["", "aspect = 1.33", "focal_length_mm = 2.1"])
def test_an_unknown_lens_says_what_to_give(small_craft: Small, lens: str) -> None:
    found = seen(small_craft, lens)
    assert found.vertical_deg.value is None
    assert found.top_deg.reason == "not computed: give field_of_view_deg and aspect, or focal_length_mm and sensor_mm"
    assert found.tilt_deg.value == pytest.approx(30)


def test_without_aspect_only_what_is_stated(small_craft: Small) -> None:
    found = seen(small_craft, "field_of_view_deg = 100")
    assert found.horizontal_deg.value == pytest.approx(100)
    assert found.vertical_deg.value is None and found.diagonal_deg.value is None


def test_the_turn_of_the_part_counts_into_the_tilt(small_craft: Small) -> None:
    """A part turned nose down by 10 degrees (positive pitch) takes 10 degrees off its own tilt."""
    text = CAMERA.format(lens="").replace("at_mm", "turn_deg = [0, 10, 0]\nat_mm")
    (found,) = optics(small_craft(more=text), Draws(0))
    assert found.tilt_deg.value == pytest.approx(20)


SENDER = '[[video-transmitter]]\nname = "vtx"\nlatency_ms = { value = 22, sd = 0 }\n[[part]]\nuse = "vtx"\n'


def test_latency_and_what_is_flown_in_it(small_craft: Small) -> None:
    """30 ms at 30 m/s are 0.9 m (computed outside this project; exact)."""
    lens = "latency_ms = { value = 8, sd = 0 }"
    found = seen(small_craft, lens, SENDER + "[flight]\ncruise_speed_m_per_s = { value = 30, sd = 0 }\n")
    assert found.latency_s.value == pytest.approx(0.030)
    assert found.blind_distance_m.value == pytest.approx(0.9)
    slow = seen(small_craft, lens, SENDER)
    assert slow.blind_distance_m.reason == "not computed: give cruise_speed_m_per_s in [flight]"
    alone = seen(small_craft, lens)
    assert "of the video transmitter" in (alone.latency_s.reason or "")


def test_a_recording_camera_shows_the_pilot_nothing(small_craft: Small) -> None:
    (found,) = optics(small_craft(more='[[part]]\nuse = "recording-camera-35g"\n'), Draws(0))
    assert found.horizontal_deg.value == pytest.approx(118)
    assert "does not show the pilot" in (found.latency_s.reason or "")
