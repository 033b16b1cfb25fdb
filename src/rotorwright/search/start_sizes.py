"""What a proposal is chosen from: frames by propeller size, parts that go on them, and what each use asks."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Battery, Motor, Propeller, SpeedController
from rotorwright.parts.shelf import Shelf
from rotorwright.search.start_text import Frame, motor_screw
from rotorwright.search.swapped import candidates

__all__ = ["Size", "Use", "candidates_of", "size_table", "use_table"]

# Propellers this near a size go on its frame [in]; the discs keep their gap whatever is chosen.
_SAME_SIZE = 0.15
_INCH = 0.0254
# Hole pattern of the stack on each kind of frame [m].
_STACK = {"plate": 0.020, "arms": 0.0305}


@dataclass(frozen=True, slots=True)
class Use:
    """What a use asks: `aim` long or quick, thrust to weight [1], flight time [s], the cameras' tilt [deg]."""

    aim: str
    thrust_to_weight: float
    seconds: float
    tilt_deg: float


@dataclass(frozen=True, slots=True)
class Size:
    """A frame, and between which masses motors and packs for it are looked for [g]."""

    frame: Frame
    motor_g: tuple[float, float]
    pack_g: tuple[float, float]


def size_table() -> tuple[Size, ...]:
    """Frames by propeller size, those for craft as light as they go marked `light`."""
    return tuple(_size(row) for row in _table()["size"])


def use_table() -> dict[str, Use]:
    """What each use asks, by the name of its flight profile."""
    return {name: Use(**row) for name, row in _table()["use"].items()}


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads((files("rotorwright.search") / "start_frames.toml").read_text(encoding="utf-8"))


def _size(row: Mapping[str, Any]) -> Size:
    thickness, width, tip = row["arm_mm"]
    frame = Frame(row["inches"], row["frame"], row["gap_mm"], (thickness, width, tip), row.get("light", False))
    return Size(frame, (row["motor_g"][0], row["motor_g"][1]), (row["pack_g"][0], row["pack_g"][1]))


def candidates_of(shelf: Shelf, size: Size, mount: str) -> list[list[Part]]:
    """Motors, propellers, packs and speed controllers of a size whose propellers are held by `mount`."""
    frame, hole = size.frame, _STACK[size.frame.kind]
    return [
        [
            m
            for m in candidates(shelf, Motor)
            if isinstance(m, Motor)
            and m.propeller_mount == mount
            and _within(m, size.motor_g)
            and motor_screw(shelf, m, frame.arm[0])
        ],
        [
            p
            for p in candidates(shelf, Propeller)
            if isinstance(p, Propeller) and p.mount == mount and _is_of(p, frame.inches)
        ],
        [b for b in candidates(shelf, Battery) if _within(b, size.pack_g)],
        [
            c
            for c in candidates(shelf, SpeedController)
            if isinstance(c, SpeedController) and c.channels == 4 and c.mount_pattern == (hole, hole)
        ],
    ]


def _is_of(propeller: Propeller, inches: float) -> bool:
    return propeller.diameter is not None and abs(propeller.diameter.value / _INCH - inches) < _SAME_SIZE


def _within(part: Part, grams: tuple[float, float]) -> bool:
    return part.mass is not None and grams[0] <= 1e3 * part.mass.value <= grams[1]
