"""`rotorwright check` and `rotorwright explain`: what is wrong with a craft, and what a rule says."""

from typing import Annotated

from cyclopts import Parameter
from rich.console import Console
from rich.text import Text

from rotorwright.checks import Checks, Finding, Severity, all_rules, check, near_codes, rule_named
from rotorwright.cli.options import check_samples
from rotorwright.cli.words import print_json
from rotorwright.craft import read_craft
from rotorwright.craft.workshop import find_craft
from rotorwright.errors import InputError, Problem, RotorwrightError

__all__ = ["Stopped", "check_command", "explain_command"]

_STYLE = {Severity.STOP: "bold red", Severity.WARN: "yellow", Severity.NOTE: "cyan"}
_WORD = {Severity.STOP: "stop", Severity.WARN: "warning", Severity.NOTE: "note"}
_FEW = 6


class Stopped(RotorwrightError):
    """A stop stands that nobody has waived; the text says so."""


def check_command(
    craft: str,
    *,
    json: Annotated[bool, Parameter(negative="")] = False,
    all: Annotated[bool, Parameter(negative="")] = False,
    samples: int = 256,
    seed: int = 0,
) -> None:
    """Look for everything that a builder finds out after paying: does it fit, is it fed, will it last.

    Exit code 1 when a stop stands that is not waived.

    Parameters
    ----------
    craft
        A craft file.
    json
        Print machine-readable data in SI units instead.
    all
        Say why each finding matters, and name every rule that was kept or could not look.
    samples
        How many samples make the chance of breach; 0 for none.
    seed
        Another seed draws other samples.
    """
    check_samples(samples, 100_000)
    result = check(read_craft(find_craft(craft)), samples, seed)
    if json:
        print_json(result)
    else:
        _print(result, all)
    if result.stopped:
        raise Stopped("A stop stands: do not order yet.")


def _print(result: Checks, everything: bool) -> None:
    console = Console(highlight=False, markup=False, emoji=False)
    console.print(Text(f"{result.craft}: {result.summary}.", style="bold"))
    for finding in result.findings:
        console.print(_told(finding, everything))
    if result.unchecked:
        console.print("\nNot checked:")
        lacks = {f"{u.code}: give {u.give}": None for u in result.unchecked}
        shown = list(lacks) if everything else list(lacks)[:_FEW]
        for line in shown:
            console.print(f"  {line}", style="dim")
        if len(lacks) > len(shown):
            console.print(f"  and {len(lacks) - len(shown)} more; --all lists them", style="dim")
    if result.close:
        close = ", ".join(f"{c.code} ({c.part}, chance of breach {c.chance:.0%})" for c in result.close)
        console.print(f"\nKept, but close: {close}.")
    for code in result.unused_waivers:
        console.print(f"Waived, and not found: {code}.")
    if everything:
        console.print(f"\nKept: {', '.join(result.kept)}.", style="dim")
        console.print(f"Nothing to look at: {', '.join(result.not_applicable)}.", style="dim")
    console.print(
        "\n`rotorwright explain CODE` says what a rule looks at and where its limit comes from.", style="dim"
    )


def _told(finding: Finding, everything: bool) -> Text:
    waived = finding.waived is not None
    text = Text("\n")
    text.append("waived" if waived else _WORD[finding.severity], style="dim" if waived else _STYLE[finding.severity])
    text.append(f"  {finding.code}", style="bold")
    text.append(f"  {finding.where}", style="dim")
    text.append(f"\n    {finding.what}{_chance(finding)}.")
    if waived:
        text.append(f"\n    Waived: {finding.waived}")
        return text
    if everything or finding.severity is Severity.STOP:
        text.append(f"\n    {finding.why}")
    text.append(f"\n    {finding.fix}")
    return text


def _chance(finding: Finding) -> str:
    """The chance of breach, where it says more than the verdict itself."""
    if finding.chance is None or finding.limit is None or finding.chance > 0.95:
        return ""
    return f" (chance of breach {finding.chance:.0%})"


def explain_command(code: str = "", *, json: Annotated[bool, Parameter(negative="")] = False) -> None:
    """Say what a rule looks at, why it matters, how to mend a breach, and where its limit comes from.

    Parameters
    ----------
    code
        Code of a finding; without one, all codes are listed.
    json
        Print machine-readable data instead.
    """
    rules = all_rules()
    if code and rule_named(code) is None:
        near = near_codes(code)
        fix = f"Near: {', '.join(near)}." if near else "`rotorwright explain` lists all codes."
        raise InputError(Problem(f"no rule has the code '{code}'", fix))
    chosen = [rules[code]] if code else list(rules.values())
    if json:
        keys = ("code", "family", "reads", "severity", "fact", "why", "fix", "source")
        print_json([{key: getattr(rule, key) for key in keys} for rule in chosen])
        return
    console = Console(highlight=False, markup=False, emoji=False)
    if not code:
        for rule in chosen:
            console.print(Text.assemble((f"{rule.code:30}", "bold"), rule.fact))
        return
    rule = chosen[0]
    console.print(Text.assemble((rule.code, "bold"), (f"   {_WORD[rule.severity]}, {rule.family}", "dim")))
    for line in (rule.fact, f"Why: {rule.why}", f"Fix: {rule.fix}", f"Source: {rule.source}"):
        console.print(f"  {line}")
