"""What a fit is given besides rows: parts by kind, and numbers with units such as `radius_mm=45+-0.5`."""

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import TypeVar

from rotorwright.craft.model import Craft
from rotorwright.errors import InputError, Problem
from rotorwright.parts.estimate import Basis, Estimate
from rotorwright.parts.kinds import KINDS, kind_of_word, near_kinds
from rotorwright.parts.laws import completed
from rotorwright.parts.part import Part
from rotorwright.parts.ranges import LARGEST_NUMBER, RANGES
from rotorwright.parts.shelf import Shelf
from rotorwright.physics.air import Air, air, standard_atmosphere
from rotorwright.units import split_key, suffixes

__all__ = ["AIR", "Given", "Option", "given_parts", "read_options"]

P = TypeVar("P", bound=Part)

_SPREAD = re.compile(r"\s*(?:\+-|\+/-|\u00b1)\s*")
# A number that is given without its scatter: tape, scale or thermometer of a careful hobby bench. From experience.
_USUAL = {"length": 0.01, "mass": 0.002, "inertia": 0.05, "temperature": 2.0, "angle": 0.1, "speed": 0.5}


@dataclass(frozen=True, slots=True)
class Option:
    """A number that a fit may or must be told, one of `words`, or free text."""

    name: str
    about: str
    dimension: str = ""
    required: bool = False
    words: tuple[str, ...] = ()
    text: bool = False
    unit: str = ""

    @property
    def key(self) -> str:
        """As people write it: with `unit`, else with the first one of its dimension."""
        return f"{self.name}_{self.unit or suffixes(self.dimension)[0]}" if self.dimension else self.name


AIR = (
    Option("temperature", "of the air", "temperature"),
    Option("altitude", "geopotential, where it was measured", "length", unit="m"),
)


@dataclass(frozen=True, slots=True)
class Given:
    """Parts and numbers that a fit rests on, beside the rows."""

    parts: Mapping[str, Part] = field(default_factory=dict)
    """By kind, completed by the scaling laws."""
    craft: Craft | None = None
    numbers: Mapping[str, Estimate] = field(default_factory=dict)
    """By the option's name [SI]."""
    words: Mapping[str, str] = field(default_factory=dict)

    def part(self, kind: type[P]) -> P | None:
        """The part of one kind, or None."""
        found = self.parts.get(kind.kind)
        return found if isinstance(found, kind) else None

    def need_part(self, kind: type[P]) -> P:
        """The part of one kind; InputError when none was named."""
        found = self.part(kind)
        if found is None:
            fix = f"Name it, as in --part {kind.kind}=NAME, or a craft that has one, as in --craft FILE."
            raise InputError(Problem(f"which {kind.kind.replace('-', ' ')} was measured is not said", fix))
        return found

    def need_craft(self) -> Craft:
        """The craft; InputError when none was named."""
        if self.craft is None:
            raise InputError(Problem("which craft was measured is not said", "Name it, as in --craft FILE."))
        return self.craft

    def need(self, option: Option) -> Estimate:
        """A number that must be given."""
        if option.name not in self.numbers:
            what = f"{option.name} is not said: {option.about}"
            raise InputError(Problem(what, f"Give it, as in --given {option.key}=VALUE."))
        return self.numbers[option.name]

    def air(self) -> Air:
        """The air where it was measured: as given, else the craft's site, else the standard's at sea level."""
        site = self.craft.site if self.craft else None
        altitude = self.numbers.get("altitude") or (site.altitude if site else None)
        temperature = self.numbers.get("temperature") or (site.temperature if site else None)
        height = altitude.value if altitude else 0.0
        try:
            return air(height, temperature.value) if temperature else standard_atmosphere(height)
        except ValueError as error:
            raise InputError(Problem(f"{error}", "Give altitude and temperature as they were.")) from None


def given_parts(named: Sequence[str], shelf: Shelf, craft: Craft | None, kinds: Sequence[str]) -> dict[str, Part]:
    """Parts by kind: those of `named` as kind=name, the rest from the craft; InputError for what is not there."""
    parts: dict[str, Part] = {}
    for text in named:
        word, equals, name = (piece.strip() for piece in text.partition("="))
        kind = kind_of_word(word) if equals else None
        if kind is None or not name:
            known = near_kinds(word) or list(kinds) or list(KINDS)
            raise InputError(Problem(f"'{text}' names no part", f"Write it as {known[0]}=NAME."))
        found = shelf.find(name)
        if found is None or not isinstance(found.part, kind):
            near = shelf.near(name, kind)
            fix = f"Near: {', '.join(near)}." if near else f"`rotorwright shelf {kind.kind}` lists them."
            raise InputError(Problem(f"no {kind.kind} '{name}' on any shelf", fix))
        parts[kind.kind] = completed(found.part)
    for placed in craft.parts if craft else ():
        if placed.part.kind in kinds:
            parts.setdefault(placed.part.kind, placed.part)
    return parts


def read_options(texts: Sequence[str], options: Sequence[Option]) -> tuple[dict[str, Estimate], dict[str, str]]:
    """Numbers [SI] and words by option from texts such as `length_mm=800`, `radius_mm=45+-0.5`, `axis=roll`."""
    numbers: dict[str, Estimate] = {}
    words: dict[str, str] = {}
    for text in texts:
        key, equals, raw = (piece.strip() for piece in text.partition("="))
        option = next((o for o in options if not o.dimension and o.name == key), None)
        unit = None
        for stem, found in split_key(key):
            own = next((o for o in options if o.name == stem and o.dimension == found.dimension), None)
            option, unit = (own, found) if own else (option, unit)
        if option is None or not equals:
            near = get_close_matches(key, [o.key for o in options], n=3, cutoff=0.3) or [o.key for o in options]
            fix = f"Known here: {', '.join(near)}." if near else "This one takes none."
            raise InputError(Problem(f"'{text}' is no number that is asked for", fix))
        if option.words or option.text:
            if option.words and raw not in option.words:
                raise InputError(Problem(f"{key} = '{raw}' is not known", f"Use one of: {', '.join(option.words)}."))
            words[option.name] = raw
            continue
        numbers[option.name] = _estimate(text, raw, option, unit.to_si if unit else float)
    return numbers, words


def _estimate(text: str, raw: str, option: Option, to_si: Callable[[float], float]) -> Estimate:
    pieces = _SPREAD.split(raw)
    try:
        values = [float(piece) for piece in pieces]
        value = to_si(values[0])
        spread = abs(to_si(values[0] + values[1]) - value) if len(values) > 1 else None
    except ValueError:
        values = []
    if not 1 <= len(values) <= 2 or not all(map(math.isfinite, values)):
        fix = f"Write it as {option.key}=12 or {option.key}=12+-0.5."
        raise InputError(Problem(f"'{text}': this is no number", fix))
    least, largest = RANGES.get(option.dimension, (0.0, LARGEST_NUMBER))
    if abs(value) > largest or (option.dimension == "temperature" and value < least):
        raise InputError(Problem(f"'{text}' is out of range", "Check the number and its unit."))
    if spread is None:
        usual = _USUAL.get(option.dimension, 0.0)
        spread = usual if option.dimension in ("temperature", "speed") else abs(value) * usual
    return Estimate(value, spread, Basis.MEASURED)
