"""What the workbench knows of one craft file at one moment: first without bars, then with them."""

from dataclasses import dataclass
from pathlib import Path

from rotorwright.checks import Checks, check
from rotorwright.craft import read_craft
from rotorwright.craft.model import Craft
from rotorwright.errors import InputError, Problem, RotorwrightError
from rotorwright.parts.source_map import read_text
from rotorwright.predict.report import Report, report

__all__ = ["BARS", "Answers", "answers", "with_bars"]

# Samples behind the bars on screen: enough for two digits, and ready within a second.
BARS = 1024


@dataclass(frozen=True, slots=True)
class Answers:
    """One reading of one file. `craft` is None when the file cannot be read, and `problems` say why.

    `report` is None when nothing could be computed; `bars` tells whether its numbers carry bounds yet.
    """

    revision: int
    text: str
    craft: Craft | None
    problems: tuple[Problem, ...] = ()
    report: Report | None = None
    checks: Checks | None = None
    bars: bool = False


def answers(file: Path, revision: int) -> Answers:
    """Read `file` and compute everything at its nominal values."""
    try:
        text = read_text(file)
        craft = read_craft(file, text=text)
    except InputError as error:
        return Answers(revision, "", None, tuple(error.problems))
    return _computed(revision, text, craft, 0)


def with_bars(now: Answers) -> Answers:
    """The same reading with bounds on every number."""
    return now if now.craft is None else _computed(now.revision, now.text, now.craft, BARS)


def _computed(revision: int, text: str, craft: Craft, samples: int) -> Answers:
    problems: list[Problem] = []
    found: Report | None = None
    findings: Checks | None = None
    try:
        findings = check(craft, min(samples, 256))
    except InputError as error:  # such as a waiver of a code that no rule has
        problems += error.problems
    try:
        found = report(craft, samples=samples)
    except RotorwrightError as error:
        problems.append(Problem(str(error), "See the findings.", "", craft.file))
    return Answers(revision, text, craft, tuple(problems), found, findings, samples > 0)
