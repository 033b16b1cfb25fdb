"""What every part has, whatever its kind."""

from dataclasses import dataclass
from typing import ClassVar

from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import number, quantity, series, text, texts

__all__ = ["Part"]


@dataclass(frozen=True, kw_only=True)
class Part:
    """A thing with a mass that can be bought, cut or printed."""

    kind: ClassVar[str] = "part"
    also: ClassVar[tuple[str, ...]] = ()

    name: str = text("a name, unique on the shelf", required=True)
    mass: Estimate | None = quantity("mass", "mass of one piece, with its own leads and screws unless noted")
    size: tuple[float, ...] | None = series(
        "outer size along x, y, z as it lies when not turned", "length", length=3, low=1e-6
    )
    price: float | None = number("price of one pack in the workshop's currency")
    pieces: int = number("pieces in a pack", whole=True, low=1, default=1)
    note: str = text("anything worth knowing")
    source: str = text("where the numbers come from")
    tags: tuple[str, ...] = texts("words to find it by")
