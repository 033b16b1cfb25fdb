"""A pack in use: resistance at once, two slow overvoltages, warmth, age.

The voltage under a current I is Voc(s) - I R0 - v1 - v2, and each overvoltage follows
tau dv/dt = I R - v: the equivalent circuit of Chen and Rincon-Mora, IEEE Trans. Energy Conversion 21 (2006) 504
(constants second hand). Resistance R0 is what a step of about one second shows.
"""

from math import exp

import numpy as np

from rotorwright.physics.compiled import kernel

__all__ = [
    "POLARISATION",
    "RELAXATION",
    "aged_capacity",
    "aged_resistance",
    "discharge",
    "overvoltage",
    "pack_cooling",
    "pack_heat_capacity",
]

POLARISATION = (0.10, 1.2)
"""Slow resistances over R0, read off a computed 5C pulse of one pouch cell (docs/theory/flight.md); scatter 0.5."""
RELAXATION = (8.0, 120.0)
"""Their time constants [s], from the same pulse; scatter 0.5."""

_SPECIFIC_HEAT = 1000.0  # of a pack [J/(kg K)]; handbook range of pouch cells 900-1100, from memory
_FILM = 25.0  # film coefficient of a strapped pack in the wake [W/(m2 K)]; typical, no source
_RESISTANCE_A_CYCLE = 0.002
_CAPACITY_A_CYCLE = 0.0007


@kernel
def overvoltage(v: float, current: float, resistance: float, time_constant: float, seconds: float) -> float:
    """Overvoltage after a constant current, v exp(-t/tau) + I R (1 - exp(-t/tau)).

    v: at the start [V]; current [A]; resistance [ohm]; time_constant, seconds [s]: scalars
    returns: scalar [V], exact for a constant current
    source: first-order circuit
    """
    kept = exp(-seconds / time_constant)
    return v * kept + current * resistance * (1.0 - kept)


def discharge(
    current: float,
    seconds: float,
    open_circuit: float,
    resistance: float,
    slow_resistances: tuple[float, float],
    time_constants: tuple[float, float],
) -> float:
    """Voltage of a rested cell after `seconds` of a constant current, its charge held.

    all scalars: [A], [s], [V], [ohm]; slow_resistances [ohm] and time_constants [s] of the two overvoltages
    returns: scalar [V]
    source: Chen and Rincon-Mora (2006)
    """
    pairs = zip(slow_resistances, time_constants, strict=True)
    return float(
        open_circuit - current * resistance - sum(overvoltage(0.0, current, R, t, seconds) for R, t in pairs)
    )


def aged_resistance(cycles: float) -> float:
    """Resistance after `cycles` over the new one, 1 + 0.002 n [1]; judgement, no source, up to about 300 cycles."""
    return 1.0 + _RESISTANCE_A_CYCLE * cycles


def aged_capacity(cycles: float) -> float:
    """Capacity after `cycles` over the new one, max(1 - 0.0007 n, 0.7) [1]; judgement, no source."""
    return max(1.0 - _CAPACITY_A_CYCLE * cycles, 0.7)


def pack_heat_capacity(mass: float) -> float:
    """Heat capacity of a pack, 1000 J/(kg K) m [J/K]; mass [kg]; from memory, scatter 0.1."""
    return _SPECIFIC_HEAT * mass


def pack_cooling(size: tuple[float, float, float]) -> float:
    """Heat a pack gives off a kelvin [W/K]: a film of 25 W/(m2 K) on its sides but the one it is strapped to.

    size: full lengths [m]; typical, no source, scatter 0.5
    """
    x, y, z = np.sort(np.asarray(size, dtype=float))[::-1]
    return float(_FILM * (x * y + 2 * x * z + 2 * y * z))
