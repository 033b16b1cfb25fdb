"""One step of assembly, and the words it is told in."""

from collections.abc import Sequence
from dataclasses import dataclass

from rotorwright.craft.model import PlacedPart

__all__ = ["Step", "listed", "mm", "sentences", "told"]


@dataclass(frozen=True, slots=True)
class Step:
    """One step: parts that go on in it, what to do, why now, and what to see afterwards."""

    title: str
    parts: tuple[PlacedPart, ...]
    do: str
    why: str
    expect: str = ""


def mm(metres: float) -> str:
    """A length in millimetres."""
    return f"{metres * 1e3:.1f}".removesuffix(".0") + " mm"


def told(parts: Sequence[PlacedPart]) -> str:
    """Ids with their counts."""
    return ", ".join(f"{p.count} \u00d7 {p.id}" if p.count > 1 else p.id for p in parts)


def listed(parts: Sequence[PlacedPart]) -> str:
    """Ids in a sentence."""
    names = [p.id for p in parts]
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def sentences(parts: Sequence[str]) -> str:
    """Clauses as sentences."""
    kept = [part.strip().rstrip(".") for part in parts if part.strip()]
    return " ".join(f"{part[0].upper()}{part[1:]}." for part in kept)
