"""Entrances that take what people write: each target reads bytes as the product would, and returns what it made."""

import os
import re
import shutil
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

from seeds import SMALL_CRAFT

from rotorwright.craft.edit import change_craft, undo_change
from rotorwright.craft.journal import Journal
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.errors import InputError
from rotorwright.measure.faults import check_readings
from rotorwright.measure.flight_log import flight_log
from rotorwright.measure.forms import FORMS
from rotorwright.measure.given import given_parts, read_options
from rotorwright.measure.mapping import corrected, guess
from rotorwright.measure.measurement import measure
from rotorwright.measure.readings import read
from rotorwright.measure.remembered import mappings_file, remembered
from rotorwright.measure.scale import weigh
from rotorwright.measure.tables import recognise
from rotorwright.parts.kinds import KINDS
from rotorwright.parts.reader import Reader
from rotorwright.parts.shelf import builtin_shelf, read_part_file, read_shelf
from rotorwright.parts.source_map import read_toml
from rotorwright.search.space import read_space
from rotorwright.web.typed import typed_number, typed_numbers

__all__ = ["TARGETS"]

os.fsync = lambda fd: None  # a hundred thousand files, and none of them is to survive


@cache
def _folder() -> Path:
    """A workshop of our own, in memory where there is such a place."""
    shared = Path("/dev/shm")
    folder = Path(tempfile.mkdtemp(prefix="rotorwright-", dir=shared if shared.is_dir() else None))
    for name in ("crafts", "shelf", "logs"):
        (folder / name).mkdir()
    import atexit

    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return folder


def _file(name: str, data: bytes) -> Path:
    file = _folder() / name
    file.write_bytes(data)
    return file


def _text(data: bytes) -> str:
    return data.decode("utf-8", "replace")


@cache
def _lapwing() -> Craft:
    return read_craft(DEMO / "crafts" / "lapwing-3.toml")


def _units(data: bytes) -> Any:
    """A line `kind.key_unit = value` as a field of that kind of part."""
    table, source = read_toml(Path("unit.toml"), _text(data))
    reader = Reader(source)
    word = next(iter(table), "")
    own = table.get(word)
    found = reader.fields(KINDS.get(word, KINDS["motor"]), own if isinstance(own, dict) else table, (), "line")
    if reader.problems:
        raise InputError(*reader.problems)
    return found


def _typed(data: bytes) -> Any:
    return typed_number(_text(data), "x") if len(data) % 2 else typed_numbers(_text(data), "x")


def _part(data: bytes) -> Any:
    return read_part_file(_file("shelf/part.toml", data))


def _craft(data: bytes) -> Any:
    found = read_craft(_file("craft.toml", data), builtin_shelf())
    found.source.line("part", 0, "use")
    return found


def _overlay(data: bytes) -> Any:
    file = _file("shelf/measured.toml", data)
    try:
        own = read_shelf(_folder() / "shelf")
        shelf = builtin_shelf().overlaid(own.overlays)
    finally:
        file.unlink()
    return [shelf.find("motor-2306-1750"), shelf.specimen("5.1x3.6-3", "b")]


def _csv(data: bytes) -> Any:
    form = recognise(_file("logs/table.csv", data))
    readings = read(form, guess(form))
    checked = check_readings(readings)
    if readings.get("time") is not None:
        flight_log(readings)
    return form.words, checked.faults


def _fits(data: bytes) -> Any:
    """The table as every measurement in turn, with the parts of a demo craft."""
    name = list(FORMS)[len(data) % len(FORMS)]
    options = {"swing": ["length_mm=800", "radius_mm=45", "axis=roll"]}.get(name, [])
    found = measure(name, _file("logs/table.csv", data), workshop=None, craft=_lapwing(), options=options)
    return found.fit.values, found.faults


def _options(data: bytes) -> Any:
    """A line as everything that a measurement is told on its command line."""
    text = _text(data)
    table = _folder() / "logs" / "told.csv"
    if not table.exists():
        table.write_text("time,Amps,U,throttle\n" + "".join(f"{i},{i % 5},16,1500\n" for i in range(30)))
    form = list(FORMS.values())[len(data) % len(FORMS)]
    ways = (
        lambda: read_options([text], form.options),
        lambda: corrected(recognise(table), guess(recognise(table)), [text]),
        lambda: read(recognise(table), corrected(recognise(table), guess(recognise(table)), [text])).rows,
        lambda: given_parts([text], builtin_shelf(), None, form.kinds),
        lambda: weigh([text], workshop=None).fit.values,
    )
    return ways[sum(data) % len(ways)]()


def _mappings(data: bytes) -> Any:
    mappings_file(_folder()).write_bytes(data)
    try:
        return remembered(_folder())
    finally:
        mappings_file(_folder()).unlink()


def _space(data: bytes) -> Any:
    if not (_folder() / "craft.toml").exists() or _craft_changed():
        _file("craft.toml", SMALL_CRAFT.encode())
    if re.search(rb"craft\s*=(?!\s*.craft\.toml)", data):
        data = re.sub(rb'craft\s*=\s*"[^"]*"', b'craft = "craft.toml"', data)
    space = read_space(_file("space.toml", data))
    return space.limits, space.goals, [choice.parts for choice in space.choices]


def _craft_changed() -> bool:
    return (_folder() / "craft.toml").read_bytes() != SMALL_CRAFT.encode()


def _change(data: bytes) -> Any:
    """A line as a change of a craft, which then is taken back."""
    file = _file("crafts/changed.toml", SMALL_CRAFT.encode())
    shutil.rmtree(file.parent / ".journal", ignore_errors=True)
    change_craft(file, [_text(data)])
    found = read_craft(file)
    if file.read_bytes() != SMALL_CRAFT.encode():
        undo_change(file)
        assert file.read_bytes() == SMALL_CRAFT.encode(), "undo did not bring the file back"
    return found


def _journal(data: bytes) -> Any:
    file = _file("crafts/kept.toml", b"a = 1\n")
    journal = Journal(file)
    journal.path.parent.mkdir(exist_ok=True)
    journal.path.write_bytes(data)
    found = [len(journal.changes()), journal.undoable() is None]
    try:
        journal.undo()
    except InputError as error:
        return [*found, len(str(error))]
    return found


TARGETS: dict[str, Callable[[bytes], Any]] = {
    "units": _units,
    "typed": _typed,
    "part": _part,
    "craft": _craft,
    "small-craft": _craft,
    "overlay": _overlay,
    "csv": _csv,
    "fits": _fits,
    "options": _options,
    "mappings": _mappings,
    "space": _space,
    "change": _change,
    "journal": _journal,
}
