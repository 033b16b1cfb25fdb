"""All rules over one craft: findings, what could not be checked, and what the builder accepts."""

from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field, replace

import numpy as np

from rotorwright.checks.finding import Close, Finding, Severity, Unchecked, Where, shown
from rotorwright.checks.rule import Case, Missing, Rule, Skipped, all_rules, near_codes
from rotorwright.checks.view import CraftView
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.errors import InputError, Problem

__all__ = ["Checks", "Outcome", "apply", "check", "check_view"]

# Share of the samples from which a kept limit is called close.
_FAIR_SHARE = 0.1
_ORDER = {severity: place for place, severity in enumerate(Severity)}


@dataclass(frozen=True, slots=True)
class Checks:
    """Result of all rules on one craft; a rule that is in none of the lists kept its limit.

    `unchecked` says what each rule lacks: silence never means safe. `close` lists kept limits that a tenth or more of
    the samples break; `not_applicable` names rules about parts that are not on the craft.
    """

    craft: str
    findings: tuple[Finding, ...]
    unchecked: tuple[Unchecked, ...]
    close: tuple[Close, ...]
    kept: tuple[str, ...]
    not_applicable: tuple[str, ...]
    unused_waivers: tuple[str, ...]
    samples: int

    def count(self, severity: Severity) -> int:
        """Findings of a severity that are not waived."""
        return sum(finding.severity is severity and finding.waived is None for finding in self.findings)

    @property
    def stopped(self) -> bool:
        """Whether a stop stands that nobody has waived."""
        return self.count(Severity.STOP) > 0

    @property
    def summary(self) -> str:
        """Stops, warnings, notes and rules not checked, in one line."""
        tally = Counter(f.waived is not None for f in self.findings)
        parts = [
            _counted(self.count(Severity.STOP), "stop"),
            _counted(self.count(Severity.WARN), "warning"),
            _counted(self.count(Severity.NOTE), "note"),
        ]
        if tally[True]:
            parts.append(f"{tally[True]} waived")
        unchecked = len({u.code for u in self.unchecked})
        parts.append(f"{_counted(unchecked, 'rule')} not or not fully checked for lack of data")
        return ", ".join(parts)


def _counted(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def check(craft: Craft, samples: int = 256, seed: int = 0) -> Checks:
    """Run every rule on `craft`, worst findings first.

    samples: how many samples make the chance of breach; 0 leaves it out
    Raises InputError when the craft waives a code that no rule has.
    """
    return check_view(CraftView(craft, samples, seed))


def check_view(view: CraftView, codes: Collection[str] | None = None) -> Checks:
    """Run every rule, or those of `codes`, on the craft of `view`."""
    waivers = _waivers(view.craft)
    asked = [rule for rule in all_rules().values() if codes is None or rule.code in codes]
    outcomes = {rule.code: apply(rule, view) for rule in asked}
    findings = [replace(f, waived=waivers.get(code)) for code, done in outcomes.items() for f in done.findings]
    quiet = {code: done.looked for code, done in outcomes.items() if not done.findings and not done.unchecked}
    unused = sorted(set(waivers) & set(outcomes) - {finding.code for finding in findings})
    findings.sort(key=lambda f: (f.waived is not None, _ORDER[f.severity]))
    return Checks(
        craft=view.craft.title.full,
        findings=tuple(findings),
        unchecked=tuple(lack for done in outcomes.values() for lack in done.unchecked),
        close=tuple(close for done in outcomes.values() for close in done.close),
        kept=tuple(code for code, looked in quiet.items() if looked),
        not_applicable=tuple(code for code, looked in quiet.items() if not looked),
        unused_waivers=tuple(unused),
        samples=view.samples,
    )


@dataclass(slots=True)
class Outcome:
    """What one rule found, what it lacks, what is close, and at how many things it looked."""

    findings: list[Finding] = field(default_factory=list)
    unchecked: list[Unchecked] = field(default_factory=list)
    close: list[Close] = field(default_factory=list)
    looked: int = 0


def apply(rule: Rule, view: CraftView) -> Outcome:
    """One rule on the craft of `view`."""
    done = Outcome()
    try:
        for case in rule.cases(view):
            part = _where(view.craft, rule, case).part
            if isinstance(case, Skipped):
                done.unchecked.append(Unchecked(rule.code, case.give, part))
                continue
            done.looked += 1
            if np.isnan(case.nominal):
                done.unchecked.append(Unchecked(rule.code, "what its figures need to be computed", part))
            elif (finding := _finding(rule, view, case)) is not None:
                done.findings.append(finding)
            elif (chance := _chance(case)) is not None and chance >= _FAIR_SHARE:
                done.close.append(Close(rule.code, part, chance))
    except Missing as error:
        done.unchecked.append(Unchecked(rule.code, str(error)))
    return done


def _finding(rule: Rule, view: CraftView, case: Case) -> Finding | None:
    margin = case.nominal
    if margin >= rule.headroom:
        return None
    value, limit = _plain(case.value), _plain(case.limit)
    words = {"value": shown(value, case.unit), "limit": shown(limit, case.unit), **case.words}
    where = _where(view.craft, rule, case)
    return Finding(
        code=rule.code,
        severity=rule.severity if margin < 0 else rule.near,
        chance=_chance(case),
        where=where,
        what=_capital(rule.says.format_map({"part": where.part, **words})),
        why=rule.why,
        fix=rule.fix,
        value=value,
        limit=limit,
        unit=case.unit,
        margin=margin,
    )


def _plain(value: object) -> float | str | None:
    if value is None or isinstance(value, str):
        return value
    number = float(np.asarray(value, dtype=float).flat[0])
    return number if np.isfinite(number) else None


def _chance(case: Case) -> float | None:
    """Share of the samples that break the limit; None when nothing scatters."""
    samples = np.asarray(case.margin, dtype=float)
    if samples.ndim == 0:
        return None
    found = samples[1:][~np.isnan(samples[1:])]
    return float(np.mean(found < 0)) if found.size else None


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _where(craft: Craft, rule: Rule, case: Case | Skipped) -> Where:
    """File, line and part of a case; a role means the part that plays it, nothing the rule's first kind."""
    at = case.at if case.at is not None else rule.reads[0]
    if isinstance(at, str):
        placed = craft.the(at) or next((p for p in craft.parts if p.part.kind == at), None)
        if placed is None:
            return Where(craft.file.name, craft.source.line(at), at)
        at = placed
    if isinstance(at, PlacedPart):
        return Where(craft.file.name, craft.source.line(*at.key), at.id)
    name, key = at
    return Where(craft.file.name, craft.source.line(*key), name)


def _waivers(craft: Craft) -> dict[str, str]:
    """Reason by waived code; InputError for codes that no rule has."""
    problems = list(_unknown(craft))
    if problems:
        raise InputError(*problems)
    return {waiver.code: waiver.reason for waiver in craft.waivers}


def _unknown(craft: Craft) -> Iterator[Problem]:
    for index, waiver in enumerate(craft.waivers):
        if waiver.code not in all_rules():
            near = near_codes(waiver.code)
            fix = f"Near: {', '.join(near)}." if near else "`rotorwright explain` lists the codes."
            yield craft.source.problem(("waive", index, "code"), f"no rule has the code '{waiver.code}'", fix)
