"""Drag areas of any number of combinations: the union of all boxes' shadows, as for one craft (`columns.drag_areas`).

What is not chosen is cast once for each class of heights and copied; only the chosen parts are cast on top of it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns.flight import DRAG_COEFFICIENT, extent_of
from rotorwright.craft.model import PlacedPart
from rotorwright.parts.propulsion import Propeller
from rotorwright.physics.compiled import kernel
from rotorwright.physics.rigid_body import rotation_matrix
from rotorwright.physics.silhouette import box_corners, cover, raster
from rotorwright.search.assembly import Assembly, outline

__all__ = ["Shadows", "shadows_of"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]


@dataclass(frozen=True)
class Shadows:
    """Boxes of all parts in place, and where those of each part begin.

    stated: drag areas from ahead and above where the craft states them, else NaN [m2]
    corners: of every box (b, 8, 3) [m]; fixed: first and last box by class (classes, 2); chosen: by place (classes
    or 1, candidates, 2); shapes: by place a number that is the same for parts in place of the same outline
    """

    stated: tuple[float, float]
    deciding: tuple[int, ...]
    classes: Index
    corners: Array
    fixed: Index
    chosen: tuple[Index, ...]
    shapes: tuple[Index, ...]

    def areas(self, index: Index) -> Array:
        """Drag areas from ahead and from above of combinations (n, places): (n, 2) [m2]."""
        at = self.classes[tuple(index[:, k] for k in self.deciding)] + np.zeros(len(index), np.int64)
        own = [x[at if len(x) > 1 else 0, index[:, k]] for k, x in enumerate(self.chosen)]
        boxes = np.stack([self.fixed[at], *own], axis=1)
        keys, back = np.unique(boxes.reshape(len(boxes), 2 * boxes.shape[1]), axis=0, return_inverse=True)
        found = np.empty((len(keys), 2))
        for column, (a, b) in enumerate(((1, 2), (0, 1))):
            if np.isnan(self.stated[column]):
                step = raster(np.ptp(self.corners[:, :, (a, b)], axis=(0, 1))) if len(self.corners) else raster()
                _shadows(self.corners, keys.reshape(len(keys), boxes.shape[1], 2), a, b, step, found[:, column])
                found[:, column] *= DRAG_COEFFICIENT
            else:
                found[:, column] = self.stated[column]
        return found[back.ravel()]


def shadows_of(assembly: Assembly) -> Shadows:
    """The shadows of an assembly."""
    boxes: list[Array] = []
    known: dict[object, tuple[int, int]] = {}

    def of(parts: Sequence[PlacedPart]) -> tuple[int, int]:
        key = tuple(outline(p) for p in parts if not isinstance(p.part, Propeller))
        if key not in known:
            first = len(boxes)
            boxes.extend(box for part in parts for box in _boxes(part))
            known[key] = (first, len(boxes))
        return known[key]

    fixed = np.array([of(parts) for parts in assembly.fixed])
    chosen = tuple(np.array([[of((p,)) for p in row] for row in rows]) for rows in assembly.chosen)
    numbers = {span: k for k, span in enumerate(dict.fromkeys(known.values()))}
    flight = assembly.craft.flight
    ahead, above = (area.value if area else np.nan for area in (flight.drag_area, flight.drag_area_top))
    return Shadows(
        stated=(ahead, above),
        deciding=assembly.deciding,
        classes=assembly.classes,
        corners=np.array(boxes).reshape(-1, 8, 3),
        fixed=fixed,
        chosen=chosen,
        shapes=tuple(np.array([[numbers[tuple(span)] for span in row] for row in rows.tolist()]) for rows in chosen),
    )


def _boxes(placed: PlacedPart) -> list[Array]:
    """Corners of the boxes of one part; none of a propeller, nor of what has no size and no mass."""
    extent = extent_of(placed)
    if isinstance(placed.part, Propeller) or not extent.all():
        return []
    return [
        box_corners(np.array([p.x, p.y, p.z]), rotation_matrix(p.roll, p.pitch, p.yaw), extent) for p in placed.places
    ]


@kernel
def _cast(covered: Any, corners: Any, span: Any, a: int, b: int, low: Any, step: float) -> None:
    """Cover what the boxes from span[0] to span[1] hide across the axes a and b."""
    points = np.empty((8, 2))
    for box in range(span[0], span[1]):
        for k in range(8):
            points[k, 0] = (corners[box, k, a] - low[0]) / step
            points[k, 1] = (corners[box, k, b] - low[1]) / step
        cover(covered, points)


@kernel
def _lowest(corners: Any, spans: Any, a: int, b: int, low: Any) -> None:
    """Least coordinates of all boxes of a craft; fills `low`."""
    low[:] = np.inf
    for s in range(spans.shape[0]):
        for box in range(spans[s, 0], spans[s, 1]):
            for k in range(8):
                low[0] = min(low[0], corners[box, k, a])
                low[1] = min(low[1], corners[box, k, b])


@kernel
def _shadows(corners: Any, keys: Any, a: int, b: int, step: float, areas: Any) -> None:
    """Area of the union of each craft's shadows across the axes a and b; keys: (n, spans, 2), what is fixed first."""
    size = np.empty(2, np.int64)
    for d in range(2):
        axis = a if d == 0 else b
        size[d] = int(np.ceil((corners[:, :, axis].max() - corners[:, :, axis].min()) / step)) + 1
    base, covered = np.zeros((size[0], size[1])), np.zeros((size[0], size[1]))
    low, last, first = np.empty(2), np.full(2, np.nan), -1
    for i in range(keys.shape[0]):
        _lowest(corners, keys[i], a, b, low)
        if keys[i, 0, 0] != first or low[0] != last[0] or low[1] != last[1]:
            base[:] = 0.0
            _cast(base, corners, keys[i, 0], a, b, low, step)
            first, last[0], last[1] = keys[i, 0, 0], low[0], low[1]
        covered[:] = base
        for s in range(1, keys.shape[1]):
            _cast(covered, corners, keys[i, s], a, b, low, step)
        areas[i] = covered.sum() * step * step
