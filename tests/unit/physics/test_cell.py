"""Overvoltages, age, warmth of a pack."""

import pytest

from rotorwright.physics import cell


def test_overvoltage_settles_at_current_times_resistance() -> None:
    assert cell.overvoltage(0.0, 10.0, 0.01, 5.0, 1e3) == pytest.approx(0.1)


def test_overvoltage_keeps_a_part_of_what_it_was() -> None:
    assert cell.overvoltage(0.1, 0.0, 0.01, 5.0, 5.0) == pytest.approx(0.1 * 0.36787944117)


def test_two_short_steps_are_one_long_one() -> None:
    half = cell.overvoltage(0.02, 8.0, 0.01, 7.0, 1.5)
    assert cell.overvoltage(half, 8.0, 0.01, 7.0, 1.5) == pytest.approx(cell.overvoltage(0.02, 8.0, 0.01, 7.0, 3.0))


def test_age_raises_resistance_and_takes_capacity() -> None:
    assert cell.aged_resistance(100) == pytest.approx(1.2)
    assert cell.aged_capacity(100) == pytest.approx(0.93)
    assert cell.aged_capacity(5000) == 0.7


def test_a_pack_cools_on_all_sides_but_the_largest() -> None:
    assert cell.pack_cooling((0.03, 0.07, 0.04)) == pytest.approx(
        25 * (0.07 * 0.04 + 2 * 0.07 * 0.03 + 2 * 0.04 * 0.03)
    )
    assert cell.pack_heat_capacity(0.2) == pytest.approx(200.0)
