"""Measured values laid over the parts of a shelf: of a type, or of one specimen of it.

An overlay never edits the part it speaks of. It stands as a `[[measured]]` table in any file of a shelf and names the
part, the day and the file that the values come from. Of two that give the same value the later day holds; two of the
same day contradict each other and are refused. A craft's own value beats an overlay, an overlay beats the shelf.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from rotorwright.errors import Problem
from rotorwright.parts.estimate import Basis
from rotorwright.parts.fields import Quantity, specs, text
from rotorwright.parts.part import Part
from rotorwright.parts.reader import Reader
from rotorwright.parts.source_map import Key, SourceMap
from rotorwright.units import split_key

__all__ = ["MEASURED", "Measured", "Overlay", "Values", "merged_overlays", "overlays_of"]

Values = Mapping[str, Any]
"""Values of a part's fields by their names."""

MEASURED = "measured"
"""The table's name in a file."""


@dataclass(frozen=True, kw_only=True)
class Measured:
    """`[[measured]]` on a shelf: measured values of a part. Any key of the part's kind may stand here too."""

    of: str = text("name of the part", required=True)
    date: str = text("day it was measured, as 2026-05-31", required=True)
    specimen: str = text("which piece of it; all of this type when not given")
    by: str = text("how it was measured")
    from_: str = text("file with the readings")
    note: str = text("anything worth knowing")


@dataclass(frozen=True, slots=True)
class Overlay:
    """A `[[measured]]` table as it stands in a file: its own keys read, those of the part not yet."""

    about: Measured
    values: Mapping[str, Any]
    key: Key
    source: SourceMap = field(repr=False, compare=False)

    @property
    def line(self) -> int | None:
        """Line of the file where it begins."""
        return self.source.line(*self.key)


def overlays_of(table: Mapping[str, Any], reader: Reader) -> list[Overlay]:
    """The overlays that one file holds; problems noted in `reader`."""
    entries = table.get(MEASURED, [])
    if not isinstance(entries, list):
        reader.complain((MEASURED,), "[measured] is a single table", "Write [[measured]], once for each.")
        return []
    found = []
    for index, entry in enumerate(entries):
        key: Key = (MEASURED, index)
        if not isinstance(entry, Mapping):
            reader.complain(key, "a table is expected here", "Write [[measured]].")
            continue
        plain = {k: v.isoformat() if isinstance(v, date) else v for k, v in entry.items()}
        own = {k: v for k, v in plain.items() if k in specs(Measured)}
        about = reader.record(Measured, own, key, f"measured {index + 1}")
        if about is not None and _is_dated(about, key, reader):
            values = {k: v for k, v in plain.items() if k not in own}
            found.append(Overlay(about, values, key, reader.source))
    return found


def _is_dated(about: Measured, key: Key, reader: Reader) -> bool:
    try:
        date.fromisoformat(about.date)
    except ValueError:
        reader.complain((*key, "date"), f"'{about.date}' is not a day", 'Write it as date = "2026-05-31".')
        return False
    return True


def merged_overlays(
    overlays: Iterable[Overlay], part_of: Callable[[str], Part | None], near: Callable[[str], list[str]]
) -> tuple[dict[tuple[str, str], Values], list[Problem]]:
    """Values by (part, specimen), the latest of each; a specimen of '' stands for the type. And every problem.

    part_of: the part of a name; near: names spelled nearly like one
    """
    groups: dict[tuple[str, str], list[tuple[Overlay, Values]]] = {}
    problems: list[Problem] = []
    for overlay in overlays:
        about, reader = overlay.about, Reader(overlay.source)
        part = part_of(about.of)
        if part is None:
            names = near(about.of)
            fix = f"Near: {', '.join(names)}." if names else "`rotorwright shelf` lists what there is."
            reader.complain((*overlay.key, "of"), f"measured: no part '{about.of}' on any shelf", fix)
        else:
            values = _read(overlay, type(part), reader)
            groups.setdefault((about.of, about.specimen), []).append((overlay, values))
        problems += reader.problems
    return {of: _latest(reads, problems) for of, reads in groups.items()}, problems


def _read(overlay: Overlay, kind: type[Part], reader: Reader) -> Values:
    """The part's values of one overlay; a plain number counts as measured, a mass as weighed."""
    raw = {}
    for name, value in overlay.values.items():
        stems = [name, *(stem for stem, _ in split_key(name))]
        stem = next((stem for stem in stems if isinstance(specs(kind).get(stem), Quantity)), None)
        basis = Basis.WEIGHED if stem == "mass" else Basis.MEASURED
        if stem and isinstance(value, int | float) and not isinstance(value, bool):
            value = {"value": value, "basis": str(basis)}
        elif stem and isinstance(value, Mapping):
            value = {"basis": str(basis), **value}
        raw[name] = value
    if "name" in raw:
        reader.complain((*overlay.key, "name"), "measured: a name is not measured", "Take it out.")
        del raw["name"]
    return reader.fields(kind, raw, overlay.key, f"measured of '{overlay.about.of}'")


def _latest(reads: list[tuple[Overlay, Values]], problems: list[Problem]) -> Values:
    """Values of the latest day; a contradiction on one day is noted."""
    found: dict[str, tuple[Overlay, Any]] = {}
    for overlay, values in sorted(reads, key=lambda read: read[0].about.date):
        for name, value in values.items():
            before = found.get(name)
            if before is not None and before[0].about.date == overlay.about.date and before[1] != value:
                problems.append(_contradiction(before[0], overlay, name))
            found[name] = (overlay, value)
    return {name: value for name, (_, value) in found.items()}


def _contradiction(first: Overlay, second: Overlay, name: str) -> Problem:
    about = second.about
    which = f"'{about.of}'" + (f", specimen '{about.specimen}'," if about.specimen else "")
    where = f"line {first.line}" if first.source is second.source else f"{first.source.file}:{first.line}"
    what = f"measured: {name} of {which} on {about.date} stands on {where} already, with another value"
    spelled = (k for k in second.values if k == name or any(stem == name for stem, _ in split_key(k)))
    return second.source.problem((*second.key, next(spelled, name)), what, "Keep one, or give the later its day.")
