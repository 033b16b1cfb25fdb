"""Channel plans for a group."""

from collections.abc import Callable

import pytest

from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.predict.channels import USUAL_CHANNELS, channel_plan

Small = Callable[..., Craft]


def test_equal_spacing_disturbs_itself(small_craft: Small) -> None:
    found = channel_plan(small_craft(more="[ground]\nchannels_mhz = [5658, 5695, 5732]\n"))
    assert found.clearance_hz == 0.0
    assert [(d.product_hz / 1e6, d.hits_hz / 1e6) for d in found.disturbances] == [
        (5658, 5658),
        (5695, 5695),
        (5732, 5732),
    ]
    assert found.disturbances[0].made_by_hz == (5695e6, 5732e6)
    assert len(found.best_hz) == 3
    assert found.best_clearance_hz == pytest.approx(74e6)
    assert "verify locally" in found.assumptions[0]


def test_channels_of_the_call_win(small_craft: Small) -> None:
    craft = small_craft(more="[ground]\nchannels_mhz = [5658, 5695, 5732]\n")
    assert channel_plan(craft, (5658e6, 5806e6)).channels_hz == (5658e6, 5806e6)


def test_own_candidates_are_used_without_assumption(small_craft: Small) -> None:
    more = "[ground]\nchannels_mhz = [5740, 5760]\nchannels_to_choose_from_mhz = [5740, 5760, 5800, 5860]\n"
    found = channel_plan(small_craft(more=more))
    assert found.best_hz == (5740e6, 5860e6)
    assert found.assumptions == ()


def test_a_plan_for_pilots_without_channels(small_craft: Small) -> None:
    found = channel_plan(small_craft(), pilots=4)
    assert found.reason is not None and found.reason.startswith("not computed: give channels_mhz")
    assert found.clearance_hz is None
    assert len(found.best_hz) == 4 and set(found.best_hz) <= set(USUAL_CHANNELS)
    assert found.best_clearance_hz == pytest.approx(37e6)


def test_one_pilot_needs_no_plan(small_craft: Small) -> None:
    found = channel_plan(small_craft(), pilots=1)
    assert found.best_hz == ()
    assert found.best_clearance_hz is None


def test_two_on_one_channel(small_craft: Small) -> None:
    found = channel_plan(small_craft(), (5658e6, 5658e6))
    assert found.clearance_hz == 0.0


def test_more_pilots_than_channels(small_craft: Small) -> None:
    with pytest.raises(CannotCompute, match="9 channels cannot be chosen from 8"):
        channel_plan(small_craft(), pilots=9)


def test_a_product_beside_a_channel_disturbs_it(small_craft: Small) -> None:
    """2 x 5700 - 5732 = 5668 lies 10 MHz from 5658, 2 x 5700 - 5658 = 5742 as far from 5732."""
    found = channel_plan(small_craft(), (5658e6, 5700e6, 5732e6))
    assert found.clearance_hz == pytest.approx(10e6)
    pairs = [(d.product_hz / 1e6, d.hits_hz / 1e6) for d in found.disturbances if len(d.made_by_hz) == 2]
    assert pairs == [(5668, 5658), (5742, 5732)]
