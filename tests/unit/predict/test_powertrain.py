"""Hover, full throttle and throttle curve as predictions with bounds and reasons."""

from collections.abc import Callable
from typing import Any

import pytest

from rotorwright.columns import Draws, PowertrainColumns, powertrain_columns
from rotorwright.craft.model import Craft
from rotorwright.physics.air import standard_atmosphere
from rotorwright.predict.powertrain import full_throttle, hover, throttle_curve
from rotorwright.predict.result import Prediction

Read = Callable[..., Craft]


def columns(craft: Craft, mass: float = 0.574, samples: int = 256, seed: int = 0) -> PowertrainColumns:
    draws = Draws(samples, seed)
    return powertrain_columns(craft, draws.constant(mass), standard_atmosphere(0.0), draws)


def values(result: Any) -> dict[str, float | None]:
    fields = {name: getattr(result, name) for name in result.__dataclass_fields__}
    return {name: value.value for name, value in fields.items() if isinstance(value, Prediction)}


def test_hover_is_consistent_with_itself(small_craft: Read) -> None:
    made = hover(columns(small_craft()))
    v = values(made)
    assert all(value is not None for value in v.values())
    current, power = v["current_a"], v["power_w"]
    assert current and power
    assert v["time_s"] == pytest.approx(0.8 * 1.5 * 3600 / current)
    assert v["grams_per_watt"] == pytest.approx(574 / power)
    assert v["disc_loading_n_per_m2"] == pytest.approx(0.574 * 9.80665 / (4 * 3.14159265 / 4 * 0.127**2), rel=1e-8)
    # pack voltage at half charge, a little under 4 x 3.793
    assert 14.5 < power / current < 4 * 3.793
    assert (made.state_of_charge, made.usable_share) == (0.5, 0.8)


def test_bounds_hold_the_value(small_craft: Read) -> None:
    made = columns(small_craft())
    for result in (hover(made), full_throttle(made, 1.0, 0.0), full_throttle(made, 0.5, 15.0)):
        for name in result.__dataclass_fields__:
            p = getattr(result, name)
            if isinstance(p, Prediction):
                assert p.value is not None and p.low is not None and p.high is not None
                assert p.low <= p.value <= p.high, name
                # the weight is given without scatter here, and so is nothing else but the disc's size
                assert p.low < p.high, name


def test_the_same_nominal_with_and_without_samples(small_craft: Read) -> None:
    """Row 0 is solved alone, whatever follows: equal to the last digit."""
    craft = small_craft()
    for area in (hover, lambda c: full_throttle(c, 0.5, 15.0)):
        assert values(area(columns(craft, samples=0))) == values(area(columns(craft, samples=300)))


def test_full_throttle_states_its_charge_and_speed(small_craft: Read) -> None:
    fresh, flying = (full_throttle(columns(small_craft(), samples=0), *state) for state in ((1.0, 0.0), (0.5, 15.0)))
    assert (fresh.state_of_charge, fresh.axial_speed_m_per_s) == (1.0, 0.0)
    assert (flying.state_of_charge, flying.axial_speed_m_per_s) == (0.5, 15.0)
    v = values(fresh)
    assert v["thrust_to_weight"] == pytest.approx(v["thrust_n"] / (0.574 * 9.80665))  # type: ignore[operator]
    assert v["c_rate"] == pytest.approx(v["battery_current_a"] / 1.5)  # type: ignore[operator]
    assert v["battery_current_a"] == pytest.approx(4 * v["motor_current_a"])  # type: ignore[operator]
    for name in ("thrust_n", "motor_current_a", "battery_current_a", "battery_voltage_v"):
        assert values(flying)[name] < v[name]  # type: ignore[operator]


def test_it_cannot_hover_and_says_by_how_much(small_craft: Read) -> None:
    made = columns(small_craft(), mass=6.0)
    result = hover(made)
    ratio = full_throttle(made, 1.0, 0.0).thrust_to_weight.value
    assert ratio is not None
    assert ratio < 1
    assert result.throttle.value is None
    assert result.throttle.reason == f"cannot hover: full throttle carries {ratio:.2f} of its weight"
    assert result.time_s.reason == result.throttle.reason
    assert result.disc_loading_n_per_m2.value is not None


def test_it_hovers_only_on_a_fresh_pack(small_craft: Read) -> None:
    made = columns(small_craft(), samples=0)
    full_half = full_throttle(made, 0.5, 0.0).thrust_n.value
    full_fresh = full_throttle(made, 1.0, 0.0).thrust_n.value
    assert full_half and full_fresh
    between = (full_half + full_fresh) / 2 / 9.80665
    result = hover(columns(small_craft(), mass=between, samples=0))
    assert result.throttle.value is None
    assert result.throttle.reason == "cannot hover: more than full throttle would be needed"


def test_a_weak_pack_is_said_to_collapse(small_craft: Read) -> None:
    weak = small_craft(("mass_g = 180", "mass_g = 180\nresistance_mohm = 400"))
    result = full_throttle(columns(weak), 1.0, 0.0)
    assert result.battery_voltage_v.reason is not None
    assert "the pack collapses to" in result.battery_voltage_v.reason
    assert result.battery_voltage_v.value is not None
    assert f"{result.battery_voltage_v.value / 4:.2f} V a cell" in result.battery_voltage_v.reason
    hopeless = small_craft(("mass_g = 180", "mass_g = 180\nresistance_mohm = 4000"))
    reason = hover(columns(hopeless)).throttle.reason
    assert reason is not None
    assert reason.startswith("cannot hover: full throttle carries 0.")


def test_electronics_that_eat_the_pack(small_craft: Read) -> None:
    more = '[[light]]\nname = "sun"\nmass_g = 1\npower_w = 20000\n[[part]]\nuse = "sun"\n'
    made = columns(small_craft(more=more))
    full = full_throttle(made, 1.0, 0.0)
    assert full.thrust_n.value is None
    assert full.thrust_n.reason == "the battery's voltage collapses under this load"
    assert full.battery_voltage_v.reason == full.thrust_n.reason
    reason = hover(made).throttle.reason
    assert reason is not None
    assert reason.startswith("cannot hover: ")
    assert all(point.thrust_n.value is None for point in throttle_curve(made))


def test_throttle_curve_rises(small_craft: Read) -> None:
    curve = throttle_curve(columns(small_craft()))
    assert [point.throttle for point in curve] == pytest.approx([0.1 * k for k in range(1, 11)])
    for name in ("thrust_n", "battery_current_a", "power_w", "thrust_to_weight"):
        line = [getattr(point, name).value for point in curve]
        assert line == sorted(line), name


def test_seeds(small_craft: Read) -> None:
    craft = small_craft()
    assert hover(columns(craft, seed=1)) == hover(columns(craft, seed=1))
    one, other = hover(columns(craft, seed=1)), hover(columns(craft, seed=2))
    assert values(one) == values(other)
    assert one.current_a.low != other.current_a.low
    # another seed is another order of the same strata: bounds agree within 8 % of their width at 256 samples
    width = one.current_a.high - one.current_a.low  # type: ignore[operator]
    assert abs(one.current_a.low - other.current_a.low) < 0.08 * width  # type: ignore[operator]
