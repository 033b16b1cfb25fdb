"""The right inputs that wrong ones are made of: demo workshop, built-in shelf, and lines as people type them."""

from collections.abc import Callable
from pathlib import Path
from random import Random

from craft_text import craft_text, part_text

from rotorwright.craft.workshop import DEMO
from rotorwright.parts import shelf
from rotorwright.parts.fields import Series, specs
from rotorwright.parts.kinds import KINDS
from rotorwright.units import suffixes

__all__ = ["SEEDS", "SMALL_CRAFT"]

SMALL_CRAFT = """\
# an invented craft
format = 1
name = "Stint"
[site]
altitude_m = 300
[frame]
layout = "x"
motor_spacing_mm = 222
[[part]]
use = "motor-2306-1750"
role = "motor"
id = "motors"
mass_g = { value = 33.1, basis = "weighed", sd = 0.1 }
[[part]]
use = "5.1x3.6-3"
role = "propeller"
[[part]]
use = "camera-19mm-digital-a-4x3"
at_mm = [32, 0, 12]
tilt_deg = 35
fed_from = "flight-controller.5V"
[flight]
profile = "filming"
[[wire]]
from = "battery.lead"
to = "speed-controller.supply"
gauge_awg = 14
length_mm = 90
[[waive]]
code = "pack-overdrawn"
reason = "short"
"""

_SPACE = """\
format = 1
craft = "craft.toml"
[[choose]]
place = "motors"
parts = ["motor-2306-1750", "motor-2207-1750"]
[[choose]]
place = "propeller"
[[goal]]
measure = "weight"
[[goal]]
measure = "thrust-to-weight"
way = "more"
[[limit]]
measure = "weight"
at_most_g = 700
[[limit]]
rule = "pack-overdrawn"
"""
_OVERLAY = """\
format = 1
[[measured]]
of = "motor-2306-1750"
date = "2026-05-31"
by = "stand"
from = "logs/stand.csv"
resistance_mohm = { value = 55.2, basis = "measured", sd = 1.1 }
[[measured]]
of = "5.1x3.6-3"
date = 2026-06-01
specimen = "b"
mass_g = 4.5
bench = [{ rotation_rpm = 15000, thrust_n = 3.2, power_w = 60 }]
"""
_MAPPING = """\
format = 1
[[mapping]]
headings = ["t", "U", "I"]
columns = [
  { quantity = "time", column = "t", unit = "s" },
  { quantity = "voltage", column = "U", unit = "v", zero = 0.1, scale = 2 },
]
"""
_TABLES = (
    "time [s];voltage [V];current [A]\n" + "".join(f"{i / 10:.1f};{16 - i / 50:.2f};{i % 7},5\n" for i in range(40)),
    "a table\nvoltage,current,rotation,thrust\nV,A,rpm,g\n"
    + "".join(f"16,{i},{i * 900},{i * 55}\n" for i in range(1, 20)),
    '"temperature degC","resistance mohm"\n20,55.1\n40,59.4\n60,63.9\n',
    "length mm\tperiod s\tmass g\n800\t1.21\t640\n800\t1.22\t640\n",
    "swings,time s\n10,12.1\n20,24.3\n20,24.2\n",
    "t U I\n0 16 1\n1 15 2\n2 14 3\n",
)
_CHANGES = (
    "propeller.pitch_in=4", "battery.use=battery-4s-1500-75c", "site.altitude_m=800",
    "motors.mass_g={ value = 33, sd = 1 }",
    "frame.layout=wide-x", "camera.tilt_deg=", "flight.profile=racing", "name=Plover", "wire.length_mm=80",
    "camera.at_mm=[1, 2, 3]", "ground.channels_mhz=[5658, 5695]", "frame.arm.width_mm=12", "part.use=x",
    "weighed.dry_g=400",
)  # fmt: skip
_OPTIONS = (
    "radius_mm=45+-0.5", "altitude_m=300", "temperature_degc=20", "axis=roll", "length_mm=800 \u00b1 1",
    "start_percent=100",
    "current=Amps:ma", "throttle=2:us:1000:0.001", "speed=", "voltage=U:v", "time=1:ms", "motor=motor-2306-1750",
    "motor-2306-1750=33.1", "5.1x3.6-3*4+nut-m5-locking-aluminium*4=22.4", "all-up=640", "dry=410.5",
)  # fmt: skip
_JOURNAL = (
    '{"number": 1, "when": "2026-05-31T10:00:00+00:00", "what": "x", '
    '"before": "a = 1\\n", "after_hash": "00", "undoes": null}\n'
    '{"number": 2, "when": "2026-05-31T10:00:01+00:00", "what": "undo: x", '
    '"before": "a", "after_hash": "11", "undoes": 1}\n'
)


def _split(text: str) -> list[bytes]:
    """The parts of a shelf file, a few at a time: what is small is mutated more deeply."""
    pieces = text.split("\n[[")
    return [("format = 1\n[[" + "\n[[".join(pieces[i : i + 2])).encode() for i in range(1, len(pieces), 9)]


def _shelf() -> list[bytes]:
    files = sorted((DEMO / "shelf").glob("*.toml")) + sorted((Path(shelf.__file__).parent / "builtin").glob("*.toml"))
    found = [piece for file in files for piece in _split(file.read_text("utf-8"))]
    return [*found, *(part_text(Random(seed)).encode() for seed in range(60))]


def _crafts() -> list[bytes]:
    demo = [file.read_bytes() for file in sorted((DEMO / "crafts").glob("*.toml"))]
    return [SMALL_CRAFT.encode(), *demo, *(craft_text(Random(seed)).encode() for seed in range(60))]


def _keys() -> list[bytes]:
    """Every key of every kind of part, in every unit."""
    found = []
    for word, kind in KINDS.items():
        for name, spec in specs(kind).items():
            dimension = getattr(spec, "dimension", "")
            value = "[1, 2, 3]" if isinstance(spec, Series) else "1"
            for suffix in suffixes(dimension) if dimension else ():
                found.append(f"{word}.{name}_{suffix} = {value}".encode())
    return found


def _tables() -> list[bytes]:
    logs = [b"\n".join(file.read_bytes().split(b"\n")[:60]) for file in sorted((DEMO / "logs").glob("*.csv"))]
    return [*logs, *(table.encode() for table in _TABLES)]


SEEDS: dict[str, Callable[[], list[bytes]]] = {
    "units": _keys,
    "typed": lambda: [b"33.1", b"1,5", b"-4", b"30.5, 30.5", b"5658; 5695 5732", b"\xe2\x88\x9212"],
    "part": _shelf,
    "craft": _crafts,
    "small-craft": lambda: [SMALL_CRAFT.encode()],
    "overlay": lambda: [_OVERLAY.encode()],
    "csv": _tables,
    "fits": _tables,
    "options": lambda: [text.encode() for text in _OPTIONS],
    "mappings": lambda: [_MAPPING.encode()],
    "space": lambda: [_SPACE.encode()],
    "change": lambda: [text.encode() for text in _CHANGES],
    "journal": lambda: [_JOURNAL.encode()],
}
"""Seeds of each target, made when asked for."""
