"""Fields of the row that several places decide together, tabulated from real craft."""

import math
from collections.abc import Sequence

import numpy as np

from rotorwright.columns.powertrain import electronics_draw
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.parts.part import Part
from rotorwright.search.barred import Barred, barred_by
from rotorwright.search.fleet import stated
from rotorwright.search.grid import Joint, Place
from rotorwright.search.real_row import real_row
from rotorwright.search.space import Choice, Space
from rotorwright.search.swapped import swapped

__all__ = ["fed_together", "joint_of"]

# Sizes by which motor, propeller and arm decide how much of its thrust an arm takes from a rotor.
_SIZES = ("diameter", "height", "hub_height", "hub_diameter", "width", "thickness", "outer_diameter")
# Fields by which a part draws power or hands it on.
_FEEDS = ("cells", "outputs", "power", "idle_power", "current", "levels", "supply_at", "own_battery")
# Real craft that are built for one joint field.
_MOST_JOINT = 8000


def fed_together(space: Space, places: Sequence[Place]) -> tuple[int, ...]:
    """Places whose draws do not simply add up, as a linear regulator's loss goes with the pack's voltage."""
    together: set[int] = set()
    for k, one in enumerate(space.choices):
        for m, other in enumerate(space.choices[:k]):
            for a in _kinds_of_draw(one, places[k]):
                for b in _kinds_of_draw(other, places[m]):
                    try:
                        craft = swapped(space.craft, one.placed, a)
                        craft = swapped(craft, next(p for p in craft.parts if p.id == other.placed.id), b)
                    except CannotCompute:  # such a pair is left out
                        continue
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


def joint_of(space: Space, places: Sequence[Place], field: str, own: tuple[int, ...]) -> tuple[Joint, Barred | None]:
    """A field that several places decide, from a real craft for every combination of classes of their candidates.

    Beside it what cannot be built or computed together; in the table of the field the least of all others stands for
    it. Raises CannotCompute when nothing can.
    """
    parts = [{part.name: part for part in space.choices[k].parts} for k in own]
    signs = [[_sign(parts[i][name], field) for name in places[k].names] for i, k in enumerate(own)]
    kinds = [sorted(set(sign), key=sign.index) for sign in signs]
    classes = tuple(np.array([kind.index(x) for x in sign]) for kind, sign in zip(kinds, signs, strict=True))
    shape = tuple(len(kind) for kind in kinds)
    if math.prod(shape) > _MOST_JOINT:
        named = " and ".join(places[k].id for k in own)
        raise CannotCompute(f"{named} decide {field} together, in {math.prod(shape)} ways: choose from fewer of them")
    table, reasons = np.full(shape, np.nan), dict[tuple[int, ...], str]()
    for at in np.ndindex(shape):
        craft = space.craft
        try:
            for i, k in enumerate(own):
                name = places[k].names[signs[i].index(kinds[i][at[i]])]
                craft = swapped(craft, next(p for p in craft.parts if p.id == places[k].id), parts[i][name])
            table[at] = real_row(craft, False)[0].craft[field][0]
        except CannotCompute as error:
            reasons[at] = str(error)
    if len(reasons) == table.size:
        named = " and ".join(places[k].id for k in own)
        raise CannotCompute(f"no candidates for {named} go together: {reasons[(0,) * len(own)]}")
    barred = barred_by(own, classes, reasons) if reasons else None
    return Joint(field, own, classes, np.where(np.isnan(table), np.nanmin(table), table)), barred


def _sign(part: Part, field: str) -> str:
    """What of a part takes part in a joint field: its feeds, or its sizes where a rotor's wake meets an arm."""
    if field == "electronics_power":
        return repr([getattr(part, name, None) for name in _FEEDS])
    if field != "thrust_level" or getattr(part, "bench", None):
        return part.name
    return repr([(name, stated(part, name)) for name in _SIZES] + [getattr(part, "section", "")])
