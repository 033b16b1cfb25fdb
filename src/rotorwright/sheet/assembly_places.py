"""What lies over what on a craft: the order in which it can be put together follows from it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.geometry.base import BaseGeometry

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.parts.hardware import Plate, Screw, Tube
from rotorwright.predict.clearance import bodies

__all__ = ["BOARDS", "Places", "Standing", "is_base", "is_carbon"]

BOARDS = ("speed-controller", "flight-controller", "video-transmitter", "regulator")
"""Kinds that have pads to solder to."""

# A board is covered where a third of it is, by something no further above than a finger reaches: judgement.
_COVERED, _REACH = 0.33, 40e-3
# Parts that touch by design overlap by their drawings' play [m].
_PLAY = 2e-3


@dataclass(frozen=True, slots=True)
class Standing:
    """Lowest and highest point of a part [m], and what it covers seen from above."""

    low: float
    high: float
    footprint: BaseGeometry


def is_base(placed: PlacedPart) -> bool:
    """Whether a part is a plate or an arm of the frame."""
    if placed.role in ("motor-pad", "motor-mount"):
        return False
    return placed.role in ("arm", "deck", "cage") or isinstance(placed.part, Plate | Tube)


def is_carbon(placed: PlacedPart) -> bool:
    """Whether a part is cut from carbon laminate or tube; polycarbonate is not."""
    return isinstance(placed.part, Plate | Tube) and bool(re.search(r"\bcarbon", placed.part.material.lower()))


class Places:
    """The craft's parts in space, looked at once."""

    def __init__(self, craft: Craft) -> None:
        self.craft = craft
        self._known = {id(placed): _standing(craft, placed) for placed in craft.parts}
        boards = [p for p in craft.parts if p.part.kind in BOARDS]
        plates = [p for p in craft.parts if is_base(p) and p.role != "arm"]
        self.closing = [deck for deck in plates if any(self.covers(deck, board) for board in boards)]
        """Decks that lie over boards."""

    def of(self, placed: PlacedPart) -> Standing | None:
        """Where a part stands; None when nobody said."""
        return self._known[id(placed)]

    def height(self, placed: PlacedPart) -> float:
        """Middle height of a part [m]; 0 when nobody said."""
        stands = self.of(placed)
        return (stands.low + stands.high) / 2 if stands else 0.0

    def covers(self, upper: PlacedPart, lower: PlacedPart) -> bool:
        """Whether `upper` lies so over `lower` that its pads and screws cannot be reached."""
        a, b = self.of(upper), self.of(lower)
        if upper is lower or a is None or b is None or not -_PLAY <= a.low - b.high <= _REACH:
            return False
        area = b.footprint.area
        if area == 0.0:
            return bool(a.footprint.intersects(b.footprint))
        return bool(a.footprint.intersection(b.footprint).area >= _COVERED * area)

    def gap(self, upper: PlacedPart, lower: PlacedPart) -> float:
        """Height between two parts of which one covers the other [m]."""
        a, b = self.of(upper), self.of(lower)
        assert a is not None and b is not None
        return max(a.low - b.high, 0.0)

    def covering(self, placed: PlacedPart, among: Sequence[PlacedPart]) -> list[PlacedPart]:
        """Which of `among` cover a part."""
        return [other for other in among if self.covers(other, placed)]

    def through(self, placed: PlacedPart) -> list[PlacedPart]:
        """Plates and boards that a screw goes through, or that a nut or ring touches, where it stands.

        A nut that touches a board is the board's, whatever plate is near.
        """
        own = self.of(placed)
        if own is None:
            return []
        play = 0.0 if isinstance(placed.part, Screw) else _PLAY
        spot, found = own.footprint.centroid, []
        for other in self.craft.parts:
            there = self.of(other)
            solid = is_base(other) or other.part.kind in BOARDS
            if solid and there and own.low - play <= there.high and there.low <= own.high + play:
                found += [other] if there.footprint.intersects(spot) else []
        boards = [other for other in found if other.part.kind in BOARDS]
        return sorted(boards if boards and play else found, key=self.height)


def _standing(craft: Craft, placed: PlacedPart) -> Standing | None:
    if placed.assumed or not placed.places:
        return None
    found = bodies(replace(craft, parts=(placed,)))
    if found:
        together: BaseGeometry = shapely.union_all([body.footprint for body in found])
        return Standing(min(body.low for body in found), max(body.high for body in found), together)
    points = shapely.MultiPoint([(place.x, place.y) for place in placed.places])
    heights = [place.z for place in placed.places]
    return Standing(min(heights), max(heights), points)
