"""What changed between two craft, and what each change did.

The effect of a change is the mean of what it does alone to the first craft and of what is lost when it alone is taken
from the second. Where changes act on each other in pairs only, that is their mean over all orders (the Shapley
value); what three or more do together is left over and is shown as such.
"""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from rotorwright.craft.model import Craft, Place, PlacedPart
from rotorwright.craft.tables import WireRun
from rotorwright.errors import CannotCompute
from rotorwright.predict.result import Prediction
from rotorwright.search.fleet import Fleet, fleet_of
from rotorwright.search.measures import MEASURES, Measure, unpriced
from rotorwright.search.swap import FindingsChange, difference, findings_between, verdict
from rotorwright.search.swapped import loosened, settled, unweighed

__all__ = ["COMPARED", "Change", "Comparison", "compare", "named"]

Array = NDArray[np.float64]
Slot = tuple[str, int]

COMPARED = ("weight", "flight-time", "hover-time", "thrust-to-weight", "roll", "pitch", "current", "cost")
"""Measures that are attributed to single changes."""

# Differences below this share of the value are sums in another order.
_ROUNDING = 1e-9

_TOGETHER = "in combination"
_WEIGHING = "whole-craft weighing"


@dataclass(frozen=True, slots=True)
class Change:
    """One change in words and what it did by measure; `why` is the reason the second craft's file gives."""

    place: str
    what: str
    why: str
    effects: Mapping[str, Prediction]
    verdict: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two craft side by side: values of each, differences, and the changes that made them, heaviest first."""

    before: str
    after: str
    values_before: Mapping[str, Prediction]
    values_after: Mapping[str, Prediction]
    differences: Mapping[str, Prediction]
    verdict: Mapping[str, str]
    changes: tuple[Change, ...]
    findings: FindingsChange
    samples: int


@dataclass(frozen=True, slots=True)
class _Step:
    """One change that can be applied by itself: slots of parts, or tables of the craft."""

    place: str
    what: str
    why: str = ""
    slot: Slot | None = None
    tables: tuple[str, ...] = ()


def named(craft: Craft) -> str:
    """Name and version."""
    return craft.title.full


def compare(before: Craft, after: Craft, samples: int = 64, seed: int = 0) -> Comparison:
    """What changed from `before` to `after`, attributed change by change on common samples.

    Hybrids carry no whole-craft weighing, for nobody weighed them; what weighings change is a line of its own.
    """
    steps = list(_steps(before, after))
    a, b = (loosened(unweighed(one)) for one in (before, after))
    everything = range(len(steps))
    crafts = [before, after, unweighed(before), unweighed(after)]
    crafts += [_built(a, b, steps, {k}) for k in everything]
    crafts += [_built(a, b, steps, set(everything) - {k}) for k in everything]
    fleet = fleet_of(crafts, samples, seed)
    values = {name: _values(fleet, MEASURES[name]) for name in COMPARED}
    n = len(steps)
    alone = {k for k in everything if not (crafts[4 + k].parts and crafts[4 + n + k].parts)}
    effects = _effects(values, n, alone)
    changes = [_change(step, {n: effects[n][k] for n in COMPARED}) for k, step in enumerate(steps)]
    changes.sort(key=lambda change: -abs(change.effects["weight"].value or 0.0))
    for k, name in ((len(steps), _TOGETHER), (len(steps) + 1, _WEIGHING)):
        rest = {n: effects[n][k] for n in COMPARED}
        if any(np.any(x != 0.0) for x in rest.values()):
            changes.append(_change(_Step(name, ""), rest))
    totals = {n: difference(v[0], v[1], MEASURES[n].unit) for n, v in values.items()}
    return Comparison(
        before=named(before),
        after=named(after),
        values_before={n: Prediction.of(v[0], MEASURES[n].unit) for n, v in values.items()},
        values_after={n: Prediction.of(v[1], MEASURES[n].unit) for n, v in values.items()},
        differences=totals,
        verdict={n: verdict(d, MEASURES[n].better) for n, d in totals.items()},
        changes=tuple(changes),
        findings=findings_between(before, [after], None)[0],
        samples=samples,
    )


def _values(fleet: Fleet, measure: Measure) -> Array:
    values = measure.values(fleet).copy()
    if measure.name == "cost":
        for k, one in enumerate(fleet.craft):
            if unpriced(one) != unpriced(fleet.craft[0]):
                values[k] = np.nan
    return values


def _effects(values: Mapping[str, Array], n: int, alone: Collection[int]) -> dict[str, list[Array]]:
    """For each measure the effect of every step, then what is left in combination, then that of the weighings.

    Steps `alone` cannot be made without the others: they have no effect of their own, theirs is part of the rest.
    """
    found = {}
    for name, v in values.items():
        a, b = v[2], v[3]
        single = [0.5 * ((v[4 + k] - a) + (b - v[4 + n + k])) for k in range(n)]
        for k in alone:
            single[k] = np.full_like(a, np.nan)
        made = [effect for k, effect in enumerate(single) if k not in alone]
        rest = (b - a) - (np.sum(made, axis=0) if made else 0.0)
        steps = [*single, rest, (v[1] - v[0]) - (b - a)]
        found[name] = [np.where(np.abs(x) < _ROUNDING * np.abs(a), 0.0, x) for x in steps]  # NaN stays NaN
    return found


def _change(step: _Step, effects: Mapping[str, Array]) -> Change:
    said = {n: Prediction.of(x, MEASURES[n].unit) for n, x in effects.items()}
    return Change(step.place, step.what, step.why, said, {n: verdict(p, MEASURES[n].better) for n, p in said.items()})


def _slots(craft: Craft) -> dict[Slot, PlacedPart]:
    """Parts by their id and, where an id stands more than once, by how often it stood before."""
    seen: Counter[str] = Counter()
    slots = {}
    for placed in craft.parts:
        slots[placed.id, seen[placed.id]] = placed
        seen[placed.id] += 1
    return slots


def _built(before: Craft, after: Craft, steps: Sequence[_Step], applied: set[int]) -> Craft:
    """`before` with some of the steps to `after`; both loosened. A craft without parts when it cannot be built."""
    parts, new = _slots(before), _slots(after)
    craft = before
    for k in sorted(applied):
        step = steps[k]
        if step.slot is None:
            craft = replace(craft, **{name: getattr(after, name) for name in step.tables})
        elif step.slot in new:
            parts[step.slot] = new[step.slot]
        else:
            parts.pop(step.slot, None)
    try:
        return settled(replace(craft, parts=tuple(parts.values())))
    except CannotCompute:
        return replace(craft, parts=())


def _steps(before: Craft, after: Craft) -> Iterator[_Step]:
    """Every change, part by part, then tables."""
    a, b = (_slots(loosened(one)) for one in (before, after))
    for slot in dict.fromkeys((*a, *b)):
        old, new = a.get(slot), b.get(slot)
        if new is None and old is not None:
            yield _Step(slot[0], f"without {_pieces(old)}", slot=slot)
        elif old is None and new is not None:
            yield _Step(slot[0], f"{_pieces(new)} added", new.why, slot)
        elif old is not None and new is not None and (what := ", ".join(_differences(old, new))):
            yield _Step(slot[0], what, new.why, slot)
    if runs := _wiring(before.wires, after.wires):
        yield _Step("wiring", "; ".join(runs), tables=("wires",))
    for name in ("site", "flight"):
        if changed := _keys(getattr(before, name), getattr(after, name)):
            yield _Step(f"[{name}]", ", ".join(changed), tables=(name,))
    if changed := _keys(before.frame, after.frame):
        yield _Step("[frame]", ", ".join(changed), tables=("frame", "motors"))


def _pieces(placed: PlacedPart) -> str:
    return placed.part.name if placed.count in (0, 1) else f"{placed.count} {placed.part.name}"


def _differences(old: PlacedPart, new: PlacedPart) -> Iterator[str]:
    if old.part.name != new.part.name:
        yield f"{new.part.name} instead of {old.part.name}"
    elif old.part != new.part:
        yield f"{old.part.name} with other {', '.join(_keys(old.part, new.part))}"
    if old.count != new.count:
        yield f"{new.count} instead of {old.count}"
    if old.places != new.places:
        yield _moved(old.places, new.places)
    for key, word in (("role", "role"), ("fed_from", "fed from"), ("set_power", "set power")):
        if getattr(old, key) != getattr(new, key):
            yield f"{word} {getattr(new, key) or 'not given'} instead of {getattr(old, key) or 'not given'}"


def _moved(old: tuple[Place, ...], new: tuple[Place, ...]) -> str:
    if len(old) != 1 or len(new) != 1:
        return "placed otherwise"
    ways = (("x", "forward", "back"), ("y", "left", "right"), ("z", "up", "down"))
    steps = [(1e3 * (getattr(new[0], k) - getattr(old[0], k)), up, down) for k, up, down in ways]
    moved = [f"{abs(mm):.3g} mm {up if mm > 0 else down}" for mm, up, down in steps if abs(mm) > 1e-6]
    return " and ".join(moved) if moved else "turned"


def _keys(old: object, new: object) -> list[str]:
    """Names of the fields in which two records of one kind differ."""
    if type(old) is not type(new):
        return ["kind"]
    names = [f.name for f in fields(old)]  # type: ignore[arg-type]
    return [name for name in names if getattr(old, name) != getattr(new, name)]


def _wiring(old: Sequence[WireRun], new: Sequence[WireRun]) -> list[str]:
    a, b = ({(run.from_, run.to): run for run in runs} for runs in (old, new))
    lines = []
    for ends in dict.fromkeys((*a, *b)):
        name = f"{ends[0]} to {ends[1]}"
        if ends not in b:
            lines.append(f"without {name}")
        elif ends not in a:
            lines.append(f"{name} added")
        elif changed := [k for k in _keys(a[ends], b[ends]) if k not in ("note", "colour")]:
            lines.append(f"{name}: other {', '.join(changed)}")
    return lines
