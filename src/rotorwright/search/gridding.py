"""From a space to its arrays, through real craft: each candidate is put on the base craft and its row is read."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import PowertrainColumns
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute, InputError, Problem
from rotorwright.parts.part import Part
from rotorwright.physics.rows import CRAFT
from rotorwright.search.assembly import assembled, undrawn
from rotorwright.search.barred import Barred, told
from rotorwright.search.craft_from import craft_with
from rotorwright.search.fleet import cost_of, stated
from rotorwright.search.flyable import flyable
from rotorwright.search.grid import ADDED, OF_SHAPE, Grid, Place
from rotorwright.search.joints import fed_together, joint_of
from rotorwright.search.measures import FLOWN, RESPONSE
from rotorwright.search.real_row import real_row
from rotorwright.search.space import Choice, Space
from rotorwright.search.swapped import swapped

__all__ = ["grid_of", "verified"]

Array = NDArray[np.float64]

# Fields that a place outside the core may set: bounds and reduction know which way they move what.
_OF_THE_REST = {"controller_resistance", "current_limit"}


def grid_of(space: Space) -> Grid:
    """The arrays of a space; InputError when a place has no candidate left that can be computed.

    Raises CannotCompute when two places set the same field of the row.
    """
    asked = {goal.measure for goal in space.goals} | {limit.name for limit in space.limits}
    flying = bool(asked & {*RESPONSE, *FLOWN})
    base = space.craft
    row, mass, cost = real_row(base, flying)
    places, tables, dropped = [], row.rotors, []
    for choice in space.choices:
        place, own, lost = _place(base, choice, row, mass, flying)
        dropped += lost
        if place is None:
            what = f"no candidate for '{choice.placed.id}' can be computed: {lost[0]}"
            raise InputError(Problem(what, "Give what is missing.", "", space.file))
        tables = own or tables
        places.append(place)
    own_cost = sum(cost_of(c.placed) if c.placed.part.price is not None else 0.0 for c in space.choices)
    grid = _jointly(
        space,
        Grid(
            places=tuple(places),
            joints=(),
            base=row.craft[:1].copy(),
            mass=mass - sum(_mass_of(c.placed) for c in space.choices),
            power=float(row.craft["electronics_power"][0]),
            cost=cost - own_cost,
            fixed=_fixed(base, space.choices),
            tables=tables[0],
            gains=tables[1],
            dropped=tuple(dropped),
            oblique=tables[2],
        ),
    )
    return _in_place(space, grid, asked) if flying else _drawn(space, grid)


def _jointly(space: Space, grid: Grid) -> Grid:
    """The grid with its joint fields, and with the places that take part in them in the core."""
    places = list(grid.places)
    owned = [name for place in places for name in place.sets]
    found = [
        joint_of(space, places, name, tuple(k for k, place in enumerate(places) if name in place.sets))
        for name in sorted({n for n in owned if owned.count(n) > 1})
    ]
    joints = [joint for joint, _ in found]
    if fed := fed_together(space, places):
        feeds, lost = joint_of(space, places, "electronics_power", fed)
        joints.append(replace(feeds, table=feeds.table - grid.power))
        found.append((feeds, lost))
    for k, place in enumerate(places):
        for joint in joints:
            if k in joint.places:
                sets = {n: x for n, x in place.sets.items() if n != joint.field}
                power = np.zeros(place.count) if joint.adds else place.power
                places[k] = place = replace(place, sets=sets, power=power, is_core=True)
    return _without(replace(grid, places=tuple(places), joints=tuple(joints)), [lost for _, lost in found])


def _without(grid: Grid, barred: Sequence[Barred | None]) -> Grid:
    """The grid less what cannot be built together; the places concerned take part in the core."""
    known = [one for one in barred if one is not None]
    concerned = {k for one in known for k in one.places}
    named = [(place.id, place.names) for place in grid.places]
    return replace(
        grid,
        places=tuple(replace(p, is_core=p.is_core or k in concerned) for k, p in enumerate(grid.places)),
        barred=(*grid.barred, *known),
        dropped=tuple(dict.fromkeys((*grid.dropped, *told(known, named)))),
    )


def _left(space: Space, grid: Grid) -> list[list[Part]]:
    """The candidates of each place that the grid has."""
    return [
        [next(p for p in choice.parts if p.name == name) for name in place.names]
        for choice, place in zip(space.choices, grid.places, strict=True)
    ]


def _drawn(space: Space, grid: Grid) -> Grid:
    """The grid less pairs about which the frame cannot be drawn."""
    return _without(grid, [undrawn(space, _left(space, grid))])


def _in_place(space: Space, grid: Grid, asked: set[str]) -> Grid:
    """The grid with all parts in their places; places that motor and propeller move take part in the core."""
    assembly = assembled(space, _left(space, grid))
    grid = _without(grid, [assembly.barred])
    places = [replace(p, is_core=p.is_core or assembly.is_moved(k)) for k, p in enumerate(grid.places)]
    return flyable(replace(grid, places=tuple(places)), assembly, asked)


def _mass_of(placed: PlacedPart) -> float:
    return placed.part.mass.value * placed.count if placed.part.mass else 0.0


def _place(
    base: Craft, choice: Choice, row: PowertrainColumns, mass: float, flying: bool
) -> tuple[Place | None, tuple[Array, Array, Array] | None, list[str]]:
    """Every candidate put on the base craft by itself: what changes in its row is what the place sets."""
    found, lost = [], []
    for part in choice.parts:
        try:
            craft = swapped(base, choice.placed, part)
            found.append((part, next(p for p in craft.parts if p.id == choice.placed.id), *real_row(craft, flying)))
        except CannotCompute as error:
            lost.append(f"{part.name} as {choice.placed.id}: {error}")
    if not found:
        return None, None, lost
    rows = np.concatenate([columns.craft[:1] for _, _, columns, _, _ in found])
    apart = (*ADDED, *OF_SHAPE)
    names = [n for n in CRAFT.names or () if n not in apart and np.any(rows[n] != row.craft[n][0])]
    own = None
    if choice.placed.part.kind == "propeller":
        rows["propeller"] = np.arange(len(found))
        names = list(dict.fromkeys(["propeller", *names]))
        own = tuple(np.concatenate([c.rotors[t] for _, _, c, _, _ in found]) for t in range(3))
    place = Place(
        id=choice.placed.id,
        kind=choice.placed.part.kind,
        names=tuple(part.name for part, *_ in found),
        sets={name: np.ascontiguousarray(rows[name]) for name in names},
        mass=np.array([m - mass for *_, m, _ in found]) + _mass_of(choice.placed),
        power=rows["electronics_power"] - row.craft["electronics_power"][0],
        cost=np.array([cost_of(placed) for _, placed, *_ in found]),
        states=_states([part for part, *_ in found]),
        is_core=bool(set(names) - _OF_THE_REST),
        spin=rows["rotor_inertia"] - row.craft["rotor_inertia"][0],
    )
    return place, own, lost  # type: ignore[return-value]


def _states(parts: Sequence[Part]) -> dict[str, Array]:
    """Numbers that the candidates state, by their names."""
    keys = sorted({name for part in parts for name in vars(part) if not np.isnan(stated(part, name))})
    return {name: np.array([stated(part, name) for part in parts]) for name in keys}


def verified(space: Space, grid: Grid, tries: int = 6) -> None:
    """Build some combinations as real craft; CannotCompute when a row of the grid is not theirs."""
    rng = np.random.default_rng(0)
    for _ in range(tries):
        picked = np.array([int(rng.integers(count)) for count in grid.counts])
        if not grid.possible(picked[None])[0]:
            continue
        real = _real(space, grid, picked)
        mine = _whole_row(grid, picked)
        unlike = {"propeller", *(() if grid.shadows else ("drag_area", "drag_area_top"))}
        for name in CRAFT.names or ():
            if name not in unlike and not np.allclose(real[name][0], mine[name][0], rtol=1e-9, atol=0.0):
                raise CannotCompute(f"{name} does not follow from the places one by one: choose from fewer places")


def _real(space: Space, grid: Grid, picked: NDArray[np.int64]) -> NDArray[np.void]:
    """The row of one combination as a real craft; CannotCompute, with its parts, when it has none."""
    parts = {place.id: place.names[i] for place, i in zip(grid.places, picked, strict=True)}
    try:
        craft = craft_with(space, parts)
        return real_row(craft, grid.moments is not None, grid.shadows is not None)[0].craft
    except CannotCompute as error:
        raise CannotCompute(f"{', '.join(parts.values())} do not go together: {error}") from None


def _whole_row(grid: Grid, picked: NDArray[np.int64]) -> NDArray[np.void]:
    """The row of one combination with everything that the grid knows."""
    view = grid.combos(picked[None])
    rows = (view.flying.craft if grid.shadows else view.rows).copy()
    if grid.moments is not None:
        rows["inertia"] = view.inertia
    return rows


def _fixed(craft: Craft, choices: Sequence[Choice]) -> dict[tuple[str, str], float]:
    """What the parts state that are not chosen, by kind and name."""
    chosen = {choice.placed.id for choice in choices}
    fixed: dict[tuple[str, str], float] = {}
    for placed in craft.parts:
        if placed.id not in chosen:
            for name in vars(placed.part):
                fixed.setdefault((placed.part.kind, name), stated(placed.part, name))
    return fixed
