"""Invented measurements with a known truth: what a thrust stand or a pack's log would read.

Truth is drawn from what is believed of the parts, instruments get a calibration error and scatter, and the seed
decides everything. The text that is written says that it is invented.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rotorwright.measure.battery_fit import PackOnTest, pack_row
from rotorwright.measure.belief import Belief, believed, values_of
from rotorwright.measure.pack_model import pack_voltages
from rotorwright.measure.stand_model import Bench, StandRows, bench_row, stand_readings
from rotorwright.physics.compiled import kernel
from rotorwright.physics.powertrain import balanced_rotation
from rotorwright.units import from_si

__all__ = ["Invented", "draw_truth", "invent_pack_log", "invent_stand", "stand_rows", "without"]

Array = NDArray[np.float64]

# Column: dimension and unit of the text, and digits after the point.
_WRITTEN = {
    "time": ("time", "s", 5),
    "voltage": ("voltage", "v", 3),
    "current": ("current", "a", 3),
    "throttle": ("share", "fraction", 4),
    "rotation": ("rotation", "rpm", 1),
    "thrust": ("force", "n", 4),
    "torque": ("torque", "n_m", 5),
    "temperature": ("temperature", "degc", 2),
    "resistance": ("resistance", "mohm", 3),
    "speed": ("speed", "m_per_s", 2),
    "mass": ("mass", "g", 2),
    "acceleration": ("share", "g", 3),
    "swings": ("share", "", 0),
}


@dataclass(frozen=True, slots=True)
class Invented:
    """Invented rows, and the truth they were made from."""

    columns: Mapping[str, Array]
    """By quantity, each (n,) [SI]; acceleration in g."""
    truth: Mapping[str, float]
    """Numbers by "kind.field" [SI], those of the measurement by name."""
    about: str
    """What was invented, in a few words without commas."""

    def csv(self) -> str:
        """The rows as text: a line that says they are invented, headings with units, numbers."""
        import io

        import polars

        data = {}
        for name, values in self.columns.items():
            dimension, unit, digits = _WRITTEN[name]
            shown = values if name in ("acceleration", "swings") else from_si(values, unit, dimension)  # type: ignore[arg-type]
            data[f"{name}_{unit}".rstrip("_")] = np.round(np.asarray(shown, dtype=float), digits)
        out = io.StringIO()
        polars.DataFrame(data).fill_nan(None).write_csv(out)
        return f"# Invented: {self.about}; nobody measured it\n{out.getvalue()}"


def draw_truth(
    beliefs: Sequence[Belief], rng: np.random.Generator, correlations: Sequence[tuple[str, str, float]] = ()
) -> dict[str, float]:
    """Numbers drawn from what is believed, by name as in `belief.Found.mean`."""
    x = np.linalg.cholesky(believed(beliefs, correlations)) @ rng.standard_normal(len(beliefs))
    keys = (f"{b.kind}.{b.field}" if b.kind else b.field for b in beliefs)
    return dict(zip(keys, values_of(beliefs, x), strict=True))


@kernel
def _turned(craft: Any, rotors: Any, duty: Any, volts: Any, rotation: Any) -> None:
    c = craft[0]
    for i in range(duty.shape[0]):
        rotation[i] = balanced_rotation(c, rotors, duty[i], np.nan, volts[i], 0.0, 0.0)


def invent_stand(
    bench: Bench,
    seed: int,
    *,
    throttle: Sequence[float] = tuple(np.linspace(0.15, 1.0, 18)),
    supply: float = 16.0,
    sag: float = 0.02,
    torque: bool = True,
    throttle_read: bool = True,
    bare: int = 0,
    slips: int = 0,
) -> Invented:
    """Rows of a thrust stand at duties `throttle`, fed by `supply` [V] that sags by `sag` [ohm].

    bare: rows without propeller after the others; slips: readings of thrust that are grossly wrong
    """
    rng = np.random.default_rng(seed)
    truth = draw_truth(bench.beliefs, rng, bench.correlations)
    row = bench_row(bench, truth)
    without = np.concatenate([np.zeros(len(throttle), bool), np.ones(bare, bool)])
    duty = np.concatenate([throttle, np.linspace(0.3, 1.0, bare)])
    volts, rotation, free = np.full(len(duty), supply), np.empty(len(duty)), row.copy()
    free["power_level"] = 0.0
    for _ in range(6):
        for own, rows in ((row, ~without), (free, without)):
            part = np.empty(int(rows.sum()))
            _turned(own.view(np.recarray), bench.columns.rotors, duty[rows], volts[rows], part)
            rotation[rows] = part
        read = stand_readings(bench.columns, row, rotation, volts, without)
        volts = supply - sag * read[:, 2]
    read = stand_readings(bench.columns, row, rotation, volts, without)
    noise = rng.standard_normal((5, len(duty)))
    thrust = read[:, 0] * truth["thrust_gain"] * (1 + 0.01 * noise[0]) + 0.01 * noise[1]
    if slips:
        thrust[rng.choice(np.flatnonzero(~without), slips, replace=False)] *= 1.4
    stick = duty * np.where(duty < 0.995, truth["throttle_gain"], 1.0)
    columns = {
        "voltage": volts * truth["voltage_gain"] + 0.005 * noise[2],
        "current": read[:, 2] * truth["current_gain"] * (1 + 0.01 * noise[3]),
        "rotation": rotation,
        "thrust": np.where(without, np.nan, thrust),
        "torque": read[:, 1] * truth["torque_gain"] * (1 + 0.015 * noise[4])
        if torque
        else np.full(len(duty), np.nan),
        "throttle": np.clip(stick, 0.0, 1.0) if throttle_read else np.full(len(duty), np.nan),
    }
    return Invented(columns, truth, f"a thrust stand's rows with seed {seed}")


def stand_rows(invented: Invented) -> StandRows:
    """The rows of `invent_stand` as the fit takes them."""
    c = invented.columns
    bare = np.isnan(c["thrust"])
    return StandRows.of(c["voltage"], c["current"], c["rotation"], c["thrust"], c["torque"], c["throttle"], bare)


def invent_pack_log(
    pack: PackOnTest,
    seed: int,
    *,
    seconds: float = 900.0,
    rate: float = 2.0,
    pulse: tuple[float, float, float] = (5.0, 20.0, 40.0),
    thermometer: bool = True,
) -> Invented:
    """A log of a pack under pulses: times its label's capacity an hour [1/h], how long on and how long off [s].

    A pulse without a pause is a plain discharge. The log ends at 3.2 V a cell under load.
    """
    rng = np.random.default_rng(seed)
    truth = draw_truth(pack.beliefs, rng)
    row = pack_row(pack, truth)
    time = np.arange(0.0, seconds, 1.0 / rate)
    c_rate, on, off = pulse
    amps = np.where(time % (on + off) < on, c_rate * pack.beliefs[0].value / 3600.0, 0.0)
    state = pack_voltages(row, time, amps)
    low = np.flatnonzero((state[:, 0] < 3.2 * row["cells"][0]) | (state[:, 1] < 0.02))
    n = int(low[0]) if len(low) else len(time)
    noise = rng.standard_normal((3, n))
    columns = {
        "time": time[:n],
        "voltage": state[:n, 0] * truth["voltage_gain"] + 0.004 * noise[0],
        "current": amps[:n] * truth["current_gain"] + 0.02 * noise[1],
    }
    if thermometer:
        columns["temperature"] = state[:n, 2] + 0.2 * noise[2]
    return Invented(columns, truth, f"a pack's log with seed {seed}")


def without(invented: Invented, *names: str) -> Invented:
    """The same rows with some columns left out."""
    return replace(invented, columns={k: v for k, v in invented.columns.items() if k not in names})
