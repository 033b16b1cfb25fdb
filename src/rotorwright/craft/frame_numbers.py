"""The numbers of a craft's `[frame]` as a list, and the file with one of them changed."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import tomlkit

from rotorwright.craft.edit import rewrite_craft
from rotorwright.units import split_key

__all__ = ["FrameNumber", "frame_numbers", "set_frame_number", "with_frame_number"]

Keys = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class FrameNumber:
    """One number of the frame: keys and indices that lead to it below `[frame]`, and its value as the file has it."""

    path: Keys
    group: str
    name: str
    unit: str
    value: float


def frame_numbers(text: str) -> tuple[FrameNumber, ...]:
    """Every number below `[frame]` of a craft file's text, in the file's order."""
    return tuple(_numbers(tomlkit.parse(text).unwrap().get("frame", {}), (), "layout"))


def _numbers(table: dict[str, Any], path: Keys, group: str) -> Iterator[FrameNumber]:
    for key, value in table.items():
        if isinstance(value, dict) and "value" not in value:
            yield from _numbers(value, (*path, key), key)
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            for k, one in enumerate(value):
                named = one.get("name") or one.get("shape") or one.get("over") or str(k + 1)
                yield from _numbers(one, (*path, key, k), f"{group}, {key} {named}" if path else f"{key} {named}")
        else:
            yield from _leaf(key, value, path, group)


def _leaf(key: str, value: Any, path: Keys, group: str) -> Iterator[FrameNumber]:
    found = split_key(key)
    name, unit = (found[0][0], found[0][1].suffix) if found else (key, "")
    name = name.replace("_", " ")
    if isinstance(value, dict):
        yield from _leaf(key, value.get("value"), path, group) if "value" in value else ()
    elif isinstance(value, list):
        for k, one in enumerate(value):
            if _is_number(one):
                yield FrameNumber((*path, key, k), group, f"{name} {k + 1}", unit, float(one))
    elif _is_number(value):
        yield FrameNumber((*path, key), group, name, unit, float(value))


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def with_frame_number(text: str, path: Keys, value: float) -> str:
    """The craft file's text with one number of its frame changed; nothing is written."""
    document = tomlkit.parse(text)
    _put(document, path, value)
    return tomlkit.dumps(document)


def set_frame_number(file: Path, path: Keys, value: float) -> str:
    """Change one number of the frame in the file, through the journal; returns what was done."""

    def change(document: tomlkit.TOMLDocument) -> str:
        _put(document, path, value)
        return f"frame {' '.join(str(step + 1 if isinstance(step, int) else step) for step in path)} = {value:g}"

    return rewrite_craft(file, change)


def _put(document: tomlkit.TOMLDocument, path: Keys, value: float) -> None:
    """Set the number at `path`; a value with its basis keeps the basis."""
    table: Any = document["frame"]
    for step in path[:-1]:
        table = table[step]
    number: float | int = int(value) if float(value).is_integer() else round(value, 6)
    standing = table[path[-1]]
    if isinstance(standing, dict) and "value" in standing:
        standing["value"] = number
    else:
        table[path[-1]] = number
