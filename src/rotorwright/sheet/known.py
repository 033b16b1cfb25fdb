"""What is known of a part on a craft: every field with value, unit, basis and scatter, and who says so."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache
from typing import Any

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.fields import Choice, Flag, Number, Quantity, Rows, Series, Spec, Text, Texts, specs
from rotorwright.parts.part import Part
from rotorwright.parts.reader import Reader
from rotorwright.parts.shelf import Shelf, parts_of_table
from rotorwright.sheet.quantities import Display
from rotorwright.sheet.spoken_units import SPOKEN, digits, in_unit, usual_suffix
from rotorwright.units import from_si, split_key, suffixes

__all__ = ["KnownField", "Origin", "Spelling", "entry_of", "known_fields", "shelved_part"]


class Origin(StrEnum):
    """Who states a value."""

    HERE = "this craft's file"
    SHELF = "the shelf"
    LAW = "an estimate from its other values"
    NOBODY = "nobody"


@dataclass(frozen=True, slots=True)
class Spelling:
    """A value and its standard deviation as they read in one unit."""

    suffix: str
    unit: str
    value: str
    sd: str


@dataclass(frozen=True, slots=True)
class KnownField:
    """One field; `form` says what it takes, `spellings` its units with the usual one first.

    `stated_sd` is empty where the usual scatter of the basis is meant; `shelf` is what holds when this craft's file
    says nothing of it.
    """

    field: str
    about: str
    form: str
    origin: Origin
    value: str = ""
    unit: str = ""
    sd: str = ""
    basis: str = ""
    law: str = ""
    stated_sd: str = ""
    shelf: str = ""
    words: tuple[str, ...] = ()
    spellings: tuple[Spelling, ...] = ()

    @property
    def label(self) -> str:
        """The field in words."""
        return self.field.replace("_", " ")

    @property
    def told(self) -> str:
        """Value and unit."""
        return f"{self.value}\u202f{self.unit}".rstrip("\u202f") if self.value else "not stated"


# These are told elsewhere: in the head, with the place, or not at all.
_ELSEWHERE = ("name", "tilt", "note", "source", "tags")
_LAST = ("size", "price", "pieces")


def known_fields(craft: Craft, placed: PlacedPart, shelf: Shelf, display: Display) -> tuple[KnownField, ...]:
    """Every field of a part on a craft: mass first, what its kind has next, size and price last."""
    entry, raw = entry_of(craft, placed), shelved_part(craft, placed, shelf)
    names = [name for name in specs(type(placed.part)) if name not in _ELSEWHERE]
    ordered = [*(n for n in names if n not in _LAST), *(n for n in names if n in _LAST)]
    return tuple(_field(name, placed, entry, raw, display) for name in ordered)


def entry_of(craft: Craft, placed: PlacedPart) -> Mapping[str, Any]:
    """The `[[part]]` of the craft's file as it is written; empty for what the frame draws."""
    if placed.key[:1] != ("part",):
        return {}
    found: Mapping[str, Any] = _table(craft.source.text)["part"][placed.key[1]]
    return found


def shelved_part(craft: Craft, placed: PlacedPart, shelf: Shelf) -> Part | None:
    """The part as its shelf, or the craft's own file, states it: nothing estimated, nothing overridden."""
    own = parts_of_table(_table(craft.source.text), Reader(craft.source), without=("wire",))
    found = shelf.with_parts(own).find(placed.part.name)
    return found.part if found is not None else None


@lru_cache(maxsize=4)
def _table(text: str) -> dict[str, Any]:
    """The tables of a craft's text, which is asked for again and again while it lies on the table."""
    return tomllib.loads(text)


def _field(name: str, placed: PlacedPart, entry: Mapping[str, Any], raw: Part | None, display: Display) -> KnownField:
    spec = specs(type(placed.part))[name]
    value, shelved = getattr(placed.part, name), getattr(raw, name, None)
    written = next((key for key in entry if _spells(key, name)), "")
    if written:
        origin = Origin.HERE
    elif _is_stated(shelved):
        origin = Origin.SHELF
    else:
        origin = Origin.LAW if _is_stated(value) else Origin.NOBODY
    known = KnownField(name, spec.about, _form(spec), origin)
    known = _told(known, spec, value, placed.part.kind, display)
    if origin is Origin.HERE:
        held = _told(KnownField(name, "", "", Origin.SHELF), spec, shelved, placed.part.kind, display)
        table = entry[written]
        stated = table.get("sd") if isinstance(table, Mapping) else None
        known = replace(known, shelf=held.told if held.value else "", stated_sd="" if stated is None else known.sd)
    return known


def _spells(key: str, field: str) -> bool:
    return key == field or any(stem == field for stem, _ in split_key(key))


def _is_stated(value: Any) -> bool:
    return value not in (None, "", ())


def _form(spec: Spec) -> str:
    """What a field takes; '' for what is better written in the file."""
    forms = {Quantity: "estimate", Number: "number", Text: "text", Choice: "choice", Flag: "flag", Series: "series"}
    return forms.get(type(spec), "")


def _told(known: KnownField, spec: Spec, value: Any, kind: str, display: Display) -> KnownField:
    match spec:
        case Quantity():
            return _told_estimate(known, spec, value, kind, display)
        case Series():
            return _told_series(known, spec, value, kind, display)
        case Choice():
            return replace(known, value=value, words=spec.words)
        case Flag():
            return replace(known, value="yes" if value else "no", words=("yes", "no"))
        case Number():
            return replace(known, value="" if value is None else digits(value, 12))
        case Texts():
            return replace(known, value=", ".join(value or ()))
        case Rows():
            return replace(known, value=_told_rows(value or (), display))
    return replace(known, value=value or "")


def _told_estimate(
    known: KnownField, spec: Quantity, estimate: Estimate | None, kind: str, display: Display
) -> KnownField:
    usual = usual_suffix(spec.dimension, estimate.value if estimate else None, display, kind, known.field)
    order = [usual, *(suffix for suffix in suffixes(spec.dimension) if suffix != usual)]
    spellings = tuple(_spelling(estimate, suffix, spec.dimension) for suffix in order)
    if estimate is None:
        return replace(known, spellings=spellings)
    first = spellings[0]
    law = estimate.law or ("its own values" if known.origin is Origin.LAW else "")
    return replace(
        known,
        value=digits(float(first.value)),
        unit=first.unit,
        sd=first.sd,
        basis=str(estimate.basis),
        law=law,
        spellings=spellings,
    )


def _spelling(estimate: Estimate | None, suffix: str, dimension: str) -> Spelling:
    if estimate is None:
        return Spelling(suffix, SPOKEN[suffix], "", "")
    value, sd = in_unit(estimate.value, estimate.sd, suffix, dimension)
    return Spelling(suffix, SPOKEN[suffix], digits(value, 6), digits(sd, 2))


def _told_series(
    known: KnownField, spec: Series, values: tuple[float, ...] | None, kind: str, display: Display
) -> KnownField:
    if not spec.dimension:
        return replace(known, value=", ".join(digits(value, 6) for value in values or ()))
    usual = usual_suffix(spec.dimension, max(map(abs, values)) if values else None, display, kind, known.field)
    order = [usual, *(suffix for suffix in suffixes(spec.dimension) if suffix != usual)]
    spellings = tuple(
        Spelling(s, SPOKEN[s], ", ".join(digits(from_si(v, s, spec.dimension), 6) for v in values or ()), "")
        for s in order
    )
    return replace(known, value=spellings[0].value, unit=spellings[0].unit if values else "", spellings=spellings)


def _told_rows(records: tuple[Any, ...], display: Display) -> str:
    """Small records in a line: `5V 5 V 3 A switching, 9V ...`; of many only how many."""
    if len(records) > 6:
        return f"{len(records)} rows in the file"
    return "; ".join(" ".join(_told_record(record, display)) for record in records)


def _told_record(record: Any, display: Display) -> list[str]:
    words = []
    for name, spec in specs(type(record)).items():
        value = getattr(record, name)
        if isinstance(spec, Quantity) and isinstance(value, Estimate):
            suffix = usual_suffix(spec.dimension, value.value, display)
            words.append(f"{digits(from_si(value.value, suffix, spec.dimension))}\u202f{SPOKEN[suffix]}")
        elif isinstance(value, str) and value:
            words.append(value)
    return words
