"""`rotorwright open`: the workbench in the browser."""

from importlib.util import find_spec
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console

from rotorwright.errors import InputError, Problem

__all__ = ["open_command"]


def open_command(
    workshop: Path = Path(),
    *,
    host: str = "127.0.0.1",
    port: int = 7417,
    browser: Annotated[bool, Parameter(negative="--no-browser")] = True,
) -> None:
    """Open a workshop as a local page: the craft on the table, every number alive.

    Parameters
    ----------
    workshop
        A workshop's folder; this one when none is named.
    host
        Address to listen at. Anything but this machine's own needs a token that the terminal shows.
    port
        Port to listen at; the next free one is taken when somebody has it.
    browser
        Open a browser window.
    """
    if not (workshop / "crafts").is_dir():
        fix = f"Make one with: rotorwright new {workshop if workshop.name else 'FOLDER'}"
        raise InputError(Problem("this is no workshop: it has no folder crafts/", fix, "", workshop))
    if find_spec("nicegui") is None:
        what = "the workbench needs a library that is not installed"
        raise InputError(Problem(what, "Install rotorwright[web]."))
    from rotorwright.web.serve import serve

    console = Console(highlight=False, markup=False, emoji=False)
    serve(workshop, host, port, show=browser, say=lambda line: console.print(line, soft_wrap=True))
