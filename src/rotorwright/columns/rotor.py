"""From a propeller to its rotor table and the sampled factors that say how far it may differ from it."""

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns.draws import Draws
from rotorwright.errors import CannotCompute
from rotorwright.parts.propulsion import BenchPoint, Propeller
from rotorwright.physics.blade import Blade
from rotorwright.physics.rotor import RotorTable, rotor_table
from rotorwright.physics.rotor_error import GEOMETRY, TYPICAL, Scatter
from rotorwright.physics.rotor_points import BenchPoints, attach_points
from rotorwright.physics.typical_blade import typical_blade

__all__ = ["blade_of", "fill_rotor", "table_of"]

Array = NDArray[np.float64]

# What the factors are called as inputs, in the order of the Gaussian they are drawn from.
_FACTORS = ("thrust_level", "power_level", "thrust_slope", "power_slope", "advance_stretch")
_REFERENCE_REYNOLDS = 1e5


def blade_of(propeller: Propeller) -> tuple[Blade, bool]:
    """Blade of a propeller and whether it was measured; ValueError with plain sentences when it cannot be."""
    assert propeller.diameter is not None and propeller.pitch is not None
    D, pitch = propeller.diameter.value, propeller.pitch.value
    shape = (propeller.station, propeller.chord, propeller.twist)
    if any(shape) and not all(shape):
        raise ValueError("A measured blade needs station, chord and twist_deg together.")
    if propeller.station and propeller.chord and propeller.twist:
        hub = propeller.hub_diameter.value / D if propeller.hub_diameter else min(propeller.station[0], 0.15)
        station, chord, twist = (np.array(s) for s in (propeller.station, propeller.chord, propeller.twist))
        return Blade(D, propeller.blades, station, chord, twist, hub, pitch), True
    return typical_blade(D, pitch, propeller.blades), False


@lru_cache(maxsize=1024)
def table_of(propeller: Propeller) -> tuple[RotorTable, Scatter]:
    """Rotor table of a propeller and the scatter about it; CannotCompute when its blade is impossible."""
    try:
        blade, measured = blade_of(propeller)
        return rotor_table(blade), GEOMETRY if measured else TYPICAL
    except ValueError as error:
        raise CannotCompute(f"propeller '{propeller.name}': {str(error).rstrip('.')}") from None


def fill_rotor(
    rows: NDArray[np.void], propeller: Propeller, table: RotorTable, scatter: Scatter, draws: Draws
) -> None:
    """Fill the rotor's fields of `rows`: size, and sampled factors on CT, CP, their slopes and the advance ratio.

    Bench points of the propeller shrink the factors' scatter, and so does a key that `draws` sharpens.
    """
    name = propeller.name
    assert propeller.diameter is not None
    mean, covariance = _belief(propeller, table, scatter)
    for index, factor in enumerate(_FACTORS):
        if (sd := draws.sharpened.get(f"{name}.{factor}")) is not None:
            covariance = _measured(covariance, index, sd)
    z = np.stack([draws.normal(f"{name}.{factor}") for factor in _FACTORS], axis=1)
    x = mean + z @ np.linalg.cholesky(covariance + 1e-15 * np.eye(len(_FACTORS))).T
    x[0] = mean
    rows["propeller"], rows["chord_75"] = 0, table.chord_75
    rows["diameter"] = draws.of(propeller.diameter, f"{name}.diameter")
    rows["thrust_level"], rows["power_level"] = np.exp(x[:, 0]), np.exp(x[:, 1])
    rows["thrust_slope"], rows["power_slope"] = x[:, 2], x[:, 3]
    rows["advance_stretch"] = np.exp(x[:, 4])
    rows["mach_scale"] = draws.factor(scatter.mach_gain_sd, f"{name}.mach_gain")


def _belief(propeller: Propeller, table: RotorTable, scatter: Scatter) -> tuple[Array, Array]:
    """Mean and covariance of the factors' logarithms at Re75 = 1e5, from the population or from bench points."""
    if propeller.bench:
        return _from_bench(propeller, table, scatter)
    covariance = np.zeros((5, 5))
    covariance[np.ix_([0, 1, 4], [0, 1, 4])] = scatter.covariance()
    return np.zeros(5), covariance


def _from_bench(propeller: Propeller, table: RotorTable, scatter: Scatter) -> tuple[Array, Array]:
    """What the propeller's own bench points say, in air of 1.2 kg/m3 unless measured elsewhere."""
    points = BenchPoints(
        rotation_rate=np.array([point.rotation.value / (2 * math.pi) for point in propeller.bench if point.rotation]),
        thrust=np.array([point.thrust.value if point.thrust else math.nan for point in propeller.bench]),
        power=np.array([_power(point) for point in propeller.bench]),
        density=propeller.bench_density.value if propeller.bench_density else 1.2,
        viscosity=1.81e-5,
        sound_speed=343.0,
    )
    try:
        posterior = attach_points(table, points, scatter)
    except ValueError as error:
        raise CannotCompute(f"propeller '{propeller.name}': {str(error).rstrip('.')}") from None
    shift = np.eye(5)
    shift[0, 2] = shift[1, 3] = math.log(_REFERENCE_REYNOLDS / posterior.reynolds)
    return shift @ posterior.mean, shift @ posterior.covariance @ shift.T


def _power(point: BenchPoint) -> float:
    if point.power:
        return point.power.value
    return point.torque.value * point.rotation.value if point.torque and point.rotation else math.nan


def _measured(covariance: Array, index: int, sd: float) -> Array:
    """Covariance after component `index` has been measured with standard deviation `sd`: a Gaussian update."""
    gain = covariance[:, index] / (covariance[index, index] + sd**2)
    return np.asarray(covariance - np.outer(gain, covariance[index]))
