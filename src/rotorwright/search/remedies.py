"""What would end a finding: changes of the craft, tried by the rule itself, the nearest to the craft first."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks import Checks, Finding, rule_named
from rotorwright.checks.run import check_view
from rotorwright.checks.view import CraftView
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute, InputError
from rotorwright.predict.result import Prediction
from rotorwright.search.fleet import fleet_of
from rotorwright.search.measures import measure_named
from rotorwright.search.progress import Stopped
from rotorwright.search.remedy_moves import Move, Trial, moves
from rotorwright.search.swap import FindingsChange, difference, findings_between
from rotorwright.search.swapped import unweighed

__all__ = ["MEASURED", "Remedies", "Remedy", "remedies"]

Array = NDArray[np.float64]

MEASURED = ("weight", "hover-time", "thrust-to-weight")
"""Measures in which a remedy's craft is set beside the present one, and by which it is near or far."""

_SAMPLES = 64
# Of one group so many are put to the rule, so many that end the finding to all rules, and so many told; and of all.
_TRIED, _JUDGED, _OF_GROUP, _TOLD = 20, 5, 2, 6


@dataclass(frozen=True, slots=True)
class Remedy:
    """One change that ends the finding: differences from the present craft, findings it brings and ends."""

    move: Move
    differences: Mapping[str, Prediction]
    findings: FindingsChange


@dataclass(frozen=True, slots=True)
class Remedies:
    """Changes that end a finding, fewest new findings first, then the nearest to the present craft.

    Those that bring a new stop are told only where there are no others.

    `tried` of `possible` changes were put to the rule.
    """

    craft: str
    code: str
    part: str
    found: tuple[Remedy, ...]
    tried: int
    possible: int


def remedies(craft: Craft, finding: Finding, watch: Callable[[int, int], bool] = lambda done, of: True) -> Remedies:
    """Try other parts, one part more, and settings of what is there, on the rule that made `finding`.

    A change is a remedy when the rule finds less at that part, nothing new elsewhere, and lacks nothing more to look.
    watch: told between trials how many of how many are behind; Stopped is raised when it says no
    """
    rule = rule_named(finding.code)
    assert rule is not None
    base = unweighed(craft)
    trials = _made(list(moves(base, rule, finding)))
    far = _distances(base, [made for _, made in trials])
    cured, tried = _cured(base, finding, trials, far, watch)
    changes = dict(zip(cured, findings_between(base, [trials[k][1] for k in cured], None), strict=True))
    ranked = sorted(cured, key=lambda k: (changes[k].stops, len(changes[k].new), far[k], k))
    told = _some_of_each([k for k in ranked if changes[k].stops == changes[ranked[0]].stops], trials)
    differences = _differences(base, [trials[k][1] for k in told])
    rows = [Remedy(trials[k][0], difference, changes[k]) for k, difference in zip(told, differences, strict=True)]
    return Remedies(craft.title.full, finding.code, finding.where.part, tuple(rows), tried, len(trials))


def _cured(
    base: Craft,
    finding: Finding,
    trials: Sequence[tuple[Move, Craft]],
    far: Array,
    watch: Callable[[int, int], bool],
) -> tuple[list[int], int]:
    """Trials that end the finding, the first few of each group, and how many were put to the rule."""
    # settings come as they are listed, from the smallest change on; parts by how near the craft stays
    order = sorted(range(len(trials)), key=lambda k: (far[k] if trials[k][0].is_part else -1.0, k))
    before, key = _one_rule(base, finding.code), (finding.code, finding.where.part)
    cured: dict[str, list[int]] = {}
    spent: dict[str, int] = {}
    for k in order:
        move, made = trials[k]
        wanted = 1 if move.doing in ("set", "flight", "wire") else _JUDGED  # of a number the nearest says it all
        if len(cured.get(move.group, ())) >= wanted or spent.get(move.group, 0) >= _TRIED:
            continue
        if not watch(sum(spent.values()), len(trials)):
            raise Stopped
        spent[move.group] = spent.get(move.group, 0) + 1
        if _ends(before, _one_rule(made, finding.code), key):
            cured.setdefault(move.group, []).append(k)
    return [k for group in cured.values() for k in group], sum(spent.values())


def _made(trials: Sequence[Trial]) -> list[tuple[Move, Craft]]:
    """The craft of every trial that can be made."""
    found = []
    for move, make in trials:
        try:
            found.append((move, unweighed(make())))
        except (CannotCompute, InputError):
            continue
    return found


def _distances(base: Craft, craft: Sequence[Craft]) -> Array:
    """How far each craft is from `base`: relative differences of weight, hover time and lift, added up.

    Where one of them has no value, it counts as far as if it had doubled.
    """
    if not craft:
        return np.zeros(0)
    fleet = fleet_of([base, *craft])
    total = np.zeros(len(craft))
    for name in MEASURED:
        values = measure_named(name).values(fleet)[:, 0]
        with np.errstate(divide="ignore", invalid="ignore"):
            share = np.abs(values[1:] / values[0] - 1.0)
        total += np.where(np.isfinite(share), share, 1.0)
    return total


def _differences(base: Craft, craft: Sequence[Craft]) -> list[dict[str, Prediction]]:
    """With the bounds of the difference, from samples that both craft share."""
    if not craft:
        return []
    fleet = fleet_of([base, *craft], _SAMPLES)
    found: list[dict[str, Prediction]] = [{} for _ in craft]
    for name in MEASURED:
        measure = measure_named(name)
        values = measure.values(fleet)
        for k, row in enumerate(found):
            row[name] = difference(values[0], values[k + 1], measure.unit)
    return found


def _one_rule(craft: Craft, code: str) -> Checks:
    return check_view(CraftView(craft, 0), {code})


def _ends(before: Checks, after: Checks, key: tuple[str, str]) -> bool:
    """Whether the rule finds less at the part than before, nothing more elsewhere, and can look as far as before."""
    here, there = (_count(checks, key) for checks in (before, after))
    return (
        there < here and len(after.findings) < len(before.findings) and len(after.unchecked) <= len(before.unchecked)
    )


def _count(checks: Checks, key: tuple[str, str]) -> int:
    return sum((finding.code, finding.where.part) == key for finding in checks.findings)


def _some_of_each(ranked: Sequence[int], trials: Sequence[tuple[Move, Craft]]) -> list[int]:
    """The first few, no more than some of one group."""
    told: list[int] = []
    for k in ranked:
        of_group = sum(trials[one][0].group == trials[k][0].group for one in told)
        if of_group < _OF_GROUP and len(told) < _TOLD:
            told.append(k)
    return told
