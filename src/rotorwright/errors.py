"""What can go wrong, as exceptions that carry a message a builder can act on.

An exception means 'this could not be read or computed'. A design that was computed and is wrong is a finding.
"""

from dataclasses import dataclass
from pathlib import Path

__all__ = ["CannotCompute", "InputError", "Problem", "RotorwrightError"]


class RotorwrightError(Exception):
    """Any error this package raises on purpose."""


class CannotCompute(RotorwrightError):
    """A result does not exist or lies outside what a model can say; the text is the reason."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with an input: where it is, what is wrong, why it matters and how to mend it."""

    what: str
    fix: str
    why: str = ""
    file: Path | None = None
    line: int | None = None

    @property
    def where(self) -> str:
        """File and line as `name.toml:12`, or '' when the problem is not in a file."""
        if self.file is None:
            return ""
        return f"{self.file}:{self.line}" if self.line else str(self.file)

    def __str__(self) -> str:
        head = f"{self.where}: {self.what}" if self.where else self.what
        return ". ".join(part.rstrip(".") for part in (head, self.why, self.fix) if part) + "."


class InputError(RotorwrightError):
    """Everything wrong with one input, all at once."""

    def __init__(self, *problems: Problem) -> None:
        self.problems = problems
        super().__init__("\n".join(str(problem) for problem in problems))
