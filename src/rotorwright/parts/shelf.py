"""Shelves: folders of part files, read into one set of parts with unique names."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Any

from rotorwright.errors import InputError, Problem
from rotorwright.parts.contradictions import contradictions, spelled
from rotorwright.parts.kinds import KINDS, near_kinds
from rotorwright.parts.measured import MEASURED, Overlay, Values, merged_overlays, overlays_of
from rotorwright.parts.part import Part
from rotorwright.parts.reader import Reader, quoted
from rotorwright.parts.source_map import SourceMap, read_toml

__all__ = [
    "FORMAT",
    "Shelf",
    "Shelved",
    "builtin_shelf",
    "check_format",
    "parts_of_table",
    "read_part_file",
    "read_shelf",
]

FORMAT = 1


@dataclass(frozen=True, slots=True)
class Shelved:
    """A part, and the line it stands on."""

    part: Part
    source: SourceMap = field(repr=False, compare=False)
    key: tuple[str | int, ...] = ()

    @property
    def line(self) -> int | None:
        """Line of the file where the part begins."""
        return self.source.line(*self.key)


class Shelf:
    """Parts by name; later shelves put before earlier ones may replace a name.

    `overlays` are measured values that wait for `overlaid`; until then the parts are as their files say.
    """

    def __init__(self, parts: Iterable[Shelved] = (), overlays: Iterable[Overlay] = ()) -> None:
        self._parts = {shelved.part.name: shelved for shelved in parts}
        self._specimens: dict[tuple[str, str], Values] = {}
        self.overlays = tuple(overlays)

    def __iter__(self) -> Iterator[Part]:
        return (shelved.part for shelved in self._parts.values())

    def __len__(self) -> int:
        return len(self._parts)

    def find(self, name: str) -> Shelved | None:
        """The part of exactly this name."""
        return self._parts.get(name)

    def near(self, name: str, kind: type[Part] = Part) -> list[str]:
        """Names spelled nearly like `name`, of parts of `kind`."""
        names = [part.name for part in self if isinstance(part, kind)]
        near = get_close_matches(name, names, n=4, cutoff=0.45)
        return near or [n for n in names if name and name.lower() in n.lower()][:4]

    def of_kind(self, kind: type[Part]) -> list[Part]:
        """All parts of one kind, in shelf order."""
        return [part for part in self if isinstance(part, kind)]

    def specimen(self, name: str, specimen: str) -> Values:
        """Values measured of one piece of the part `name`."""
        return self._specimens.get((name, specimen), {})

    def with_parts(self, parts: Iterable[Shelved]) -> "Shelf":
        """This shelf with more parts, which win over those of the same name and over what was measured of them."""
        more = {shelved.part.name: shelved for shelved in parts}
        shelf = Shelf([*self._parts.values(), *more.values()], self.overlays)
        shelf._specimens = {of: values for of, values in self._specimens.items() if of[0] not in more}
        return shelf

    def overlaid(self, overlays: Iterable[Overlay]) -> "Shelf":
        """This shelf with measured values laid over its parts; InputError with every problem of the overlays."""
        given = [*self.overlays, *overlays]
        merged, problems = merged_overlays(given, self._part, self.near)
        if problems:
            raise InputError(*problems)
        of_types = {name: values for (name, specimen), values in merged.items() if not specimen}
        changed = [
            replace(shelved, part=replace(shelved.part, **of_types[name]))
            for name, shelved in self._parts.items()
            if name in of_types
        ]
        shelf = Shelf([*self._parts.values(), *changed], given)
        shelf._specimens = {of: values for of, values in merged.items() if of[1]}
        return shelf

    def _part(self, name: str) -> Part | None:
        shelved = self._parts.get(name)
        return shelved.part if shelved else None


def check_format(table: Mapping[str, Any], reader: Reader) -> None:
    """Note a problem unless the file begins with `format = 1`."""
    given = table.get("format")
    if given != FORMAT:
        what = "the file does not say its format" if given is None else f"format {quoted(given)} is not known"
        reader.complain(("format",), what, f"Write format = {FORMAT} as its first line.")


def parts_of_table(table: Mapping[str, Any], reader: Reader, without: tuple[str, ...] = ()) -> list[Shelved]:
    """The parts that the kind tables of one file hold, all kinds but `without`; problems noted in `reader`."""
    found: list[Shelved] = []
    seen: dict[str, tuple[str | int, ...]] = {}
    for word, entries in table.items():
        if word not in KINDS or word in without:
            continue
        if not isinstance(entries, list):
            reader.complain((word,), f"[{word}] is a single table", f"Write [[{word}]], once for each part.")
            continue
        for index, entry in enumerate(entries):
            key = (word, index)
            given = entry.get("name") if isinstance(entry, Mapping) else None
            name = given if isinstance(given, str) else ""
            part = reader.record(KINDS[word], entry, key, f"{word} '{name}'" if name else word)
            if name in seen:
                line = reader.source.line(*seen[name])
                reader.complain(key, f"a part named '{name}' stands on line {line} already", "Give it another name.")
            elif part is not None:
                for field, what, fix in contradictions(part):
                    reader.complain((*key, spelled(field, entry)), f"{word} '{name}': {what}", fix)
                found.append(Shelved(part, reader.source, key))
            if name:
                seen[name] = key
    return found


def _read_file(file: Path) -> tuple[list[Shelved], list[Overlay], list[Problem]]:
    try:
        table, source = read_toml(file)
    except InputError as error:
        return [], [], list(error.problems)
    reader = Reader(source)
    check_format(table, reader)
    for word in table:
        if word not in KINDS and word not in ("format", MEASURED):
            near = near_kinds(word) or list(KINDS)
            reader.complain((word,), f"unknown kind of part '{word}'", f"Known: {', '.join(near)}.")
    return parts_of_table(table, reader), overlays_of(table, reader), reader.problems


def read_shelf(*folders: Path) -> Shelf:
    """All parts of all `.toml` files in `folders` and below; a later folder wins over an earlier one.

    Measured values are kept as `overlays`, since they may speak of parts of another shelf.
    Raises InputError with every problem of every file.
    """
    shelf, overlays, problems = Shelf(), [], []
    for folder in folders:
        here: dict[str, Shelved] = {}
        for file in sorted(folder.rglob("*.toml")):
            parts, measured, wrong = _read_file(file)
            overlays += measured
            problems += wrong
            for shelved in parts:
                if (other := here.get(shelved.part.name)) is not None:
                    what = f"a part named '{shelved.part.name}' stands in {other.source.file.name} already"
                    problems.append(shelved.source.problem(shelved.key, what, "Give one of them another name."))
                here[shelved.part.name] = shelved
        shelf = shelf.with_parts(here.values())
    if problems:
        raise InputError(*problems)
    shelf.overlays = tuple(overlays)
    return shelf


@cache
def builtin_shelf() -> Shelf:
    """The generic parts that ship with the package, named by their specification."""
    return read_shelf(Path(__file__).parent / "builtin")


def read_part_file(file: Path) -> list[Part]:
    """The parts of one file; InputError with all its problems."""
    parts, _, problems = _read_file(file)
    if problems:
        raise InputError(*problems)
    return [shelved.part for shelved in parts]
