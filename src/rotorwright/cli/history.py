"""`rotorwright history`."""

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console

from rotorwright.cli.words import print_json
from rotorwright.craft import history
from rotorwright.craft.workshop import find_craft
from rotorwright.errors import InputError, Problem

__all__ = ["history_command"]


def history_command(
    file: str,
    *,
    show: int | None = None,
    restore: int | None = None,
    json: Annotated[bool, Parameter(negative="")] = False,
) -> None:
    """List the versions of a file that changes have replaced, and put one back.

    Every change made by a command, by the page or by a measurement keeps what it replaced: the last two hundred
    versions at least, beside the file in the folder .journal.

    Parameters
    ----------
    file
        A craft file, or another file of the workshop such as shelf/measured.toml.
    show
        Show the lines in which this version differs from the file as it stands.
    restore
        Put this version back; what stands now is kept too, and undo goes back to it.
    json
        Print machine-readable data instead.
    """
    if show is not None and restore is not None:
        raise InputError(Problem("--show and --restore together", "Give one of them.", ""))
    path = _kept(file)
    if restore is not None:
        _put_back(path, restore, json)
    elif show is not None:
        _show(path, show, json)
    else:
        _list(path, history.versions(path), json)


def _kept(name: str) -> Path:
    """The file that `name` means, also when only its record is left."""
    found = find_craft(name)
    if found.exists():
        return found
    candidates = (Path(name), Path(f"{name}.toml"), Path("crafts") / f"{name}.toml")
    return next((path for path in candidates if (path.parent / ".journal" / f"{path.name}.jsonl").exists()), found)


def _put_back(path: Path, number: int, json: bool) -> None:
    what = history.restore(path, number)
    if json:
        print_json({"file": str(path), "done": "put back", "what": what})
    else:
        _print(f"{path}: {what}")


def _show(path: Path, number: int, json: bool) -> None:
    if json:
        print_json(history.version(path, number))
        return
    lines = history.difference(path, number)
    _print("\n".join(lines) if lines else f"{path}: version {number} is what stands now")


def _list(path: Path, found: list[history.Version], json: bool) -> None:
    if json:
        print_json(history.Kept(str(path), tuple(found)))
        return
    if not found:
        _print(f"{path}: nothing has replaced a version of it yet")
        return
    _print(f"{path}: {len(found)} earlier version{'s' if len(found) > 1 else ''} kept, the latest last")
    wide = len(str(found[-1].number))
    for one in found:
        _print(f"  {one.number:>{wide}}  until {one.until[:16].replace('T', ' ')}, then: {one.then}")
    _print("See one with --show NUMBER, put it back with --restore NUMBER. Times are UTC.")


def _print(text: str) -> None:
    Console(highlight=False, markup=False, emoji=False).print(text, soft_wrap=True)
