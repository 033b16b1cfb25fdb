"""One craft as read: its parts in place, and what is said about it."""

from dataclasses import dataclass, field
from pathlib import Path

from rotorwright.craft.tables import Flight, Ground, Site, Title, Waiver, Weighed, WireRun
from rotorwright.frame.layout import MotorPlace
from rotorwright.frame.table import FrameTable
from rotorwright.parts.part import Part
from rotorwright.parts.source_map import Key, SourceMap

__all__ = ["Craft", "Place", "PlacedPart"]


@dataclass(frozen=True, slots=True)
class Place:
    """Middle of a part [m] and its turn about x, y, z [rad]."""

    x: float
    y: float
    z: float
    roll: float = 0.0
    pitch: float = 0.0
    yaw: float = 0.0


@dataclass(frozen=True, slots=True)
class PlacedPart:
    """A part of the shelf on the craft: how many, where, and why."""

    id: str
    role: str
    part: Part
    count: int
    places: tuple[Place, ...]
    assumed: bool
    why: str = ""
    fed_from: str = ""
    set_power: float | None = None
    specimen: str = ""
    key: Key = ()


@dataclass(frozen=True, slots=True)
class Craft:
    """One design."""

    title: Title
    site: Site
    frame: FrameTable
    motors: tuple[MotorPlace, ...]
    parts: tuple[PlacedPart, ...]
    wires: tuple[WireRun, ...]
    flight: Flight
    weighed: Weighed
    waivers: tuple[Waiver, ...]
    ground: Ground
    file: Path
    source: SourceMap = field(repr=False, compare=False)

    def with_role(self, role: str) -> list[PlacedPart]:
        """Every part that plays `role`."""
        return [placed for placed in self.parts if placed.role == role]

    def the(self, role: str) -> PlacedPart | None:
        """The first part that plays `role`, or None."""
        return next(iter(self.with_role(role)), None)
