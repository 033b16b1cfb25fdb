"""Expected readings on the bench and after the first minute."""

import math
from collections.abc import Callable
from pathlib import Path

import pytest

import rotorwright.craft
from rotorwright.columns import Draws
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.predict.airborne import airborne
from rotorwright.predict.bench import bench
from rotorwright.predict.power_tree import power_tree

LAPWING = Path(rotorwright.craft.__file__).parent / "demo_workshop" / "crafts" / "lapwing-3.toml"
Read = Callable[..., Craft]


def test_idle_current_is_the_power_trees() -> None:
    craft = read_craft(LAPWING)
    found = bench(craft, 0)
    tree = power_tree(craft, Draws(0))
    assert found.supply_v == pytest.approx(6 * 3.8)
    assert found.full_v == pytest.approx(6 * 4.2)
    assert found.idle_current_a.value == pytest.approx((tree.power_w.value or 0) / (6 * 3.8))


def test_the_limit_leaves_room_and_is_never_tiny(small_craft: Read) -> None:
    found = bench(read_craft(LAPWING), 64)
    assert found.limit_a is not None and found.idle_current_a.high is not None
    assert 1.5 * found.idle_current_a.high <= found.limit_a < 1.5 * found.idle_current_a.high + 0.1 + 1e-9
    quiet = bench(small_craft(), 0)
    assert quiet.limit_a == 0.5


def test_capacitance_adds_up() -> None:
    """470 uF on the lead and 80 uF on the controller's board."""
    found = bench(read_craft(LAPWING), 64).capacitance_f
    assert found.value == pytest.approx(550e-6)
    assert found.low is not None and found.high is not None
    assert found.low < 550e-6 < found.high


def test_rails_have_their_tolerance() -> None:
    """Five volts give or take 0.07: 5 to 95 % of a normal distribution is 1.645 standard deviations either way."""
    rail = bench(read_craft(LAPWING), 256).rails[0]
    assert rail.id == "flight-controller.5V"
    assert rail.voltage_v.value == 5.0
    assert rail.voltage_v.low == pytest.approx(5 - 1.645 * 0.07, abs=0.01)
    assert rail.voltage_v.high == pytest.approx(5 + 1.645 * 0.07, abs=0.01)


def test_a_minute_of_hover_takes_a_minute_of_hovers_charge() -> None:
    craft = read_craft(LAPWING)
    minute, hover = bench(craft, 0).minute, airborne(craft, 0).fly("hover")[0]
    assert minute.charge_ah.value == pytest.approx((hover.mean_current_a.value or 0) / 60, rel=0.10)
    assert hover.trace  # the same flight, at its sixtieth second
    at = min(hover.trace, key=lambda point: abs(point.time_s - 60.0))
    assert minute.cell_v.value == pytest.approx(at.voltage_v / 6, abs=0.03)
    assert minute.winding_degc.value == pytest.approx(at.winding_degc, abs=1.0)
    assert minute.battery_degc.value == pytest.approx(at.pack_degc, abs=0.5)


def test_windings_warm_above_the_air_and_are_called_comparative() -> None:
    minute = bench(read_craft(LAPWING), 0).minute
    assert minute.winding_degc.value is not None and minute.winding_degc.value > 8.0
    assert "comparative" in (minute.winding_degc.reason or "")


def test_what_cannot_be_known_says_why(small_craft: Read) -> None:
    found = bench(small_craft(), 0)
    assert found.capacitance_f.value is None and "capacitance_uf" in (found.capacitance_f.reason or "")
    assert found.rails == ()
    heavy = bench(small_craft(("mass_g = 250", "mass_g = 25000")), 0)
    assert heavy.minute.winding_degc.value is None
    assert heavy.minute.charge_ah.reason


def test_a_pack_that_is_empty_within_the_minute_is_no_minute(small_craft: Read) -> None:
    found = bench(small_craft(("capacity_mah = 1500", "capacity_mah = 20")), 0)
    assert found.minute.cell_v.value is None
    assert found.minute.cell_v.reason == "it cannot hover for a minute"


def test_without_a_pack_there_is_no_supply(small_craft: Read) -> None:
    text = (
        """[[part]]
use = "b"
role = "battery"
id = "pack"
at_mm = [0, 0, 30]
""",
        "",
    )
    found = bench(small_craft(text), 0)
    assert (found.supply_v, found.full_v, found.limit_a) == (None, None, None)
    assert found.idle_current_a.value is None
    assert found.minute.cell_v.reason


def test_parts_nobody_feeds_are_named() -> None:
    craft = read_craft(Path(__file__).parents[1] / "frame" / "wren.toml")
    assert "flight-controller" in (bench(craft, 0).idle_current_a.reason or "")


def test_more_samples_move_the_bounds_but_not_the_value() -> None:
    craft = read_craft(LAPWING)
    few, many = bench(craft, 32), bench(craft, 128)
    assert few.phase_ohm.value == many.phase_ohm.value
    assert many.phase_ohm.low is not None and math.isfinite(many.phase_ohm.low)
