"""What the conductors of a run carry, as far as the ports of the two parts leave no doubt."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from rotorwright.craft.model import PlacedPart
from rotorwright.parts.electronics import Camera, FlightController, VideoTransmitter
from rotorwright.parts.propulsion import SpeedController
from rotorwright.sheet.wiring_plan import Conductor, Role

__all__ = ["PICTURE", "Port", "fitted", "harness", "open_conductors", "ports_between", "signals_of", "supply_pair"]

PICTURE = "picture"
"""The signal of a digital camera: a cable of its own system, whose conductors nobody but its maker names."""


@dataclass(frozen=True, slots=True)
class Port:
    """A port that one part takes on another, and how few and how many conductors it may have."""

    name: str
    least: int = 1
    most: int = 1


# Serial: both ways, or one way when only one side speaks. Bus: clock and data.
_PORTS = {"serial": Port("serial", 1, 2), "bus": Port("bus", 2, 2)}
_ANY = 99


def ports_between(board: PlacedPart, consumer: PlacedPart) -> tuple[Port, ...]:
    """Ports that `consumer` takes on `board`."""
    here, part = board.part, consumer.part
    if isinstance(part, Camera):
        return _camera_ports(board, part)
    if not isinstance(here, FlightController):
        return ()
    return tuple(_PORTS.get(name, Port(name)) for name in getattr(part, "takes", ()))


def _camera_ports(board: PlacedPart, camera: Camera) -> tuple[Port, ...]:
    here = board.part
    if isinstance(here, VideoTransmitter) and (camera.video or here.video) == "digital":
        return (Port(PICTURE, 1, _ANY),)
    shows = isinstance(here, FlightController) and "video" in here.pads and camera.video != "digital"
    return (Port("video"),) if shows or isinstance(here, VideoTransmitter) else ()


def supply_pair(rail: str) -> tuple[Conductor, Conductor]:
    """The two conductors of a supply that comes from the pad `rail`."""
    return Conductor(Role.PLUS, rail, "+"), Conductor(Role.GROUND, "ground", "ground")


def signals_of(port: Port, count: int) -> tuple[Conductor, ...]:
    """Conductors of a port, from the board to the part that takes it."""
    if port.name == "serial" and count == 2:
        return Conductor(Role.SIGNAL, "TX", "RX"), Conductor(Role.SIGNAL, "RX", "TX")
    if port.name == "bus":
        return Conductor(Role.SIGNAL, "clock", "clock"), Conductor(Role.SIGNAL, "data", "data")
    return (Conductor(Role.SIGNAL, port.name, port.name),) * count


def open_conductors(count: int) -> tuple[Conductor, ...]:
    """Conductors of which nobody said what they carry."""
    return (Conductor(Role.OPEN, "?", "?"),) * count


def fitted(ports: Sequence[Port], count: int) -> tuple[Conductor, ...] | None:
    """`count` conductors shared out among `ports`; None when they do not fit, or fit in more than one way."""
    spare = count - sum(port.least for port in ports)
    room = [port.most - port.least for port in ports]
    flexible = [i for i, more in enumerate(room) if more]
    if not 0 <= spare <= sum(room) or (len(flexible) > 1 and 0 < spare < sum(room)):
        return None
    found: list[Conductor] = []
    for port, more in zip(ports, room, strict=True):
        extra = min(spare, more)
        spare -= extra
        found += signals_of(port, port.least + extra)
    return tuple(found)


def harness(controller: SpeedController, motors: int, supply: str, count: int) -> tuple[Conductor, ...]:
    """Conductors of the harness from the speed controllers to the flight controller.

    Motor signals come first. What else there may be (ground, supply, telemetry, current) is named only where one
    choice of them gives `count`.
    """
    signals = (Conductor(Role.SIGNAL, "motor signal", "motor signal"),) * motors
    ground = Conductor(Role.GROUND, "ground", "ground")
    rail = Conductor(Role.PLUS, supply, "supply")
    others = [one for one in (rail if supply else None, ground) if one]
    others += [Conductor(Role.SIGNAL, "telemetry", "telemetry")] if controller.telemetry else []
    others += [Conductor(Role.SIGNAL, "current", "current")] if controller.current_sensor else []
    spare = count - motors
    choices = [c for c in combinations(others, spare) if rail not in c or ground in c] if spare >= 0 else []
    if len(choices) == 1:
        supplies = tuple(one for one in choices[0] if one.role is not Role.SIGNAL)
        return (*supplies, *signals, *(one for one in choices[0] if one.role is Role.SIGNAL))
    return (*signals, *open_conductors(spare)) if spare >= 0 else open_conductors(count)
