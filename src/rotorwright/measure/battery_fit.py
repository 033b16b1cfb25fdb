"""A discharge or pulses of a pack to its capacity, its resistance at once and its two slow overvoltages."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rotorwright.columns.flight import slow_pairs
from rotorwright.errors import CannotCompute
from rotorwright.measure.belief import Belief, Found, find, known_to
from rotorwright.measure.fit import Fit, SetAside, set_aside
from rotorwright.measure.pack_model import PACK, SHAPE_AT, pack_voltages
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.propulsion import Battery
from rotorwright.physics.battery import CHEMISTRIES
from rotorwright.physics.cell import pack_cooling, pack_heat_capacity

__all__ = ["PackOnTest", "fit_battery", "pack_on_test", "pack_row"]

Array = NDArray[np.float64]

# Calibration of volt- and ammeter, and how well a pack's temperature is known that nobody measured: from experience
# with such tools, no source.
GAINS = {"voltage": 0.003, "current": 0.02}
_WARMTH_SD = 3.0
_WARMING_SD = 0.2  # of how much warmth lowers a resistance: the law rests on one pack
_LEAST = 0.25  # of the assumed scatter: half a millivolt of a cell, beyond which no average is trusted
_SHAPE_SD = 0.01  # [V] of a cell at rest against the curve, besides a shift: cells differ by more near empty
_MOST_ROWS = 4000
_STEADY = 21  # rows
_CALM = 60.0  # [s]
_FLOOR, _SHARE = 2e-3, 2e-4  # scatter of one reading of a cell [V], and of the pack's voltage [-]


@dataclass(frozen=True, slots=True)
class PackOnTest:
    """A pack before its rows are read: what is known for sure, and what is believed."""

    row: NDArray[np.void]
    """(1,) of `pack_model.PACK`."""
    beliefs: tuple[Belief, ...]


def pack_on_test(
    battery: Battery,
    *,
    start: Estimate | None = None,
    temperature: Estimate | None = None,
    air: float = 293.15,
    gains: Mapping[str, float] | None = None,
) -> PackOnTest:
    """A completed battery (`parts.laws.completed`) on a test.

    start: state of charge at the first row, 1 +- 0.01 when None (straight from the charger)
    temperature: of the cells at the first row [K], 293 +- 3 K when None; air: around the pack [K]
    """
    if not (battery.capacity and battery.resistance and battery.mass):
        raise CannotCompute(f"battery '{battery.name}': give capacity_mah and cells")
    full, warm = start or Estimate(1.0, 0.01), temperature or Estimate(air, _WARMTH_SD)
    row = np.zeros(1, PACK)
    row["cells"], row["chemistry"] = battery.cells, CHEMISTRIES.index(battery.chemistry)
    size = battery.size if battery.size and len(battery.size) == 3 else (0.07, 0.035, 0.03)
    row["heat"] = pack_heat_capacity(battery.mass.value)
    row["cooling"] = pack_cooling((float(size[0]), float(size[1]), float(size[2])))
    row["air"], row["warm"] = air, warm.value
    capacity, resistance = battery.capacity, battery.resistance
    beliefs = (
        Belief("capacity", "battery", "capacity", "C", capacity.value, known_to(capacity, 0.03)),
        Belief(
            "resistance at once",
            "battery",
            "resistance",
            "ohm",
            resistance.value,
            known_to(resistance, 0.1),
            note="of the whole pack at 25 C, leads included up to where the voltage was read",
        ),
        *_slow_beliefs(battery),
        Belief("the cell's rest voltage", "battery", "voltage_shift", "V", 0.0, 0.02, log=False, note=_NO_SHIFT),
        *(Belief("", "", f"shape_{k}", "V", 0.0, _SHAPE_SD, log=False) for k in range(len(SHAPE_AT))),
        Belief("", "", "start", "1", full.value, max(full.sd, 1e-4), log=False),
        Belief("", "", "warm", "K", warm.value, max(warm.sd, 0.1), log=False),
        Belief("", "", "warming", "1", 1.0, _WARMING_SD),
        Belief("", "", "heat", "J/K", float(row["heat"][0]), 0.15),
        Belief("", "", "cooling", "W/K", float(row["cooling"][0]), 0.5),
        *(Belief("", "", f"{name}_gain", "1", 1.0, sd) for name, sd in {**GAINS, **(gains or {})}.items()),
    )
    return PackOnTest(row, beliefs)


_NO_SHIFT = "of a cell; a battery has no key for it: every prediction takes its chemistry's own curve"


def _slow_beliefs(battery: Battery) -> list[Belief]:
    """The two slow resistances and their times, as the battery's file or a typical cell has them."""
    words = (("the first slow resistance", "its time"), ("the second slow resistance", "its time, the longer"))
    beliefs = []
    for name, said, pair in zip(("fast", "slow"), words, slow_pairs(battery), strict=True):
        (ratio, time), (of_ratio, of_time) = pair, said
        beliefs += [
            Belief(of_ratio, "battery", f"polarisation_{name}", "1", ratio.value, known_to(ratio, ratio.relative)),
            Belief(of_time, "battery", f"relaxation_{name}", "s", time.value, known_to(time, time.relative)),
        ]
    return beliefs


def pack_row(pack: PackOnTest, numbers: Mapping[str, float]) -> NDArray[np.void]:
    """The pack's row with the numbers of a fit, by "kind.field" as in `belief.Found.mean`."""
    row = pack.row.copy()
    for field in ("capacity", "resistance"):
        row[field] = numbers[f"battery.{field}"]
    for name in ("polarisation", "relaxation"):
        row[name] = [numbers[f"battery.{name}_fast"], numbers[f"battery.{name}_slow"]]
    row["shift"] = numbers["battery.voltage_shift"]
    row["shape"] = [numbers[f"shape_{k}"] for k in range(len(SHAPE_AT))]
    for name in ("start", "warm", "warming", "heat", "cooling"):
        row[name] = numbers[name]
    return row


def fit_battery(
    pack: PackOnTest, time: ArrayLike, volts: ArrayLike, amps: ArrayLike, temperature: ArrayLike | None = None
) -> Fit:
    """Fit a log of a pack: time [s], volts [V], amps out of the pack [A], temperature of the cells [K] (n,).

    Raises CannotCompute when fewer than ten rows can be used or the current runs the wrong way.
    """
    t, v, i = (np.atleast_1d(np.asarray(column, dtype=float)) for column in (time, volts, amps))
    kelvin = np.full(len(t), np.nan) if temperature is None else np.asarray(temperature, dtype=float)
    flags = _flags(t, v, i, pack)
    runs = ~(flags[_NO_TIME] | flags[_NO_CURRENT])
    if float(np.mean(i[runs])) < 0.0 if runs.any() else True:
        raise CannotCompute("the current runs into the pack on the whole: is the sensor or the column reversed?")
    good = ~np.any(list(flags.values()), axis=0)
    if good.sum() < 10:
        raise CannotCompute(f"{int(good.sum())} rows of the battery can be used: ten at least are needed")
    i = i.copy()
    i[runs] = _steadied(i[runs])
    blocks = _blocks(int(runs.sum()))
    at, read, drawn, warm = (_means(column[runs], blocks) for column in (t, np.where(good, v, np.nan), i, kelvin))
    found = _solve(pack, at, read, drawn, warm, _since(t[runs], i[runs], at))
    return _result(pack, found, (t, v, i, kelvin), runs, good, set_aside(flags), blocks)


def _solve(pack: PackOnTest, time: Array, volts: Array, amps: Array, kelvin: Array, since: Array) -> Found:
    sd = np.hypot(_FLOOR * float(pack.row["cells"][0]), _SHARE * volts)

    def residuals(numbers: dict[str, float]) -> Array:
        return np.asarray((volts - _volts(pack, numbers, time, amps, kelvin, since)) / sd)

    return find(pack.beliefs, residuals, ordered=True, least=_LEAST)


def _volts(
    pack: PackOnTest, numbers: Mapping[str, float], time: Array, amps: Array, kelvin: Array, since: Array
) -> Array:
    gain, row = numbers["current_gain"], pack_row(pack, numbers)
    if np.isfinite(kelvin).any():  # the model warms within a pulse, the thermometer says how far it is off
        own = pack_voltages(row, time, amps / gain, None, since / gain)[:, 2]
        kelvin = own + _calmed(kelvin - own, time)
    state = pack_voltages(row, time, amps / gain, kelvin, since / gain)
    return np.asarray(state[:, 0] * numbers["voltage_gain"])


def _since(time: Array, amps: Array, blocks: Array) -> Array:
    """Mean current between the times of averaged rows [A], from the charge that every row of the log counts."""
    charge = np.concatenate([[0.0], np.cumsum(0.5 * (amps[1:] + amps[:-1]) * np.diff(time))])
    taken = np.diff(np.interp(blocks, time, charge))
    return np.concatenate([amps[:1], taken / np.diff(blocks)])


_NO_TIME, _NO_CURRENT = "time is missing or does not go on", "current is missing: taken as between its neighbours"


def _flags(time: Array, volts: Array, amps: Array, pack: PackOnTest) -> dict[str, NDArray[np.bool_]]:
    """Rows that cannot be what they should be, by reason."""
    cells = float(pack.row["cells"][0])
    with np.errstate(invalid="ignore"):
        latest = np.fmax.accumulate(np.where(np.isfinite(time), time, -np.inf))
        behind = np.concatenate([[False], ~(time[1:] > latest[:-1])])
        step = np.diff(time, prepend=time[0])
        usual = float(np.nanmedian(step[1:])) if len(time) > 1 else 1.0
        return {
            _NO_TIME: behind | ~np.isfinite(time),
            _NO_CURRENT: ~np.isfinite(amps),
            "voltage is missing": ~np.isfinite(volts),
            f"voltage is none of {cells:.0f} cells: is the number of cells right?": (volts < 2.0 * cells)
            | (volts > 4.6 * cells),
            "current flows into the pack": amps < -0.5,
            "comes after a gap: what flowed meanwhile is not known": step > np.maximum(20.0 * usual, 5.0),
        }


def _blocks(rows: int) -> int:
    """Rows that are averaged to one, so that a fast log takes no longer than a slow one."""
    return max(-(-rows // _MOST_ROWS), 1)


def _means(column: Array, size: int) -> Array:
    """Means of `size` neighbours each; a block with nothing read is NaN."""
    if size == 1:
        return column
    whole = np.concatenate([column, np.full(-len(column) % size, np.nan)]).reshape(-1, size)
    there = np.isfinite(whole)
    with np.errstate(invalid="ignore"):
        return np.asarray(
            np.where(there, whole, 0.0).sum(axis=1) / np.where(there.any(axis=1), there.sum(axis=1), np.nan)
        )


def _calmed(kelvin: Array, time: Array) -> Array:
    """How far a thermometer is from the model, as its mean over `_CALM` seconds: its own noise passes for warmth that
    the resistance does not follow.
    """
    there = np.isfinite(kelvin)
    rows = int(_CALM / max(float(np.median(np.diff(time))), 1e-9)) if len(time) > 1 else 0
    if rows < 2 or rows >= len(kelvin) or not there.any():
        return kelvin
    half = rows // 2
    sums = np.concatenate([[0.0], np.cumsum(np.where(there, kelvin, 0.0))])
    count = np.concatenate([[0.0], np.cumsum(there.astype(float))])
    row = np.arange(len(kelvin))
    near = np.minimum(np.minimum(row, len(kelvin) - 1 - row), half)  # the same on both sides, so that a rise stays
    first, stop = row - near, row + near + 1
    return np.where(there, (sums[stop] - sums[first]) / np.maximum(count[stop] - count[first], 1.0), np.nan)


def _steadied(amps: Array) -> Array:
    """Current with its mean over `_STEADY` rows where it stays put: a sensor's own noise passes for a load otherwise,
    and voltage that does not follow it for a small resistance.
    """
    if len(amps) <= _STEADY:
        return amps
    windows = np.lib.stride_tricks.sliding_window_view(amps, _STEADY)
    put = np.ptp(windows, axis=1) < 0.02 * np.abs(windows).max(axis=1) + 0.1
    steady, half = amps.copy(), _STEADY // 2
    middle = steady[half : half + len(put)]
    middle[put] = windows.mean(axis=1)[put]
    if put[0]:
        steady[:half] = windows[0].mean()
    if put[-1]:
        steady[half + len(put) :] = windows[-1].mean()
    return steady


def _result(
    pack: PackOnTest,
    found: Found,
    log: tuple[Array, Array, Array, Array],
    runs: NDArray[np.bool_],
    good: NDArray[np.bool_],
    flagged: tuple[SetAside, ...],
    blocks: int,
) -> Fit:
    time, volts, amps, kelvin = log
    left = np.full(len(time), np.nan)
    whole = (time[runs], amps[runs], kelvin[runs], _since(time[runs], amps[runs], time[runs]))
    left[runs] = volts[runs] - _volts(pack, found.mean(), *whole)
    marked = np.zeros(len(time), bool)
    marked[np.flatnonzero(runs)] = np.repeat(found.solution.marked, blocks)[: int(runs.sum())]
    bad = marked & good
    aside = [
        SetAside(int(r), f"voltage is {left[r]:+.3g} V off what the other rows say") for r in np.flatnonzero(bad)
    ]
    wrong = np.where(bad, left, np.nan)
    left = np.where(good & ~marked, left, np.nan)
    state = pack_voltages(pack_row(pack, found.mean()), time[runs], amps[runs], kelvin[runs])
    return Fit(
        name="battery",
        values=tuple(replace(v, note=v.note or _NOTES.get(v.field, "")) for v in found.values),
        covariance=found.covariance,
        rows_used=int(np.isfinite(left).sum()),
        rows_set_aside=tuple(sorted((*flagged, *aside), key=lambda s: s.row)),
        residual_sd={"volts_v": float(np.sqrt(np.nanmean(np.square(left))))},
        residuals={"volts_v": left},
        identifies=found.identifies,
        notes=_notes(found, state, kelvin, blocks),
        aside={"volts_v": wrong},
    )


_NOTES = {"capacity": "taken from the shape of the voltage over the charge drawn, and from the charge itself"}


def _notes(found: Found, state: Array, kelvin: Array, blocks: int) -> tuple[str, ...]:
    notes = []
    drawn = float(state[0, 1] - state[-1, 1])
    if drawn < 0.5:
        notes.append(f"Only {drawn:.0%} of the pack was drawn: capacity rests on the label and on the curve's slope.")
    if float(state[:, 1].min()) < 0.0:
        notes.append("More was drawn than the pack is found to hold: are capacity and current in the right units?")
    if not np.isfinite(kelvin).any():
        notes.append(
            "The cells' temperature was not measured: resistance changes by 3 to 4 % a kelvin, so that the value at"
            " 25 C is no better than that."
        )
    if blocks > 1:
        notes.append(f"{blocks} rows were averaged to one.")
    if found.solution.waves[0] > 2.0:
        notes.append(
            "What is left over of the voltage runs in waves: curve and two exponentials are not quite this pack."
            f" The bars count {found.solution.waves[0]:.0f} rows as one."
        )
    return tuple(notes)
