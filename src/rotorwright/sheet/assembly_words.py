"""One step of assembly, and the words it is told in."""

from collections.abc import Sequence
from dataclasses import dataclass

from rotorwright.craft.model import Craft, PlacedPart

__all__ = ["Step", "listed", "mm", "seated", "sentences", "told"]


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


def seated(craft: Craft) -> str:
    """What is seen of propellers that are held as this craft holds them."""
    nuts = [p for p in craft.parts if p.role == "propeller-nut" or p.id.startswith("propeller-nut")]
    screws = [p for p in craft.parts if p.role == "propeller-screw" or p.id.startswith("propeller-screw")]
    if nuts and not screws:
        return "nuts past their locks"
    return "screws seated" if screws and not nuts else "nuts past their locks or screws seated"


def sentences(parts: Sequence[str]) -> str:
    """Clauses as sentences."""
    kept = [part.strip().rstrip(".") for part in parts if part.strip()]
    return " ".join(f"{part[0].upper()}{part[1:]}." for part in kept)
