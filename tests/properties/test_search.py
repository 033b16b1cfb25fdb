"""The search is exact: its front is that of brute force, for any parts, goals and limits; and why it may skip."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import new_workshop
from rotorwright.predict.profiles import PROFILES
from rotorwright.search import front as front_module
from rotorwright.search.bounds import margins
from rotorwright.search.dominance import Archive, first_of_equals, front_of
from rotorwright.search.front import brute_front, exact_front
from rotorwright.search.grid import Grid
from rotorwright.search.gridding import grid_of, verified
from rotorwright.search.measures import IN_TIME, MEASURES, SEARCHABLE
from rotorwright.search.moments import about_centre, extreme_inertia
from rotorwright.search.moves import MOVES, RULE_MOVES, existence
from rotorwright.search.progress import Progress
from rotorwright.search.quickest import quickest
from rotorwright.search.space import Choice, Goal, Limit, Space
from rotorwright.search.swapped import candidates, find_placed, own_shelf, unweighed
from rotorwright.search.turning import turns_easier

PLACES = ("motors", "propellers", "battery", "speed-controller", "camera", "top-deck", "video-transmitter")
# Few propellers: a rotor table each.
MOST = {"propellers": 6}
# Measures under a limit, and from where to where: among what these parts make, so that some keep it and some do not.
LIMITED = (
    ("weight", 0.4, 0.7),
    ("thrust-to-weight", 1.0, 8.0),
    ("cost", 400.0, 800.0),
    ("tip-mach", 0.2, 0.8),
    ("hover-throttle", 0.1, 0.6),
    ("controller-room", -1.0, 0.6),
    ("roll", 100.0, 1500.0),
)
calm = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))


def lapwing() -> Path:
    """The third version of the demo craft, in a workshop of its own."""
    folder = Path(mkdtemp()) / "w"
    new_workshop(folder)
    return folder / "crafts" / "lapwing-3.toml"


@cache
def whole() -> tuple[Space, Grid]:
    """The demo craft with a shelf of candidates in seven places; some twice, so that there are equals."""
    craft = unweighed(read_craft(lapwing()))
    shelf, choices = own_shelf(craft), []
    for place in PLACES:
        placed = find_placed(craft, place)
        parts = candidates(shelf, type(placed.part))
        parts = parts[:: max(1, len(parts) // MOST.get(place, 12))]
        twins = [replace(part, name=f"{part.name}-again") for part in parts[:2]]
        choices.append(Choice(placed, (*parts, *twins)))
    everything = tuple(Goal(name, MEASURES[name].better) for name in SEARCHABLE)
    space = Space(craft.file, craft, tuple(choices), everything, ())
    return space, grid_of(space)


def part_of(grid: Grid, picked: dict[int, list[int]]) -> Grid:
    """A grid with some candidates of each place, in the order they are picked."""
    places, joints = [], []
    for k, place in enumerate(grid.places):
        kept = np.array(picked[k])
        numbers = {name: getattr(place, name)[kept] for name in ("mass", "power", "cost")}
        sets = {name: x[kept] for name, x in place.sets.items()}
        states = {name: x[kept] for name, x in place.states.items()}
        names = tuple(place.names[i] for i in kept)
        numbers["spin"] = place.spin[kept]
        places.append(replace(place, names=names, sets=sets, states=states, **numbers))
    for joint in grid.joints:
        own = tuple(c[np.array(picked[k])] for k, c in zip(joint.places, joint.classes, strict=True))
        joints.append(replace(joint, classes=own))
    return in_place(replace(grid, places=tuple(places), joints=tuple(joints)), picked)


def in_place(grid: Grid, picked: dict[int, list[int]]) -> Grid:
    """The grid with moments and shapes of the picked candidates alone."""
    assert grid.moments is not None and grid.shadows is not None
    classes = grid.moments.classes[np.ix_(*(picked[k] for k in grid.moments.deciding))]
    chosen = tuple(x[:, picked[k]] for k, x in enumerate(grid.shadows.chosen))
    own = tuple(x[:, picked[k]] for k, x in enumerate(grid.moments.own))
    shapes = tuple(x[:, picked[k]] for k, x in enumerate(grid.shadows.shapes))
    longest = grid.longest
    if longest is not None:
        kept = picked[PLACES.index("propellers")]
        longest = replace(longest, rotation=longest.rotation[kept], torque=longest.torque[kept])
    propellers = next(k for k, place in enumerate(grid.places) if place.kind == "propeller")
    sets = grid.places[propellers].sets | {"propeller": np.arange(len(picked[propellers]))}
    places = list(grid.places)
    places[propellers] = replace(places[propellers], sets=sets)
    rotors = {name: getattr(grid, name)[picked[propellers]] for name in ("tables", "gains", "oblique")}
    return replace(
        grid,
        places=tuple(places),
        moments=replace(grid.moments, classes=classes, own=own),
        shadows=replace(grid.shadows, classes=classes, chosen=chosen, shapes=shapes),
        longest=longest,
        **rotors,
    )


@st.composite
def questions(draw: Callable) -> tuple[Grid, list[Goal], list[Limit]]:
    """A few candidates in each place, two to five goals, any limits."""
    _, grid = whole()
    most = [5, 4, 4, 4, 3, 3, 3]
    picked = {
        k: draw(st.lists(st.integers(0, place.count - 1), min_size=1, max_size=most[k], unique=True))
        for k, place in enumerate(grid.places)
    }
    names = draw(st.lists(st.sampled_from(SEARCHABLE), min_size=2, max_size=5, unique=True))
    ways = [
        1 if name.endswith("-room") else draw(st.sampled_from((MEASURES[name].better,) * 3 + (1, -1)))
        for name in names
    ]
    rules = draw(st.lists(st.sampled_from(sorted(RULE_MOVES)), max_size=3, unique=True))
    limits = [Limit(code) for code in rules]
    for name, low, high in LIMITED:
        if draw(st.integers(0, 2)) == 0:
            either = (1,) if name.endswith("-room") else (MEASURES[name].better,) * 2 + (1, -1)
            limits.append(Limit(name, draw(st.sampled_from(either)), draw(st.floats(low, high))))
    goals = [Goal(name, way) for name, way in zip(names, ways, strict=True)]
    return part_of(grid, picked), goals, limits


def test_a_bound_next_to_nought_is_a_bound() -> None:
    """A share of 1e-310 is more than a number can hold; it is broken or kept all the same."""
    _, grid = whole()
    view = grid.combos(np.zeros((1, len(grid.places)), np.int64))
    (room,) = margins(view, [Limit("weight", 1, 1e-310), Limit("weight", -1, 1e-310)])
    assert room.tolist() == [np.inf, -np.inf]


@calm
@given(questions(), st.sampled_from((3, 7, 1000)))
def test_the_front_is_that_of_brute_force(question: tuple, block: int) -> None:
    grid, goals, limits = question
    usual, front_module.BLOCK = front_module.BLOCK, block
    try:
        exact = exact_front(grid, goals, limits)
    finally:
        front_module.BLOCK = usual
    brute = brute_front(grid, goals, limits)
    assert np.array_equal(exact.index, brute.index)
    assert np.array_equal(exact.points, brute.points)
    assert exact.superfluous + sum(exact.counts.values()) == exact.total == brute.total


def test_the_grid_holds_the_rows_of_real_craft() -> None:
    space, grid = whole()
    verified(space, grid, tries=25)


@calm
@given(st.data())
def test_measures_move_as_they_declare(data: st.DataObject) -> None:
    """What the reduction and the bounds take for granted, on the real models."""
    _, grid = whole()
    index = np.array([[data.draw(st.integers(0, place.count - 1)) for place in grid.places]])
    plain = grid.combos(index)
    base = {
        "mass": plain.masses,
        "cost": plain.cost,
        "controller_resistance": plain.rows["controller_resistance"],
        "electronics_power": plain.rows["electronics_power"],
        "inertia": plain.inertia,
    }
    names = {
        "mass": "mass",
        "cost": "cost",
        "resistance": "controller_resistance",
        "power": "electronics_power",
        "inertia": "inertia",
    }
    feature = data.draw(st.sampled_from(sorted(names)))
    more = grid.combos(index, **{**base, names[feature]: base[names[feature]] * data.draw(st.floats(1.001, 1.5))})
    for measure, moves in MOVES.items():
        a, b = (float(MEASURES[measure].values(view)[0]) for view in (plain, more))
        if np.isfinite(a) and np.isfinite(b):
            step = (b - a) * moves.get(feature, 0)
            assert step >= -1e-6 * abs(a) if feature in moves else b == pytest.approx(a, rel=1e-6), (measure, feature)
    for code, moves in RULE_MOVES.items():
        a, b = (float(margins(view, [Limit(code)])[0, 0]) for view in (plain, more))
        if feature not in ("cost", "inertia") and np.isfinite(a) and np.isfinite(b):
            step = (b - a) * moves.get(feature, 0)
            assert (
                step >= -1e-6 * max(abs(a), 1.0) if feature in moves else b == pytest.approx(a, rel=1e-6, abs=1e-6)
            ), (code, feature)


@calm
@given(st.data())
def test_what_exists_goes_on_existing_as_declared(data: st.DataObject) -> None:
    _, grid = whole()
    index = np.array([[data.draw(st.integers(0, place.count - 1)) for place in grid.places]])
    plain = grid.combos(index)
    names = {"mass": "mass", "resistance": "controller_resistance", "power": "electronics_power"}
    feature = data.draw(st.sampled_from(sorted(names)))
    factor = data.draw(st.floats(1.01, 20.0))
    more = grid.combos(index, **{names[feature]: plain.rows[names[feature]] * factor})
    for name in (*MOVES, *IN_TIME, *RULE_MOVES):
        a, b = (
            np.isfinite(MEASURES[name].values(v) if name in MEASURES else margins(v, [Limit(name)])[:, 0])[0]
            for v in (plain, more)
        )
        move = existence(name).get(feature, 0)
        assert a == b or move == (1 if b else -1), (name, feature)


@cache
def flown_as(profile: str) -> Grid:
    """The whole grid, flown on another profile."""
    space, _ = whole()
    return grid_of(replace(space, craft=replace(space.craft, flight=replace(space.craft.flight, profile=profile))))


def drawn_index(data: st.DataObject, grid: Grid, count: int = 1) -> np.ndarray:
    return np.array([[data.draw(st.integers(0, p.count - 1)) for p in grid.places] for _ in range(count)])


@calm
@given(st.data(), st.sampled_from(sorted(name for name, profile in PROFILES.items() if not profile.best)))
def test_no_flight_is_longer_than_its_bound(data: st.DataObject, profile: str) -> None:
    """Nor with more to carry, to lose and to feed than what the bound was asked for."""
    grid = flown_as(profile)
    light = grid.combos(drawn_index(data, grid))
    more = {
        name: values * data.draw(st.floats(1.0, 1.5))
        for name, values in (
            ("mass", light.masses),
            ("controller_resistance", light.rows["controller_resistance"]),
            ("electronics_power", light.rows["electronics_power"]),
        )
    }
    heavy = grid.combos(light.index, **more)
    for view, longest in ((light, light.longest(light.masses)), (heavy, light.longest(heavy.masses))):
        assert view.flown["time"][0] <= longest[0]


@calm
@given(st.data())
def test_thrust_never_rises_quicker_than_its_bound(data: st.DataObject) -> None:
    _, grid = whole()
    index = drawn_index(data, grid)
    light = grid.combos(index)
    heavy = grid.combos(index, mass=light.masses * data.draw(st.floats(1.0, 1.5)))
    between = light.masses + data.draw(st.floats(0.0, 1.0)) * (heavy.masses - light.masses)
    for view in (light, heavy, grid.combos(index, mass=between)):
        rise = float(MEASURES["thrust-rise"].values(view)[0])
        assert np.isnan(rise) or rise >= quickest(light, heavy)[0]


@calm
@given(st.data(), st.sampled_from((-1, 1)))
def test_the_extreme_inertia_is_that_of_some_rest(data: st.DataObject, way: int) -> None:
    _, grid = whole()
    assert grid.moments is not None
    rng = np.random.default_rng(data.draw(st.integers(0, 2**32 - 1)))
    sums = [rng.uniform(0.0, 1.0, (n, 7)) * [0.3, 0.0, 0.003, 0.004, 1e-3, 1e-3, 1e-3] for n in (5, 7)]
    for part in sums:
        part[:, 0] += 0.05
    masses = [part[:, 0] * rng.uniform(1.0, 1.05, len(part)) for part in sums]
    found, both = np.empty((3, 5)), np.empty((7, 3))
    for axis in range(3):
        extreme_inertia(sums[0], masses[0], sums[1], masses[1], axis, way, found[axis])
    for core, mass, best in zip(sums[0], masses[0], found.T, strict=True):
        about_centre(core + sums[1], mass + masses[1], both)
        assert np.allclose(best, both.min(axis=0) if way < 0 else both.max(axis=0), rtol=1e-12)


@calm
@given(st.data(), st.sampled_from((0, 1)))
def test_what_turns_easier_does_so_on_every_core(data: st.DataObject, axis: int) -> None:
    """Interval arithmetic against cores drawn from the box, for rests that differ little."""
    rng = np.random.default_rng(data.draw(st.integers(0, 2**32 - 1)))
    low = np.array([0.3, -0.001, -0.001, -0.004, 8e-4, 9e-4, 1e-3, 0.0])
    box = np.array([low, low + rng.uniform(0.0, 1.0, 8) * [0.3, 0.002, 0.002, 0.004, 2e-3, 2e-3, 2e-3, 0.02]])
    place, size = rng.uniform(-0.04, 0.04, (2, 3)), rng.uniform(0.0, 0.03, (2, 3))
    mass = rng.uniform(0.002, 0.02, 2)
    if data.draw(st.booleans()):
        place[1], size[1] = place[0], size[0]
    rests = []
    for m, p, s in zip(mass, place, size, strict=True):
        own = [(s[1] ** 2 + s[2] ** 2) / 12, (s[0] ** 2 + s[2] ** 2) / 12, (s[0] ** 2 + s[1] ** 2) / 12]
        far = [p[1] ** 2 + p[2] ** 2, p[0] ** 2 + p[2] ** 2, p[0] ** 2 + p[1] ** 2]
        rests.append(m * np.array([1.0, *p, *np.add(own, far), 0.0]))
    if not turns_easier(box, rests[0], rests[1], axis):
        return
    cores = rng.uniform(box[0], box[1], (200, 8))
    inertia = []
    for rest in rests:
        both = cores + rest
        found = np.empty((200, 3))
        about_centre(np.ascontiguousarray(both[:, :7]), both[:, 0] + both[:, 7], found)
        inertia.append(found[:, axis])
    assert np.all(inertia[0] < inertia[1])


@pytest.mark.parametrize(
    "picked",
    [
        ((1, 12), (1, 8), (8, 12), (1, 4, 6), (1, 2, 8), (2, 8, 9), (3, 4, 7)),  # was lost to a bound
        ((5, 11), (1, 8), (3, 9), (2, 6, 15), (0, 3, 9), (3, 11, 13), (3, 4, 10)),  # was lost to the reduction
    ],
)
def test_what_is_wanted_may_not_exist(picked: tuple[tuple[int, ...], ...]) -> None:
    """More hover throttle wants the heaviest rest, which cannot hover: lighter ones must not be ruled out with it."""
    _, grid = whole()
    goals = [Goal("cost", -1), Goal("hover-throttle", 1), Goal("current", -1)]
    small = part_of(grid, {k: list(kept) for k, kept in enumerate(picked)})
    exact, brute = exact_front(small, goals, []), brute_front(small, goals, [])
    assert np.array_equal(exact.index, brute.index)
    assert np.array_equal(exact.points, brute.points)


def test_the_same_bits_from_any_engine_and_after_an_interruption(tmp_path: Path) -> None:
    _, grid = whole()
    goals = [Goal("weight", -1), Goal("hover-time", 1), Goal("thrust-to-weight", 1)]
    limits = [Limit("controller-overloaded")]
    small = part_of(grid, {k: list(range(min(place.count, 7))) for k, place in enumerate(grid.places)})
    usual, front_module.BLOCK = front_module.BLOCK, 50
    try:
        alone = exact_front(small, goals, limits)
        with ThreadPoolExecutor(2) as pool:
            other = exact_front(small, goals, limits, executor=pool)

        def stop(now: Progress) -> None:
            if now.done == 2:
                raise KeyboardInterrupt

        with pytest.raises(KeyboardInterrupt):
            exact_front(small, goals, limits, state=tmp_path / "state", watch=stop)
        (folder,) = (tmp_path / "state").iterdir()
        (folder / "0.block").write_bytes(b"half a fi")
        resumed = exact_front(small, goals, limits, state=tmp_path / "state")
    finally:
        front_module.BLOCK = usual
    assert resumed.resumed == 1
    assert not (tmp_path / "state").exists()
    for found in (other, resumed):
        assert np.array_equal(found.index, alone.index)
        assert np.array_equal(found.points, alone.points)


points = st.integers(1, 4).flatmap(
    lambda goals: st.lists(st.lists(st.integers(0, 4), min_size=goals, max_size=goals), min_size=1, max_size=40)
)


def beaten_by_hand(a: np.ndarray, members: np.ndarray) -> list[bool]:
    return [bool(np.any(np.all(members <= p, axis=1) & np.any(members < p, axis=1))) for p in a]


@given(points)
def test_filters_agree_with_the_definition(rows: list[list[int]]) -> None:
    a = np.array(rows, dtype=float)
    assert list(~front_of(a)) == beaten_by_hand(a, a)


@given(points, st.integers(1, 40))
def test_an_archive_beats_what_its_members_beat(rows: list[list[int]], cut: int) -> None:
    a = np.array(rows, dtype=float)
    members = a[:cut]
    assert list(Archive(members).beats(a)) == beaten_by_hand(a, members)


@given(points, st.randoms())
def test_of_equals_the_first_in_order_is_kept(rows: list[list[int]], random: object) -> None:
    a = np.array(rows, dtype=float)
    order = list(range(len(a)))
    random.shuffle(order)
    kept = first_of_equals(a, np.array(order))
    first = {}
    for k in np.argsort(order):
        first.setdefault(tuple(a[k]), int(k))
    assert sorted(kept) == sorted(first.values())
