"""How wide words are in a picture, before any font is known."""

__all__ = ["width_of"]

# Shares of the type size, of the widest of the usual sans-serif fonts; bold letters are a tenth wider.
_WIDTHS = {
    **dict.fromkeys("ijlI|.,:;'!() ", 0.40),
    **dict.fromkeys("ftr-/[]", 0.43),
    **dict.fromkeys("mMW\u00d7\u2212+=@%", 0.98),
    **dict.fromkeys("wABCDEFGHKLNOPQRSTUVXYZ&", 0.82),
}
_USUAL, _WIDE, _BOLD = 0.65, 1.05, 1.1


def width_of(words: str, size: float, bold: bool = False) -> float:
    """An upper bound of the width of `words` at a type size, in the unit of the size."""
    shares = (_WIDTHS.get(letter, _USUAL if letter.isascii() else _WIDE) for letter in words)
    return size * sum(shares) * (_BOLD if bold else 1.0)
