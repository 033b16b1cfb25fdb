"""From a space to its arrays, through real craft: each candidate is put on the base craft and its row is read."""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws, PowertrainColumns, mass_columns, powertrain_columns
from rotorwright.columns.powertrain import electronics_draw
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute, InputError, Problem
from rotorwright.parts.part import Part
from rotorwright.physics.rows import CRAFT
from rotorwright.predict.report import site_air
from rotorwright.search.fleet import cost_of, stated
from rotorwright.search.grid import ADDED, Grid, Joint, Place
from rotorwright.search.space import Choice, Space
from rotorwright.search.swapped import swapped

__all__ = ["grid_of", "verified"]

Array = NDArray[np.float64]

# Sizes by which motor, propeller and arm decide how much of its thrust an arm takes from a rotor.
_SIZES = ("diameter", "height", "hub_height", "hub_diameter", "width", "thickness", "outer_diameter")
# Fields by which a part draws power or hands it on.
_FEEDS = ("cells", "outputs", "power", "idle_power", "current", "levels", "supply_at", "own_battery")
# Real craft that are built for one joint field.
_MOST_JOINT = 8000


def grid_of(space: Space) -> Grid:
    """The arrays of a space; InputError when a place has no candidate left that can be computed.

    Raises CannotCompute when two places set the same field of the row.
    """
    base = space.craft
    row, mass, cost = _solved_row(base)
    places, tables, gains, dropped = [], row.tables, row.gains, []
    for choice in space.choices:
        place, own, lost = _place(base, choice, row, mass)
        dropped += lost
        if place is None:
            what = f"no candidate for '{choice.placed.id}' can be computed: {lost[0]}"
            raise InputError(Problem(what, "Give what is missing.", "", space.file))
        if own is not None:
            tables, gains = own
        places.append(place)
    owned = [name for place in places for name in place.sets]
    joints = [
        _joint(space, places, name, tuple(k for k, place in enumerate(places) if name in place.sets))
        for name in sorted({n for n in owned if owned.count(n) > 1})
    ]
    if fed := _feed_together(space, places):
        feeds = _joint(space, places, "electronics_power", fed)
        joints.append(replace(feeds, table=feeds.table - float(row.craft["electronics_power"][0])))
    for k, place in enumerate(places):
        for joint in joints:
            if k in joint.places:
                sets = {n: x for n, x in place.sets.items() if n != joint.field}
                power = np.zeros(place.count) if joint.adds else place.power
                places[k] = place = replace(place, sets=sets, power=power, is_core=True)
    own_cost = sum(cost_of(c.placed) if c.placed.part.price is not None else 0.0 for c in space.choices)
    return Grid(
        places=tuple(places),
        joints=tuple(joints),
        base=row.craft[:1].copy(),
        mass=mass - sum(_mass_of(c.placed) for c in space.choices),
        power=float(row.craft["electronics_power"][0]),
        cost=cost - own_cost,
        fixed=_fixed(base, space.choices),
        tables=tables,
        gains=gains,
        dropped=tuple(dropped),
    )


def _mass_of(placed: PlacedPart) -> float:
    return placed.part.mass.value * placed.count if placed.part.mass else 0.0


def _solved_row(craft: Craft) -> tuple[PowertrainColumns, float, float]:
    draws = Draws(0)
    mass = mass_columns(craft, draws).total()
    columns = powertrain_columns(craft, mass, site_air(craft), draws)
    return columns, float(mass[0]), float(np.nansum([cost_of(p) for p in craft.parts]))


def _place(
    base: Craft, choice: Choice, row: PowertrainColumns, mass: float
) -> tuple[Place | None, tuple[Array, Array] | None, list[str]]:
    """Every candidate put on the base craft by itself: what changes in its row is what the place sets."""
    found, lost = [], []
    for part in choice.parts:
        try:
            craft = swapped(base, choice.placed, part)
            found.append((part, next(p for p in craft.parts if p.id == choice.placed.id), *_solved_row(craft)))
        except CannotCompute as error:
            lost.append(f"{part.name}: {error}")
    if not found:
        return None, None, lost
    rows = np.concatenate([columns.craft[:1] for _, _, columns, _, _ in found])
    names = [n for n in CRAFT.names or () if n not in ADDED and np.any(rows[n] != row.craft[n][0])]
    own = None
    if choice.placed.part.kind == "propeller":
        rows["propeller"] = np.arange(len(found))
        names = list(dict.fromkeys(["propeller", *names]))
        own = tuple(np.concatenate([getattr(c, t) for _, _, c, _, _ in found]) for t in ("tables", "gains"))
    parts = [part for part, *_ in found]
    keys = sorted({name for part in parts for name in vars(part) if not np.isnan(stated(part, name))})
    place = Place(
        id=choice.placed.id,
        kind=choice.placed.part.kind,
        names=tuple(part.name for part in parts),
        sets={name: np.ascontiguousarray(rows[name]) for name in names},
        mass=np.array([m - mass for *_, m, _ in found]) + _mass_of(choice.placed),
        power=rows["electronics_power"] - row.craft["electronics_power"][0],
        cost=np.array([cost_of(placed) for _, placed, *_ in found]),
        states={name: np.array([stated(part, name) for part in parts]) for name in keys},
        is_core=bool(set(names) - {"controller_resistance"}),
    )
    return place, own, lost  # type: ignore[return-value]


def _feed_together(space: Space, places: Sequence[Place]) -> tuple[int, ...]:
    """Places whose draws do not simply add up, as a linear regulator's loss goes with the pack's voltage."""
    together: set[int] = set()
    for k, one in enumerate(space.choices):
        for m, other in enumerate(space.choices[:k]):
            for a in _kinds_of_draw(one, places[k]):
                for b in _kinds_of_draw(other, places[m]):
                    craft = swapped(space.craft, one.placed, a)
                    craft = swapped(craft, next(p for p in craft.parts if p.id == other.placed.id), b)
                    i, j = places[k].names.index(a.name), places[m].names.index(b.name)
                    added = _draw(space.craft) + places[k].power[i] + places[m].power[j]
                    if abs(_draw(craft) - added) > 1e-12 * abs(added):
                        together |= {k, m}
    return tuple(sorted(together))


def _draw(craft: Craft) -> float:
    return sum(power.value for _, power in electronics_draw(craft))


def _kinds_of_draw(choice: Choice, place: Place) -> list[Part]:
    """One candidate of each way to draw or to hand on power."""
    found = {_sign(part, "electronics_power"): part for part in choice.parts if part.name in place.names}
    return list(found.values()) if len(found) > 1 else []


def _joint(space: Space, places: Sequence[Place], field: str, own: tuple[int, ...]) -> Joint:
    """A field that several places decide, from a real craft for every combination of classes of their candidates."""
    parts = [{part.name: part for part in space.choices[k].parts} for k in own]
    signs = [[_sign(parts[i][name], field) for name in places[k].names] for i, k in enumerate(own)]
    kinds = [sorted(set(sign), key=sign.index) for sign in signs]
    classes = tuple(np.array([kind.index(x) for x in sign]) for kind, sign in zip(kinds, signs, strict=True))
    shape = tuple(len(kind) for kind in kinds)
    if math.prod(shape) > _MOST_JOINT:
        named = " and ".join(places[k].id for k in own)
        raise CannotCompute(f"{named} decide {field} together, in {math.prod(shape)} ways: choose from fewer of them")
    table = np.empty(shape)
    for at in np.ndindex(shape):
        craft = space.craft
        for i, k in enumerate(own):
            name = places[k].names[signs[i].index(kinds[i][at[i]])]
            craft = swapped(craft, next(p for p in craft.parts if p.id == places[k].id), parts[i][name])
        table[at] = _solved_row(craft)[0].craft[field][0]
    return Joint(field, own, classes, table)


def _sign(part: Part, field: str) -> str:
    """What of a part takes part in a joint field: its feeds, or its sizes where a rotor's wake meets an arm."""
    if field == "electronics_power":
        return repr([getattr(part, name, None) for name in _FEEDS])
    if field != "thrust_level" or getattr(part, "bench", None):
        return part.name
    return repr([(name, stated(part, name)) for name in _SIZES] + [getattr(part, "section", "")])


def verified(space: Space, grid: Grid, tries: int = 6) -> None:
    """Build some combinations as real craft; CannotCompute when a row of the grid is not theirs."""
    rng = np.random.default_rng(0)
    for _ in range(tries):
        picked = [int(rng.integers(count)) for count in grid.counts]
        craft = space.craft
        for place, choice, i in zip(grid.places, space.choices, picked, strict=True):
            part = next(p for p in choice.parts if p.name == place.names[i])
            craft = swapped(craft, next(p for p in craft.parts if p.id == place.id), part)
        real = _solved_row(craft)[0].craft
        mine = grid.combos(np.array([picked])).rows
        for name in CRAFT.names or ():
            if name != "propeller" and not np.allclose(real[name][0], mine[name][0], rtol=1e-9, atol=0.0):
                raise CannotCompute(f"{name} does not follow from the places one by one: choose from fewer places")


def _fixed(craft: Craft, choices: Sequence[Choice]) -> dict[tuple[str, str], float]:
    """What the parts state that are not chosen, by kind and name."""
    chosen = {choice.placed.id for choice in choices}
    fixed: dict[tuple[str, str], float] = {}
    for placed in craft.parts:
        if placed.id not in chosen:
            for name in vars(placed.part):
                fixed.setdefault((placed.part.kind, name), stated(placed.part, name))
    return fixed
