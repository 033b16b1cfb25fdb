"""The other part for each place: the best of the shelf that fits, and what it would have cost or gained."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks import all_rules
from rotorwright.checks.rule import Rule
from rotorwright.checks.run import check_view
from rotorwright.checks.view import CraftView
from rotorwright.columns import drag_areas
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute, InputError
from rotorwright.parts.part import Part
from rotorwright.predict.result import Prediction
from rotorwright.search.fleet import Fleet, fleet_of
from rotorwright.search.measures import Measure, unpriced
from rotorwright.search.swap import FindingsChange, SwapRow, difference, verdict
from rotorwright.search.swapped import candidates, own_shelf, swapped, unweighed
from rotorwright.sheet.own_measures import GOALS, KNOWN

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
_TRIED = 12
# Rules about the strength of the arms take long: they are asked where they read the part, not for its grams alone.
_SLOW_FAMILY = "arms"
_SCREENS = (("thrust-to-weight", _LIFT), ("controller-room", 0.0), ("pack-room", 0.0))
_SORTING = {"hover-time", *(name for name, _ in _SCREENS), *(name for names in GOALS.values() for name in names)}
# Values are compared to as many decimals of the present one: the rest is the solver's last digits.
_DIGITS = 6


@dataclass(frozen=True, slots=True)
class _Pick:
    """A part, the craft with it, what it changes in the findings, the stops it brings, and how many were tried."""

    name: str
    craft: Craft
    change: FindingsChange
    stops: tuple[str, ...]
    tried: int


@dataclass(frozen=True, slots=True)
class Rival:
    """The other part for one place, best by `goal` of the `compared` others on the shelf that fit.

    Where the `tried` best in reach each bring a stop it is the one with the fewest, and `stops` are their codes;
    `row` is None when none is in reach.
    """

    place: str
    goal: str
    compared: int
    tried: int
    stops: tuple[str, ...]
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
    ranked = _ranked(base, pools)
    before = _found(base, set(all_rules()))
    chosen = [_fitting(base, pool, order, before) for pool, (_, order) in zip(pools, ranked, strict=True)]
    rows = iter(_rows(fleet_of([base, *(pick.craft for pick in chosen if pick)], samples, seed)))
    found = []
    for pool, (goal, _), pick in zip(pools, ranked, chosen, strict=True):
        row = replace(next(rows), part=pick.name, findings=pick.change) if pick else None
        tried, stops = (pick.tried, pick.stops) if pick else (0, ())
        found.append(Rival(pool.placed.id, goal, len(pool.parts), tried, stops, row))
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


def _ranked(base: Craft, pools: Sequence[_Pool]) -> list[tuple[str, list[int]]]:
    """For each pool the measure it is ranked by, and its parts in reach, best first."""
    fleet = fleet_of([_frozen(base), *(one for pool in pools for one in pool.craft)])
    values = _values(fleet, {name: KNOWN[name] for name in _SORTING})
    if not any(np.isfinite(values[name][0, 0]) for name in GOALS["motor"]):
        raise CannotCompute(fleet.reasons[0] or "the craft does not hover")
    near = np.isfinite(values["hover-time"][:, 0]) & (fleet.masses[:, 0] <= _HEAVIER * fleet.masses[0, 0])
    for name, least in _SCREENS:
        found = np.broadcast_to(values[name], fleet.masses.shape)[:, 0]
        near &= ~(found < min(found[0] - _SLACK, least * found[0]))  # what is not known passes
    ranked, start = [], 1
    for pool in pools:
        goals = [name for name in GOALS[pool.placed.part.kind] if np.isfinite(values[name][0, 0])] or ["weight"]
        keys = [_key(values, goals, start + k) for k in range(len(pool.parts))]
        inside = [k for k in range(len(pool.parts)) if near[start + k] and np.isfinite(keys[k][0])]
        ranked.append((goals[0], sorted(inside, key=lambda k, keys=keys: keys[k])))  # type: ignore[misc]
        start += len(pool.parts)
    return ranked


def _key(values: dict[str, Array], goals: Sequence[str], k: int) -> tuple[float, ...]:
    """What sorts a part, best first: each goal as a multiple of the present value, less its last digits."""
    return tuple(
        -KNOWN[name].better * round(float(values[name][k, 0] / (abs(values[name][0, 0]) or 1.0)), _DIGITS)
        if np.isfinite(values[name][k, 0])
        else np.inf
        for name in goals
    )


def _fitting(base: Craft, pool: _Pool, order: Sequence[int], before: dict[str, bool]) -> _Pick | None:
    """The first of a pool that brings no new stop on the craft as it is, or the one with the fewest."""
    kind = pool.placed.part.kind
    rules = all_rules()
    reading = {rule.code for rule in rules.values() if kind in rule.reads}
    every = reading | {code for code, rule in rules.items() if not _slow(rule)}
    first = {code for code in reading if not _slow(rules[code])}
    best: _Pick | None = None
    for tried, k in enumerate(order[:_TRIED], 1):
        try:
            one = swapped(base, _same(base, pool.placed), pool.parts[k])
        except CannotCompute:
            continue
        change, stops = _change(before, _found(one, first), first)
        if not stops:
            change, stops = _change(before, _found(one, every), every)
        if best is None or len(stops) < len(best.stops):
            best = _Pick(pool.parts[k].name, one, change, stops, tried)
        if not stops:
            return best
    return best and replace(best, tried=min(len(order), _TRIED))


def _same(craft: Craft, placed: PlacedPart) -> PlacedPart:
    return next(one for one in craft.parts if one.id == placed.id and one.key == placed.key)


def _slow(rule: Rule) -> bool:
    return rule.check.__module__.rpartition(".")[2] == _SLOW_FAMILY


def _found(craft: Craft, codes: set[str]) -> dict[str, bool]:
    """Findings of the rules `codes` as `code (part)`, and whether each is a stop that nobody waived."""
    found: dict[str, bool] = {}
    for finding in check_view(CraftView(craft, 0), codes).findings:
        name = f"{finding.code} ({finding.where.part})"
        found[name] = found.get(name, False) or (finding.severity == "stop" and finding.waived is None)
    return found


def _change(
    before: dict[str, bool], after: dict[str, bool], codes: set[str]
) -> tuple[FindingsChange, tuple[str, ...]]:
    """What is found anew and no more, and the codes of the stops among the new."""
    asked = {name: stop for name, stop in before.items() if name.partition(" ")[0] in codes}
    stops = [name for name, stop in after.items() if stop and not asked.get(name)]
    brought, ended = tuple(sorted(set(after) - set(asked))), tuple(sorted(set(asked) - set(after)))
    return FindingsChange(brought, ended, len(stops)), tuple(dict.fromkeys(one.partition(" ")[0] for one in stops))


def _values(fleet: Fleet, measures: Mapping[str, Measure]) -> dict[str, Array]:
    """Every measure over the fleet; no cost where not the same parts have a price."""
    values = {name: np.array(measure.values(fleet)) for name, measure in measures.items()}
    for k, one in enumerate(fleet.craft):
        if unpriced(one) != unpriced(fleet.craft[0]):
            values["cost"][k] = np.nan
    return values


def _rows(fleet: Fleet) -> list[SwapRow]:
    """Every craft of the fleet beside its first."""
    values = _values(fleet, KNOWN)
    return [_row(k, values, fleet.reasons[k]) for k in range(1, len(fleet.craft))]


def _row(k: int, values: dict[str, Array], reason: str) -> SwapRow:
    said = {name: Prediction.of(rows[k], KNOWN[name].unit) for name, rows in values.items()}
    changes = {name: difference(rows[0], rows[k], KNOWN[name].unit) for name, rows in values.items()}
    verdicts = {name: verdict(change, KNOWN[name].better) for name, change in changes.items()}
    return SwapRow("", said, changes, verdicts, None, reason or None)
