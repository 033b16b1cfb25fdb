"""Inertia of any number of combinations: sums of mass, first and second moments over all parts in their places.

About the craft's origin the moments of parts simply add; the parallel-axis theorem takes them to the common centre.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.craft.model import PlacedPart
from rotorwright.parts.solids import solid_of
from rotorwright.physics.compiled import kernel
from rotorwright.physics.rigid_body import rotated, rotation_matrix
from rotorwright.search.assembly import Assembly

__all__ = ["Moments", "about_centre", "extreme_inertia", "moments_of"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]


@dataclass(frozen=True)
class Moments:
    """Sums m (1, x, y, z, Jxx + y2 + z2, Jyy + x2 + z2, Jzz + x2 + y2) over parts, J their own inertia per mass.

    fixed: of the parts that are not chosen, by class (classes, 7); own: by place, of its candidates, (classes or 1,
    candidates, 7); deciding, classes: as in the assembly; axes: those about which anybody asks for turns
    """

    deciding: tuple[int, ...]
    classes: Index
    fixed: Array
    own: tuple[Array, ...]
    axes: tuple[int, ...]

    def of(self, index: Index) -> Array:
        """Sums of combinations (n, places): (n, 7)."""
        return self.of_core(index, range(len(self.own)))

    def of_core(self, index: Index, places: Iterable[int]) -> Array:
        """Sums without the places that are not named."""
        return self.fixed[self._class_of(index)] + self.of_places(index, places)

    def of_places(self, index: Index, places: Iterable[int]) -> Array:
        """Sums of the named places alone."""
        at, total = self._class_of(index), np.zeros((len(index), 7))
        for k in places:
            total += self.own[k][at if len(self.own[k]) > 1 else 0, index[:, k]]
        return total

    def _class_of(self, index: Index) -> Index:
        return np.asarray(self.classes[tuple(index[:, k] for k in self.deciding)] + np.zeros(len(index), np.int64))


def moments_of(assembly: Assembly, axes: tuple[int, ...]) -> Moments:
    """The sums of every part of an assembly."""
    known: dict[int, Array] = {}

    def of(placed: PlacedPart) -> Array:
        if id(placed) not in known:
            known[id(placed)] = _sums(placed)
        return known[id(placed)]

    fixed = np.array([np.sum([np.zeros(7), *(of(p) for p in parts)], axis=0) for parts in assembly.fixed])
    own = tuple(np.array([[of(p) for p in row] for row in rows]) for rows in assembly.chosen)
    return Moments(assembly.deciding, assembly.classes, fixed, own, axes)


def _sums(placed: PlacedPart) -> Array:
    """Sums of the pieces of one part; nothing where its mass or its place is unknown."""
    total = np.zeros(7)
    if placed.part.mass is None or not placed.places:
        return total
    each = placed.part.mass.value * placed.count / len(placed.places)
    inertia = solid_of(placed.part).inertia_per_mass()
    for place in placed.places:
        x, y, z = place.x, place.y, place.z
        own = np.diag(rotated(inertia, rotation_matrix(place.roll, place.pitch, place.yaw)))
        spread = np.array([y * y + z * z, x * x + z * z, x * x + y * y])
        total += each * np.concatenate([[1.0, x, y, z], own + spread])
    return total


@kernel
def _about_centre(s: Any, total: float, axis: int) -> float:
    """Inertia about an axis through the centre [kg m2]; what has no place is spread like the rest."""
    b, c = (axis + 1) % 3, (axis + 2) % 3
    J: float = s[4 + axis] - (s[1 + b] * s[1 + b] + s[1 + c] * s[1 + c]) / s[0]
    about: float = J * (total / s[0])
    return about


@kernel
def about_centre(sums: Any, total: Any, found: Any) -> None:
    """Inertia of each row of `sums` (n, 7) about its centre, all-up mass `total` (n,) [kg]; fills (n, 3) [kg m2]."""
    for i in range(sums.shape[0]):
        for axis in range(3):
            found[i, axis] = _about_centre(sums[i], total[i], axis)


@kernel
def extreme_inertia(core: Any, core_mass: Any, rest: Any, rest_mass: Any, axis: int, way: int, found: Any) -> None:
    """Least (`way` -1) or greatest (1) inertia of each core (n, 7) with any rest (m, 7); fills (n,) [kg m2]."""
    b, c, own = 1 + (axis + 1) % 3, 1 + (axis + 2) % 3, 4 + axis
    for i in range(core.shape[0]):
        m, B, C, J, total = core[i, 0], core[i, b], core[i, c], core[i, own], core_mass[i]
        best = -way * np.inf
        for k in range(rest.shape[0]):
            each = 1.0 / (m + rest[k, 0])
            y, z = B + rest[k, b], C + rest[k, c]
            about = (J + rest[k, own] - (y * y + z * z) * each) * ((total + rest_mass[k]) * each)
            best = max(best, about) if way > 0 else min(best, about)
        found[i] = best
