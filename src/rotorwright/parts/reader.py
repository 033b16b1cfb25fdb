"""From a TOML table to a frozen record of estimates, with every problem found and placed at its line.

A key is a field's name, with a unit of the field's dimension as suffix when it has one. Nothing is guessed: an
unknown key, a missing unit or a unit of another dimension is a problem with near spellings.
"""

import math
import re
from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any, TypeVar

from rotorwright.errors import Problem
from rotorwright.parts.estimate import Basis, Estimate, usual_sd
from rotorwright.parts.fields import (
    Choice,
    Flag,
    Number,
    Quantity,
    Rows,
    Series,
    Spec,
    Texts,
    attribute_of,
    specs,
)
from rotorwright.parts.ranges import LARGEST_NUMBER, RANGES, REACH
from rotorwright.parts.source_map import Key, SourceMap
from rotorwright.units import Unit, split_key, suffixes

__all__ = ["Reader", "quoted"]

T = TypeVar("T")

# What would steer a terminal instead of being read.
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")


class Wrong(Exception):
    """A value that does not suit its field: what is wrong, and how to mend it."""

    def __init__(self, what: str, fix: str) -> None:
        super().__init__(what)
        self.what, self.fix = what, fix


class Reader:
    """Reads the tables of one file and gathers the problems."""

    def __init__(self, source: SourceMap) -> None:
        self.source = source
        self.problems: list[Problem] = []

    def complain(self, key: Key, what: str, fix: str, why: str = "") -> None:
        """Note one problem at the line of `key`."""
        self.problems.append(self.source.problem(key, what, fix, why))

    def record(self, kind: type[T], table: Any, key: Key, label: str) -> T | None:
        """A record of class `kind` from `table`, or None when it has a problem."""
        if not isinstance(table, Mapping):
            self.complain(key, f"{label}: a table is expected here", f"Write [{key[0]}] or [[{key[0]}]].")
            return None
        before = len(self.problems)
        values = self.fields(kind, table, key, label)
        for name, spec in specs(kind).items():
            if spec.required and name not in values and not self._tried(table, name):
                self.complain(key, f"{label} lacks {_spelling(name, spec)}", f"Give {spec.about}.")
        if len(self.problems) > before:
            return None
        return kind(**{attribute_of(kind, name): value for name, value in values.items()})

    def fields(self, kind: type, table: Mapping[str, Any], key: Key, label: str) -> dict[str, Any]:
        """Values of the fields of `kind` that `table` gives; problems noted."""
        known = specs(kind)
        values: dict[str, Any] = {}
        for name, raw in table.items():
            try:
                field, unit = self._field_of(name, known)
                if field in values:
                    raise Wrong(f"{field} is given twice", "Keep one spelling of it.")
                values[field] = self._value(raw, field, known[field], unit, (*key, name), label)
            except Wrong as wrong:
                self.complain((*key, name), f"{label}: {wrong.what}", wrong.fix)
        return values

    @staticmethod
    def _tried(table: Mapping[str, Any], name: str) -> bool:
        return any(key == name or any(stem == name for stem, _ in split_key(key)) for key in table)

    @staticmethod
    def _field_of(name: str, known: dict[str, Spec]) -> tuple[str, Unit | None]:
        if name in known:
            if dimension := getattr(known[name], "dimension", ""):
                ways = ", ".join(f"{name}_{suffix}" for suffix in suffixes(dimension)[:4])
                raise Wrong(f"'{name}' has no unit", f"Write one of: {ways}.")
            return name, None
        for stem, unit in split_key(name):
            if stem in known:
                dimension = getattr(known[stem], "dimension", "")
                if unit.dimension == dimension:
                    return stem, unit
        for stem, unit in split_key(name):
            if stem in known:
                ways = ", ".join(suffixes(getattr(known[stem], "dimension", ""))[:4]) or "no unit at all"
                raise Wrong(f"'{unit.suffix}' is not a unit for {stem}", f"Use {ways}.")
        raise Wrong(f"unknown key '{name}'", _suggestion(name, known))

    def _value(self, raw: Any, field: str, spec: Spec, unit: Unit | None, key: Key, label: str) -> Any:
        match spec:
            case Quantity():
                assert unit is not None
                return _estimate(raw, field, spec, unit)
            case Number():
                return _number(raw, field, spec)
            case Series():
                return _series(raw, field, spec, unit)
            case Choice():
                if raw not in spec.words:
                    raise Wrong(f"{field} = {quoted(raw)} is not known", f"Use one of: {', '.join(spec.words)}.")
                return raw
            case Flag():
                if not isinstance(raw, bool):
                    raise Wrong(f"{field} is not true or false", "Write true or false.")
                return raw
            case Texts():
                if not isinstance(raw, list) or not all(isinstance(item, str) for item in raw):
                    raise Wrong(f"{field} is not a list of texts", 'Write it as ["one", "two"].')
                return tuple(raw)
            case Rows():
                return self._rows(raw, field, spec, key, label)
        if not isinstance(raw, str):
            raise Wrong(f"{field} is not text", 'Put it between quotes: "...".')
        if _CONTROL.search(raw):
            raise Wrong(f"{field} holds a control character", "Write plain letters.")
        return raw

    def _rows(self, raw: Any, field: str, spec: Rows, key: Key, label: str) -> tuple[Any, ...]:
        if not isinstance(raw, list):
            raise Wrong(f"{field} is not a list of tables", f"Write {field} = [{{ ... }}, {{ ... }}].")
        read = [self.record(spec.record, row, (*key, i), f"{label}, {field} {i + 1}") for i, row in enumerate(raw)]
        return tuple(row for row in read if row is not None)


def _finite(raw: Any, field: str) -> float:
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        raise Wrong(f"{field} = {quoted(raw)} is not a number", "Write a plain number; the unit belongs in the key.")
    try:
        value = float(raw)
    except OverflowError:
        value = math.inf
    if not math.isfinite(value):
        raise Wrong(f"{field} = {quoted(raw)} is not finite", "Write a finite number.")
    return value


def _estimate(raw: Any, field: str, spec: Quantity, unit: Unit) -> Estimate:
    table = raw if isinstance(raw, Mapping) else {"value": raw}
    if extra := sorted(set(table) - {"value", "basis", "sd"}):
        raise Wrong(f"{field} has an unknown entry '{extra[0]}'", "A value's table holds value, basis and sd.")
    if "value" not in table:
        raise Wrong(f"{field} has no value", "Write { value = ..., basis = ..., sd = ... }.")
    if (word := table.get("basis", spec.basis)) not in list(Basis):
        raise Wrong(f"{field} has an unknown basis {quoted(word)}", f"Use one of: {', '.join(Basis)}.")
    basis = Basis(word)
    try:
        value = unit.to_si(_finite(table["value"], field))
        sd = usual_sd(basis, field, value)
        if "sd" in table:
            given = _finite(table["sd"], f"sd of {field}")
            sd = abs(unit.to_si(_finite(table["value"], field) + given) - value) if given >= 0 else -1.0
    except (OverflowError, ValueError):
        raise Wrong(f"{field} = {quoted(table['value'])} is out of range", "Check the number and its unit.") from None
    _check_bounds(value, field, spec.low, spec.high, spec.may_be_low, unit)
    _check_range(value, field, unit, not spec.may_be_low and spec.low >= 0.0)
    if sd < 0:
        raise Wrong(f"the sd of {field} is negative", "A standard deviation is zero or more.")
    if sd > RANGES[unit.dimension][1]:
        raise Wrong(f"the sd of {field} is out of range", "Check the number and its unit.")
    return Estimate(value, sd, basis)


def _check_bounds(value: float, field: str, low: float, high: float, may_be_low: bool, unit: Unit | None) -> None:
    def shown(bound: float) -> str:
        return f"{unit.from_si(bound):g} {unit.suffix}" if unit else f"{bound:g}"

    if value < low or (value == low and not may_be_low):
        rule = "at least" if may_be_low else "more than"
        raise Wrong(f"{field} is {shown(value)}", f"It must be {rule} {shown(low)}.")
    if value > high:
        raise Wrong(f"{field} is {shown(value)}", f"It must be at most {shown(high)}; is the unit right?")


def _check_range(value: float, field: str, unit: Unit, whole: bool, most: float = math.inf) -> None:
    """Refuse what is too large, and when it is `whole` too small, for anything of its dimension."""
    least, largest = RANGES[unit.dimension]
    largest = min(largest, most)
    if abs(value) > largest or (whole and abs(value) < least):
        bound, word = (largest, "at most") if abs(value) > largest else (least, "at least")
        shown = f"{unit.from_si(bound):g} {unit.suffix}"
        raise Wrong(f"{field} is out of range", f"It must be {word} {shown} in size; is the unit right?")


def _number(raw: Any, field: str, spec: Number) -> float | int:
    value = _finite(raw, field)
    if spec.whole and not value.is_integer():
        raise Wrong(f"{field} = {quoted(raw)} is not a whole number", "Write a whole number.")
    _check_bounds(value, field, spec.low, min(spec.high, LARGEST_NUMBER), True, None)
    return int(value) if spec.whole else value


def _series(raw: Any, field: str, spec: Series, unit: Unit | None) -> tuple[float, ...]:
    if not isinstance(raw, list):
        raise Wrong(f"{field} is not a list of numbers", "Write it as [1, 2, 3].")
    if spec.length and len(raw) != spec.length:
        raise Wrong(f"{field} has {len(raw)} numbers", f"It takes {spec.length}.")
    plain = [_finite(item, field) for item in raw]
    values = tuple(unit.to_si(item) for item in plain) if unit else tuple(plain)
    for value in values:
        _check_bounds(value, field, spec.low, spec.high, True, unit)
        if unit is not None:
            _check_range(value, field, unit, False, REACH if unit.dimension == "length" else math.inf)
        elif abs(value) > LARGEST_NUMBER:
            raise Wrong(f"{field} holds {value:g}", f"Its numbers must be at most {LARGEST_NUMBER:g} in size.")
    return values


def quoted(raw: Any) -> str:
    """What stands in a file, short enough for a message."""
    if isinstance(raw, int) and abs(raw) >= 10**20:
        return "a huge number"
    try:
        shown = repr(raw)
    except (ValueError, RecursionError):  # a number of ten thousand digits somewhere in it, or lists in lists
        return "what stands there"
    return shown if len(shown) <= 40 else shown[:37] + "..."


def _spelling(name: str, spec: Spec) -> str:
    dimension = getattr(spec, "dimension", "")
    return f"{name}_{suffixes(dimension)[0]}" if dimension else name


def _suggestion(name: str, known: dict[str, Spec]) -> str:
    stems = [name, *(stem for stem, _ in split_key(name))]
    near = [n for stem in stems for n in get_close_matches(stem, known, n=2, cutoff=0.6)]
    if near:
        return f"Did you mean {' or '.join(dict.fromkeys(_spelling(n, known[n]) for n in near))}?"
    return f"Known keys: {', '.join(_spelling(n, spec) for n, spec in known.items())}."
