"""Rules that find what a builder would find out after paying."""

from rotorwright.checks.finding import Finding, Severity, Unchecked, Where
from rotorwright.checks.rule import Missing, Rule, all_rules, near_codes, rule_named
from rotorwright.checks.run import Checks, check
from rotorwright.checks.view import ColumnsView, CraftView

__all__ = [
    "Checks",
    "ColumnsView",
    "CraftView",
    "Finding",
    "Missing",
    "Rule",
    "Severity",
    "Unchecked",
    "Where",
    "all_rules",
    "check",
    "near_codes",
    "rule_named",
]
