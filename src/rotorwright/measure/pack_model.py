"""A pack under a measured current: the voltage that the kernels of endurance say it has, row after row.

    V = N (Voc(s) + shift + shape(s)) - f R0 I - v1 - v2,  tau dv/dt = f R I - v,  ds/dt = -I/Q

with shape(s) what the cell's rest voltage differs from the curve by, linear between `SHAPE_AT`; f the resistance's
factor at the cells' temperature; the pack warmed by its own losses as in flight (`physics/endurance`), or at its
measured temperature. Between two rows the current is its mean there.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.battery import open_circuit_voltage, resistance_factor
from rotorwright.physics.cell import overvoltage
from rotorwright.physics.compiled import kernel

__all__ = ["PACK", "SHAPE_AT", "pack_voltages"]

Array = NDArray[np.float64]

PACK = np.dtype(
    [
        ("cells", "f8"),  # in series
        ("chemistry", "i8"),
        ("capacity", "f8"),  # [C]
        ("start", "f8"),  # state of charge at the first row
        ("shift", "f8"),  # [V] of a cell's open-circuit voltage against the curve
        ("shape", "f8", (5,)),  # [V] besides, at the charges of SHAPE_AT
        ("resistance", "f8"),  # [ohm] of the pack at 25 C
        ("polarisation", "f8", (2,)),  # slow resistances over it
        ("relaxation", "f8", (2,)),  # [s]
        ("heat", "f8"),  # [J/K]
        ("cooling", "f8"),  # [W/K]
        ("air", "f8"),  # [K]
        ("warming", "f8"),  # power of the resistance's factor: how much warmth counts over what is usual
        ("warm", "f8"),  # [K] of the cells at the first row
    ],
    align=True,
)
"""A pack on its own: what CRAFT holds of it, and what only a log can tell."""


SHAPE_AT = (0.1, 0.3, 0.5, 0.7, 0.9)
"""States of charge at which a pack's rest voltage may differ from the curve in its own way."""


@kernel
def _shape(shape: Any, charge: float) -> float:
    """Difference from the curve [V], linear between `SHAPE_AT`, level beyond."""
    x = min(max((charge - 0.1) / 0.2, 0.0), 4.0)
    i = min(int(x), 3)
    between: float = shape[i] + (x - i) * (shape[i + 1] - shape[i])
    return between


@kernel
def _open_circuit(charge: float, chemistry: int) -> float:
    """Voltage of a rested cell [V]; beyond full and empty continued steeply, so that a search finds its way back."""
    if charge > 1.0:
        return open_circuit_voltage(1.0, chemistry) + 1.2 * (charge - 1.0)
    if charge < 0.0:
        return open_circuit_voltage(0.0, chemistry) + 11.0 * charge
    return open_circuit_voltage(charge, chemistry)


@kernel
def _run(p: Any, time: Any, amps: Any, since: Any, kelvin: Any, out: Any) -> None:
    charge, fast, slow, warm = p.start, 0.0, 0.0, p.warm
    for i in range(time.shape[0]):
        if i > 0:
            h = time[i] - time[i - 1]
            mean = since[i]
            R = p.resistance * resistance_factor(warm) ** p.warming
            loss = mean * (R * mean + fast + slow)
            charge -= mean * h / p.capacity
            fast = overvoltage(fast, mean, R * p.polarisation[0], p.relaxation[0], h)
            slow = overvoltage(slow, mean, R * p.polarisation[1], p.relaxation[1], h)
            warm += (loss - p.cooling * (warm - p.air)) * h / p.heat
        if not np.isnan(kelvin[i]):
            warm = kelvin[i]
        R = p.resistance * resistance_factor(warm) ** p.warming
        rest = _open_circuit(charge, p.chemistry) + p.shift + _shape(p.shape, charge)
        out[i, 0] = p.cells * rest - R * amps[i] - fast - slow
        out[i, 1], out[i, 2] = charge, warm


def pack_voltages(
    pack: NDArray[np.void],
    time: Array,
    amps: Array,
    temperature: Array | None = None,
    since: Array | None = None,
) -> Array:
    """Voltage [V], state of charge [1] and temperature [K] of a pack at every row, (n, 3).

    pack: (1,) of PACK; time: (n,) rising [s]; amps: (n,) out of the pack [A]; temperature: (n,) measured [K], NaN or
    None where the model warms the pack itself; since: (n,) mean current since the row before [A], the mean of both
    rows when None
    """
    kelvin = np.full(len(time), np.nan) if temperature is None else np.asarray(temperature, dtype=float)
    mean = np.concatenate([amps[:1], 0.5 * (amps[1:] + amps[:-1])]) if since is None else since
    out = np.empty((len(time), 3))
    row = pack.view(np.recarray)[0]
    _run(
        row, np.asarray(time, dtype=float), np.asarray(amps, dtype=float), np.asarray(mean, dtype=float), kelvin, out
    )
    return out
