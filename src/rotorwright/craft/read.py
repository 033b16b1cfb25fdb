"""From a craft file to a craft: tables read, parts found on the shelf, everything put in place.

Every problem of the file is gathered before any is raised.
"""

from collections.abc import Mapping
from dataclasses import replace
from difflib import get_close_matches
from os.path import realpath
from pathlib import Path
from typing import Any, TypeVar

from rotorwright.craft.model import Craft, Place, PlacedPart
from rotorwright.craft.placing import LAYOUT_ROLES, Heights, heights, places_by_layout
from rotorwright.craft.tables import Flight, Ground, PartUse, Site, Title, Waiver, Weighed, WireRun
from rotorwright.errors import InputError, Problem
from rotorwright.frame.layout import MotorPlace, missing_size, motor_places
from rotorwright.frame.table import SINGLE_TABLES, FrameTable
from rotorwright.parts.contradictions import contradictions, spelled
from rotorwright.parts.fields import specs
from rotorwright.parts.kinds import KINDS
from rotorwright.parts.laws import completed
from rotorwright.parts.part import Part
from rotorwright.parts.reader import Reader
from rotorwright.parts.shelf import FORMAT, Shelf, builtin_shelf, check_format, parts_of_table, read_shelf
from rotorwright.parts.source_map import read_toml
from rotorwright.physics.rotor_corrections import DUCT_REFUSAL
from rotorwright.units import split_key

__all__ = ["ROLES_OF_ONE_ENTRY", "TOP_TABLES", "belongs", "read_craft", "workshop_of", "workshop_shelf"]

T = TypeVar("T")

TOP_TABLES = {"site": Site, "frame": FrameTable, "flight": Flight, "weighed": Weighed, "ground": Ground}
_MANY = {"part": PartUse, "wire": WireRun, "waive": Waiver}

# The operating point is solved for motors that are all alike.
ROLES_OF_ONE_ENTRY = ("motor", "propeller", "battery")


def workshop_of(file: Path) -> Path | None:
    """The workshop folder that holds `crafts/` with this file, or None."""
    folder = Path(realpath(file)).parent  # which a ring of links does not upset
    return folder.parent if folder.name == "crafts" else None


def workshop_shelf(folder: Path | None) -> Shelf:
    """The built-in shelf, in front of it the `shelf/` of a workshop, and laid over both what was measured.

    Raises InputError with every problem of the workshop's files.
    """
    shelf, problems = _shelf_and_problems(folder)
    if problems:
        raise InputError(*problems)
    return shelf


def _shelf_and_problems(folder: Path | None) -> tuple[Shelf, tuple[Problem, ...]]:
    """As much of the workshop's shelf as can be read, and what is wrong with the rest."""
    shelf = builtin_shelf()
    if folder is None or not (folder / "shelf").is_dir():
        return shelf, ()
    try:
        own = read_shelf(folder / "shelf")
        shelf = shelf.with_parts(found for part in own if (found := own.find(part.name)) is not None)
        return (shelf.overlaid(own.overlays) if own.overlays else shelf), ()
    except InputError as error:
        return shelf, error.problems


def read_craft(file: Path, shelf: Shelf | None = None, text: str | None = None) -> Craft:
    """The craft in `file`, with parts from `shelf` or from its workshop's shelf; InputError with all problems.

    `text` is read in place of what the file holds.
    """
    table, source = read_toml(file, text)
    reader = Reader(source)
    if shelf is None:
        shelf, problems = _shelf_and_problems(workshop_of(file))
        reader.problems += problems
    return _Reading(file, table, reader, shelf).craft()


class _Reading:
    """One pass over a craft file."""

    def __init__(self, file: Path, table: dict[str, Any], reader: Reader, shelf: Shelf) -> None:
        self.file, self.table, self.reader = file, table, reader
        # [[wire]] in a craft is a run of wire, not a part
        self.shelf = shelf.with_parts(parts_of_table(table, reader, without=("wire",)))

    def craft(self) -> Craft:
        check_format(self.table, self.reader)
        title = self._title()
        single = {name: self._single(name, kind) for name, kind in TOP_TABLES.items()}
        many = {name: self._many(name, kind) for name, kind in _MANY.items()}
        uses = [self._use(index, entry) for index, entry in enumerate(many["part"])]
        parts = [placed for placed in uses if placed is not None]
        self._check_unique(parts)
        motors = self._motors(single["frame"])
        self._check_counts(parts, motors)
        frame = single["frame"] or FrameTable()
        drawn = self._drawn(frame, motors, parts) if motors and frame.draws else []
        if self.reader.problems:
            raise InputError(*self.reader.problems)
        return Craft(
            title=title or Title(format=1, name=self.file.stem),
            site=single["site"] or Site(),
            frame=frame,
            motors=tuple(motors),
            parts=(*_put(parts, motors, frame), *drawn),
            wires=tuple(self._records("wire", WireRun, many["wire"])),
            flight=single["flight"] or Flight(),
            weighed=single["weighed"] or Weighed(),
            waivers=tuple(self._records("waive", Waiver, many["waive"])),
            ground=single["ground"] or Ground(),
            file=self.file,
            source=self.reader.source,
        )

    def _title(self) -> Title | None:
        known = {*TOP_TABLES, *_MANY, *KINDS}
        tables = {name for name, value in self.table.items() if isinstance(value, Mapping) or _is_rows(value)}
        for name in sorted(tables - known):
            near = get_close_matches(name, known, n=2) or sorted({*TOP_TABLES, *_MANY})
            self.reader.complain((name,), f"unknown table '{name}'", f"Known: {', '.join(near)}.")
        scalars = {name: value for name, value in self.table.items() if name not in tables | known}
        scalars.setdefault("format", FORMAT)  # its absence has been noted once already
        return self.reader.record(Title, scalars, (), "the craft")

    def _single(self, name: str, kind: type[Any]) -> Any:
        if name not in self.table:
            return None
        table = self.table[name]
        if kind is FrameTable and isinstance(table, Mapping):
            return self._frame(table)
        return self.reader.record(kind, table, (name,), f"[{name}]")

    def _frame(self, table: Mapping[str, Any]) -> FrameTable | None:
        """`[frame]`, and the tables below it that stand once."""
        own = {name: value for name, value in table.items() if name not in SINGLE_TABLES}
        frame = self.reader.record(FrameTable, own, ("frame",), "[frame]")
        for name in [name for name in SINGLE_TABLES if isinstance(table.get(name), list)]:
            self.reader.complain(("frame", name), f"[[frame.{name}]] stands once", f"Write [frame.{name}].")
        below: dict[str, Any] = {
            name: self.reader.record(kind, table[name], ("frame", name), f"[frame.{name}]")
            for name, kind in SINGLE_TABLES.items()
            if name in table and not isinstance(table[name], list)
        }
        return replace(frame, **below) if frame else None

    def _many(self, name: str, kind: type) -> list[Any]:
        entries = self.table.get(name, [])
        if not isinstance(entries, list):
            self.reader.complain((name,), f"[{name}] is a single table", f"Write [[{name}]], once for each.")
            return []
        if kind is not PartUse:
            self._records(name, kind, entries)
        return entries

    def _records(self, name: str, kind: type[T], entries: list[Any]) -> list[T]:
        before = len(self.reader.problems)
        read = [self.reader.record(kind, entry, (name, i), f"{name} {i + 1}") for i, entry in enumerate(entries)]
        return [record for record in read if record is not None and len(self.reader.problems) == before]

    def _use(self, index: int, entry: Any) -> PlacedPart | None:
        """One `[[part]]`: keys of its own, and keys of its kind, which win over what was measured and the shelf."""
        key = ("part", index)
        if not isinstance(entry, Mapping) or not isinstance(entry.get("use"), str):
            self.reader.complain(key, f"part {index + 1} does not say which part to use", 'Write use = "...".')
            return None
        label = f"part '{entry.get('id') or entry['use']}'"
        shelved = self.shelf.find(entry["use"])
        own = {name: value for name, value in entry.items() if belongs(name, PartUse)}
        rest = {name: value for name, value in entry.items() if name not in own}
        use = self.reader.record(PartUse, own, key, label)
        if shelved is None and entry["use"] in self._named_here():
            return None  # what is wrong with it has been said
        if shelved is None:
            near = self.shelf.near(entry["use"])
            fix = f"Near: {', '.join(near)}." if near else "`rotorwright shelf` lists what there is."
            self.reader.complain((*key, "use"), f"no part '{entry['use']}' on any shelf", fix)
            return None
        values = self.reader.fields(type(shelved.part), rest, key, label)
        if use is None:
            return None
        measured = self.shelf.specimen(use.use, use.specimen) if use.specimen else {}
        stated = replace(shelved.part, **{**measured, **values})
        if contradicting := list(contradictions(stated)):
            for name, what, fix in contradicting:
                self.reader.complain((*key, spelled(name, entry)), f"{label}: {what}", fix)
            return None
        part: Part = completed(stated)
        return PlacedPart(
            id=use.id or use.role or part.kind,
            role=use.role or part.kind,
            part=part,
            count=use.count or 0,
            places=tuple(_place(use) for _ in range(1) if use.at is not None),
            assumed=False,
            why=use.why,
            fed_from=use.fed_from,
            set_power=use.set_power.value if use.set_power else None,
            specimen=use.specimen,
            key=key,
        )

    def _named_here(self) -> list[Any]:
        """Names of the parts that this file itself describes, well or badly."""
        tables = [self.table.get(word) for word in KINDS if word != "wire"]
        entries = [entry for table in tables if isinstance(table, list) for entry in table]
        return [entry.get("name") for entry in entries if isinstance(entry, Mapping)]

    def _check_unique(self, parts: list[PlacedPart]) -> None:
        given = [(p.id, p.key) for p in parts if "id" in self.table["part"][p.key[1]]]
        for index, (name, key) in enumerate(given):
            if name in [other for other, _ in given[:index]]:
                self.reader.complain((*key, "id"), f"a second part has the id '{name}'", "Give it another id.")
        for role in ROLES_OF_ONE_ENTRY:
            for extra in [p for p in parts if p.role == role][1:]:
                why = "All motors, propellers and packs of a craft are alike here."
                self.reader.complain(
                    extra.key, f"a second entry with the role '{role}'", "Use count, or one part.", why
                )
        for p in parts:
            if p.role in ROLES_OF_ONE_ENTRY and p.part.kind != p.role:
                fix = f"Use a {p.role}, or another role."
                self.reader.complain(p.key, f"'{p.part.name}' is a {p.part.kind}, not a {p.role}", fix)

    def _check_counts(self, parts: list[PlacedPart], motors: list[MotorPlace]) -> None:
        """The layout says where motors and propellers are, and how many."""
        for p in parts if motors else ():
            if p.role in ("motor", "propeller"):
                if p.count not in (0, len(motors)):
                    what = f"{p.count} of '{p.part.name}', but the layout has {len(motors)} motors"
                    self.reader.complain((*p.key, "count"), what, "Leave count out, or choose another layout.")
                if p.places:
                    what = f"'{p.part.name}' is given a place, but the layout places each {p.role}"
                    self.reader.complain(p.key, what, "Leave its place out, or give the part another role.")

    def _motors(self, frame: FrameTable | None) -> list[MotorPlace]:
        if frame is None:
            if "frame" not in self.table:
                self.reader.complain((), "no [frame] table", "Write [frame] with layout and motor_spacing_mm.")
            return []
        if frame.ducts:
            what, _, fix = DUCT_REFUSAL.partition(". ")
            self.reader.complain(("frame", "ducts"), what[0].lower() + what[1:], fix)
        if lacks := missing_size(frame):
            self.reader.complain(("frame",), "[frame] does not say how far apart the motors are", f"Give {lacks}.")
            return []
        return motor_places(frame)

    def _drawn(self, frame: FrameTable, motors: list[MotorPlace], parts: list[PlacedPart]) -> list[PlacedPart]:
        from rotorwright.craft.drawing import drawn_parts  # brings the plane geometry in, which takes its time

        return drawn_parts(frame, motors, parts, self.reader)


def _is_rows(value: Any) -> bool:
    return isinstance(value, list) and any(isinstance(item, Mapping) for item in value)


def belongs(name: str, record: type) -> bool:
    """Whether the key `name` is one of `record`, in any unit."""
    known = specs(record)
    return name in known or any(stem in known for stem, _ in split_key(name))


def _place(use: PartUse) -> Place:
    roll, pitch, yaw = use.turn or (0.0, 0.0, 0.0)
    assert use.at is not None
    return Place(use.at[0], use.at[1], use.at[2], roll, pitch, yaw)


def _put(parts: list[PlacedPart], motors: list[MotorPlace], frame: FrameTable) -> list[PlacedPart]:
    by_role = {p.role: p.part for p in reversed(parts)}
    levels = heights(frame, by_role.get("motor"), by_role.get("propeller"))
    return [_in_place(placed, motors, levels) for placed in parts]


def _in_place(placed: PlacedPart, motors: list[MotorPlace], levels: Heights) -> PlacedPart:
    if placed.role in LAYOUT_ROLES and not placed.places:
        places = places_by_layout(placed.role, placed.part, motors, levels)
        return replace(placed, places=tuple(places), count=placed.count or len(places))
    count = placed.count or 1
    if placed.places:
        return replace(placed, count=count)
    return replace(placed, count=count, places=(Place(0.0, 0.0, levels.base),), assumed=True)
