"""Parts of a shelf found by words: kinds, the trade's abbreviations, and what stands in names, tags and notes."""

from collections.abc import Iterable

from rotorwright.parts.kinds import kind_of_word
from rotorwright.parts.part import Part

__all__ = ["find_by_words", "matches"]


def find_by_words(parts: Iterable[Part], words: str, kind: type[Part] | None = None) -> list[Part]:
    """Parts that every word of `words` fits, best first; of one kind only, when `kind` is given.

    A kind's own word or abbreviation (ESC, VTX, BEC, RX ...) means every part of that kind.
    """
    wanted = words.lower().split()
    found = [part for part in parts if kind is None or type(part) is kind]
    fitting = [(_rank(part, wanted), part) for part in found if matches(part, words)]
    return [part for _, part in sorted(fitting, key=lambda pair: pair[0])]  # equals stay in shelf order


def matches(part: Part, words: str) -> bool:
    """Whether every word fits a part: its kind, its name, its tags or its note."""
    text = _text(part)
    own = words.lower().split()
    whole = kind_of_word(words)
    return (whole is not None and isinstance(part, whole)) or all(
        word in text or ((kind := kind_of_word(word)) is not None and isinstance(part, kind)) for word in own
    )


def _text(part: Part) -> str:
    return " ".join((part.name, part.kind, part.kind.replace("-", " "), *part.tags, part.note, *part.also)).lower()


def _rank(part: Part, words: list[str]) -> int:
    """Parts of a kind that was named first, then those with the words in the name, then the rest."""
    if any((kind := kind_of_word(word)) is not None and isinstance(part, kind) for word in words):
        return 0
    return 1 if all(word in part.name.lower() for word in words) else 2
