"""A rule: one limit that a craft keeps or breaks, for arrays of craft and for people.

A rule is a function from a view to cases. A case compares a value with a limit, row by row; its margin is positive
where all is well. One function tells a search which of a million craft pass, and a person what is wrong with one.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from difflib import get_close_matches
from importlib import import_module
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks.finding import Severity
from rotorwright.craft.model import PlacedPart
from rotorwright.parts.source_map import Key

__all__ = [
    "Case",
    "Missing",
    "Rule",
    "Skipped",
    "all_rules",
    "at_least",
    "at_most",
    "near_codes",
    "rule",
    "rule_named",
    "same",
    "told",
]

Array = NDArray[np.float64]
Values = float | Array
At = PlacedPart | tuple[str, Key] | str | None


class Missing(Exception):
    """A rule cannot look; the text is what to give."""


@dataclass(frozen=True, slots=True)
class Skipped:
    """One case of a rule that cannot be looked at, while others of the same rule can."""

    give: str
    at: At = None


@dataclass(frozen=True, slots=True)
class Case:
    """A value against its limit: `margin` (rows,) or a number, positive where the limit is kept.

    `at` is a part, a role, or a name with its key in the craft file; `words` fill the rule's sentence.
    """

    margin: Values
    value: Values | str | None
    limit: Values | str | None
    unit: str
    at: At = None
    words: dict[str, str] = field(default_factory=dict)

    @property
    def nominal(self) -> float:
        """Margin of the nominal craft."""
        return float(np.asarray(self.margin, dtype=float).flat[0])


def at_most(value: Values, limit: Values, unit: str, at: At = None, **words: str) -> Case:
    """A value that must not exceed a limit; the margin is the room left as a share of the limit."""
    return Case(_relative(np.subtract(limit, value), limit), value, limit, unit, at, words)


def at_least(value: Values, limit: Values, unit: str, at: At = None, **words: str) -> Case:
    """A value that must reach a limit; the margin is what it has over, as a share of the limit (of 1 for 0)."""
    return Case(_relative(np.subtract(value, limit), limit), value, limit, unit, at, words)


def same(ok: bool, value: str, limit: str, at: At = None, **words: str) -> Case:
    """Two words that must fit; the margin is 1 or -1."""
    return Case(1.0 if ok else -1.0, value, limit, "", at, words)


def told(at: At = None, value: Values | str | None = None, unit: str = "", **words: str) -> Case:
    """Something to be told whenever it applies."""
    return Case(-1.0, value, None, unit, at, words)


def _relative(room: Any, limit: Values) -> Any:
    """Room as a share of the limit; of 1 for a limit of zero, and 1 or -1 for one that is infinite."""
    scale = np.abs(limit)
    finite = np.isfinite(scale)
    share = room / np.where(finite & (scale > 0), scale, 1.0)
    return np.where(finite | np.isnan(scale), share, np.sign(room))


Check = Callable[[Any], Iterable[Case | Skipped]]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: what it is called, what it reads, how bad a breach is, and how it is told and mended.

    severity: of a breach at the nominal craft; `headroom`: below this share of room the milder `near` is told
    columns: whether it reads nothing but columns, so that `margin` takes any number of craft at once
    """

    code: str
    family: str
    reads: tuple[str, ...]
    severity: Severity
    headroom: float
    columns: bool
    says: str
    fix: str
    check: Check

    @property
    def near(self) -> Severity:
        """Severity of a limit that is kept with less room than it should have."""
        return Severity.WARN if self.severity is Severity.STOP else Severity.NOTE

    @property
    def fact(self) -> str:
        """What holds for a craft that keeps the rule, in one sentence."""
        return self._paragraphs()[0]

    @property
    def why(self) -> str:
        """Why it matters."""
        return self._paragraphs()[1]

    @property
    def source(self) -> str:
        """Where the limit comes from."""
        return self._paragraphs()[2].removeprefix("Source: ")

    def _paragraphs(self) -> list[str]:
        return [re.sub(r"\s+", " ", text).strip() for text in re.split(r"\n\s*\n", self.check.__doc__ or "")]

    def cases(self, view: Any) -> Iterator[Case | Skipped]:
        """Everything the rule looks at; Missing when it cannot look at all."""
        return iter(self.check(view))

    def margin(self, view: Any) -> Array:
        """Smallest margin over the rule's cases, row by row; infinite where it does not apply; may raise Missing."""
        margins = [np.asarray(case.margin, dtype=float) for case in self.cases(view) if isinstance(case, Case)]
        return np.asarray(np.minimum.reduce(np.broadcast_arrays(np.inf, *margins)))


_RULES: dict[str, Rule] = {}
# Modules that hold rules, and the family each belongs to, in the order they are told.
_MODULES = {
    "supply": "supply",
    "currents": "supply",
    "leads": "supply",
    "mechanics": "mechanics",
    "rotors": "mechanics",
    "arms": "mechanics",
    "mounting": "mechanics",
    "clearance": "clearance",
    "signals": "signals",
    "antennas": "signals",
    "flying": "flying",
    "law": "law",
}


def rule(
    code: str,
    severity: Severity,
    *,
    reads: str,
    says: str,
    fix: str,
    headroom: float = 0.0,
    columns: bool = False,
) -> Callable[[Check], Check]:
    """Register a function as the rule `code`. Its docstring is a fact, why it matters, and the source.

    reads: kinds of part, separated by spaces; says: sentence with {value}, {limit} and the words of a case
    """

    def register(check: Check) -> Check:
        assert code not in _RULES, code
        family = _MODULES[check.__module__.rpartition(".")[2]]
        _RULES[code] = Rule(code, family, tuple(reads.split()), severity, headroom, columns, says, fix, check)
        return check

    return register


def all_rules() -> dict[str, Rule]:
    """Every rule by its code, family by family."""
    for module in _MODULES:
        import_module(f"rotorwright.checks.{module}")

    return _RULES


def rule_named(code: str) -> Rule | None:
    """The rule of exactly this code."""
    return all_rules().get(code)


def near_codes(code: str) -> list[str]:
    """Codes spelled nearly like `code`, or that hold it."""
    codes = list(all_rules())
    held = [known for known in codes if code and code.lower() in known]
    return (get_close_matches(code.lower(), codes, n=4, cutoff=0.5) or held)[:4]
