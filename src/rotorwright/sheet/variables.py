"""Numbers of a craft that can be varied: each with its key, its words, what it is now, and a range worth a look."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import Number, Quantity, Spec, specs
from rotorwright.sheet.quantities import Display
from rotorwright.sheet.spoken_units import SPOKEN, digits, usual_suffix
from rotorwright.units import from_si

__all__ = ["Variable", "usual_range", "variables"]

_TABLES = {"site": "where it flies", "flight": "how it is flown", "frame": "layout of the frame"}
# What is of the file or the count of pieces, and not of the part.
_LEFT_OUT = ("format", "price", "pieces", "day")
_STEPS = 12
_WIDE = 0.4
# Units people say these in, other than the usual ones.
_SUFFIXES = {"site.altitude": "m", "flight.roll_rate_limit": "deg_per_s", "flight.cruise_speed": "km_per_h"}
# Where nothing stands, or zero does: low, high, step by key.
_RANGES = {"site.altitude_m": (0.0, 3000.0, 500.0), "site.temperature_degc": (-10.0, 40.0, 10.0)}


@dataclass(frozen=True, slots=True)
class Variable:
    """One number: `group` is the part or table it belongs to, `now` its value in `unit`, None when none is stated.

    low, high: what the field may hold, in `unit`
    """

    key: str
    group: str
    label: str
    unit: str
    now: float | None
    whole: bool
    low: float
    high: float

    @property
    def told(self) -> str:
        """The number in words, with what it is now."""
        now = "" if self.now is None else f": {digits(self.now)}\u202f{self.unit}".rstrip("\u202f")
        return f"{self.label}{now}"


def variables(craft: Craft, display: Display) -> tuple[Variable, ...]:
    """Every number of every part of the file that has a value, then those of its tables, in the reader's units."""
    found = [v for placed in craft.parts if placed.key[:1] == ("part",) for v in _of_part(placed, display)]
    tables = [(name, getattr(craft, name)) for name in _TABLES]
    found += [
        v for name, table in tables for v in _of_record(table, name, _TABLES[name], "", display, name != "flight")
    ]
    first = {variable.key: variable for variable in reversed(found)}  # of two parts of one id the first is meant
    return tuple(variable for variable in found if first[variable.key] is variable)


def _of_part(placed: PlacedPart, display: Display) -> Iterator[Variable]:
    yield from _of_record(placed.part, placed.id, placed.id.replace("-", " "), placed.part.kind, display, False)


def _of_record(
    record: object, name: str, group: str, kind: str, display: Display, also_unstated: bool
) -> Iterator[Variable]:
    for field, spec in specs(type(record)).items():
        value = getattr(record, field, None)
        if field not in _LEFT_OUT and (value is not None or f"{name}.{field}" in _unstated(also_unstated)):
            variable = _variable(spec, field, value, name, group, kind, display)
            if variable is not None:
                yield variable


def _unstated(asked: bool) -> tuple[str, ...]:
    return tuple(key.rpartition("_")[0] for key in _RANGES) if asked else ()


def _variable(
    spec: Spec, field: str, value: object, name: str, group: str, kind: str, display: Display
) -> Variable | None:
    label = field.replace("_", " ")
    if isinstance(spec, Quantity):
        known = value.value if isinstance(value, Estimate) else None
        suffix = _SUFFIXES.get(f"{name}.{field}") or usual_suffix(spec.dimension, known, display, kind, field)
        now = None if known is None else from_si(known, suffix, spec.dimension)
        ends = [from_si(end, suffix, spec.dimension) for end in (spec.low, spec.high) if suffix != "awg"]
        low, high = (min(ends), max(ends)) if ends else (-math.inf, math.inf)  # a gauge of nothing cannot be said
        return Variable(f"{name}.{field}_{suffix}", group, label, SPOKEN[suffix], now, False, low, high)
    if isinstance(spec, Number) and isinstance(value, int | float):
        return Variable(f"{name}.{field}", group, label, "", float(value), spec.whole, spec.low, spec.high)
    return None


def usual_range(variable: Variable) -> tuple[float, float, float]:
    """Low, high and step of a first look: two fifths to either side in at most twelve round steps."""
    now = variable.now
    if variable.key in _RANGES:
        low, high, step = _RANGES[variable.key]
        here = low if now is None else now
        low, high = min(low, math.floor(here / step) * step), max(high, math.ceil(here / step) * step)
    elif not now:
        low, high, step = 0.0, 10.0, 1.0
    elif variable.whole:
        low, high, step = now - 2, now + 2, 1.0
    else:
        step = _round_step(2 * _WIDE * abs(now) / _STEPS)
        low = math.ceil((now - _WIDE * abs(now)) / step - 1e-9) * step
        high = math.floor((now + _WIDE * abs(now)) / step + 1e-9) * step
    least = max(variable.low, 1.0) if variable.whole and now else variable.low
    return round(max(low, least), 12), round(min(high, variable.high), 12), round(step, 12)


def _round_step(raw: float) -> float:
    power = 10.0 ** math.floor(math.log10(raw))
    return next(m * power for m in (1, 2, 2.5, 5, 10) if m * power >= raw * 0.999)
