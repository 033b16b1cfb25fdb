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
# Of one group so many are looked for, and so many tried; of all so many are told.
_WANTED, _TRIED, _TOLD = 3, 20, 6


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
    # settings come as they are listed, from the smallest change on; parts by how near the craft stays
    order = sorted(range(len(trials)), key=lambda k: (far[k] if trials[k][0].is_part else -1.0, k))
    before, key = _one_rule(base, finding.code), (finding.code, finding.where.part)
    cured: dict[str, list[int]] = {}
    spent: dict[str, int] = {}
    for k in order:
        move, made = trials[k]
        wanted = 1 if move.doing in ("set", "flight", "wire") else _WANTED  # of a number the nearest says it all
        if len(cured.get(move.group, ())) >= wanted or spent.get(move.group, 0) >= _TRIED:
            continue
        if not watch(sum(spent.values()), len(trials)):
            raise Stopped
        spent[move.group] = spent.get(move.group, 0) + 1
        if _ends(before, _one_rule(made, finding.code), key):
            cured.setdefault(move.group, []).append(k)
    told = _best_of_each(cured, far)
    changes = findings_between(base, [trials[k][1] for k in told], None)
    differences = _differences(base, [trials[k][1] for k in told])
    rows = [Remedy(trials[k][0], d, change) for k, d, change in zip(told, differences, changes, strict=True)]
    nearest = {id(row): far[k] for row, k in zip(rows, told, strict=True)}
    rows.sort(key=lambda row: (row.findings.stops, len(row.findings.new), nearest[id(row)]))
    clean = [row for row in rows if not row.findings.stops]
    return Remedies(
        craft.title.full, finding.code, finding.where.part, tuple(clean or rows), sum(spent.values()), len(trials)
    )


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


def _best_of_each(cured: dict[str, list[int]], far: Array) -> list[int]:
    """The nearest of every group, then the next ones, until enough are told."""
    told: list[int] = []
    for rank in range(_WANTED):
        row = sorted((group[rank] for group in cured.values() if len(group) > rank), key=lambda k: far[k])
        told += row[: _TOLD - len(told)]
    return told
