"""Changes of a craft file that keep its comments and its order."""

import contextlib
from collections.abc import Callable, MutableMapping
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import ParseError
from tomlkit.items import AoT, Table

from rotorwright.craft.journal import ChangedMeanwhile, Journal
from rotorwright.craft.model import Craft
from rotorwright.craft.read import TOP_TABLES, belongs, read_craft
from rotorwright.craft.tables import PartUse
from rotorwright.errors import InputError, Problem
from rotorwright.parts.source_map import read_text, read_toml
from rotorwright.units import split_key

__all__ = [
    "Change",
    "accept_finding",
    "change_craft",
    "changed_craft",
    "changing",
    "drop_what_is_stale",
    "put_key",
    "rewrite_craft",
    "undo_change",
]

Change = Callable[[tomlkit.TOMLDocument], str]
"""A change of a craft's document, which returns what it did, in words."""


def change_craft(file: Path, changes: list[str]) -> str:
    """Apply changes such as `battery.use=battery-4s-1500-75c` or `site.altitude_m=800`; returns what was done.

    The first word is a table, or the id, role or kind of a part. The changed craft is read before it is saved: a
    change that would break the file raises InputError and leaves everything as it was.
    """
    if not changes:
        fix = "Write it as battery.use=NAME or site.altitude_m=300."
        raise InputError(Problem("nothing to change", fix, "", file))
    return rewrite_craft(file, changing(file, *changes))


def changing(file: Path, *changes: str) -> Change:
    """The change that `change_craft` writes."""
    return lambda document: ", ".join(one + _apply(document, one, file) for one in changes)


def rewrite_craft(file: Path, change: Change) -> str:
    """Change the document of a craft file through the journal; `change` returns what it did, in words.

    The changed craft is read before it is saved: InputError leaves everything as it was. When another program changes
    the file meanwhile, both changes are kept, one after the other.
    """
    while True:
        with contextlib.suppress(ChangedMeanwhile):  # then the change is made of what is there now
            return _rewrite_once(file, change)


def _rewrite_once(file: Path, change: Change) -> str:
    before = read_text(file)
    _, after, what = changed_craft(file, before, change)
    if after != before:
        Journal(file).save(before, after, what)
    return what


def changed_craft(file: Path, before: str, change: Change) -> tuple[Craft, str, str]:
    """The craft that a change makes of the text `before`, its new text, and what was done; nothing is written.

    Raises InputError when the text, or what becomes of it, is no craft.
    """
    read_toml(file, before)  # a broken file gets its own message, with the line
    try:
        document = tomlkit.parse(before)
    except ParseError as error:  # pragma: no cover - tomllib has accepted it
        raise InputError(Problem(str(error), "Mend the file first.", "", file)) from None
    what = change(document)
    after = tomlkit.dumps(document)
    if before.count("\r\n") == before.count("\n") > 0:  # a new line ends like the others
        after = after.replace("\r\n", "\n").replace("\n", "\r\n")
    return read_craft(file, text=after), after, what


def accept_finding(file: Path, code: str, reason: str) -> str:
    """Write a `[[waive]]` of `code` with its reason, or give a standing one a new reason."""

    def change(document: tomlkit.TOMLDocument) -> str:
        waivers = document.get("waive") or document.setdefault("waive", tomlkit.aot())
        standing = next((one for one in waivers if one.get("code") == code), None)
        if standing is None:
            waivers.append(tomlkit.item({"code": code, "reason": reason}))
        else:
            standing["reason"] = reason
        return f"{code} accepted"

    return rewrite_craft(file, change)


def undo_change(file: Path) -> str:
    """Take the latest change of `file` back; returns what it was."""
    return Journal(file).undo().what


def _apply(document: tomlkit.TOMLDocument, change: str, file: Path) -> str:
    """Make one change; returns what went with it, such as values that belonged to the part before."""
    if any("\ud800" <= letter <= "\udfff" for letter in change):
        raise InputError(Problem("a change holds bytes that are not text", "Write it as UTF-8.", "", file))
    target, equals, value = change.partition("=")
    names = target.strip().split(".")
    if not equals or not all(names):
        fix = "Write it as battery.use=NAME or site.altitude_m=300."
        raise InputError(Problem(f"'{change}' is not a change", fix, "", file))
    table = _table(document, names[:-1], file, change)
    if not value.strip():
        if names[-1] not in table:
            raise InputError(Problem(f"'{change}': there is no such key to remove", "Nothing was changed.", "", file))
        del table[names[-1]]
        return ""
    dropped = drop_what_is_stale(document, table, value.strip()) if names[-1] == "use" else []
    for other in [name for name in table if name != names[-1] and _is_same_field(name, names[-1])]:
        del table[other]
    try:
        put_key(table, names[-1], tomlkit.value(value.strip()))
    except ParseError:
        put_key(table, names[-1], value.strip())  # a plain word needs no quotes here
    return f" (dropped {', '.join(dropped)}: true of the part before)" if dropped else ""


def _is_same_field(one: str, other: str) -> bool:
    """Whether two keys say one thing in two units, such as `mass_g` and `mass_oz`."""
    fields = [{(stem, unit.dimension) for stem, unit in split_key(key)} for key in (one, other)]
    return bool(fields[0] & fields[1])


def put_key(table: Any, key: str, value: Any) -> None:
    """Set a key; a new one comes behind the others, before the comments that lead over to the next table."""
    body = table.value.body if isinstance(table, Table) and key not in table else []
    tail = []
    while body and body[-1][0] is None:
        tail.append(body.pop())
    table[key] = value
    body.extend(reversed(tail))


def drop_what_is_stale(document: tomlkit.TOMLDocument, table: Any, use: str) -> list[str]:
    """A reading and a reason belong to the part they speak of, and a weighing of the craft to the parts it had.

    Takes them out before another part, `use`, comes into the place of `table`; returns the keys that went.
    """
    if table.get("use") == use.strip("\"'"):
        return []
    # the tilt of a camera is how it is put on, not what it is
    stale = [name for name in table if name == "why" or (not belongs(name, PartUse) and not name.startswith("tilt_"))]
    for name in stale:
        del table[name]
    if "weighed" in document:
        del document["weighed"]
        stale.append("[weighed]")
    return stale


def _table(document: Any, names: list[str], file: Path, change: str) -> Any:
    if not names:
        return document
    if names[0] in TOP_TABLES and names[0] not in document:
        document.add(names[0], tomlkit.table())
    first = document.get(names[0])
    table = _part(document, names[0], file) if first is None or isinstance(first, AoT) else first
    for name in names[1:]:
        table = table.get(name) if isinstance(table, MutableMapping) else None
    if isinstance(table, MutableMapping):
        return table
    ids = sorted({str(part.get("id") or part.get("role") or part.get("use")) for part in document.get("part", [])})
    fix = f"Parts here: {', '.join(ids)}."
    raise InputError(Problem(f"'{change}': no table or part '{'.'.join(names)}'", fix, "", file))


def _part(document: Any, name: str, file: Path) -> Any:
    """The `[[part]]` whose id, role, shelf name or kind is `name`, or None."""
    parts = document.get("part", [])
    for key in ("id", "role", "use"):
        for part in parts:
            if part.get(key) == name:
                return part
    with contextlib.suppress(InputError):  # a role that is not written is the kind
        for placed in read_craft(file, text=tomlkit.dumps(document)).parts:
            if placed.role == name or placed.part.kind == name:
                return parts[placed.key[1]]
    return None
