"""Random craft files: all layouts, parts of the shelf and of one's own, values inside and far outside what is usual.

Values are drawn from what each field declares, so that a new field is tried without a word here. Everything comes
from the one `Random` that is given: a seed names a craft.
"""

import json
import math
import tomllib
from collections.abc import Mapping
from functools import cache
from math import inf
from random import Random
from typing import Any

from rotorwright.checks import all_rules
from rotorwright.craft.tables import Flight, Ground, PartUse, Site, Weighed, WireRun
from rotorwright.craft.workshop import DEMO
from rotorwright.frame.materials import materials
from rotorwright.frame.pieces_table import (
    ArmTable,
    CageTable,
    DeckTable,
    ImportedTable,
    PrintedTable,
    StandoffTable,
)
from rotorwright.frame.table import LAYOUTS
from rotorwright.parts.estimate import Basis
from rotorwright.parts.fields import Choice, Flag, Number, Quantity, Rows, Series, Spec, Text, Texts, specs
from rotorwright.parts.kinds import KINDS
from rotorwright.parts.ranges import RANGES, REACH
from rotorwright.parts.shelf import builtin_shelf
from rotorwright.predict.profiles import PROFILES
from rotorwright.units import from_si, suffixes

__all__ = ["craft_text", "part_text", "toml_text"]

# How far a craft strays: as people build, anywhere the file format lets it, or beyond that.
_MOODS = ("usual",) * 5 + ("broad",) * 4 + ("wild",)
# Sizes [SI] about which a value is usual, by dimension.
_USUAL = {
    "mass": 0.03, "length": 0.03, "area": 0.01, "time": 10.0, "angle": 0.5, "rotation": 1500.0, "speed": 8.0,
    "force": 5.0, "torque": 0.05, "inertia": 1e-6, "density": 1500.0, "modulus": 5e10, "voltage": 12.0,
    "current": 20.0, "charge": 5000.0, "energy": 1e5, "power": 5.0, "resistance": 0.05, "capacitance": 4e-4,
    "inductance": 1e-6, "speed constant": 180.0, "charge rate": 60.0, "frequency": 3e9, "power level": -90.0,
    "gain": 2.0, "level": 3.0, "share": 0.6, "temperature": 290.0, "wire area": 1e-6,
}  # fmt: skip
_BEYOND = (0.0, -1.0, -0.0, 1e-300, 5e-324, 1e-30, 1e30, 1e150, 1e308, inf, -inf, math.nan)
_ROLES = (
    "speed-controller", "flight-controller", "receiver", "video-transmitter", "antenna", "camera", "recording-camera",
    "satellite-positioning", "buzzer", "light", "capacitor", "connector", "regulator", "pigtail", "screw", "nut",
    "standoff", "grommet", "plate", "tube", "printed-part", "strap", "other",
)  # fmt: skip
_PLAYED = ("arm", "arm-bumper", "motor-mount", "propeller-nut", "video-antenna", "control-antenna", "antenna-holder")
_WORDS = (
    "carbon",
    "5V",
    "left",
    "m2",
    "ü",
    "ideo·graph",
    "a" * 60,
    "",
    "battery.lead",
    "analog-a",
    "serial",
    "video",
)


def toml_text(value: Any) -> str:
    """One value as TOML."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {toml_text(one)}" for key, one in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(toml_text(one) for one in value) + "]"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else repr(value)


def _lines(header: str, table: Mapping[str, Any]) -> str:
    return "\n".join([f"\n{header}", *(f"{key} = {toml_text(value)}" for key, value in table.items()), ""])


class _Maker:
    """One random craft in the making."""

    def __init__(self, random: Random) -> None:
        self.random = random
        self.mood = random.choice(_MOODS)
        self.draws = False
        self.parts: list[str] = []
        self.own: list[str] = []

    def likely(self, share: float) -> bool:
        return self.random.random() < share

    def spread(self, sd: float) -> float:
        """A factor about 1; three evenly spread numbers make a bell near enough, and have an end."""
        return math.exp(2.0 * sd * (sum(self.random.random() for _ in range(3)) - 1.5))

    def size(self, low: float, high: float, usual: float) -> float:
        """A value [SI] as far from `usual` as the mood goes."""
        if self.mood == "wild" and self.likely(0.05):
            return self.random.choice(_BEYOND)
        if self.mood == "usual" or self.likely(0.4):
            value = usual * self.spread(0.4)
        elif self.likely(0.15):
            return self.random.choice([low, high if math.isfinite(high) else usual * 1e6])
        elif low < 0.0 and self.likely(0.5):
            return self.random.uniform(low, min(high, 1e6))
        else:
            top = math.log(high) if 0.0 < high < inf else math.log(abs(usual) or 1.0) + 14.0
            value = math.exp(self.random.uniform(top - 28.0, top))
        return min(max(value, low), high) if self.mood != "wild" else value

    def quantity(self, name: str, spec: Quantity) -> tuple[str, Any]:
        """Key with a unit, and a value, sometimes with basis and scatter."""
        usual = _USUAL.get(spec.dimension, 1.0)
        if math.isfinite(spec.high) and spec.dimension not in ("temperature", "power level"):
            usual = min(usual, 0.4 * spec.high)
        suffix = self.random.choice(suffixes(spec.dimension))
        least, largest = RANGES[spec.dimension]
        low = spec.low if spec.may_be_low or spec.low < 0.0 else max(spec.low * (1 + 1e-9), least)
        value = self.size(low, min(spec.high, largest) * (1 - 1e-9), usual)
        try:
            shown: Any = from_si(value, suffix, spec.dimension)
        except (ValueError, OverflowError, ZeroDivisionError):
            shown, suffix = value, suffixes(spec.dimension)[0]
        if suffix == "awg":
            shown = min(max(round(shown), -3), 40) if math.isfinite(shown) else 20
        if self.likely(0.15):
            shown = {"value": shown, "basis": self.random.choice([*Basis]).value}
            if self.likely(0.6):
                shown["sd"] = abs(shown["value"]) * self.random.choice([0.0, 0.01, 0.1, 1.0, 10.0])
        return f"{name}_{suffix}", shown

    def series(self, name: str, spec: Series) -> tuple[str, Any]:
        """Numbers in a row, places most often."""
        length = spec.length or self.random.randint(0 if self.mood == "wild" else 1, 4)
        usual = _USUAL.get(spec.dimension, 0.5)
        largest = REACH if spec.dimension == "length" else RANGES[spec.dimension][1] if spec.dimension else 1e6
        low, high = max(spec.low, -largest), min(spec.high, largest) * (1 - 1e-9)
        found = []
        for _ in range(length):
            value = self.size(max(low, 0.0), high, usual)
            found.append(-value if low < 0.0 and self.likely(0.4) else value)
        if not spec.dimension:
            return name, sorted(found)
        suffix = self.random.choice(suffixes(spec.dimension)[:4])
        return f"{name}_{suffix}", [from_si(value, suffix, spec.dimension) for value in found]

    def number(self, spec: Number) -> float | int:
        usual = min(max(4.0, spec.low), spec.high)
        value = self.size(spec.low, min(spec.high, 1e9), usual)
        return int(min(max(round(value), spec.low), spec.high)) if spec.whole and abs(value) < 1e9 else value

    def field(self, name: str, spec: Spec) -> tuple[str, Any]:
        """One key of a record and its value."""
        match spec:
            case Quantity():
                return self.quantity(name, spec)
            case Series():
                return self.series(name, spec)
            case Number():
                return name, self.number(spec)
            case Choice():
                return name, self.random.choice(spec.words)
            case Flag():
                return name, self.likely(0.5)
            case Texts():
                return name, [self.random.choice(_WORDS) for _ in range(self.random.randint(0, 3))]
            case Rows():
                return name, [self.record(spec.record, 0.7) for _ in range(self.random.randint(0, 3))]
            case Text():
                return name, self.random.choice(_WORDS)
        raise TypeError(spec)

    def record(self, kind: type, share: float, *without: str) -> dict[str, Any]:
        """Keys of a record: all it must have, and a share of the others."""
        chosen = {
            name: spec
            for name, spec in specs(kind).items()
            if name not in without and (spec.required or self.likely(share))
        }
        return dict(self.field(name, spec) for name, spec in chosen.items())

    def part(self, role: str) -> None:
        """A part in place, off the shelf or described in this very file."""
        kind = KINDS[role]
        if self.likely(0.25):
            name = f"own-{role}-{len(self.own)}"
            own = self.record(kind, self.random.random(), "name")
            if kind.kind == "propeller" and self.likely(
                0.8
            ):  # a measured blade takes all three, as long as each other
                for key in [k for k in own if k.split("_")[0] in ("station", "chord", "twist")]:
                    del own[key]
            self.own.append(_lines(f"[[{role}]]", {"name": name, **own}))
            use: dict[str, Any] = {"use": name}
        else:
            use = {"use": self.random.choice(_names(role))}
            if self.likely(0.3):
                chosen = self.random.sample([*specs(kind)], self.random.randint(1, 2))
                given = [self.field(n, specs(kind)[n]) for n in chosen if n not in ("name", "note", "source")]
                use |= dict(given)
        alike = role in ("motor", "propeller", "battery")
        if alike or self.likely(0.6):
            played = _PLAYED[self.draws :]  # a drawn frame has its arms
            use["role"] = role if alike or self.likely(0.6) else self.random.choice(played)
        if role not in ("motor", "propeller"):
            more = self.record(
                PartUse,
                0.35,
                "use",
                "role",
                "id",
                "specimen",
                "why",
                "fed_from",
                *([] if self.likely(0.4) else ["count"]),
            )
            use |= {
                key: value for key, value in more.items() if key.split("_")[0] not in {k.split("_")[0] for k in use}
            }
        if self.likely(0.4):
            use["fed_from"] = self.random.choice(_FEEDS)
        self.parts.append(_lines("[[part]]", use))

    def table(self, header: str, kind: type, share: float, **given: Any) -> str:
        """A table of the craft file."""
        return _lines(header, {**given, **self.record(kind, share, *given)})

    def frame(self) -> str:
        drawn = self.drawn() if self.likely(0.35) else ""
        demo = bool(drawn) and self.likely(0.85)  # the demo's decks are cut for its arms
        layout = "x" if demo else self.random.choice(LAYOUTS)
        table: dict[str, Any] = {"layout": layout}
        if demo:
            table["motor_spacing_mm"] = self.random.uniform(205.0, 260.0)
        elif layout == "free":
            count = self.random.randint(1, 9)
            table["motor"] = [self.spot(index) for index in range(count)]
        else:
            spacing = self.size(1e-6, 2.0, 0.22) if self.mood != "usual" else self.random.uniform(0.08, 0.5)
            table["motor_spacing_mm"] = spacing * 1e3
            if self.likely(0.3):
                table["motor_length_mm"] = self.size(1e-6, 2.0, 0.16) * 1e3
                table["motor_width_mm"] = self.size(1e-6, 2.0, 0.16) * 1e3
        if self.likely(0.2):
            table["tail_height_mm"] = self.size(1e-6, 0.5, 0.03) * 1e3
        if self.likely(0.2):
            table["tail_width_mm"] = self.size(1e-6, 2.0, 0.1) * 1e3
        table["rotation"] = self.random.choice(["inward", "outward"])
        table["motors"] = "upright" if demo else self.random.choice(["upright", "upright", "inverted"])
        self.draws = bool(drawn)
        return _lines("[frame]", table) + drawn

    def spot(self, index: int) -> dict[str, Any]:
        at = [self.size(-1.0, 1.0, 0.1) * self.random.choice([-1e3, 1e3]) for _ in range(2)]
        height = self.random.choice([0.0, 0.0, 0.0, self.size(0.0, 1.0, 0.02) * 1e3])
        return {
            "name": f"m{index}",
            "at_mm": [*at, height],
            "spin": self.random.choice(["clockwise", "counter-clockwise"]),
        }

    def drawn(self) -> str:
        """Pieces of a drawn frame: those of a demo craft with other numbers, or anything that their fields take."""
        pieces = _demo_frame()
        whole, text = self.likely(0.7), ""
        for name, kind, many in (
            ("arm", ArmTable, 0), ("deck", DeckTable, 1), ("standoff", StandoffTable, 1), ("cage", CageTable, 0),
            ("printed", PrintedTable, 1), ("imported", ImportedTable, 1),
        ):  # fmt: skip
            if not self.likely((1.0 if whole else 0.7) if name != "imported" else 0.15):
                continue
            header = f"[[frame.{name}]]" if many else f"[frame.{name}]"
            known = pieces.get(name, [])
            known = known if isinstance(known, list) else [known]
            for one in known:
                if whole or self.likely(0.75):
                    text += _lines(header, self.strayed(one))
            if not known or (many and self.likely(0.05)):
                own = self.record(kind, 0.4, "material")
                text += _lines(header, own | {"material": self.material()})
        return text

    def material(self) -> str:
        return self.random.choice([*materials()])

    def strayed(self, table: Any) -> Any:
        """A table of the demo with numbers a little or much different."""
        if isinstance(table, Mapping):
            return {
                k: self.material() if k == "material" and self.likely(0.2) else self.strayed(v)
                for k, v in table.items()
            }
        if isinstance(table, list):
            return [self.strayed(one) for one in table]
        if isinstance(table, bool) or not isinstance(table, int | float) or self.likely(0.93):
            return table
        spread = {"usual": 0.05, "broad": 0.4, "wild": 3.0}[self.mood]
        return table * self.spread(spread)

    def flight(self) -> str:
        given: dict[str, Any] = {}
        if self.likely(0.6):
            given["profile"] = self.random.choice([*PROFILES])
        without = ("profile", *(() if self.likely(0.3) else ("segment",)))
        return _lines("[flight]", given | self.record(Flight, 0.25, *without))

    def text(self) -> str:
        """The whole file."""
        random = self.random
        frame = self.frame()
        for role in ("motor", "propeller", "battery", "speed-controller"):
            if self.likely(0.96):
                self.part(role)
        for role in random.sample(_ROLES[1:], random.randint(0, 10)):
            self.part(role)
        tables = [f'format = 1\nname = "Random"\nversion = {toml_text(random.choice(_WORDS))}\n', frame]
        tables += [self.table("[site]", Site, 0.5)] if self.likely(0.5) else []
        tables += [self.flight()] if self.likely(0.7) else []
        tables += [self.table("[weighed]", Weighed, 0.6)] if self.likely(0.15) else []
        if self.likely(0.4):
            antennas = random.sample(_names("antenna"), random.randint(0, 3))
            tables.append(
                self.table(
                    "[ground]", Ground, 0.3, antennas=antennas, transmitter_antenna=random.choice(_names("antenna"))
                )
            )
        for _ in range(random.randint(0, 4)):
            ends = {"from": random.choice(_FEEDS), "to": random.choice(_FEEDS)}
            tables.append(self.table("[[wire]]", WireRun, 0.4, **ends))
        for code in random.sample([*all_rules()], random.randint(0, 2)):
            tables.append(_lines("[[waive]]", {"code": code, "reason": "because"}))
        return "".join([*tables, *self.own, *self.parts])


_FEEDS = tuple(
    f"{part}.{pad}"
    for part in (
        "battery",
        "flight-controller",
        "speed-controller",
        "video-transmitter",
        "receiver",
        "camera",
        "nobody",
    )
    for pad in ("lead", "supply", "5V", "9V", "signal", "motors")
)


@cache
def _names(kind: str) -> list[str]:
    return [part.name for part in builtin_shelf() if part.kind == kind]


@cache
def _demo_frame() -> dict[str, Any]:
    return dict(tomllib.loads((DEMO / "crafts" / "lapwing-4.toml").read_text("utf-8"))["frame"])


def craft_text(random: Random) -> str:
    """One random craft file."""
    return _Maker(random).text()


def part_text(random: Random) -> str:
    """One random part file."""
    maker = _Maker(random)
    for role in random.sample([*KINDS], 3):
        maker.part(role)
    return "format = 1\n" + "".join(maker.own)
