"""Answer to the sticks."""

import math
from collections.abc import Callable

import pytest

from rotorwright.craft.model import Craft
from rotorwright.predict.airborne import airborne
from rotorwright.predict.response import Response

Read = Callable[..., Craft]


def answer(craft: Craft, samples: int = 0) -> Response:
    return airborne(craft, samples).respond()


def value(prediction) -> float:  # type: ignore[no-untyped-def]
    assert prediction.value is not None, prediction.reason
    return float(prediction.value)


def test_a_heavier_rotor_answers_later(small_craft: Read) -> None:
    light, heavy = answer(small_craft()), answer(small_craft(("mass_g = 4\n", "mass_g = 12\n")))
    assert value(heavy.thrust_rise_s) > value(light.thrust_rise_s)


def test_a_rate_limit_lengthens_the_roll_to_at_least_its_own_time(small_craft: Read) -> None:
    free = answer(small_craft())
    held = answer(small_craft(more="\n[flight]\nroll_rate_limit_deg_per_s = 400\n"))
    assert value(held.full_roll_s) > 360 / 400 > value(free.full_roll_s)
    assert value(held.full_roll_s) < 360 / 400 + 0.3
    assert value(held.full_flip_s) > 360 / 400 > value(free.full_flip_s)
    assert "no roll_rate_limit" in (free.full_roll_s.reason or "")
    assert held.full_roll_s.reason is None


def test_an_ideal_roll_is_quicker_than_one_with_lag(small_craft: Read) -> None:
    """Rest to rest by bang-bang at a constant acceleration a takes 2 sqrt(2 pi/a): lag can only add."""
    r = answer(small_craft())
    assert value(r.full_roll_s) > 2 * math.sqrt(2 * math.pi / value(r.roll_rad_per_s2))


def test_more_inertia_turns_slower(small_craft: Read) -> None:
    near, far = answer(small_craft()), answer(small_craft(("at_mm = [0, 0, 30]", "at_mm = [90, 0, 30]")))
    assert value(far.pitch_rad_per_s2) < value(near.pitch_rad_per_s2)


def test_throttle_gain_lies_about_the_mean_slope(small_craft: Read) -> None:
    assert 0.4 < value(answer(small_craft()).throttle_linearity) < 1.6


def test_latency_is_told_only_where_both_parts_state_it(small_craft: Read) -> None:
    assert "no latency" in (answer(small_craft()).video_latency_s.reason or "")
    more = '\n[[camera]]\nname = "eye"\nmass_g = 9\nlatency_ms = 8\n[[part]]\nuse = "eye"\n'
    more += '[[video-transmitter]]\nname = "tx"\nmass_g = 9\nlatency_ms = 22\n[[part]]\nuse = "tx"\n'
    ready = airborne(small_craft(more=more), 0)
    steady = ready.steady()
    r = ready.respond(steady)
    assert value(r.video_latency_s) == pytest.approx(0.030)
    assert value(r.video_latency_at_top_speed_m) == pytest.approx(0.030 * value(steady.top_speed_m_per_s))


def test_a_craft_that_cannot_hover_has_no_answer(small_craft: Read) -> None:
    r = answer(small_craft(('name = "rest"\nmass_g = 250', 'name = "rest"\nmass_g = 9000')), 32)
    assert r.thrust_rise_s.reason == r.full_roll_s.reason == "it cannot hover"
