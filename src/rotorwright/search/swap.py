"""What would the other part have cost or gained: every candidate in the place of one part, as differences."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks import all_rules
from rotorwright.checks.run import check_view
from rotorwright.checks.view import CraftView
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import CannotCompute
from rotorwright.parts.part import Part
from rotorwright.predict.result import Prediction
from rotorwright.search.fleet import Fleet, fleet_of
from rotorwright.search.measures import MEASURES, Measure, unpriced
from rotorwright.search.swapped import swapped, unweighed

__all__ = ["CANNOT_TELL", "FindingsChange", "Swap", "SwapRow", "difference", "findings_between", "swap", "verdict"]

Array = NDArray[np.float64]

Putting = Callable[[Craft, PlacedPart, Part], Craft]

CANNOT_TELL = "cannot tell"
# Flights and answers in time of a whole list, samples and rows together: about a second on two cores.
_MOST_FLOWN, _FEWEST = 4096, 64


@dataclass(frozen=True, slots=True)
class FindingsChange:
    """Findings that one candidate brings and those it ends, as `code (part)`; None where nobody looked."""

    new: tuple[str, ...]
    cured: tuple[str, ...]
    stops: int


@dataclass(frozen=True, slots=True)
class SwapRow:
    """One candidate: values and differences from the present part by measure; `reason` when it cannot be computed.

    `verdict` says of each measure: better, worse, other (where neither is better), same, or cannot tell.
    """

    part: str
    values: Mapping[str, Prediction]
    differences: Mapping[str, Prediction]
    verdict: Mapping[str, str]
    findings: FindingsChange | None
    reason: str | None


@dataclass(frozen=True, slots=True)
class Swap:
    """Candidates for one place, best first by `goal`; those after `bounded` have no bounds in their dear measures.

    `flown_samples` are behind those bounds, `samples` behind the others.

    `left_out` says what was not listed; `as_good` are those that the bounds cannot tell from the best by the goal.
    """

    craft: str
    place: str
    kind: str
    present: SwapRow
    goal: str
    rows: tuple[SwapRow, ...]
    left_out: tuple[str, ...]
    as_good: tuple[str, ...]
    bounded: int
    flown_samples: int
    samples: int
    notes: tuple[str, ...]


def difference(before: Array, after: Array, unit: str) -> Prediction:
    """`after - before`, sample by sample, so that what both share cancels."""
    return Prediction.of(after - before, unit, None if np.isfinite(after[0] - before[0]) else "no solution")


def verdict(change: Prediction, better: int) -> str:
    """Whether a difference is better or worse, or lies within its own bounds."""
    if change.value is None:
        return "unknown"
    low = change.value if change.low is None else change.low
    high = change.value if change.high is None else change.high
    if low == high == 0.0:
        return "same"
    if low <= 0.0 <= high:
        return CANNOT_TELL
    return "other" if better == 0 else "better" if (low > 0.0) == (better > 0) else "worse"


def swap(
    craft: Craft,
    placed: PlacedPart,
    parts: Sequence[Part],
    goal: Measure,
    *,
    samples: int = 128,
    flown_samples: int | None = None,
    shown: int = 10,
    findings: bool = True,
    only_fitting: bool = False,
    put: Putting = swapped,
    same_thrust: bool = False,
    notes: Sequence[str] = (),
    seed: int = 0,
) -> Swap:
    """Every part of `parts` in the place of `placed`, one batch through the kernel, sorted by `goal`.

    samples: of each craft for bounds, 0 for none; flown_samples: of each in dear measures, as many as time allows
    unless given; where even that is too long, of the first `shown` only. For those also the rules are run.
    only_fitting: leave out what brings a new stop
    put: how a candidate comes into its place, as on an equal basis, which `notes` tell
    same_thrust: in place of full throttle, each stands at the thrust that the present craft reaches
    A whole-craft weighing is left aside on both sides: it holds for the present parts only.
    """
    base = unweighed(craft)
    variants, names, broken = [base], [placed.part.name], []
    for part in parts:
        try:
            variants.append(put(base, placed, part))
            names.append(part.name)
        except CannotCompute as error:
            broken.append(SwapRow(part.name, {}, {}, {}, None, str(error)))
    columns = _Columns(variants, samples, seed, same_thrust)
    order = columns.sort(goal)
    left_out: tuple[str, ...] = ()
    if only_fitting:
        order, left_out = _fitting(order, base, variants, placed.part.kind)
    bounded, flown = _allowed(len(order), shown, samples, flown_samples)
    columns.sharpen([0, *order[:bounded]], flown)
    rows = [columns.row(k, names[k]) for k in order]
    if findings:
        rows[:shown] = _with_findings(rows[:shown], base, [variants[k] for k in order[:shown]], placed.part.kind)
    present = columns.row(0, names[0])
    same = [part.name for part in parts if part.name == placed.part.name and part != placed.part]
    known = [f"{name} on the craft is the one that was weighed or measured, the other the shelf's" for name in same]
    weighing = ["the whole-craft weighing is left aside on both sides"] if craft.weighed != base.weighed else []
    return Swap(
        craft=craft.title.full,
        place=placed.id,
        kind=placed.part.kind,
        present=present,
        goal=goal.name,
        rows=(*rows, *broken),
        left_out=left_out,
        as_good=columns.as_good(goal, order, names),
        bounded=bounded if flown else 0,
        flown_samples=flown,
        samples=samples,
        notes=(*notes, *known, *weighing),
    )


def _allowed(rows: int, shown: int, samples: int, asked: int | None) -> tuple[int, int]:
    """How many rows get bounds in their dear measures, and from how many samples."""
    if not samples or asked == 0:
        return 0, 0
    if rows * (asked or min(samples, _FEWEST)) > _MOST_FLOWN:
        rows = min(rows, shown)
    return rows, asked or min(samples, max(_MOST_FLOWN // max(rows, 1), _FEWEST))


class _Columns:
    """Values of every measure over the variants; variant 0 is the present craft."""

    def __init__(self, variants: Sequence[Craft], samples: int, seed: int, same_thrust: bool) -> None:
        self.variants = variants
        self.nominal = fleet_of(variants) if samples else None
        self.fleet = fleet_of(variants, samples, seed)
        if same_thrust:
            self.nominal = self.nominal and self.nominal.at_thrust_of(0)
            self.fleet = self.fleet.at_thrust_of(0)
        self.unpriced = [unpriced(one) for one in variants]
        self.dear: dict[int, tuple[Fleet, int]] = {}
        self._known: dict[tuple[int, str], Array] = {}

    def _of(self, fleet: Fleet, measure: Measure) -> Array:
        key = id(fleet), measure.name
        if key not in self._known:
            self._known[key] = measure.values(fleet)
        return self._known[key]

    def values(self, measure: Measure, k: int) -> Array:
        """Samples of a measure for one variant; the nominal alone where it is dear and not sharpened."""
        if measure.dear and k in self.dear:
            fleet, at = self.dear[k]
            return np.asarray(self._of(fleet, measure)[at])
        if measure.dear and self.nominal is not None:
            return np.asarray(self._of(self.nominal, measure)[k])
        values = np.asarray(self._of(self.fleet, measure)[k])
        if measure.name == "cost" and self.unpriced[k] != self.unpriced[0]:
            return np.full_like(values, np.nan)
        return values

    def sort(self, goal: Measure) -> list[int]:
        """Variants but the present one, best first by the nominal goal; those without a value come last."""
        sign = -1.0 if goal.better > 0 else 1.0
        found = [(sign * float(self.values(goal, k)[0]), k) for k in range(1, len(self.variants))]
        return [k for _, k in sorted((v, k) if np.isfinite(v) else (np.inf, k) for v, k in found)]

    def sharpen(self, chosen: Sequence[int], samples: int) -> None:
        """Sample the dear measures of some variants."""
        if samples:
            fleet = self.fleet.some(chosen, samples)
            self.dear = {k: (fleet, at) for at, k in enumerate(chosen)}

    def row(self, k: int, name: str) -> SwapRow:
        """One variant beside the present craft."""
        values, changes, verdicts = {}, {}, {}
        for measure in MEASURES.values():
            mine, present = self.values(measure, k), self.values(measure, 0)
            n = min(len(mine), len(present))
            values[measure.name] = Prediction.of(mine, measure.unit)
            changes[measure.name] = difference(present[:n], mine[:n], measure.unit)
            verdicts[measure.name] = verdict(changes[measure.name], measure.better)
        return SwapRow(name, values, changes, verdicts, None, self.fleet.reasons[k] or None)

    def as_good(self, goal: Measure, order: Sequence[int], names: Sequence[str]) -> tuple[str, ...]:
        """Variants whose difference from the best one has bounds on both sides of zero."""
        if not order:
            return ()
        best, equal = self.values(goal, order[0]), []
        for k in order[1:]:
            mine = self.values(goal, k)
            n = min(len(best), len(mine))
            if n > 1 and verdict(difference(best[:n], mine[:n], goal.unit), goal.better) == CANNOT_TELL:
                equal.append(names[k])
        return tuple(equal)


def findings_between(before: Craft, after: Sequence[Craft], kind: str | None) -> list[FindingsChange]:
    """What the rules find on each craft of `after` and not on `before`, and the other way round.

    kind: only rules that read this kind of part; None for all
    """
    codes = {rule.code for rule in all_rules().values() if kind is None or kind in rule.reads}
    here = _found(before, codes)
    changes = []
    for craft in after:
        there = _found(craft, codes)
        stops = sum(1 for finding, stop in there.items() if stop and not here.get(finding))
        changes.append(
            FindingsChange(tuple(sorted(set(there) - set(here))), tuple(sorted(set(here) - set(there))), stops)
        )
    return changes


def _fitting(
    order: Sequence[int], base: Craft, variants: Sequence[Craft], kind: str
) -> tuple[list[int], tuple[str, ...]]:
    """Those of `order` that bring no new stop, and how many do."""
    changes = findings_between(base, [variants[k] for k in order], kind)
    kept = [k for k, change in zip(order, changes, strict=True) if not change.stops]
    count = len(order) - len(kept)
    return kept, (f"left out for a new stop: {count} of {len(order)}",) if count else ()


def _found(craft: Craft, codes: set[str]) -> dict[str, bool]:
    """Findings as `code (part)`, and whether each is a stop that nobody waived."""
    checks = check_view(CraftView(craft, 0), codes)
    found: dict[str, bool] = {}
    for finding in checks.findings:
        name = f"{finding.code} ({finding.where.part})"
        found[name] = found.get(name, False) or (finding.severity == "stop" and finding.waived is None)
    return found


def _with_findings(rows: Sequence[SwapRow], base: Craft, craft: Sequence[Craft], kind: str) -> list[SwapRow]:
    changes = findings_between(base, craft, kind)
    return [replace(row, findings=change) for row, change in zip(rows, changes, strict=True)]
