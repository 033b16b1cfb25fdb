"""How long it flies the way it is flown: the pack spent on a flight profile."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws, PowertrainColumns
from rotorwright.craft.model import Craft
from rotorwright.errors import InputError
from rotorwright.parts.propulsion import Battery
from rotorwright.physics.battery import CHEMISTRIES, open_circuit_voltage
from rotorwright.physics.endurance import CONSUMERS, END, ENDINGS, TRACE, endure
from rotorwright.physics.powertrain import OK
from rotorwright.predict.flight import best_speed
from rotorwright.predict.profiles import Leg, Profile
from rotorwright.predict.result import Prediction

__all__ = ["CELL_FLOOR", "Consumed", "Endurance", "Flown", "TracePoint", "endurance", "flown", "landing_voltage"]

Array = NDArray[np.float64]

# Under load, a cell, as pilots set their alarms: common practice, no source.
_LANDING = {"lipo": 3.5, "lihv": 3.5, "li-ion": 3.0}
# Below this no cell is taken, not even in a punch: the pilot eases off. Common practice, no source.
CELL_FLOOR = {"lipo": 3.0, "lihv": 3.0, "li-ion": 2.5}
_TRACE_ROWS, _TRACE_SHOWN = 22_000, 120
_HALF_CHARGE = 0.5
_ICE = 273.15


@dataclass(frozen=True, slots=True)
class Consumed:
    """Energy that one kind of consumer took over the flight."""

    consumer: str
    energy_j: Prediction
    share: Prediction


@dataclass(frozen=True, slots=True)
class TracePoint:
    """The nominal flight at one moment."""

    time_s: float
    voltage_v: float
    current_a: float
    state_of_charge: float
    pack_degc: float
    winding_degc: float


@dataclass(frozen=True, slots=True)
class Endurance:
    """A flight from a full pack to the landing voltage.

    `landing_voltage_v` is that of a cell, the one-second mean under load in a calm segment, where the pilot reads it;
    in a hard one the pilot eases off at the cell's floor. `reserve` is the state of charge that is left.
    """

    profile: str
    about: str
    source: str
    landing_voltage_v: float
    time_s: Prediction
    distance_m: Prediction
    charge_ah: Prediction
    energy_j: Prediction
    mean_power_w: Prediction
    mean_current_a: Prediction
    peak_current_a: Prediction
    reserve: Prediction
    rest_voltage_v: Prediction
    full_throttle_share: Prediction
    ended_by: str
    consumers: tuple[Consumed, ...]
    trace: tuple[TracePoint, ...]
    notes: tuple[str, ...]
    samples: int


@dataclass(frozen=True, slots=True)
class Flown:
    """Rows of END of every sample, and the trace of the nominal one; `beyond` says why the nominal one cannot fly."""

    ends: NDArray[np.void]
    trace: Array
    beyond: str = ""


def landing_voltage(craft: Craft) -> float:
    """Voltage of a cell under load at which the craft lands [V]; InputError when a full cell lies below it."""
    given = craft.flight.landing_voltage
    volts = given.value if given else _LANDING[_chemistry(craft)]
    full = open_circuit_voltage(1.0, CHEMISTRIES.index(_chemistry(craft)))
    if volts >= full:
        what = f"the landing voltage of {volts:g} V a cell is not below the {full:.2f} V of a full cell"
        raise InputError(craft.source.problem(("flight", "landing_voltage_v"), what, "Give a lower one."))
    return volts


def _chemistry(craft: Craft) -> str:
    battery = craft.the("battery")
    assert battery is not None and isinstance(battery.part, Battery)
    return battery.part.chemistry


def flown(craft: Craft, columns: PowertrainColumns, profile: Profile, draws: Draws) -> Flown:
    """Fly every sample through the profile, from a full pack to the landing voltage."""
    landing, floor = landing_voltage(craft), CELL_FLOOR[_chemistry(craft)]
    rest = craft.flight.landing_rest_voltage
    n = len(columns.craft)
    legs = [leg for leg in profile.legs if leg.seconds > 0.0] or [Leg(30.0, 1.0, 0.0)]
    hard = draws.factor(profile.scatter, f"profile.{profile.name}")[:, None]
    load = np.maximum(1.0 + hard * (np.array([leg.load_factor for leg in legs]) - 1.0), 0.0)
    speed = hard * np.array([leg.speed for leg in legs])
    climb = hard * np.array([leg.climb for leg in legs])
    if profile.best:
        speed = best_speed(columns, profile.best, _HALF_CHARGE)[:, None]
    trims = columns.level(load=load, speed=speed, climb=climb, charge=_HALF_CHARGE)
    ends = np.zeros(n, END).view(np.recarray)
    trace = np.zeros((_TRACE_ROWS, len(TRACE)))
    filled = endure(
        columns.craft.copy().view(np.recarray),
        columns.rotors,
        np.array([leg.seconds for leg in legs]),
        _phases(draws),
        np.ascontiguousarray(np.broadcast_to(np.hypot(speed, climb), trims.shape)),
        trims,
        np.array([landing if leg in _watched(legs) else 0.0 for leg in legs]),
        rest.value if rest else 0.0,
        min(floor, landing),
        ends,
        trace,
    )
    return Flown(ends, trace[:filled], _beyond(columns, profile, legs))


def _watched(legs: list[Leg]) -> list[Leg]:
    """The legs in which the pilot reads the voltage: the calm ones, or all when none is."""
    return [leg for leg in legs if leg.calm] or legs


def _beyond(columns: PowertrainColumns, profile: Profile, legs: list[Leg]) -> str:
    """The segment that the nominal craft cannot hold with a full pack; in hard ones a pilot eases off instead."""
    rows, one = replace(columns, craft=columns.craft[:1]), _watched(legs)
    load, speed, climb = (np.array([[getattr(leg, key) for leg in one]]) for key in ("load_factor", "speed", "climb"))
    if profile.best:
        return ""
    for leg, status in zip(one, rows.level(load=load, speed=speed, climb=climb)["status"][0], strict=True):
        if status != OK:
            words = f"{leg.speed:g} m/s along, {leg.climb:g} m/s up at {leg.load_factor:g} g"
            where = f"segment {legs.index(leg) + 1} of '{profile.name}'"
            return f"{where}, {words}, asks for more than full throttle gives"
    return ""


def _phases(draws: Draws) -> Array:
    """Where in the cycle each sample begins: the nominal flight at its start, the others anywhere."""
    z = draws.normal("profile.phase")
    phases = np.array([0.5 * (1.0 + math.erf(x / math.sqrt(2.0))) for x in z])
    phases[0] = 0.0
    return phases


def endurance(craft: Craft, columns: PowertrainColumns, profile: Profile, flight: Flown) -> Endurance:
    """The flight as a result, with its bounds."""
    ends, cells = flight.ends, columns.craft["cells"]
    short = flight.beyond or _reason(profile, ends[0])

    def result(values: Array, unit: str) -> Prediction:
        return Prediction.absent(unit, short) if short else Prediction.of(values, unit)

    with np.errstate(divide="ignore", invalid="ignore"):
        power, current = ends["delivered"] / ends["time"], ends["taken"] / ends["time"]
        limited = ends["limited"] / ends["time"]
        shares = ends["energy"] / ends["stored"][:, None]
    consumers = tuple(
        Consumed(name, result(ends["energy"][:, i], "J"), result(shares[:, i], "1"))
        for i, name in enumerate(CONSUMERS)
    )
    return Endurance(
        profile=profile.name,
        about=profile.about,
        source=profile.source,
        landing_voltage_v=landing_voltage(craft),
        time_s=result(ends["time"], "s"),
        distance_m=result(ends["distance"], "m"),
        charge_ah=result(ends["taken"] / 3600.0, "Ah"),
        energy_j=result(ends["delivered"], "J"),
        mean_power_w=result(power, "W"),
        mean_current_a=result(current, "A"),
        peak_current_a=result(ends["current_peak"], "A"),
        reserve=result(ends["charge"], "1"),
        rest_voltage_v=result(ends["rest_voltage"] / cells, "V"),
        full_throttle_share=result(limited, "1"),
        ended_by=ENDINGS[int(ends["ending"][0])],
        consumers=consumers,
        trace=_shown(flight.trace),
        notes=() if short else _notes(profile, ends),
        samples=len(ends) - 1,
    )


def _reason(profile: Profile, end: np.void) -> str:
    """Why there is no flight time, or '' when there is one."""
    if end["time"] > 0.0:
        return ""
    leg = f"segment {int(end['segment']) + 1} of '{profile.name}'"
    match ENDINGS[int(end["ending"])]:
        case "landing voltage":
            return f"a full pack is below the landing voltage as soon as {leg} begins"
        case "resting voltage":
            return "a full pack is below the resting voltage to land at"
        case "full throttle does not hover any more":
            return "the craft cannot hover"
        case "a segment without trim":
            return f"{leg} cannot be flown: no attitude holds its speed and load"
        case _:
            return f"the pack collapses as soon as {leg} begins"


def _notes(profile: Profile, ends: NDArray[np.void]) -> tuple[str, ...]:
    notes = []
    if ENDINGS[int(ends["ending"][0])] == "a segment without trim":
        notes.append(f"segment {int(ends['segment'][0]) + 1} of '{profile.name}' cannot be flown by this craft")
    if ends["time"][0] > 0 and ends["limited"][0] > 0.01 * ends["time"][0]:
        share = ends["limited"][0] / ends["time"][0]
        notes.append(
            f"{share:.0%} of '{profile.name}' asks for more than the pack gives and is flown at what it gives"
        )
    return tuple(notes)


def _shown(trace: Array) -> tuple[TracePoint, ...]:
    """At most `_TRACE_SHOWN` moments, evenly spread, the last one among them."""
    if not len(trace):
        return ()
    picked = np.unique(np.linspace(0, len(trace) - 1, min(len(trace), _TRACE_SHOWN)).round().astype(int))
    return tuple(_moment([float(value) for value in row]) for row in trace[picked])


def _moment(row: list[float]) -> TracePoint:
    time, voltage, current, charge, pack, winding = row
    return TracePoint(time, voltage, current, charge, pack - _ICE, winding - _ICE)
