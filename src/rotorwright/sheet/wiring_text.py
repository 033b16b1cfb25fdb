"""Cutting and wrapping words to a width in a picture, before any font is known."""

import re

from rotorwright.frame.export.letters import width_of

__all__ = ["shortened", "width_of", "wrapped"]

_ELLIPSIS = "\u2026"


def shortened(words: str, size: float, room: float, bold: bool = False) -> str:
    """`words`, or as much of their beginning as fits into `room`, with an ellipsis."""
    if width_of(words, size, bold) <= room:
        return words
    kept = words
    while kept and width_of(kept + _ELLIPSIS, size, bold) > room:
        kept = kept[:-1]
    return kept.rstrip(" -,") + _ELLIPSIS


def wrapped(words: str, size: float, room: float, lines: int, bold: bool = False) -> tuple[str, ...]:
    """`words` broken at spaces and hyphens into at most `lines` lines of width `room`; what is left over is cut."""
    found: list[str] = []
    line = ""
    for joint, piece in re.findall(r"(\s*)([^\s-]*-+|[^\s-]+)", words):
        longer = f"{line}{' ' if joint and line else ''}{piece}"
        if line and width_of(longer, size, bold) > room:
            found.append(line)
            longer = piece
        line = longer
    found.append(line)
    if len(found) > lines:
        rest = " ".join(found[lines - 1 :])
        found = [*found[: lines - 1], rest if width_of(rest, size, bold) > room else rest + _ELLIPSIS]
    return tuple(shortened(one, size, room, bold) for one in found)
