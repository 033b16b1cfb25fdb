"""Balance: centre of mass, inertia tensor, and how far the centre is from where the thrust acts."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import MassColumns
from rotorwright.craft.model import Craft
from rotorwright.parts.solids import solid_of
from rotorwright.physics.rigid_body import combine, rotated, rotation_matrix
from rotorwright.predict.result import Prediction

__all__ = ["Balance", "balance", "centre_and_inertia"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Balance:
    """Centre and inertia in the craft's axes, x forward, y left, z up from the disc plane."""

    centre_m: tuple[Prediction, ...]
    inertia_kg_m2: tuple[tuple[Prediction, ...], ...]
    thrust_centre_m: tuple[float, float, float]
    offset_m: tuple[Prediction, ...]
    assumed_places: tuple[str, ...]


def balance(craft: Craft, masses: MassColumns) -> Balance:
    """Centre of mass and inertia tensor about it, of all lines of known mass at their places.

    Wires and what is unaccounted are spread like the rest: they shift nothing and scale the tensor.
    """
    found = centre_and_inertia(craft, masses)
    if found is None:
        return _nothing(craft, "nothing on the craft has a known mass")
    centre, inertia = found
    thrust = _thrust_centre(craft)
    return Balance(
        centre_m=tuple(Prediction.of(column, "m") for column in centre.T),
        inertia_kg_m2=tuple(tuple(Prediction.of(inertia[:, i, j], "kg m2") for j in range(3)) for i in range(3)),
        thrust_centre_m=thrust,
        offset_m=tuple(Prediction.of(column, "m") for column in (centre - np.array(thrust)).T),
        assumed_places=tuple(placed.id for placed in craft.parts if placed.assumed),
    )


def centre_and_inertia(craft: Craft, masses: MassColumns) -> tuple[Array, Array] | None:
    """Sampled centre (rows, 3) [m] and inertia tensor about it (rows, 3, 3) [kg m2]; None when no mass is known."""
    bodies = list(_bodies(craft, masses))
    total = masses.total()
    if not bodies or not total[0] > 0:
        return None
    m = np.stack([mass for mass, *_ in bodies], axis=-1)
    place = np.array([p for _, p, _ in bodies])
    J = np.array([inertia for *_, inertia in bodies])
    placed_mass, centre, inertia = combine(m, place, J)
    return centre, inertia * (total / placed_mass)[:, None, None]


def _bodies(craft: Craft, masses: MassColumns) -> list[tuple[Array, Array, Array]]:
    """Sampled mass, place and inertia per mass of each piece; pieces without own places share their line's place."""
    bodies = []
    for placed, column in zip(craft.parts, masses.values.T, strict=False):
        if placed.part.mass is None:
            continue
        inertia = solid_of(placed.part).inertia_per_mass()
        for place in placed.places:
            turn = rotation_matrix(place.roll, place.pitch, place.yaw)
            own = rotated(inertia, turn)
            bodies.append((column / len(placed.places), np.array([place.x, place.y, place.z]), own))
    return bodies


def _thrust_centre(craft: Craft) -> tuple[float, float, float]:
    n = max(len(craft.motors), 1)
    sums = (sum(m.x for m in craft.motors), sum(m.y for m in craft.motors), sum(m.z for m in craft.motors))
    return sums[0] / n, sums[1] / n, sums[2] / n


def _nothing(craft: Craft, reason: str) -> Balance:
    three = tuple(Prediction.absent("m", reason) for _ in range(3))
    tensor = tuple(tuple(Prediction.absent("kg m2", reason) for _ in range(3)) for _ in range(3))
    return Balance(three, tensor, _thrust_centre(craft), three, ())
