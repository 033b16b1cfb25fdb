"""Every version of a file that a change replaced, and the way back to any of them."""

from dataclasses import dataclass
from difflib import unified_diff
from pathlib import Path

from rotorwright.craft.files import write_whole
from rotorwright.craft.journal import Journal
from rotorwright.errors import InputError, Problem
from rotorwright.parts.source_map import read_text

__all__ = ["Kept", "Version", "difference", "restore", "version", "versions"]


@dataclass(frozen=True, slots=True)
class Version:
    """A text that the file once held: until when, and what was then done to it."""

    number: int
    until: str
    then: str
    text: str


@dataclass(frozen=True, slots=True)
class Kept:
    """A file and the versions of it on record, oldest first."""

    file: str
    versions: tuple[Version, ...]


def versions(file: Path) -> list[Version]:
    """The versions on record, oldest first; one that a crash recorded without replacing it is passed over.

    Raises InputError when neither the file nor a record of it exists.
    """
    changes = Journal(file).changes()
    if not changes and not file.exists():
        read_text(file)  # says that it is missing, and what is there
    current = read_text(file) if file.is_file() else None
    following = [*(change.before for change in changes[1:]), current][: len(changes)]
    return [
        Version(change.number, change.when, change.what, change.before)
        for change, then in zip(changes, following, strict=True)
        if change.before != then
    ]


def version(file: Path, number: int) -> Version:
    """The version with this number; InputError when it is not on record."""
    found = versions(file)
    for one in found:
        if one.number == number:
            return one
    kept = ", ".join(str(one.number) for one in found[-12:]) or "none"
    raise InputError(Problem(f"version {number} is not on record", f"There is: {kept}.", "", file))


def restore(file: Path, number: int) -> str:
    """Put a version back; returns what was done. What stands now is kept as a version, and `undo` goes back to it."""
    text = version(file, number).text
    what = f"version {number} put back"
    if not file.exists():
        write_whole(file, text)
        return what
    current = read_text(file)
    if current == text:
        return f"version {number} is what stands already"
    Journal(file).save(current, text, what)
    return what


def difference(file: Path, number: int) -> list[str]:
    """Lines that differ between a version (-) and the file as it stands (+), with three lines about each."""
    then = version(file, number).text.splitlines()
    now = read_text(file).splitlines() if file.is_file() else []
    return list(unified_diff(then, now, f"version {number}", "now", lineterm=""))
