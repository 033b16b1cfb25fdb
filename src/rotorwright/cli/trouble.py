"""Problems as a builder reads them: where, what, why, and how to mend it."""

from rich.console import Console
from rich.text import Text

from rotorwright.errors import InputError, Problem

__all__ = ["show_problems", "show_reason", "show_usage"]


def _console() -> Console:
    return Console(stderr=True, soft_wrap=True, highlight=False, markup=False, emoji=False)


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
    text.append(_visible(problem.what))
    for line in (problem.why, problem.fix):
        if line:
            text.append(f"\n    {_visible(line)}")
    return text


def _visible(text: str) -> str:
    """`text` with control characters, which a wrong file may hold, spelled out."""
    return "".join(ascii(letter)[1:-1] if letter < " " or "\x7f" <= letter < "\xa0" else letter for letter in text)


def show_reason(reason: str) -> None:
    """Why a result does not exist."""
    _console().print(Text(reason))


def show_usage(message: str) -> None:
    """What is wrong with the command as typed."""
    _console().print(Text(f"{message}\n    `rotorwright --help` lists the commands."))
