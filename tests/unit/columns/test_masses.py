"""Sampled masses, and what a weighing of the whole craft makes of them."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from rotorwright.columns import Draws, mass_columns
from rotorwright.craft.model import Craft

Read = Callable[..., Craft]
N = 4000


def two_lines(
    small_craft: Read, weighed: str = "", first: float = 3.0, second: float = 9.0, other: str = "other part"
) -> Craft:
    """100 g and 300 g with small deviations, and nothing else that weighs."""
    return small_craft(
        ("# the parts in place", '[[other]]\nname = "other part"\n'),
        ('use = "m"\nid = "motors"', f'use = "rest"\nid = "one"\nmass_g = {{ value = 100, sd = {first} }}'),
        ('use = "p"\n', f'use = "{other}"\nid = "two"\nmass_g = {{ value = 300, sd = {second} }}\n'),
        ('[[part]]\nuse = "b"\nrole = "battery"\nid = "pack"\nat_mm = [0, 0, 30]\n', ""),
        ('[[part]]\nuse = "rest"\nid = "rest"\nat_mm = [0, 0, -10]\n', ""),
        more=weighed,
    )


def test_lines_of_parts_and_wires(small_craft: Read) -> None:
    craft = small_craft(
        more='[[wire]]\nfrom = "pack.lead"\nto = "rest"\ngauge_mm2 = 2\nlength_mm = 100\nconductors = 3\n'
    )
    columns = mass_columns(craft, Draws(10))
    assert [(line.id, line.kind, line.count, line.dry) for line in columns.lines] == [
        ("motors", "motor", 4, True),
        ("propeller", "propeller", 4, True),
        ("pack", "battery", 1, False),
        ("rest", "other", 1, True),
        ("wire pack.lead to rest", "wire", 3, True),
    ]
    # copper 8960 kg/m3, insulation 0.45 of it
    assert columns.values[0] == pytest.approx([0.128, 0.016, 0.180, 0.250, 3 * 0.1 * 2e-6 * 8960 * 1.45])
    assert columns.total()[0] == pytest.approx(columns.values[0].sum())
    assert columns.total(dry=True)[0] == pytest.approx(columns.values[0].sum() - 0.180)
    assert columns.unaccounted is None
    assert columns.surprise_kg is None


def test_an_unknown_mass_is_left_out_of_the_sum_and_named(small_craft: Read) -> None:
    columns = mass_columns(small_craft(("mass_g = 250\n", "")), Draws(10))
    assert columns.unknown == ("rest",)
    assert np.isnan(columns.values[:, 3]).all()
    assert columns.total()[0] == pytest.approx(0.324)


def test_all_pieces_of_a_line_are_alike(small_craft: Read) -> None:
    values = mass_columns(small_craft(), Draws(N)).values[1:]
    assert values[:, 0].std() / 0.128 == pytest.approx(0.03, rel=0.02)


def test_two_lines_and_a_weighing_against_the_closed_form(small_craft: Read) -> None:
    """Gaussian posterior of (one, two, rest) given one + two + rest = w + noise.

    2 % of a deviation in the means, 4 % in the deviations: the two lines are lognormal, and pairs of keys are
    uncorrelated only to 1/sqrt(n).
    """
    craft = two_lines(small_craft, "[weighed]\nall_up_g = { value = 412, sd = 0.5 }\n")
    columns = mass_columns(craft, Draws(N))
    m = np.array([0.100, 0.300, 0.0])
    s2 = np.array([0.003, 0.009, 0.02 * 0.400]) ** 2
    gain = s2 / (s2.sum() + 0.0005**2)
    mean = m + gain * (0.412 - m.sum())
    sd = np.sqrt(s2 * (1 - gain))
    assert columns.unaccounted is not None
    posterior = np.column_stack([columns.values, columns.unaccounted])[1:]
    assert np.abs(posterior.mean(axis=0) - mean) == pytest.approx(0.0, abs=0.02 * sd.max())
    assert posterior.std(axis=0) == pytest.approx(sd, rel=0.04)
    assert np.concatenate([columns.values[0], columns.unaccounted[:1]]) == pytest.approx(mean, rel=1e-9)
    assert columns.surprise_kg is None


def test_lines_of_one_part_share_its_chance(small_craft: Read) -> None:
    """Both lines are too heavy or both too light; tolerances as above."""
    craft = two_lines(small_craft, "[weighed]\nall_up_g = { value = 412, sd = 0.5 }\n", other="rest")
    columns = mass_columns(craft, Draws(N))
    S = np.zeros((3, 3))
    S[:2, :2] = np.outer([0.003, 0.009], [0.003, 0.009])
    S[2, 2] = 0.008**2
    gain = S.sum(axis=1) / (S.sum() + 0.0005**2)
    sd = np.sqrt(np.diag(S - np.outer(gain, S.sum(axis=0))))
    assert columns.unaccounted is not None
    posterior = np.column_stack([columns.values, columns.unaccounted])[1:]
    assert posterior.std(axis=0) == pytest.approx(sd, rel=0.04)
    assert columns.values[0] == pytest.approx(np.array([0.1, 0.3]) + gain[:2] * 0.012, rel=1e-9)


def test_the_sum_is_the_weighing_within_its_scale(small_craft: Read) -> None:
    columns = mass_columns(two_lines(small_craft, "[weighed]\nall_up_g = { value = 412, sd = 0.5 }\n"), Draws(N))
    total = columns.total()[1:]
    assert total.mean() == pytest.approx(0.412, abs=1e-4)
    assert total.std() == pytest.approx(0.0005, rel=0.03)


def test_an_exact_line_keeps_its_mass(small_craft: Read) -> None:
    craft = two_lines(small_craft, "[weighed]\nall_up_g = { value = 412, sd = 0.5 }\n", first=0.0)
    assert mass_columns(craft, Draws(100)).values[:, 0] == pytest.approx(0.100, rel=1e-12)


def test_a_weighing_narrows_the_total(small_craft: Read) -> None:
    plain = mass_columns(small_craft(), Draws(N)).total()[1:].std()
    weighed = mass_columns(small_craft(more="[weighed]\nall_up_g = 580\n"), Draws(N)).total()[1:].std()
    assert weighed < plain / 2


def test_dry_weighing_leaves_the_battery_alone(small_craft: Read) -> None:
    craft = small_craft(more="[weighed]\ndry_g = { value = 400, sd = 0.1 }\n")
    columns = mass_columns(craft, Draws(N))
    assert columns.total(dry=True)[1:].mean() == pytest.approx(0.400, abs=1e-4)
    assert columns.total(dry=True)[1:].std() == pytest.approx(0.0001, rel=0.05)
    assert columns.values[0, 2] == pytest.approx(0.180)


def test_both_weighings_fix_the_battery(small_craft: Read) -> None:
    more = "[weighed]\nall_up_g = { value = 590, sd = 0.1 }\ndry_g = { value = 402, sd = 0.1 }\n"
    columns = mass_columns(small_craft(more=more), Draws(N))
    assert columns.values[1:, 2].mean() == pytest.approx(0.188, abs=2e-4)
    assert columns.values[1:, 2].std() == pytest.approx(np.hypot(0.0001, 0.0001), rel=0.1)


def test_a_missing_part_is_a_surprise_and_is_not_spread_over_the_others(small_craft: Read) -> None:
    columns = mass_columns(small_craft(more="[weighed]\nall_up_g = 674\n"), Draws(N))
    assert columns.surprise_kg == pytest.approx(0.100, rel=1e-9)
    assert columns.unaccounted is not None
    assert columns.unaccounted[0] == pytest.approx(0.100, rel=0.1)
    assert columns.values[0] == pytest.approx([0.128, 0.016, 0.180, 0.250], rel=0.05)
    assert columns.total()[0] == pytest.approx(0.674, rel=1e-3)


@pytest.mark.parametrize("grams", [1, 100, 300, 560])
def test_no_part_ever_weighs_less_than_nothing(grams: float, small_craft: Read) -> None:
    craft = small_craft(
        ("mass_g = 250", "mass_g = { value = 250, sd = 250 }"),
        more=f"[weighed]\nall_up_g = {{ value = {grams}, sd = 0.1 }}\n",
    )
    columns = mass_columns(craft, Draws(N))
    assert (columns.values >= 0).all()
    assert columns.total()[1:] == pytest.approx(grams * 1e-3, abs=5e-4)


@pytest.mark.parametrize("dry", [394, 300])
def test_weighings_that_leave_no_room_do_not_break_it(dry: float, small_craft: Read) -> None:
    """Exact battery, exact scales; with 300 g dry the two contradict each other by 94 g."""
    more = f"[weighed]\nall_up_g = {{ value = 574, sd = 0 }}\ndry_g = {{ value = {dry}, sd = 0 }}\n"
    craft = small_craft(("mass_g = 180", "mass_g = { value = 180, sd = 0 }"), more=more)
    columns = mass_columns(craft, Draws(100))
    assert np.isfinite(columns.total()).all()


def test_no_parts(small_craft: Read) -> None:
    craft: Any = two_lines(small_craft)
    empty = Craft(**{f: getattr(craft, f) for f in craft.__dataclass_fields__} | {"parts": ()})
    columns = mass_columns(empty, Draws(10))
    assert columns.values.shape == (11, 0)
    assert columns.total() == pytest.approx(0.0)
