"""Problems as a builder reads them: where, what, why, and how to mend it."""

from rich.console import Console
from rich.text import Text

from rotorwright.errors import InputError, Problem

__all__ = ["show_problems", "show_reason", "show_usage"]


def _console() -> Console:
    return Console(stderr=True, soft_wrap=True, highlight=False)


def show_problems(error: InputError) -> None:
    """Every problem of an input, one after the other."""
    console = _console()
    for problem in error.problems:
        console.print(_told(problem))
    if len(error.problems) > 1:
        console.print(f"{len(error.problems)} problems; nothing was done.")


def _told(problem: Problem) -> Text:
    text = Text()
    if problem.where:
        text.append(problem.where, style="bold")
        text.append(": ")
    text.append(problem.what)
    for line in (problem.why, problem.fix):
        if line:
            text.append(f"\n    {line}")
    return text


def show_reason(reason: str) -> None:
    """Why a result does not exist."""
    _console().print(Text(reason))


def show_usage(message: str) -> None:
    """What is wrong with the command as typed."""
    _console().print(Text(f"{message}\n    `rotorwright --help` lists the commands."))
