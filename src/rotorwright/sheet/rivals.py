"""The other part for each place: the best of the shelf that fits, and what it would have cost or gained."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks import all_rules
from rotorwright.checks.run import check_view
from rotorwright.checks.view import CraftView
from rotorwright.columns import drag_areas
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute, InputError
from rotorwright.parts.part import Part
from rotorwright.predict.result import Prediction
from rotorwright.search.fleet import Fleet, fleet_of
from rotorwright.search.measures import MEASURES, Measure, unpriced
from rotorwright.search.swap import FindingsChange, SwapRow, difference, verdict
from rotorwright.search.swapped import candidates, own_shelf, swapped, unweighed

__all__ = ["ARGUED", "Rival", "rivals"]

Array = NDArray[np.float64]

ARGUED = (
    "motor",
    "propeller",
    "battery",
    "speed-controller",
    "flight-controller",
    "receiver",
    "video-transmitter",
    "camera",
    "recording-camera",
)
"""Kinds of part whose choice is argued: what a builder weighs against each other."""

# A rival lifts at least this share of what the craft lifts, weighs at most that much, and overloads neither the
# controller nor the pack unless they are so now: beyond, it is another craft. Judgement, no source.
_LIFT, _HEAVIER, _SLACK = 0.75, 1.15, 0.02
# So many are looked at, best first, for one that brings no new stop.
_TRIED = 8
# A drawn frame is drawn anew about these only.
_DRAWN_ABOUT = ("motor", "propeller")
# Rules about the strength of the arms take long, and say little about which part is better.
_SLOW_FAMILY = "arms"


# Name, the craft with it, the findings it brings and ends, and how many were tried.
_Pick: TypeAlias = tuple[str, Craft, FindingsChange, int]


@dataclass(frozen=True, slots=True)
class Rival:
    """The other part for one place, best by `goal` of the `compared` others on the shelf that fit.

    Where the `tried` best in reach each bring a stop it is the one with the fewest; `row` is None when none is in
    reach.
    """

    place: str
    goal: str
    compared: int
    tried: int
    row: SwapRow | None


@dataclass(frozen=True)
class _Pool:
    """The others for one place, and the craft with each of them in it, its frame as it is."""

    placed: PlacedPart
    parts: tuple[Part, ...]
    craft: tuple[Craft, ...]


def rivals(craft: Craft, samples: int = 32, seed: int = 0) -> tuple[Rival, ...]:
    """A rival for each argued part of `craft`; places without another part on the shelf are left out.

    One batch without bounds ranks them all, a second with `samples` holds the craft and its rivals. Raises
    CannotCompute when the craft does not hover.
    """
    base = unweighed(craft)
    pools = _pools(_frozen(base))
    goal, ranked = _ranked(base, pools)
    before = _found(base, None)
    chosen = [_fitting(base, pool, order, before) for pool, order in zip(pools, ranked, strict=True)]
    rows = iter(_rows(fleet_of([base, *(pick[1] for pick in chosen if pick)], samples, seed)))
    found = []
    for pool, pick in zip(pools, chosen, strict=True):
        row = replace(next(rows), part=pick[0], findings=pick[2]) if pick else None
        found.append(Rival(pool.placed.id, goal.name, len(pool.parts), pick[3] if pick else 0, row))
    return tuple(found)


def _frozen(craft: Craft) -> Craft:
    """`craft` with its drawn pieces as they are and its drag areas stated: ranking its rivals need not draw them."""
    ahead, above = drag_areas(craft)
    frame = replace(craft.frame, arm=None, cage=None, deck=(), standoff=(), printed=(), imported=())
    flight = replace(craft.flight, drag_area=ahead, drag_area_top=above)
    return replace(craft, frame=frame, flight=flight)


def _pools(base: Craft) -> list[_Pool]:
    try:
        shelf = own_shelf(base)
    except InputError:
        return []
    pools = []
    for placed in base.parts:
        if placed.part.kind not in ARGUED or placed.key[:1] == ("frame",):
            continue
        parts = candidates(shelf, type(placed.part), placed.part.name)
        if parts:
            pools.append(_Pool(placed, tuple(parts), tuple(swapped(base, placed, part) for part in parts)))
    return pools


def _ranked(base: Craft, pools: Sequence[_Pool]) -> tuple[Measure, list[list[int]]]:
    """The measure to rank by, and for each pool its parts in reach, best first."""
    fleet = fleet_of([_frozen(base), *(one for pool in pools for one in pool.craft)])
    known = [MEASURES[name] for name in ("flight-time", "hover-time")]
    goal = next((m for m in known if np.isfinite(m.values(fleet)[0, 0])), None)
    if goal is None:
        raise CannotCompute(fleet.reasons[0] or "the craft does not hover")
    value = goal.better * goal.values(fleet)[:, 0]
    near = np.isfinite(value) & (fleet.masses[:, 0] <= _HEAVIER * fleet.masses[0, 0])
    for name, least in (("thrust-to-weight", _LIFT), ("controller-room", 0.0), ("pack-room", 0.0)):
        found = np.broadcast_to(MEASURES[name].values(fleet), fleet.masses.shape)[:, 0]
        near &= ~(found < min(found[0] - _SLACK, least * found[0]))  # what is not known passes
    ranked, start = [], 1
    for pool in pools:
        inside = [k for k in range(len(pool.parts)) if near[start + k]]
        ranked.append(sorted(inside, key=lambda k: -float(value[start + k])))
        start += len(pool.parts)
    return goal, ranked


def _fitting(base: Craft, pool: _Pool, order: Sequence[int], before: dict[str, bool]) -> _Pick | None:
    """The first of a pool that brings no new stop, or the one with the fewest."""
    kind = pool.placed.part.kind
    codes = {rule.code for rule in all_rules().values() if kind in rule.reads}
    best: _Pick | None = None
    for tried, k in enumerate(order[:_TRIED], 1):
        try:
            one = swapped(base, _same(base, pool.placed), pool.parts[k]) if kind in _DRAWN_ABOUT else pool.craft[k]
        except CannotCompute:
            continue
        change = _change(before, _found(one, codes), codes)
        if best is None or change.stops < best[2].stops:
            best = (pool.parts[k].name, _thawed(one, base), change, tried)
        if not change.stops:
            break
    return best and (*best[:3], tried)


def _same(craft: Craft, placed: PlacedPart) -> PlacedPart:
    return next(one for one in craft.parts if one.id == placed.id and one.key == placed.key)


def _thawed(one: Craft, base: Craft) -> Craft:
    """A craft of a pool with the shadow it casts itself."""
    own = base.flight
    return replace(one, flight=replace(one.flight, drag_area=own.drag_area, drag_area_top=own.drag_area_top))


def _found(craft: Craft, codes: set[str] | None) -> dict[str, bool]:
    """Findings as `code (part)`, and whether each is a stop that nobody waived; of all quick rules, or of `codes`."""
    rules = all_rules()
    quick = {c for c in codes or rules if rules[c].check.__module__.rpartition(".")[2] != _SLOW_FAMILY}
    found: dict[str, bool] = {}
    for finding in check_view(CraftView(craft, 0), quick).findings:
        name = f"{finding.code} ({finding.where.part})"
        found[name] = found.get(name, False) or (finding.severity == "stop" and finding.waived is None)
    return found


def _change(before: dict[str, bool], after: dict[str, bool], codes: set[str]) -> FindingsChange:
    asked = {name: stop for name, stop in before.items() if name.partition(" ")[0] in codes}
    stops = sum(1 for name, stop in after.items() if stop and not asked.get(name))
    return FindingsChange(tuple(sorted(set(after) - set(asked))), tuple(sorted(set(asked) - set(after))), stops)


def _rows(fleet: Fleet) -> list[SwapRow]:
    """Every craft of the fleet beside its first."""
    values = {name: measure.values(fleet).copy() for name, measure in MEASURES.items()}
    for k, one in enumerate(fleet.craft):
        if unpriced(one) != unpriced(fleet.craft[0]):
            values["cost"][k] = np.nan
    return [_row(k, values, fleet.reasons[k]) for k in range(1, len(fleet.craft))]


def _row(k: int, values: dict[str, Array], reason: str) -> SwapRow:
    said = {name: Prediction.of(rows[k], MEASURES[name].unit) for name, rows in values.items()}
    changes = {name: difference(rows[0], rows[k], MEASURES[name].unit) for name, rows in values.items()}
    verdicts = {name: verdict(change, MEASURES[name].better) for name, change in changes.items()}
    return SwapRow("", said, changes, verdicts, None, reason or None)
