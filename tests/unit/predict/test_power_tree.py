"""The power tree: loads and losses down every path, and what can be wrong with who feeds whom."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from rotorwright.columns import Draws
from rotorwright.columns.power_tree import chosen_level, electronics_draw, own_power, rail_loads
from rotorwright.craft.feeds import Feeds
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.predict.power_tree import PowerTree, Rail, power_tree

# Round numbers without scatter, so that every load can be told by hand: 4 cells are 15.2 V.
BOARDS = """
[[flight-controller]]
name = "fc"
power_w = { value = 1.0, sd = 0 }
outputs = [
  { name = "5V", voltage_v = { value = 5, sd = 0 }, current_a = 2, efficiency_fraction = { value = 0.8, sd = 0 } },
  { name = "10V", voltage_v = { value = 10, sd = 0 }, current_a = 2, efficiency_fraction = { value = 0.8, sd = 0 } },
]
[[video-transmitter]]
name = "vtx"
supply_at_v = { value = 10, sd = 0 }
levels = [
  { power_mw = 25, current_a = { value = 0.2, sd = 0 } },
  { power_mw = 400, current_a = { value = 0.5, sd = 0 } },
]
outputs = [{ name = "4V", voltage_v = { value = 4, sd = 0 }, current_a = { value = 0.5, sd = 0 }, kind = "linear" }]
[[camera]]
name = "cam"
current_a = { value = 0.25, sd = 0 }
supply_at_v = { value = 4, sd = 0 }
[[receiver]]
name = "rx"
power_w = { value = 0.4, sd = 0 }
[[part]]
use = "fc"
id = "fc"
fed_from = "battery.lead"
[[part]]
use = "vtx"
id = "vtx"
fed_from = "fc.10V"
set_power_mw = 25
[[part]]
use = "cam"
id = "cam"
fed_from = "vtx.4V"
[[part]]
use = "rx"
id = "rx"
count = 2
fed_from = "fc.5V"
"""

Small = Callable[..., Craft]


def rail(tree: PowerTree, name: str) -> Rail:
    return next(found for found in tree.rails if found.id == name)


def changed(*pairs: tuple[str, str]) -> str:
    text = BOARDS
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def test_loads_and_losses_by_hand(small_craft: Small) -> None:
    """The camera takes 0.25 A through a linear regulator from 10 V: 2.5 W in, 1.5 W lost; with the transmitter's 2 W
    the 10 V rail gives 4.5 W from 5.625 W; the two receivers' 0.8 W come from 1 W; the board itself takes 1 W."""
    tree = power_tree(small_craft(more=BOARDS), Draws(64))
    assert rail(tree, "vtx.4V").load_current_a.value == pytest.approx(0.25)
    assert rail(tree, "vtx.4V").loss_w.value == pytest.approx(1.5)
    assert rail(tree, "vtx.4V").margin.value == pytest.approx(2.0)
    assert rail(tree, "fc.10V").load_current_a.value == pytest.approx(0.45)
    assert rail(tree, "fc.10V").loss_w.value == pytest.approx(1.125)
    assert rail(tree, "fc.5V").load_current_a.value == pytest.approx(0.16)
    assert rail(tree, "fc.5V").feeds == ("rx",)
    assert tree.power_w.value == pytest.approx(7.625)
    assert rail(tree, "pack.lead").load_current_a.value == pytest.approx(7.625 / 15.2)
    assert tree.loss_w.value == pytest.approx(1.5 + 1.125 + 0.2)
    assert tree.faults == ()


def test_the_operating_point_draws_what_the_tree_draws(small_craft: Small) -> None:
    craft = small_craft(more=BOARDS)
    drawn = {placed.id: power.value for placed, power in electronics_draw(craft)}
    assert drawn == pytest.approx({"fc": 1.0, "vtx": 2.5, "cam": 1.0 / 0.4 / 0.8, "rx": 1.0})
    assert sum(drawn.values()) == pytest.approx(power_tree(craft, Draws(0)).power_w.value)


@pytest.mark.parametrize("number", [1, 2, 3])
def test_the_demo_craft_are_fed_without_fault(number: int) -> None:
    craft = read_craft(Path(DEMO) / "crafts" / f"lapwing-{number}.toml")
    tree = power_tree(craft, Draws(64))
    assert tree.faults == ()
    assert sum(power.value for _, power in electronics_draw(craft)) == pytest.approx(tree.power_w.value)
    assert all(found.margin.value is None or found.margin.value > 1 for found in tree.rails)


def test_a_half_ampere_regulator_and_a_video_transmitter(small_craft: Small) -> None:
    """The classic: 0.6 A at 200 mW from a rail that gives 0.5 A."""
    more = """
[[part]]
use = "regulator-5v-0.5a"
id = "bec"
fed_from = "battery.lead"
[[part]]
use = "vtx-analog-25-200mw-20x20"
id = "vtx"
fed_from = "bec.5V"
set_power_mw = 200
"""
    margin = rail(power_tree(small_craft(more=more), Draws(256)), "bec.5V").margin
    assert margin.value == pytest.approx(0.5 / 0.6)
    assert margin.low is not None and margin.high is not None
    assert margin.low < margin.value < margin.high


def test_bounds_come_from_the_parts(small_craft: Small) -> None:
    tree = power_tree(small_craft(more=changed(("power_w = { value = 1.0, sd = 0 }", "power_w = 1.0"))), Draws(256))
    assert tree.power_w.low is not None and tree.power_w.value is not None
    assert tree.power_w.low < tree.power_w.value


def test_set_power_chooses_the_level(small_craft: Small) -> None:
    for milliwatts, amperes in ((25, 0.2), (26, 0.5), (400, 0.5), (1000, 0.5)):
        craft = small_craft(more=changed(("set_power_mw = 25", f"set_power_mw = {milliwatts}")))
        placed = craft.the("video-transmitter")
        assert placed is not None
        level, power = chosen_level(placed), own_power(placed)
        assert level is not None and level.current is not None and power is not None
        assert level.current.value == amperes
        assert power.value == pytest.approx(10 * amperes)


def test_an_unrated_rail_says_what_to_give(small_craft: Small) -> None:
    craft = small_craft(more=changed((", current_a = { value = 0.5, sd = 0 }, kind", ", kind")))
    found = rail(power_tree(craft, Draws(0)), "vtx.4V")
    assert found.rated_current_a is None
    assert found.margin.value is None
    assert found.margin.reason == "not computed: give current_a of the output '4V' of vtx"


def test_an_idle_rail_has_no_margin(small_craft: Small) -> None:
    found = rail(
        power_tree(small_craft(more=changed(('fed_from = "fc.5V"', 'fed_from = "fc.10V"'))), Draws(0)), "fc.5V"
    )
    assert found.load_current_a.value == 0.0
    assert found.margin.reason == "nothing draws on it in flight"


def test_an_unknown_draw_is_named_on_every_rail_above(small_craft: Small) -> None:
    more = BOARDS + '[[recording-camera]]\nname = "film"\nown_battery = false\n'
    more += '[[part]]\nuse = "film"\nid = "film"\nfed_from = "vtx.4V"\n'
    tree = power_tree(small_craft(more=more), Draws(0))
    for name in ("vtx.4V", "fc.10V", "pack.lead"):
        assert "without film" in (rail(tree, name).load_current_a.reason or "")
    assert rail(tree, "fc.5V").load_current_a.reason is None
    assert "without film" in (tree.power_w.reason or "")


def test_silent_and_self_powered_parts_draw_nothing(small_craft: Small) -> None:
    more = BOARDS + '[[part]]\nuse = "buzzer-5v"\nid = "beep"\nfed_from = "fc.5V"\n'
    more += '[[part]]\nuse = "recording-camera-65g"\nid = "film"\n'
    tree = power_tree(small_craft(more=more), Draws(0))
    assert rail(tree, "fc.5V").load_current_a.value == pytest.approx(0.16)
    assert rail(tree, "fc.5V").feeds == ("rx", "beep")
    assert tree.faults == ()


FAULTS = [
    ('fed_from = "vtx.4V"', 'fed_from = "vtx.3V"', "cam", "unknown rail", "vtx has no rail '3V'; it could be vtx.4V"),
    ('fed_from = "vtx.4V"', 'fed_from = "vtxx.4V"', "cam", "unknown rail", "no part 'vtxx' feeds anything"),
    ('fed_from = "vtx.4V"', 'fed_from = "cam.4V"', "cam", "unknown rail", "cam has no rail '4V'; there is none"),
    ('fed_from = "vtx.4V"', "", "cam", "orphan", "nothing is said to feed cam"),
    ('fed_from = "fc.10V"', "", "vtx", "orphan", "nothing is said to feed vtx"),
    ('fed_from = "fc.10V"', 'fed_from = "vtx.4V"', "vtx", "loop", "vtx is fed from vtx.4V: a ring"),
    ('fed_from = "battery.lead"', 'fed_from = "vtx.4V"', "fc", "loop", "fc is fed from vtx.4V, which is fed from fc"),
]


@pytest.mark.parametrize("old, new, part, kind, sentence", FAULTS)
def test_faults(small_craft: Small, old: str, new: str, part: str, kind: str, sentence: str) -> None:
    tree = power_tree(small_craft(more=changed((old, new))), Draws(0))
    found = [fault for fault in tree.faults if fault.part == part]
    assert [fault.kind for fault in found] == [kind]
    assert sentence in found[0].sentence


def test_a_ring_has_no_loads_but_a_reason(small_craft: Small) -> None:
    tree = power_tree(small_craft(more=changed(('fed_from = "battery.lead"', 'fed_from = "vtx.4V"'))), Draws(0))
    assert {fault.part for fault in tree.faults} == {"fc", "vtx"}
    assert rail(tree, "vtx.4V").load_current_a.value is None
    assert "ring" in (rail(tree, "vtx.4V").load_current_a.reason or "")


WIRE = '[[wire]]\nfrom = "{0}"\nto = "{1}"\ngauge_awg = 26\nlength_mm = 60\n'


def test_a_supply_wire_feeds_a_part_that_does_not_say(small_craft: Small) -> None:
    for ends in (("fc.5V", "cam.supply"), ("cam.supply", "fc.5V")):
        more = changed(('fed_from = "vtx.4V"', "")) + WIRE.format(*ends)
        tree = power_tree(small_craft(more=more), Draws(0))
        assert tree.faults == ()
        assert "cam" in rail(tree, "fc.5V").feeds


def test_two_sources_drive_each_other(small_craft: Small) -> None:
    tree = power_tree(small_craft(more=BOARDS + WIRE.format("fc.5V", "cam.supply")), Draws(0))
    assert [(fault.part, fault.kind) for fault in tree.faults] == [("cam", "double feed")]
    assert "vtx.4V and fc.5V" in tree.faults[0].sentence


def test_a_wire_along_fed_from_is_no_second_feed(small_craft: Small) -> None:
    more = BOARDS + WIRE.format("vtx.4V", "cam.supply") + WIRE.format("vtx.video", "cam.video")
    assert power_tree(small_craft(more=more), Draws(0)).faults == ()


CONTROLLER = '[[part]]\nuse = "esc-4in1-45a-30x30"\nid = "esc"\n'


def test_a_supply_pad_hands_the_battery_on(small_craft: Small) -> None:
    """A flight controller on the pad of the speed controller is fed from the battery, and so is one wired to both."""
    more = changed(('fed_from = "battery.lead"', 'fed_from = "esc.supply"')) + CONTROLLER
    craft = small_craft(more=more + WIRE.format("pack.lead", "fc.supply"))
    tree = power_tree(craft, Draws(0))
    assert tree.faults == ()
    through = rail(tree, "esc.supply")
    assert (through.kind, through.voltage_v) == ("through", pytest.approx(15.2))
    assert through.load_current_a.value == pytest.approx(7.625 / 15.2)
    assert through.loss_w.value == 0.0
    assert "no rating of its own" in (through.margin.reason or "")
    assert tree.power_w.value is not None and tree.power_w.value > 7.625


def test_a_speed_controller_hangs_on_the_battery_by_itself(small_craft: Small) -> None:
    craft = small_craft(more=CONTROLLER)
    assert power_tree(craft, Draws(0)).faults == ()
    assert [found.id for found in Feeds(craft).path(craft.the("speed-controller"))] == ["pack.lead"]  # type: ignore[arg-type]


def test_without_a_battery_nothing_is_invented(small_craft: Small) -> None:
    old = '[[part]]\nuse = "b"\nrole = "battery"\nid = "pack"\nat_mm = [0, 0, 30]\n'
    tree = power_tree(small_craft((old, ""), more=BOARDS), Draws(0))
    assert tree.power_w.value is None
    assert "no battery" in (tree.power_w.reason or "")
    assert [fault.part for fault in tree.faults] == ["fc"]
    assert rail(tree, "fc.5V").load_current_a.value == pytest.approx(0.16)


def test_arrays_have_a_row_for_each_sample(small_craft: Small) -> None:
    for load in rail_loads(small_craft(more=BOARDS), Draws(32)):
        assert load.voltage.shape == load.current.shape == load.loss.shape == (33,)
        assert np.all(load.loss >= 0)


def test_a_wire_between_two_supply_pads_feeds_the_end_it_leads_to(small_craft: Small) -> None:
    more = changed(('fed_from = "battery.lead"', "")) + CONTROLLER + WIRE.format("esc.supply", "fc.supply")
    craft = small_craft(more=more)
    feeds = Feeds(craft)
    assert feeds.faults() == ()
    board, controller = craft.the("flight-controller"), craft.the("speed-controller")
    assert board is not None and controller is not None
    assert [found.id for found in feeds.path(board)] == ["esc.supply", "pack.lead"]
    assert [found.id for found in feeds.path(controller)] == ["pack.lead"]


def test_without_a_battery_a_through_pad_has_no_voltage(small_craft: Small) -> None:
    old = '[[part]]\nuse = "b"\nrole = "battery"\nid = "pack"\nat_mm = [0, 0, 30]\n'
    more = changed(('fed_from = "battery.lead"', 'fed_from = "esc.supply"')) + CONTROLLER
    tree = power_tree(small_craft((old, ""), more=more), Draws(0))
    assert "without a battery" in (rail(tree, "esc.supply").load_current_a.reason or "")
    alone = '[[part]]\nuse = "regulator-3.3v-0.5a-linear"\nid = "ldo"\n[[part]]\nuse = "cam"\nid = "c2"\n'
    tree = power_tree(small_craft((old, ""), more=BOARDS + alone + 'fed_from = "ldo.3.3V"\n'), Draws(0))
    assert rail(tree, "ldo.3.3V").load_current_a.value == pytest.approx(1 / 3.3)
    assert rail(tree, "ldo.3.3V").loss_w.reason == "the loss is not known without a battery"
