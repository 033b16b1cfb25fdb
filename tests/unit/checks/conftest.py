"""One invented craft that keeps every limit, and a way to change it."""

import json
import tomllib
from collections.abc import Callable
from copy import deepcopy
from dataclasses import replace
from functools import cache
from pathlib import Path
from types import SimpleNamespace
from typing import Any, NamedTuple

import numpy as np
import pytest
import tomlkit

from rotorwright.checks import CraftView, Missing, Rule, all_rules
from rotorwright.checks.rule import Case
from rotorwright.checks.run import apply
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.parts.shelf import builtin_shelf

# Invented. Places and sizes leave room everywhere; the region is left open, so that legal notes ask for it.
SOUND = """
format = 1
name = "Sound"
[site]
temperature_degc = 20
[frame]
layout = "x"
motor_spacing_mm = 226
[flight]
profile = "filming"
landing_voltage_v = 3.5
[ground]
view = "goggles, digital-a"
antennas = ["antenna-5.8ghz-right"]
[[part]]
id = "motors"
use = "motor-2306-1750"
[[part]]
id = "propellers"
use = "5x4.3-3"
rotation_max_rpm = 45000
[[part]]
id = "nuts"
use = "nut-m5-locking-steel"
role = "propeller-nut"
count = 4
[[part]]
id = "esc"
use = "esc-4in1-45a-30x30"
at_mm = [0, 0, -14]
fed_from = "battery.lead"
[[part]]
id = "battery"
use = "battery-6s-1300-75c"
rating_c = 150
resistance_mohm = 40
lead_gauge_awg = 10
at_mm = [0, 0, 34]
[[part]]
id = "plug"
use = "connector-two-pin-60a-male"
current_a = 120
role = "battery-connector"
at_mm = [-80, 0, -8]
[[part]]
id = "cap"
use = "capacitor-470uf-50v"
series_resistance_mohm = 15
at_mm = [-58, 0, -13]
[[part]]
id = "fc"
use = "fc-30x30-5v3a-9v3a-log"
at_mm = [0, 0, -4]
fed_from = "battery.lead"
[[part]]
id = "rx"
use = "receiver-2.4ghz"
at_mm = [-30, 0, 7]
fed_from = "fc.5V"
[[part]]
id = "rx-antenna"
use = "antenna-2.4ghz-t"
role = "control-antenna"
at_mm = [-95, 0, -11]
turn_deg = [0, 90, 0]
[[part]]
id = "camera"
use = "camera-19mm-digital-a-4x3"
at_mm = [70, 0, -5]
tilt_deg = 30
fed_from = "vtx.camera"
[[part]]
id = "mount"
use = "print-camera-mount-19mm"
role = "camera-mount"
at_mm = [44, 0, -5]
[[part]]
id = "vtx"
use = "vtx-digital-a-25-700mw-20x20"
at_mm = [-44, 0, -12]
fed_from = "fc.9V"
set_power_mw = 25
[[part]]
id = "vtx-antenna"
use = "antenna-5.8ghz-right-short"
role = "video-antenna"
at_mm = [-92, 0, 12]
turn_deg = [0, -45, 0]
[[part]]
id = "recorder"
use = "recording-camera-35g"
at_mm = [66, 0, 30]
tilt_deg = 15
[[part]]
id = "strap"
use = "strap-250x20"
at_mm = [0, 0, 34]
[[part]]
id = "arms"
use = "plate-arm-112x14x5"
role = "arm"
count = 4
[[part]]
id = "main"
use = "plate-deck-150x44x2"
role = "deck"
at_mm = [0, 0, -20.75]
[[part]]
id = "brace"
use = "plate-deck-70x42x2"
role = "deck"
at_mm = [0, 0, -27.75]
[[part]]
id = "top"
use = "plate-deck-130x42x2"
role = "deck"
at_mm = [0, 0, 11.25]
[[part]]
id = "standoffs"
use = "standoff-m3x30"
count = 6
at_mm = [0, 0, -4.75]
[[part]]
id = "motor-screws"
use = "screw-m3x8-button"
role = "motor-mount"
count = 16
[[part]]
id = "standoff-screws"
use = "screw-m3x8-button"
count = 12
at_mm = [0, 0, -4.75]
[[part]]
id = "grommets"
use = "grommet-m3-4mm-hole-soft"
hardness = 15
count = 4
at_mm = [0, 0, -9]
[[wire]]
from = "battery.lead"
to = "esc.supply"
gauge_awg = 10
length_mm = 60
[[wire]]
from = "fc.9V"
to = "vtx.supply"
gauge_awg = 26
length_mm = 80
"""

Changes = dict[str, Any]


def changed(changes: Changes) -> str:
    """Text of the sound craft with `part-id.key` or `table.key` set, or removed where the value is None.

    A part's id alone with None removes the part, `wire` all wires; `+part`, `+wire`, `+waive` and the kinds of part
    append a table, or a list of them.
    """
    table = deepcopy(_parsed())
    for path, value in changes.items():
        name, _, key = path.partition(".")
        if name.startswith("+"):
            table.setdefault(name[1:], []).extend(_listed(value))
            continue
        if path == "wire":
            table.pop("wire")
            continue
        if name in ("site", "frame", "flight", "ground", "weighed"):
            holder = table.setdefault(name, {})
        else:
            holder = next(part for part in table["part"] if part["id"] == name)
        if not key:
            table["part"].remove(holder)
        elif value is None:
            holder.pop(key)
        else:
            holder[key] = value
    rows = ((name, row, isinstance(held, list)) for name, held in table.items() for row in _listed(held))
    return "\n".join(_dumped(json.dumps({name: [row] if several else row})) for name, row, several in rows)


def _listed(held: Any) -> list[Any]:
    return held if isinstance(held, list) else [held]


@cache
def _parsed() -> dict[str, Any]:
    return tomllib.loads(SOUND)


@cache
def _read(text: str) -> Craft:
    """The craft of a text, read once: nothing in a craft can be changed."""
    return read_craft(Path("sound.toml"), builtin_shelf(), text)


@cache
def _dumped(part: str) -> str:
    """Text of one table of a file, written once: most of the sound craft stays as it is in most tests."""
    return tomlkit.dumps(json.loads(part))


@pytest.fixture(scope="session")
def sound() -> Callable[..., Craft]:
    """The sound craft, with changes."""

    def read(changes: Changes | None = None) -> Craft:
        return _read(changed(changes or {}))

    return read


class Seen(NamedTuple):
    """What one case of a rule came to: told as stop, warn or note, kept, or skipped for what `what` asks for."""

    part: str
    verdict: str
    margin: Any = None
    value: Any = None
    limit: Any = None
    unit: str = ""
    what: str = ""


def most(part: str, verdict: str, value: float, limit: float, unit: str, what: str = "") -> Seen:
    """A value that must not exceed its limit: the margin is the room left, as a share of the limit."""
    return Seen(part, verdict, (limit - value) / limit, value, limit, unit, what)


def least(part: str, verdict: str, value: float, limit: float, unit: str, what: str = "") -> Seen:
    """A value that must reach its limit: the margin is what it has over, as a share of the limit."""
    return Seen(part, verdict, (value - limit) / limit, value, limit, unit, what)


def word(part: str, verdict: str, value: str | None, limit: str | None, what: str = "") -> Seen:
    """Two words that fit (1) or do not (-1)."""
    return Seen(part, verdict, 1.0 if verdict == "kept" else -1.0, value, limit, "", what)


def skipped(part: str, give: str) -> Seen:
    """A case that cannot be looked at."""
    return Seen(part, "skipped", what=give)


def lacks(give: str) -> Seen:
    """A rule that cannot look at all."""
    return Seen("", "lacks", what=give)


def seen(code: str, view: CraftView) -> list[Seen]:
    """Everything a rule looks at on a craft, and what comes of it."""
    rule = all_rules()[code]
    rows = []
    try:
        for case in rule.cases(view):
            rows.append(_seen(code, case, view))
    except Missing as error:
        rows.append(lacks(str(error)))
    return rows


def _seen(code: str, case: Any, view: CraftView) -> Seen:
    rule = all_rules()[code]
    done = apply(_only(rule, case), view)
    for lack in done.unchecked:
        return skipped(lack.part, lack.give)
    assert isinstance(case, Case)
    for f in done.findings:
        return Seen(f.where.part, f.severity.value, f.margin, f.value, f.limit, f.unit, f.what)
    # the same case as if it were broken tells its part, value and limit
    (f,) = apply(replace(_only(rule, replace(case, margin=-1.0)), says="{value}"), view).findings
    return Seen(f.where.part, "kept", case.nominal, f.value, f.limit, f.unit)


def _only(rule: Rule, case: Any) -> Rule:
    """A rule that looks at one case."""

    def check(_: Any) -> list[Any]:
        return [case]

    check.__doc__ = rule.check.__doc__
    return replace(rule, check=check)


def same_rows(got: list[Seen], wanted: list[Seen]) -> None:
    """All but the words may differ by rounding; a sentence that is not given is not compared."""
    assert [(g.part, g.verdict, g.unit) for g in got] == [(w.part, w.verdict, w.unit) for w in wanted], got
    for g, w in zip(got, wanted, strict=True):
        for name in ("margin", "value", "limit"):
            one, other = getattr(g, name), getattr(w, name)
            assert one == (pytest.approx(other, rel=1e-9, abs=1e-12) if isinstance(other, float) else other), (
                name,
                g,
            )
        if w.what or w.verdict in ("stop", "warn", "note"):
            assert g.what == w.what


def record(**fields: Any) -> Any:
    """A record array of one row, or of as many as the longest of its fields has."""
    columns = {name: np.atleast_1d(np.asarray(value)) for name, value in fields.items()}
    rows = np.zeros(max(map(len, columns.values())), [(name, column.dtype) for name, column in columns.items()])
    for name, column in columns.items():
        rows[name] = column
    return rows


@pytest.fixture(scope="session")
def posed(sound: Callable[..., Craft]) -> Callable[..., CraftView]:
    """A view of the changed sound craft whose solved points are given instead of solved.

    Four samples scatter behind the nominal craft: what is told must not come from them.

    `motors` are the motors' places in place of the layout's, `mass` is the whole craft's; `full`, `in_flight`,
    `hover`, `flown` and `rows` are fields of their records; any other name is what it is.
    """

    def view(changes: Changes | None = None, **known: Any) -> CraftView:
        craft = sound(changes)
        made = CraftView(replace(craft, motors=known.pop("motors", craft.motors)), samples=4)
        if "mass" in known:
            total = np.array([known.pop("mass"), 9.0, 0.1, 9.0, 9.0])
            made.__dict__["masses"] = SimpleNamespace(total=lambda: total)
        if "rows" in known:
            known["columns"] = SimpleNamespace(craft=record(**known.pop("rows")))
        names = {"in_flight": "in flight", "ground_antennas": "ground antennas"}
        for name, value in known.items():
            made._known[names.get(name, name)] = record(**value) if isinstance(value, dict) else value
        return made

    return view
