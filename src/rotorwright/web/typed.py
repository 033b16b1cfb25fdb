"""What was typed into a field, as numbers; a mistype is refused in words."""

import re

from rotorwright.errors import InputError, Problem

__all__ = ["typed_number", "typed_numbers"]


def typed_number(text: str, what: str) -> float:
    """The number in `text`, with a point or a comma; InputError when it is none."""
    try:
        return float(text.strip().replace(",", ".").replace("\u2212", "-"))
    except ValueError:
        raise InputError(Problem(f"{what}: '{text.strip()}' is not a number", "Write it as 33.1.")) from None


def typed_numbers(text: str, what: str) -> list[float]:
    """Numbers with commas or blanks between them."""
    return [typed_number(one, what) for one in re.split(r"[;,\s]+", text.strip()) if one]
