"""What was typed into a field, as numbers; a mistype is refused in words."""

import math
import re

from rotorwright.errors import InputError, Problem

__all__ = ["typed_number", "typed_numbers"]


def typed_number(text: str, what: str) -> float:
    """The number in `text`, with a point or a comma; InputError when it is none, or has no end."""
    try:
        number = float(text.strip().replace(",", ".").replace("\u2212", "-"))
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        shown = text.strip() if len(text) <= 40 else f"{text.strip()[:37]}..."
        raise InputError(Problem(f"{what}: '{shown}' is not a number", "Write it as 33.1."))
    return number


def typed_numbers(text: str, what: str) -> list[float]:
    """Numbers with commas or blanks between them."""
    return [typed_number(one, what) for one in re.split(r"[;,\s]+", text.strip()) if one]
