"""What the workbench knows of one craft file at one moment: its numbers, then findings, then bars."""

from dataclasses import dataclass, replace
from pathlib import Path

from rotorwright.checks import Checks, check
from rotorwright.craft import read_craft
from rotorwright.craft.model import Craft
from rotorwright.errors import InputError, Problem, RotorwrightError
from rotorwright.parts.source_map import read_text
from rotorwright.predict.report import Report, report

__all__ = ["BARS", "Answers", "answers", "with_bars", "with_findings"]

# Samples behind the bars on screen: enough for two digits, and ready within a second.
BARS = 512


@dataclass(frozen=True, slots=True)
class Answers:
    """One reading of one file. `craft` is None when the file cannot be read, and `problems` say why.

    `report` is None when nothing could be computed, `checks` until the rules have looked; `bars` tells whether the
    numbers carry bounds yet.
    """

    revision: int
    text: str
    craft: Craft | None
    problems: tuple[Problem, ...] = ()
    report: Report | None = None
    checks: Checks | None = None
    bars: bool = False


def answers(file: Path, revision: int) -> Answers:
    """Read `file` and compute its numbers at their nominal values; findings and bounds follow."""
    try:
        text = read_text(file)
        craft = read_craft(file, text=text)
    except InputError as error:
        return Answers(revision, "", None, tuple(error.problems))
    try:
        return Answers(revision, text, craft, (), report(craft, samples=0))
    except RotorwrightError as error:
        return Answers(revision, text, craft, (Problem(str(error), "See the findings.", "", file),))


def with_findings(now: Answers) -> Answers:
    """The same reading with what the rules find."""
    if now.craft is None:
        return now
    try:
        return replace(now, checks=check(now.craft))
    except InputError as error:  # such as a waiver of a code that no rule has
        return replace(now, problems=(*now.problems, *error.problems))


def with_bars(now: Answers) -> Answers:
    """The same reading with bounds on every number."""
    if now.craft is None or now.report is None:
        return now
    return replace(now, report=report(now.craft, samples=BARS), bars=True)
