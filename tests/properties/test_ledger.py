"""Sums, shares and weighings of any masses."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.columns import Draws, mass_columns
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.parts.shelf import Shelf
from rotorwright.predict.ledger import ledger

quick = settings(deadline=None, max_examples=40)
grams = st.floats(0.1, 500.0)
scatters = st.floats(0.0, 0.8)
parts = st.lists(st.tuples(grams, scatters, st.integers(1, 8)), min_size=1, max_size=8)


def craft_of(given_parts: list[tuple[float, float, int]], weighed: str = "") -> Craft:
    lines = ['format = 1\nname = "x"\n[frame]\nmotor_spacing_mm = 200']
    for index, (mass, scatter, count) in enumerate(given_parts):
        lines.append(f'[[other]]\nname = "o{index}"\nmass_g = {{ value = {mass!r}, sd = {mass * scatter!r} }}')
        lines.append(f'[[part]]\nuse = "o{index}"\nid = "l{index}"\ncount = {count}')
    return read_craft(Path("x.toml"), Shelf(), "\n".join(lines) + weighed)


@quick
@given(parts)
def test_the_sum_is_the_sum(given_parts: list[tuple[float, float, int]]) -> None:
    made = ledger(mass_columns(craft_of(given_parts), Draws(64)))
    total = sum(mass * count for mass, _, count in given_parts)
    assert made.all_up_kg.value == pytest.approx(total * 1e-3, rel=1e-9)
    assert sum(line.share or 0.0 for line in made.lines) == pytest.approx(1.0)
    assert sum(kind.share for kind in made.kinds) == pytest.approx(1.0)
    masses: list[Any] = [line.mass_kg.value for line in made.lines]
    assert masses == sorted(masses, reverse=True)
    for line in made.lines:
        assert line.mass_kg.low is not None and line.mass_kg.high is not None and line.mass_kg.value is not None
        assert 0 < line.mass_kg.low <= line.mass_kg.value <= line.mass_kg.high


@quick
@given(parts, st.floats(0.05, 5.0), st.floats(0.0, 0.05))
def test_lines_and_rest_make_the_weighed_total(
    given_parts: list[tuple[float, float, int]], ratio: float, scale: float
) -> None:
    """Whatever was weighed: the samples' mean is it within the scale, and no part weighs less than nothing."""
    weighed = ratio * sum(mass * count for mass, _, count in given_parts)
    craft = craft_of(given_parts, f"\n[weighed]\nall_up_g = {{ value = {weighed!r}, sd = {weighed * scale!r} }}\n")
    columns = mass_columns(craft, Draws(512))
    sd = max(weighed * scale * 1e-3, 1e-6)
    # the scale's share of the posterior is at most all of it; four standard errors of 512 samples, and the pull of
    # the nominal sum where scale and parts are both uncertain
    assert columns.unaccounted is not None
    assert abs(columns.total()[1:].mean() - weighed * 1e-3) <= 1.2 * abs(ratio - 1) / ratio * weighed * 1e-3 + 4 * sd
    assert np.all(columns.values >= 0)
    assert columns.total() == pytest.approx(columns.values.sum(axis=1) + columns.unaccounted)
    if scale < 1e-3:
        assert columns.total()[1:] == pytest.approx(weighed * 1e-3, rel=0.02, abs=5e-6)


@quick
@given(parts)
def test_a_weighing_that_agrees_surprises_nobody(given_parts: list[tuple[float, float, int]]) -> None:
    weighed = sum(mass * count for mass, _, count in given_parts)
    columns = mass_columns(craft_of(given_parts, f"\n[weighed]\nall_up_g = {weighed!r}\n"), Draws(0))
    assert columns.surprise_kg is None
    assert columns.total()[0] == pytest.approx(weighed * 1e-3, rel=1e-9)
