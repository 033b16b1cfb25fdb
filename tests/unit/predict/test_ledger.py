"""The ledger: order, shares, dry weight, and bounds against the sum of normal and lognormal masses."""

from collections.abc import Callable
from math import exp, log1p, sqrt
from statistics import NormalDist

import pytest

from rotorwright.columns import Draws, mass_columns
from rotorwright.craft.model import Craft
from rotorwright.predict.ledger import Ledger, ledger

Read = Callable[..., Craft]
Z95 = NormalDist().inv_cdf(0.95)


def of(craft: Craft, samples: int = 2048) -> Ledger:
    return ledger(mass_columns(craft, Draws(samples)))


def test_largest_first_with_shares(small_craft: Read) -> None:
    made = of(small_craft(), 0)
    assert [line.id for line in made.lines] == ["rest", "pack", "motors", "propeller"]
    assert [line.share for line in made.lines] == pytest.approx([250 / 574, 180 / 574, 128 / 574, 16 / 574])
    assert [kind.kind for kind in made.kinds] == ["other", "battery", "motor", "propeller"]
    assert sum(kind.share for kind in made.kinds) == pytest.approx(1.0)
    assert (made.lines[2].count, made.lines[2].part, made.lines[2].basis) == (4, "m", "datasheet")


def test_dry_is_without_battery_and_recording_camera(small_craft: Read) -> None:
    more = '[[recording-camera]]\nname = "r"\nmass_g = 60\n[[part]]\nuse = "r"\n'
    made = of(small_craft(more=more), 0)
    assert made.all_up_kg.value == pytest.approx(0.634)
    assert made.dry_kg.value == pytest.approx(0.634 - 0.180 - 0.060)
    assert {line.id for line in made.lines if not line.dry} == {"pack", "recording-camera"}


def test_kinds_sum_their_lines(small_craft: Read) -> None:
    made = of(small_craft(more='[[part]]\nuse = "rest"\nid = "more"\nmass_g = 50\n'), 0)
    assert made.kinds[0].kind == "other"
    assert made.kinds[0].mass_kg.value == pytest.approx(0.300)


def test_bounds_of_one_line_are_those_of_the_lognormal(small_craft: Read) -> None:
    """Exact to half a stratum of 2048 samples: 0.3 % of the half-width."""
    made = of(small_craft(("mass_g = 250", "mass_g = { value = 250, sd = 50 }")))
    line = next(line for line in made.lines if line.id == "rest")
    s = sqrt(log1p(0.2**2))
    assert line.mass_kg.low is not None
    assert line.mass_kg.high is not None
    assert 0.250 - line.mass_kg.low == pytest.approx(0.250 * (1 - exp(-Z95 * s)), rel=0.003)
    assert line.mass_kg.high - 0.250 == pytest.approx(0.250 * (exp(Z95 * s) - 1), rel=0.003)


def test_bounds_of_a_sum_are_those_of_the_normal_sum(small_craft: Read) -> None:
    """Four 3 % masses: 1.645 times the root of the summed squares; 3 % of it for skew and 2048 samples."""
    made = of(small_craft())
    expected = Z95 * 0.03 * sqrt(0.128**2 + 0.016**2 + 0.180**2 + 0.250**2)
    dry = Z95 * 0.03 * sqrt(0.128**2 + 0.016**2 + 0.250**2)
    for total, half in ((made.all_up_kg, expected), (made.dry_kg, dry)):
        assert total.low is not None
        assert total.high is not None
        assert (total.high - total.low) / 2 == pytest.approx(half, rel=0.03)


def test_unknown_masses_are_listed_and_the_total_says_so(small_craft: Read) -> None:
    made = of(small_craft(("mass_g = 250\n", "")))
    rest = next(line for line in made.lines if line.id == "rest")
    assert (rest.mass_kg.value, rest.share, rest.basis) == (None, None, "unknown")
    assert rest.mass_kg.reason == "no mass given, and no law for it"
    assert made.all_up_kg.reason == "without rest: no mass is known"
    assert made.all_up_kg.value == pytest.approx(0.324)
    assert made.lines[-1] is rest


def test_a_weighed_craft_has_an_unaccounted_line(small_craft: Read) -> None:
    assert of(small_craft()).unaccounted_kg is None
    made = of(small_craft(more="[weighed]\nall_up_g = { value = 580, sd = 0.5 }\n"))
    assert made.unaccounted_kg is not None
    assert made.unaccounted_kg.value is not None
    assert made.all_up_kg.value == pytest.approx(0.580, abs=5e-4)
    known = sum(line.mass_kg.value for line in made.lines if line.mass_kg.value)
    assert known + made.unaccounted_kg.value == pytest.approx(made.all_up_kg.value, rel=1e-12)


def test_a_craft_of_nothing(small_craft: Read) -> None:
    craft = small_craft()
    empty = Craft(**{name: getattr(craft, name) for name in craft.__dataclass_fields__} | {"parts": ()})
    made = of(empty)
    assert (made.all_up_kg.value, made.lines, made.kinds) == (0.0, (), ())
