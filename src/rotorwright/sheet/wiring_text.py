"""How wide words are in a picture, before any font is known; cutting and wrapping them to a width."""

import re

__all__ = ["shortened", "width_of", "wrapped"]

# Shares of the type size, of the widest of the usual sans-serif fonts; bold letters are a tenth wider.
_WIDTHS = {
    **dict.fromkeys("ijlI|.,:;'!() ", 0.40),
    **dict.fromkeys("ftr-/[]", 0.43),
    **dict.fromkeys("mMW\u00d7\u2212+=@%", 0.98),
    **dict.fromkeys("wABCDEFGHKLNOPQRSTUVXYZ&", 0.82),
}
_USUAL, _WIDE, _BOLD = 0.65, 1.05, 1.1
_ELLIPSIS = "\u2026"


def width_of(words: str, size: float, bold: bool = False) -> float:
    """An upper bound of the width of `words` at a type size, in the unit of the size."""
    shares = (_WIDTHS.get(letter, _USUAL if letter.isascii() else _WIDE) for letter in words)
    return size * sum(shares) * (_BOLD if bold else 1.0)


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
