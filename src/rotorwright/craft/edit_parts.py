"""Changes of the parts of a craft file: one put on, taken off, replaced, told more exactly; comments stay."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.items import Whitespace

from rotorwright.craft.edit import Change, drop_what_is_stale, put_key, rewrite_craft
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.errors import InputError, Problem
from rotorwright.units import split_key

__all__ = [
    "add_part",
    "adding",
    "free_id",
    "remove_part",
    "replace_part",
    "replacing",
    "set_entry",
    "set_estimate",
    "setting",
]

Body = list[tuple[Any, Any]]


def free_id(craft: Craft, role: str) -> str:
    """An id for one more part of a role: the role itself, or the role with the next free number."""
    taken = {placed.id for placed in craft.parts}
    number = 2
    while (name := role if role not in taken else f"{role}-{number}") in taken:
        number += 1
    return name


def add_part(file: Path, use: str, *, role: str = "", id: str = "", more: Mapping[str, Any] | None = None) -> str:
    """Put a part of the shelf on the craft, behind the others; returns what was done.

    more: further keys of `[[part]]`, such as `why` or `at_mm`.
    A whole-craft weighing goes, for it did not hold this part.
    """
    return rewrite_craft(file, adding(use, role=role, id=id, more=more))


def adding(use: str, *, role: str = "", id: str = "", more: Mapping[str, Any] | None = None) -> Change:
    """The change that `add_part` writes."""

    def change(document: tomlkit.TOMLDocument) -> str:
        entry = tomlkit.table()
        for key, value in {"use": use, "role": role, "id": id if id != role else "", **(more or {})}.items():
            if value not in ("", None):
                entry[key] = value
        dropped = _drop_weighing(document)
        parts: Any = document.get("part") or document.setdefault("part", tomlkit.aot())
        tail = _tail(parts[-1].value.body) if len(parts) else []
        if len(parts):
            parts[-1].add(tomlkit.nl())
        parts.append(entry)
        entry.value.body.extend(tail)
        return f"{use} put on{f' as {id or role}' if id or role else ''}{dropped}"

    return change


def remove_part(file: Path, id: str) -> str:
    """Take the part called `id` off the craft; returns what was done."""

    def change(document: tomlkit.TOMLDocument) -> str:
        index = _index(document, file, id)
        dropped = _drop_weighing(document)
        parts: Any = document["part"]
        use, tail = str(parts[index]["use"]), _tail(parts[index].value.body)
        del parts[index]
        if index:
            _join(parts[index - 1].value.body, tail)
        else:  # the comment over the part that is now the first
            at = next((i for i, (key, _) in enumerate(document.body) if key is not None and key.key == "part"), None)
            if at is not None and any(not isinstance(item, Whitespace) for _, item in tail):
                document.body[at:at] = tail[1:] if isinstance(tail[0][1], Whitespace) else tail
        return f"{id} taken off (it was {use}){dropped}"

    return rewrite_craft(file, change)


def replace_part(file: Path, id: str, use: str, count: int | None = None) -> str:
    """Put another part of the shelf in the place of the part called `id`; readings of the old one go with it."""
    return rewrite_craft(file, replacing(file, id, use, count))


def replacing(file: Path, id: str, use: str, count: int | None = None) -> Change:
    """The change that `replace_part` writes."""

    def change(document: tomlkit.TOMLDocument) -> str:
        entry = _entry(document, file, id)
        before = entry["use"]
        dropped = drop_what_is_stale(document, entry, use)
        put_key(entry, "use", use)
        if count is not None:
            put_key(entry, "count", count)
        gone = f" (dropped {', '.join(dropped)}: true of the part before)" if dropped else ""
        return f"{id}: {use} instead of {before}{gone}"

    return change


def set_entry(file: Path, id: str, field: str, key: str = "", value: Any = None) -> str:
    """Write `key` (the field with its unit) of the part called `id`, in place of every other spelling of the field.

    Without a key the field is taken out, so that the shelf's value or the layout's place holds again.
    """
    return rewrite_craft(file, setting(file, id, field, key, value))


def setting(file: Path, id: str, field: str, key: str = "", value: Any = None) -> Change:
    """The change that `set_entry` writes."""

    def change(document: tomlkit.TOMLDocument) -> str:
        entry = _entry(document, file, id)
        old = [name for name in entry if name == field or any(stem == field for stem, _ in split_key(name))]
        if not key and not old:
            what = f"'{id}' has no {field} of its own"
            raise InputError(Problem(what, "Nothing was changed.", "", file))
        trivia = entry.value.item(old[0]).trivia if old else None
        for name in old:
            if name != key:
                del entry[name]
        if not key:
            return f"{id}: {field} as on the shelf"
        item = tomlkit.item(value)
        if trivia is not None and key not in old:  # what was noted behind the value stays behind it
            item.trivia.comment_ws, item.trivia.comment = trivia.comment_ws, trivia.comment
        put_key(entry, key, item)
        return f"{id}: {key} = {item.as_string()}"

    return change


def set_estimate(
    file: Path, id: str, field: str, suffix: str, value: float, *, basis: str = "", sd: float | None = None
) -> str:
    """Write a value of the part called `id` in the unit `suffix`, with its basis and standard deviation.

    A value of which neither is said counts as datasheet, as everywhere in the file.
    """
    told = {"value": _plain(value), "basis": basis or None, "sd": None if sd is None else _plain(sd)}
    said = {name: one for name, one in told.items() if one is not None}
    if set(said) == {"value"}:
        return set_entry(file, id, field, f"{field}_{suffix}", said["value"])
    pairs = ", ".join(f"{name} = {tomlkit.item(one).as_string()}" for name, one in said.items())
    return set_entry(file, id, field, f"{field}_{suffix}", tomlkit.value(f"{{ {pairs} }}"))


def _plain(value: float) -> float | int:
    """A whole number as people write it."""
    return int(value) if float(value).is_integer() and abs(value) < 1e15 else float(value)


def _index(document: tomlkit.TOMLDocument, file: Path, id: str) -> int:
    """Which `[[part]]` the part called `id` is; InputError when there is none."""
    craft = read_craft(file, text=tomlkit.dumps(document))
    for placed in craft.parts:
        if placed.id == id and placed.key[:1] == ("part",):
            return int(placed.key[1])
    if any(placed.id == id for placed in craft.parts):
        raise InputError(Problem(f"'{id}' is drawn by the frame", "Change [frame] instead.", "", file))
    ids = ", ".join(sorted({placed.id for placed in craft.parts if placed.key[:1] == ("part",)}))
    raise InputError(Problem(f"no part '{id}' on the craft", f"Parts here: {ids}.", "", file))


def _entry(document: tomlkit.TOMLDocument, file: Path, id: str) -> Any:
    parts: Any = document.get("part")
    return parts[_index(document, file, id)]


def _drop_weighing(document: tomlkit.TOMLDocument) -> str:
    """The weighed total holds for the parts it was weighed with only."""
    if "weighed" not in document:
        return ""
    del document["weighed"]
    return " (dropped [weighed]: true of the parts before)"


def _tail(body: Body) -> Body:
    """Blank lines and comments behind the last key, which belong to the table that follows; taken out."""
    tail: Body = []
    while body and body[-1][0] is None:
        tail.insert(0, body.pop())
    return tail


def _join(body: Body, tail: Body) -> None:
    """Put a tail behind a body that may end in blank lines already."""
    if body and tail and isinstance(body[-1][1], Whitespace) and isinstance(tail[0][1], Whitespace):
        tail = tail[1:]
    body.extend(tail)
