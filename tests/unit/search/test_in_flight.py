"""Combinations turned and flown as arrays are the real craft turned and flown one by one."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.predict.report import report
from rotorwright.predict.response import Response
from rotorwright.search.craft_from import craft_with
from rotorwright.search.fleet import fleet_of
from rotorwright.search.flights import floor_voltage
from rotorwright.search.grid import Grid
from rotorwright.search.gridding import grid_of, verified
from rotorwright.search.measures import MEASURES, SEARCHABLE
from rotorwright.search.quickest import STEP
from rotorwright.search.space import Choice, Goal, Space
from rotorwright.search.swapped import candidates, find_placed, own_shelf, unweighed
from rotorwright.search.turning import turns_easier

Read = Callable[[int], Craft]
PLACES = ("motor", "propeller", "battery", "speed-controller", "camera")


def space_of(craft: Craft, measures: tuple[str, ...] = SEARCHABLE, most: int = 4) -> Space:
    craft, choices = unweighed(craft), []
    for place in PLACES:
        placed = find_placed(craft, place)
        parts = candidates(own_shelf(craft), type(placed.part))
        choices.append(Choice(placed, tuple(parts[:: max(1, len(parts) // most)])))
    return Space(craft.file, craft, tuple(choices), tuple(Goal(n, MEASURES[n].better) for n in measures), ())


def some_of(grid: Grid, count: int = 10) -> np.ndarray:
    rng = np.random.default_rng(0)
    return np.stack([rng.integers(0, n, count) for n in grid.counts], axis=1)


def crafts_of(space: Space, grid: Grid, index: np.ndarray) -> list[Craft]:
    return [craft_with(space, {p.id: p.names[i] for p, i in zip(grid.places, row, strict=True)}) for row in index]


@pytest.mark.parametrize("version", [3, 4])
def test_every_measure_is_that_of_the_real_craft(lapwing: Read, version: int) -> None:
    """Version 3 has parts of the shelf for its frame, version 4 a drawn one."""
    space = space_of(lapwing(version))
    grid = grid_of(space)
    verified(space, grid, tries=12)
    index = some_of(grid)
    view, fleet = grid.combos(index), fleet_of(crafts_of(space, grid, index))
    for name in SEARCHABLE:
        found, real = (MEASURES[name].values(one) for one in (view, fleet))
        expected = np.broadcast_to(real[:, 0], found.shape)
        assert np.allclose(found, expected, rtol=1e-7, equal_nan=True), name
    assert np.isfinite(MEASURES["flight-time"].values(view)).sum() > 3


@pytest.mark.parametrize("profile", ["best-range", "racing"])
def test_flight_time_is_that_of_the_report(lapwing: Read, profile: str) -> None:
    craft = lapwing(3)
    craft = replace(craft, flight=replace(craft.flight, profile=profile))
    space = space_of(craft, ("flight-time", "weight"))
    grid = grid_of(space)
    index = some_of(grid, 6)
    times = MEASURES["flight-time"].values(grid.combos(index))
    for time, one in zip(times, crafts_of(space, grid, index), strict=True):
        whole = report(one, samples=0)
        told = whole.endurance.time_s.value if whole.endurance else None
        assert (told is None and np.isnan(time)) or time == pytest.approx(told, rel=1e-9)


def test_parts_without_a_place_move_with_the_motors(lapwing: Read, tmp_path: Path) -> None:
    """A camera whose place nobody gave sits on the base, which motor and propeller decide: it joins the core."""
    craft = lapwing(3)
    text = craft.file.read_text().replace('role = "camera"\nat_mm = [62, 0, -5]\n', 'role = "camera"\n')
    assert text != craft.file.read_text()
    file = craft.file.parent / "no-place.toml"
    file.write_text(text)
    try:
        space = space_of(read_craft(file), ("roll", "weight"))
    finally:
        file.unlink()
    assert find_placed(space.craft, "camera").assumed
    grid = grid_of(space)
    verified(space, grid, tries=12)
    assert {p.kind: p.is_core for p in grid.places}["camera"]


def test_the_step_of_the_bound_is_that_of_the_answer(lapwing: Read) -> None:
    whole = report(lapwing(2), samples=0)
    assert isinstance(whole.response, Response) and whole.response.step_thrust_to_weight == STEP


def test_a_floor_never_lies_above_the_landing_voltage(lapwing: Read) -> None:
    craft = lapwing(3)
    assert floor_voltage(craft) == 3.0
    low = replace(craft.flight.landing_voltage, value=2.8)
    assert floor_voltage(replace(craft, flight=replace(craft.flight, landing_voltage=low))) == 2.8


def test_the_lighter_of_two_at_one_place_turns_easier() -> None:
    box = np.array([[0.4, 0.0, 0.0, -0.001, 1e-3, 1e-3, 2e-3, 0.0], [0.5, 0.0, 0.0, 0.001, 2e-3, 2e-3, 4e-3, 0.005]])
    one = np.array([1.0, 0.0, 0.0, -0.02, 6e-4, 6e-4, 4e-4, 0.0])  # a gram a kilogram, 20 mm down, 14 mm wide
    assert turns_easier(box, 0.004 * one, 0.008 * one, 0)
    assert not turns_easier(box, 0.008 * one, 0.004 * one, 0)
    assert not turns_easier(box, 0.004 * one, 0.004 * one, 0)
