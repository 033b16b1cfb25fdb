"""The whole verdict: keys of the JSON, one shape of number, notes, and that nominal values never move."""

import json
import math
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from rotorwright.craft.model import Craft
from rotorwright.predict.report import Report, report, site_air
from rotorwright.predict.result import plain

Read = Callable[..., Craft]
SHAPE = {"value", "low", "high", "unit", "reason"}


def data(made: Report) -> Any:
    return json.loads(json.dumps(plain(made), allow_nan=False))


def predictions(item: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    if isinstance(item, dict):
        if "value" in item:
            yield path, item
            return
        for key, value in item.items():
            yield from predictions(value, f"{path}.{key}".lstrip("."))
    elif isinstance(item, list):
        for index, value in enumerate(item):
            yield from predictions(value, f"{path}[{index}]")


# Keys that the file format of results promises.
PROMISED = [
    "air.density_kg_per_m3",
    "ledger.dry_kg",
    "ledger.all_up_kg",
    "balance.centre_m[0]",
    "balance.centre_m[2]",
    "balance.inertia_kg_m2[0][0]",
    "balance.inertia_kg_m2[2][1]",
    "ledger.lines[0].mass_kg",
    "hover.throttle",
    "hover.rpm",
    "hover.current_a",
    "hover.power_w",
    "hover.time_s",
    "hover.grams_per_watt",
    "hover.disc_loading_n_per_m2",
] + [
    f"{area}.{key}"
    for area in ("full_throttle", "full_throttle_in_flight")
    for key in [
        "rpm",
        "thrust_n",
        "thrust_to_weight",
        "motor_current_a",
        "battery_current_a",
        "battery_voltage_v",
        "c_rate",
    ]
]


def test_promised_keys_and_the_one_shape(small_craft: Read) -> None:
    found = dict(predictions(data(report(small_craft(), samples=64))))
    assert set(PROMISED) <= set(found)
    for path, p in found.items():
        assert set(p) == SHAPE, path
        assert isinstance(p["unit"], str) and p["unit"], path
        assert p["value"] is None or math.isfinite(p["value"]), path
        if p["value"] is None:
            assert p["reason"], path
        elif p["low"] is not None:
            assert p["low"] <= p["value"] <= p["high"], path
    for key in PROMISED:
        assert found[key]["value"] is not None, key
        assert found[key]["low"] is not None, key


def test_three_by_three(small_craft: Read) -> None:
    made = data(report(small_craft(), samples=0))
    assert len(made["balance"]["centre_m"]) == 3
    assert [len(row) for row in made["balance"]["inertia_kg_m2"]] == [3, 3, 3]
    assert len(made["ledger"]["lines"]) == 4
    assert made["samples"] == 0


def nominal(made: Report) -> dict[str, float | None]:
    return {path: p["value"] for path, p in predictions(data(made))}


def test_nominal_numbers_are_the_same_with_any_number_of_samples(small_craft: Read) -> None:
    craft = small_craft(more="[weighed]\nall_up_g = 580\n")
    none, some = nominal(report(craft, samples=0)), nominal(report(craft, samples=2048))
    assert set(none) == set(some)
    for path, value in none.items():
        same = some[path] is None if value is None else some[path] == pytest.approx(value, rel=1e-12, abs=1e-15)
        assert same, path


def test_same_seed_same_digits_other_seed_other_bounds(small_craft: Read) -> None:
    craft = small_craft()
    one, again, other = (data(report(craft, samples=100, seed=seed)) for seed in (3, 3, 4))
    assert one == again
    assert one != other
    assert nominal(report(craft, 100, 3)) == nominal(report(craft, 100, 4))


def test_air_at_the_site(small_craft: Read) -> None:
    """ISO 2533 table at 1000 m: 281.65 K, 1.11164 kg/m3 (half a last digit); 25 C instead is lighter by T0/T."""
    standard = site_air(small_craft(more="[site]\naltitude_m = 1000\n"))
    assert standard.density == pytest.approx(1.11164, abs=0.5e-5)
    assert standard.temperature == pytest.approx(281.65)
    warm = site_air(small_craft(more="[site]\naltitude_m = 1000\ntemperature_degc = 25\n"))
    assert warm.density == pytest.approx(standard.density * 281.65 / 298.15, rel=1e-9)
    assert site_air(small_craft()).density == pytest.approx(1.225, abs=0.5e-4)


def note(made: Report, part: str) -> str:
    found = [text for text in made.notes if part in text]
    assert len(found) == 1, made.notes
    return found[0]


def test_propellers_larger_than_the_spacing(small_craft: Read) -> None:
    """240 mm diagonal leaves 169.7 mm between neighbours; seven-inch discs are 177.8 mm."""
    made = report(small_craft(("diameter_in = 5", "diameter_in = 7")), samples=0)
    assert note(made, "overlap") == "propeller discs overlap by 8 mm: larger spacing or a smaller propeller"
    assert not [text for text in report(small_craft(), samples=0).notes if "overlap" in text]


def test_a_craft_too_heavy_to_hover(small_craft: Read) -> None:
    made = report(small_craft(("mass_g = 250", "mass_g = 20000")), samples=64)
    assert made.hover is not None
    assert made.full_throttle is not None
    share = made.full_throttle.thrust_to_weight.value
    assert note(made, "hover") == f"cannot hover: full throttle carries {share:.2f} of its weight"
    data(made)


def test_a_pack_that_collapses(small_craft: Read) -> None:
    made = report(small_craft(("mass_g = 180", "mass_g = 180\nresistance_mohm = 500")), samples=64)
    assert "below 3 V" in note(made, "the pack collapses")
    data(made)


@pytest.mark.parametrize(
    "role, use", [("motor", 'use = "m"'), ("propeller", 'use = "p"'), ("battery", 'use = "b"\nrole = "battery"')]
)
def test_a_missing_part_leaves_the_grams(role: str, use: str, small_craft: Read) -> None:
    made = report(small_craft((use, 'use = "rest"')), samples=64)
    assert note(made, "no powertrain") == f"no powertrain figures: no {role} on the craft"
    assert (made.hover, made.full_throttle, made.full_throttle_in_flight) == (None, None, None)
    assert made.throttle_curve == ()
    assert made.ledger.all_up_kg.value is not None
    data(made)


def test_an_impossible_blade(small_craft: Read) -> None:
    made = report(small_craft(("pitch_in = 4", "pitch_in = 20")), samples=0)
    assert "propeller 'p': The pitch is more than twice the diameter" in note(made, "no powertrain")


def test_no_parts_at_all(small_craft: Read) -> None:
    craft = small_craft()
    empty = Craft(**{name: getattr(craft, name) for name in craft.__dataclass_fields__} | {"parts": ()})
    made = report(empty, samples=64)
    assert made.ledger.all_up_kg.value == 0.0
    assert made.balance.centre_m[0].value is None
    data(made)


def test_surprises_unknowns_and_guesses_are_noted(small_craft: Read) -> None:
    craft = small_craft(("mass_g = 250\n", ""), ("at_mm = [0, 0, -10]\n", ""), more="[weighed]\nall_up_g = 580\n")
    made = report(craft, samples=64)
    assert "differ by 256 g" in note(made, "the weighing and the listed parts")
    assert note(made, "all-up weight is") == "all-up weight is without rest: no mass is known"
    assert note(made, "no place given") == "no place given, taken as in the middle: rest"


def test_coaxial_tails_and_high_tip_speeds_are_noted(small_craft: Read) -> None:
    made = report(
        small_craft(('layout = "x"', 'layout = "y-coaxial"'), ("kv_rpm_per_v = 1800", "kv_rpm_per_v = 2600")),
        samples=0,
    )
    assert note(made, "coaxial")
    assert "beyond the open data" in note(made, "tip Mach")


def test_packs_in_parallel_sag_less(small_craft: Read) -> None:
    one, two = (report(small_craft(('id = "pack"', f'id = "pack"\ncount = {n}')), samples=0) for n in (1, 2))
    assert one.full_throttle and two.full_throttle
    assert two.full_throttle.battery_voltage_v.value > one.full_throttle.battery_voltage_v.value  # type: ignore[operator]
    assert two.full_throttle.c_rate.value < one.full_throttle.c_rate.value  # type: ignore[operator]


def test_in_three_lines(small_file: Callable[..., Any]) -> None:
    import rotorwright

    craft = rotorwright.open_craft(small_file())
    made = rotorwright.report(craft, samples=0)
    assert made.hover is not None
    assert made.hover.time_s.value == report(craft, samples=0).hover.time_s.value  # type: ignore[union-attr]
