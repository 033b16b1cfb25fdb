"""What is joined to what on a craft: every run of wire, and what each of its conductors carries."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from rotorwright.units import from_si

__all__ = ["Basis", "Conductor", "Device", "Role", "Run", "WiringPlan", "carried", "gauge_words", "spaced"]


class Role(StrEnum):
    """What a conductor is for."""

    PLUS = "plus"
    GROUND = "ground"
    SIGNAL = "signal"
    PHASE = "phase"
    COAXIAL = "coaxial"
    OPEN = "not stated"


class Basis(StrEnum):
    """Where a run comes from: the craft file, a part's own leads, or what feeds and ports leave no doubt about."""

    STATED = "stated"
    OWN = "own leads"
    DERIVED = "derived"


@dataclass(frozen=True, slots=True)
class Conductor:
    """One conductor: its role, and the pads it joins."""

    role: Role
    start: str
    end: str


@dataclass(frozen=True, slots=True)
class Device:
    """Something that wires end at. `key` is its own within the plan, `about` what the shelf calls it."""

    key: str
    title: str
    about: str
    kind: str
    count: int = 1
    side: int = 0
    """Where it sits on the craft, seen from above: 1 left, -1 right, 0 in the middle or not known."""


@dataclass(frozen=True, slots=True)
class Run:
    """A run of wire between two devices: size of one conductor, None where not stated."""

    start: str
    end: str
    conductors: tuple[Conductor, ...]
    basis: Basis
    gauge_m2: float | None = None
    length_m: float | None = None
    colour: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class WiringPlan:
    """Devices, runs (each is called by its place in the list, from 1), and what nobody said."""

    devices: tuple[Device, ...]
    runs: tuple[Run, ...]
    missing: tuple[str, ...]

    def device(self, key: str) -> Device:
        """The device of that key."""
        return next(device for device in self.devices if device.key == key)

    def number(self, run: Run) -> int:
        """What a run is called."""
        return next(i for i, one in enumerate(self.runs, 1) if one is run)


def spaced(name: str) -> str:
    """An id as people say it."""
    return name.replace("-", " ").replace("_", " ").strip() or name


def gauge_words(area: float | None) -> str:
    """A cross-section [m2] as the trade says it: a whole American gauge where it is one, else square millimetres."""
    if area is None:
        return ""
    gauge = from_si(area, "awg", "wire area")
    if abs(gauge - round(gauge)) < 0.02 and 0 <= round(gauge) <= 40:
        return f"{round(gauge)} AWG"
    places = max(0, 1 - math.floor(math.log10(area * 1e6)))
    return f"{area * 1e6:.{places}f} mm\u00b2"


def carried(conductors: Iterable[Conductor]) -> str:
    """What a run carries, alike ones counted: `5V, ground, 4 x motor signal`."""
    counts: dict[str, int] = {}
    for one in conductors:
        word = one.start if one.role is not Role.OPEN else str(Role.OPEN)
        word = word if one.start == one.end or one.role in (Role.OPEN, Role.PLUS) else f"{one.start} to {one.end}"
        counts[word] = counts.get(word, 0) + 1
    return ", ".join(f"{n} \u00d7 {word}" if n > 1 else word for word, n in counts.items())
