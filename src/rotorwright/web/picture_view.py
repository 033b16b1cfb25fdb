"""One side of the craft as it is seen: where its points lie in the picture, in millimetres, y downwards."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from rotorwright.craft.model import Craft, Place
from rotorwright.parts.propulsion import Motor, Propeller
from rotorwright.predict.craft_bodies import EYES, CraftBody, Mark, craft_bodies, marks

__all__ = ["SIDES", "Piece", "View"]

Array = NDArray[np.float64]

SIDES = {"above": "From above", "left": "From the left", "ahead": "From ahead"}
"""Sides from which the craft is drawn, by the names of their eyes."""

# Room for dimension lines round what is seen: left and top, right and bottom [mm]. Edges keep to whole steps, so that
# a small move of a part does not shift the picture.
_ROOM = {"above": ((6.0, 24.0), (6.0, 6.0)), "": ((6.0, 14.0), (24.0, 10.0))}
_STEP = 10.0


@dataclass(frozen=True)
class Piece:
    """One copy of a part as it is seen: its outline [mm], how near it is [m], and the mark it has instead of one."""

    id: str
    copy: int
    kind: str
    role: str
    shape: shapely.Geometry | None
    near: float
    mark: Mark | None = None


class View:
    """The craft seen from one side; `box` is x, y, width and height of the picture [mm]."""

    def __init__(self, craft: Craft, side: str) -> None:
        self.craft, self.side, self.eye = craft, side, EYES[side]

    def point(self, x: float, y: float, z: float) -> tuple[float, float]:
        """A point of the craft [m] in the picture [mm]."""
        right, up, _ = self.eye @ np.array([x, y, z]) * 1e3
        return float(right), float(-up)

    def place(self, place: Place) -> tuple[float, float]:
        """The middle of a part in the picture [mm]."""
        return self.point(place.x, place.y, place.z)

    @cached_property
    def disc(self) -> float:
        """Diameter of the propeller discs [m], 0 when it is not known."""
        placed = self.craft.the("propeller")
        part = placed.part if placed else None
        return part.diameter.value if isinstance(part, Propeller) and part.diameter else 0.0

    @cached_property
    def motor(self) -> float:
        """Radius of the motors [mm], that of a usual one when it is not known."""
        placed = self.craft.the("motor")
        part = placed.part if placed else None
        return 500 * part.diameter.value if isinstance(part, Motor) and part.diameter else 12.0

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """Everything that is seen, far ones first; what has no outline comes last."""
        groups: dict[tuple[str, int], list[CraftBody]] = {}
        for body in craft_bodies(self.craft):
            groups.setdefault((body.id, body.copy), []).append(body)
        outlined = sorted((self._piece(*key, bodies) for key, bodies in groups.items()), key=lambda p: p.near)
        by_id = {placed.id: placed for placed in self.craft.parts}
        dots = [Piece(m.id, m.copy, by_id[m.id].part.kind, by_id[m.id].role, None, 0.0, m) for m in marks(self.craft)]
        return (*outlined, *dots)

    def _piece(self, id: str, copy: int, bodies: Sequence[CraftBody]) -> Piece:
        shapes = [body.silhouette(self.eye) for body in bodies]
        shape = shapely.unary_union(shapes) if len(shapes) > 1 else shapes[0]
        near = max(float((body.corners() @ self.eye[2]).max()) for body in bodies)
        paper = shapely.transform(shape, lambda xy: xy * [1e3, -1e3])
        return Piece(id, copy, bodies[0].kind, bodies[0].role, paper, near)

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, width and height of the picture [mm]."""
        reach = np.array(list(self._reach()) or [(-50.0, -50.0), (50.0, 50.0)])
        before, behind = _ROOM.get(self.side, _ROOM[""])
        low = np.floor((reach.min(axis=0) - before) / _STEP) * _STEP
        high = np.ceil((reach.max(axis=0) + behind) / _STEP) * _STEP
        return float(low[0]), float(low[1]), float(high[0] - low[0]), float(high[1] - low[1])

    def _reach(self) -> Iterator[tuple[float, float]]:
        for piece in self.pieces:
            if piece.shape is not None and not piece.shape.is_empty:
                x0, y0, x1, y1 = piece.shape.bounds
                yield from ((x0, y0), (x1, y1))
            elif piece.mark is not None:
                yield self.place(piece.mark.place)
        r = 500 * self.disc
        for motor in self.craft.motors:
            x, y = self.point(motor.x, motor.y, motor.z)
            tall = r if self.side == "above" else 0.0
            yield from ((x - r, y - tall), (x + r, y + tall))
