"""Invented readings of every kind for a craft, to try the fits on: each file says in its first lines that it is
invented, and what the truth is.
"""

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np

from rotorwright.columns import Draws, mass_columns
from rotorwright.craft.files import write_whole
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute, InputError, Problem
from rotorwright.measure.battery_fit import pack_on_test
from rotorwright.measure.fit import FittedValue
from rotorwright.measure.spelling import spelled
from rotorwright.measure.stand_model import bench_of
from rotorwright.measure.swing import period_stretch
from rotorwright.measure.synthetic import Invented, invent_pack_log, invent_stand
from rotorwright.measure.synthetic_flight import invent_flight
from rotorwright.parts.fields import Quantity, specs
from rotorwright.parts.kinds import KINDS
from rotorwright.parts.propulsion import Battery, Motor, Propeller, SpeedController
from rotorwright.physics.air import GRAVITY, standard_atmosphere
from rotorwright.predict.balance import centre_and_inertia

__all__ = ["INVENTED", "invent"]

_RADIUS, _LENGTH, _SWINGS = 0.06, 0.5, 10.0  # [m], [m], of a hanging craft
_HAND, _SAMPLES = 0.12, 64  # [s] of a watch
_STAND_VOLTS = 3.8  # of a cell


def invent(kind: str, craft: Craft, file: Path, seed: int = 0) -> str:
    """Write invented readings of one kind to a new file; returns what was done.

    InputError for an unknown kind or a file that is there, CannotCompute when the craft lacks what it takes.
    """
    if kind not in INVENTED:
        fix = f"Known: {', '.join(INVENTED)}, as in `measure invent stand logs/stand.csv --craft FILE`."
        raise InputError(Problem(f"no readings of '{kind}' can be invented", fix))
    if file.exists():
        raise InputError(Problem("the file is there already", "Name another, or take it away.", "", file))
    made = INVENTED[kind](craft, seed)
    head, _, rows = made.csv().partition("\n")
    if not file.parent.is_dir():
        raise InputError(Problem("no such folder", "Make it, or name another.", "", file.parent))
    write_whole(file, f"{head}\n# The truth: {_true(made)}\n{rows}")
    return f"{len(next(iter(made.columns.values())))} invented rows written to {file}"


def _true(made: Invented) -> str:
    """The numbers that a fit should find, in the units of files."""
    words = []
    for key, number in made.truth.items():
        kind, _, field = key.rpartition(".")
        record = KINDS.get(kind)
        spec = specs(record).get(field) if record else None
        if isinstance(spec, Quantity):
            key, table = spelled(FittedValue(kind, field, number, 1e-3 * abs(number), ""), spec.dimension)
            words.append(f"{kind} {key} = {table['value']:.5g}")
        elif kind or field.endswith("_gain"):
            words.append(f"{key.replace('.', ' ')} = {number:.5g}")
    return "; ".join(words)


def _parts(craft: Craft) -> tuple[Motor, Propeller, SpeedController | None, Battery]:
    found = {role: craft.the(role) for role in ("motor", "propeller", "speed-controller", "battery")}
    motor, propeller, controller, battery = (placed.part if placed else None for placed in found.values())
    if not (isinstance(motor, Motor) and isinstance(propeller, Propeller) and isinstance(battery, Battery)):
        raise CannotCompute("the craft has no motor, propeller or battery")
    return motor, propeller, controller if isinstance(controller, SpeedController) else None, battery


def _stand(craft: Craft, seed: int) -> Invented:
    motor, propeller, controller, battery = _parts(craft)
    bench = bench_of(motor, propeller, controller, standard_atmosphere(0.0))
    made = invent_stand(bench, seed, supply=round(_STAND_VOLTS * battery.cells, 1), slips=1)
    return _named(made, f"a thrust stand's rows with {motor.name} and {propeller.name}; one thrust is a slip", seed)


def _battery(craft: Craft, seed: int) -> Invented:
    battery = _parts(craft)[3]
    made = invent_pack_log(pack_on_test(battery), seed, seconds=1800.0, rate=1.0, pulse=(8.0, 10.0, 30.0))
    return _named(made, f"pulses of {battery.name}", seed)


def _flight(craft: Craft, seed: int) -> Invented:
    return invent_flight(craft, seed, rate=2.0)


def _swing(craft: Craft, seed: int) -> Invented:
    """Five timings of the craft hung on two threads, turning about its upright axis."""
    rng, masses = np.random.default_rng(seed), mass_columns(craft, Draws(_SAMPLES, seed))
    found = centre_and_inertia(craft, masses)
    if found is None:
        raise CannotCompute("nothing on the craft has a known mass")
    mass, inertia = float(masses.total()[1]), float(found[1][1, 2, 2])  # one sample: within the bars of its parts
    period = 2 * math.pi * math.sqrt(inertia * _LENGTH / (mass * GRAVITY)) / _RADIUS
    period *= period_stretch(math.radians(10.0), _RADIUS, _LENGTH, mass, inertia)
    times = np.round(_SWINGS * period + _HAND * rng.standard_normal(5), 2)
    about = (
        f"ten swings of {craft.title.full} about its upright axis on two threads of {_LENGTH * 1e3:.0f} mm, "
        f"{_RADIUS * 1e3:.0f} mm from the axis; it weighs {mass * 1e3:.1f} g"
    )
    columns = {"time": times, "swings": np.full(5, _SWINGS)}
    return _named(Invented(columns, {"craft.inertia_zz_kg_m2": inertia}, ""), about, seed)


def _named(made: Invented, about: str, seed: int) -> Invented:
    return Invented(made.columns, made.truth, f"{about}; seed {seed}")


INVENTED: dict[str, Callable[[Craft, int], Invented]] = {
    "stand": _stand,
    "battery": _battery,
    "flight": _flight,
    "swing": _swing,
}
"""What can be invented, by name."""
