"""What a meter should read on the bench before and at the first power, and after the first minute in the air."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws, PowertrainColumns
from rotorwright.columns.power_tree import CELL_NOMINAL
from rotorwright.craft.feeds import Feeds
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute, InputError
from rotorwright.parts.electronics import Capacitor
from rotorwright.parts.propulsion import Battery, Motor, SpeedController
from rotorwright.physics.battery import CHEMISTRIES, open_circuit_voltage
from rotorwright.physics.endurance import END, TRACE, endure
from rotorwright.predict.airborne import STEADY_SAMPLES, airborne_on
from rotorwright.predict.power_tree import Rail, power_tree
from rotorwright.predict.result import Prediction

__all__ = ["Bench", "FirstMinute", "RailVoltage", "bench"]

Array = NDArray[np.float64]

_ICE = 273.15
_MINUTE = 60.0
# A supply's limit leaves this much over the highest expected current, and no less than the floor [A]: room for the
# regulators to start, and no more than a short can stand for a moment. Common practice, no source.
_OVER, _FLOOR, _STEP = 1.5, 0.5, 0.1
_COMPARATIVE = "comparative: no thermal data of motors this small were found"


@dataclass(frozen=True, slots=True)
class RailVoltage:
    """One regulated rail: what a meter reads on it, and what it carries with the motors still."""

    id: str
    voltage_v: Prediction
    current_a: Prediction


@dataclass(frozen=True, slots=True)
class FirstMinute:
    """After a minute's hover from a full pack: winding, pack, a cell under load, charge taken."""

    winding_degc: Prediction
    battery_degc: Prediction
    cell_v: Prediction
    charge_ah: Prediction


@dataclass(frozen=True, slots=True)
class Bench:
    """Values for a meter.

    `supply_v` is the pack at its usual 3.8 V a cell, `full_v` fresh from the charger. `capacitance_f` lies across the
    supply, `phase_ohm` between two leads of one motor at 20 C. `idle_current_a` flows at `supply_v` with everything
    on and the motors still; `limit_a` is what to set the supply to.
    """

    supply_v: float | None
    full_v: float | None
    capacitance_f: Prediction
    phase_ohm: Prediction
    idle_current_a: Prediction
    idle_power_w: Prediction
    limit_a: float | None
    rails: tuple[RailVoltage, ...]
    minute: FirstMinute


def bench(craft: Craft, samples: int = STEADY_SAMPLES, seed: int = 0) -> Bench:
    """Expected readings of `craft`; what cannot be known is absent with its reason."""
    draws = Draws(samples, seed)
    tree = power_tree(craft, draws)
    pack = craft.the("battery")
    battery = pack.part if pack and isinstance(pack.part, Battery) else None
    columns, reason = _flying(craft, draws)
    supply = next((rail for rail in tree.rails if rail.kind == "battery"), None)
    idle = supply.load_current_a if supply else Prediction.absent("A", "there is no battery")
    unfed = [fault.part for fault in tree.faults if fault.kind in ("orphan", "unknown rail")]
    if unfed and idle.value is not None:
        idle = replace(idle, reason=f"without {', '.join(unfed)}, which nothing is said to feed")
    full = open_circuit_voltage(1.0, CHEMISTRIES.index(battery.chemistry)) if battery else math.nan
    return Bench(
        supply_v=CELL_NOMINAL * battery.cells if battery else None,
        full_v=float(full) * battery.cells if battery else None,
        capacitance_f=_capacitance(craft, draws),
        phase_ohm=_phase(craft, draws),
        idle_current_a=idle,
        idle_power_w=tree.power_w,
        limit_a=_limit(idle),
        rails=tuple(_rails(craft, tree.rails, draws)),
        minute=_minute(columns, reason),
    )


def _flying(craft: Craft, draws: Draws) -> tuple[PowertrainColumns | None, str]:
    """Rows that can fly, or why there are none."""
    try:
        return airborne_on(craft, draws).columns, ""
    except (CannotCompute, InputError) as error:
        return None, f"not computed: {error}"


def _limit(idle: Prediction) -> float | None:
    """Limit of the supply [A], to the next tenth."""
    if idle.value is None:
        return None
    most = max(_FLOOR, _OVER * (idle.high if idle.high is not None else idle.value))
    return round(math.ceil(most / _STEP - 1e-9) * _STEP, 1)


def _capacitance(craft: Craft, draws: Draws) -> Prediction:
    """Everything across the supply, C = sum of capacitors and what the controllers carry on board."""
    total, silent = draws.constant(0.0), []
    for placed in craft.parts:
        part = placed.part
        if isinstance(part, Capacitor | SpeedController):
            if part.capacitance is None:
                silent.append(placed.id)
            else:
                own = draws.of(part.capacitance, f"{part.name}.capacitance")
                total = total + own * placed.count
    if total[0] == 0.0:
        return Prediction.absent("F", "no part on the craft states capacitance_uf")
    return Prediction.of(total, "F", f"without {', '.join(silent)}: give capacitance_uf" if silent else None)


def _phase(craft: Craft, draws: Draws) -> Prediction:
    placed = craft.the("motor")
    part = placed.part if placed else None
    if not isinstance(part, Motor) or part.resistance is None:
        return Prediction.absent("ohm", "resistance_mohm of the motor is not known")
    return Prediction.of(draws.of(part.resistance, f"{part.name}.resistance"), "ohm")


def _rails(craft: Craft, rails: tuple[Rail, ...], draws: Draws) -> Iterator[RailVoltage]:
    feeds = Feeds(craft)
    for rail in rails:
        found = feeds.rail(rail.id)
        output = found.output if found else None
        if found is not None and output is not None and output.voltage is not None:
            volts = draws.of(output.voltage, f"{found.source.part.name}.{found.name}.voltage")
            yield RailVoltage(rail.id, Prediction.of(volts, "V"), rail.load_current_a)


def _minute(columns: PowertrainColumns | None, reason: str) -> FirstMinute:
    ends = None if columns is None else _hovered(columns)
    if ends is not None and not np.isfinite(ends["winding_peak"][0]):
        ends, reason = None, "it cannot hover for a minute"
    if ends is None or columns is None:
        absent = {unit: Prediction.absent(unit, reason) for unit in ("degC", "V", "Ah")}
        return FirstMinute(absent["degC"], absent["degC"], absent["V"], absent["Ah"])
    return FirstMinute(
        winding_degc=Prediction.of(ends["winding_peak"] - _ICE, "degC", _COMPARATIVE),
        battery_degc=Prediction.of(ends["pack_temperature"] - _ICE, "degC"),
        cell_v=Prediction.of(ends["voltage"] / columns.craft["cells"], "V"),
        charge_ah=Prediction.of(ends["taken"] / 3600, "Ah"),
    )


def _hovered(columns: PowertrainColumns) -> NDArray[np.void]:
    """END of each row after a minute's hover, NaN where the pack or full throttle does not hold it that long.

    The second segment has a landing voltage that no cell reaches, so that the flight ends where the first one does.
    """
    rows = replace(columns, craft=columns.craft.copy())
    n = len(rows.craft)
    trims = rows.level(load=np.ones((1, 2)), charge=1.0)
    ends, trace = np.zeros(n, END).view(np.recarray), np.zeros((0, len(TRACE)))
    endure(
        rows.craft.view(np.recarray),
        rows.rotors,
        np.array([_MINUTE, 1.0]),
        np.zeros(n),
        np.zeros((n, 2)),
        trims,
        np.array([0.0, math.inf]),
        0.0,
        0.0,
        ends,
        trace,
    )
    short = (np.abs(ends["time"] - _MINUTE) > 1e-6) | (ends["limited"] > 0.0)
    for name in ("winding_peak", "pack_temperature", "voltage", "taken"):
        ends[name][short] = np.nan
    return ends
