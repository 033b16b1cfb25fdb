"""Flight time against the size of the pack, and packs and charging for a day of flying."""

import math
from dataclasses import dataclass, replace

import numpy as np

from rotorwright.columns import Draws, PowertrainColumns
from rotorwright.craft.model import Craft
from rotorwright.parts.propulsion import Battery
from rotorwright.predict.endurance import Endurance, flown
from rotorwright.predict.profiles import Profile
from rotorwright.predict.result import Prediction

__all__ = ["Day", "PackSize", "PackSweep", "day", "pack_sweep"]

_SIZES = np.unique(np.append(np.round(np.geomspace(0.4, 8.0, 28), 3), (1.0, 2.0)))
# Charging at one hour's current with constant voltage at the end, handling and balance; between two flights a pack
# rests to cool, and a pilot changes packs: common practice, no source.
_CHARGE_RATE, _BALANCE_S = 1.0, 900.0
_CHANGE_S = 300.0
_DAY_S = 3600.0


@dataclass(frozen=True, slots=True)
class PackSize:
    """A pack of the same make, larger or smaller, and what the craft flies with it (nominal, without bounds)."""

    size: float
    battery_mass_kg: float
    all_up_kg: float
    capacity_ah: float
    time_s: float | None


@dataclass(frozen=True, slots=True)
class PackSweep:
    """Flight time over pack size, a payload on board; `best` is the size of the longest flight, if it is inside."""

    profile: str
    payload_kg: float
    rows: tuple[PackSize, ...]
    best: PackSize | None


@dataclass(frozen=True, slots=True)
class Day:
    """Packs for a time in the air, with one charger that takes one pack at a time, and without any."""

    air_time_s: float
    packs: int | None
    packs_recharging: int | None
    charge_time_s: Prediction
    reason: str | None


def pack_sweep(craft: Craft, columns: PowertrainColumns, profile: Profile, payload: float = 0.0) -> PackSweep:
    """Sizes of pack from 0.4 to 8 times the craft's: charge, mass, heat and 1/resistance in proportion.

    payload: added mass [kg]; drag is held.
    """
    battery = craft.the("battery")
    assert battery is not None and isinstance(battery.part, Battery) and battery.part.mass is not None
    mass = battery.part.mass.value * battery.count
    rows = np.repeat(columns.craft[:1], len(_SIZES) + 1)
    size = np.append(1.0, _SIZES)
    rows["mass"] += payload + mass * (size - 1.0)
    for name in ("capacity", "pack_heat"):
        rows[name] *= size
    rows["pack_cooling"] *= size ** (2 / 3)
    rows["battery_resistance"] /= size
    sized = replace(columns, craft=rows)
    times = flown(craft, sized, replace(profile, scatter=0.0), Draws(len(_SIZES))).ends["time"][1:]
    found = tuple(
        PackSize(float(s), float(mass * s), float(m), float(q / 3600.0), float(t) if t > 0.0 else None)
        for s, m, q, t in zip(_SIZES, rows["mass"][1:], rows["capacity"][1:], times, strict=True)
    )
    k = int(np.argmax(times))
    return PackSweep(profile.name, payload, found, found[k] if 0 < k < len(found) - 1 and times[k] > 0.0 else None)


def day(craft: Craft, flight: Endurance) -> Day:
    """Packs to have for the craft's flying day (an hour in the air unless its file says otherwise)."""
    wanted = craft.flight.day.value if craft.flight.day else _DAY_S
    if flight.time_s.value is None or flight.charge_ah.value is None:
        reason = flight.time_s.reason or "no flight time"
        return Day(wanted, None, None, Prediction.absent("s", reason), reason)
    battery = craft.the("battery")
    assert battery is not None and isinstance(battery.part, Battery) and battery.part.capacity is not None
    capacity = battery.part.capacity.value / 3600.0 * battery.count
    rate = _CHARGE_RATE if not battery.part.charge_rate_max else min(_CHARGE_RATE, battery.part.charge_rate_max.value)
    charging = 3600.0 * flight.charge_ah.value / (capacity * rate) + _BALANCE_S
    packs = math.ceil(wanted / flight.time_s.value)
    around = math.ceil((charging + flight.time_s.value) / (flight.time_s.value + _CHANGE_S)) + 1
    return Day(wanted, packs, min(packs, around), Prediction(charging, None, None, "s"), None)
