"""Free places in a picture for words and numbers: over nothing else, as near as can be to what they name."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

__all__ = ["Spot", "Spots"]

_STEP = 7.0


@dataclass(frozen=True, slots=True)
class Spot:
    """The middle of a free place, and where a line from it ends on what it names."""

    x: float
    y: float
    foot: tuple[float, float]


class Spots:
    """Places given away one after the other within `bounds` (left, top, right, bottom)."""

    def __init__(self, bounds: tuple[float, float, float, float], taken: Sequence[shapely.Geometry] = ()) -> None:
        self.bounds, self.taken = bounds, [shape for shape in taken if not shape.is_empty]
        self.given: list[shapely.Geometry] = []

    def near(
        self, target: shapely.Geometry, half: tuple[float, float], reach: float, least: float = 0.0
    ) -> Spot | None:
        """The free place nearest to `target`, `half` its half width and height; None when none is within `reach`.

        Neither the place nor the line from it to `target` lies over a place given before; the place keeps off all
        that is taken, and `least` away from its target.
        """
        x0, y0, x1, y1 = target.bounds
        xs, ys = self._grid((x0 - reach, y0 - reach, x1 + reach, y1 + reach), half)
        boxes = shapely.box(xs - half[0], ys - half[1], xs + half[0], ys + half[1])
        free = np.ones(len(boxes), dtype=bool)
        for shapes in (self.taken, self.given):
            if shapes and len(boxes):
                free[shapely.STRtree(shapes).query(boxes, predicate="intersects")[0]] = False
        far = shapely.distance(boxes, target)
        free &= (far <= reach) & (far >= least)
        for k in np.lexsort((xs, ys, far.round(3))):
            if free[k] and (spot := self._joined(target, float(xs[k]), float(ys[k]))) is not None:
                self.given.append(boxes[k])
                return spot
        return None

    def _grid(
        self, window: tuple[float, ...], half: tuple[float, float]
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        low_x, low_y = max(self.bounds[0] + half[0], window[0]), max(self.bounds[1] + half[1], window[1])
        high_x, high_y = min(self.bounds[2] - half[0], window[2]), min(self.bounds[3] - half[1], window[3])
        xs, ys = np.meshgrid(np.arange(low_x, high_x, _STEP), np.arange(low_y, high_y, _STEP))
        return xs.ravel(), ys.ravel()

    def _joined(self, target: shapely.Geometry, x: float, y: float) -> Spot | None:
        """The place with its line, unless that crosses a place given before."""
        line = shapely.shortest_line(shapely.Point(x, y), target)
        if any(line.intersects(shape) for shape in self.given):
            return None
        foot = shapely.get_coordinates(line)[-1]
        return Spot(x, y, (float(foot[0]), float(foot[1])))
