"""From a craft to its wiring plan: runs as the file states them, then what feeds and ports leave no doubt about."""

from collections.abc import Iterator

from rotorwright.craft.feeds import Feeds, SupplyRail, is_fed
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.craft.tables import WireRun
from rotorwright.parts.electronics import Camera, Capacitor, FlightController, VideoTransmitter
from rotorwright.parts.hardware import Connector
from rotorwright.parts.propulsion import Battery, Motor, SpeedController
from rotorwright.sheet.wiring_aerials import aerials
from rotorwright.sheet.wiring_conductors import stated_conductors
from rotorwright.sheet.wiring_plan import Basis, Conductor, Device, Role, Run, WiringPlan, spaced
from rotorwright.sheet.wiring_ports import (
    PICTURE,
    Port,
    ports_between,
    signals_of,
    supply_pair,
)

__all__ = ["main_connectors", "wiring_plan"]

_PHASES = (Conductor(Role.PHASE, "phase", "phase"),) * 3


def wiring_plan(craft: Craft) -> WiringPlan:
    """Every run of the craft.

    Stated runs come from `[[wire]]`; motors, capacitors, antennas and packs bring leads of their own; the rest
    follows from `fed_from` and from the ports that parts take, and says that nobody stated its wire. What does not
    follow is said to be missing.
    """
    return _Planner(craft).plan()


def main_connectors(craft: Craft) -> list[PlacedPart]:
    """Connectors between the pack and the craft."""
    return [
        placed
        for placed in craft.parts
        if isinstance(placed.part, Connector)
        and ("battery" in placed.id or placed.role in ("connector", "battery-connector"))
    ]


class _Planner:
    """One pass over a craft; `at` holds the devices by the part they are (motors: by position)."""

    def __init__(self, craft: Craft) -> None:
        self.craft, self.feeds = craft, Feeds(craft)
        self.devices: dict[str, Device] = {}
        self.keys: dict[int, str] = {}
        self.runs: list[Run] = []
        self.missing: list[str] = []
        self.carried: set[tuple[str, str]] = set()  # device and port that are in a run
        self.controllers = [p for p in craft.parts if isinstance(p.part, SpeedController)]
        self.board = next((p for p in craft.parts if isinstance(p.part, FlightController)), None)

    def plan(self) -> WiringPlan:
        self._pack()
        for index, wire in enumerate(self.craft.wires):
            self._stated(index, wire)
        self._motors()
        self._capacitors()
        self._harness()
        for placed in self.craft.parts:
            if is_fed(placed) or placed.fed_from:
                self._supply(placed)
        for placed in self.craft.parts:
            self._signals(placed)
        for run, lacks in aerials(self.craft, self.key):
            self.runs += [run] if run else []
            self.missing += [lacks] if lacks else []
        return WiringPlan(tuple(self.devices.values()), tuple(self._in_order()), tuple(dict.fromkeys(self.missing)))

    def _in_order(self) -> list[Run]:
        """Runs from the pack outwards: by the place of their devices in the list, power before signals."""
        place = {key: i for i, key in enumerate(self.devices)}
        return sorted(self.runs, key=lambda run: (place[run.start], place[run.end]))

    def key(self, placed: PlacedPart) -> str:
        """Key of a part's device, which is made when it is first asked for."""
        if id(placed) not in self.keys:
            name, n = placed.id, 2
            while name in self.devices:
                name, n = f"{placed.id}-{n}", n + 1
            self.keys[id(placed)] = name
            y = placed.places[0].y if placed.places and not placed.assumed else 0.0
            side = (y > 1e-3) - (y < -1e-3)
            about = placed.part.name
            self.devices[name] = Device(name, spaced(placed.id), about, placed.part.kind, placed.count, side)
        return self.keys[id(placed)]

    def motor(self, index: int, placed: PlacedPart) -> str:
        """Key of one motor's device."""
        spot = self.craft.motors[index]
        key = f"{placed.id}.{spot.name}"
        side = (spot.y > 1e-3) - (spot.y < -1e-3)
        self.devices.setdefault(key, Device(key, spaced(spot.name), placed.part.name, "motor", 1, side))
        return key

    # --- what the file states

    def _pack(self) -> None:
        """The pack, and the connector between it and the craft."""
        pack = self.craft.the("battery")
        if pack is None or not isinstance(pack.part, Battery):
            self.missing.append("no battery is on the craft")
            return
        own, plugs = self.key(pack), main_connectors(self.craft)
        self.tap = own
        if not plugs:
            self.missing.append("no connector for the pack's plug is on the craft")
        if plugs:
            self.tap = self.key(plugs[0])
            gauge = pack.part.lead_gauge.value if pack.part.lead_gauge else None
            length = pack.part.lead_length.value if pack.part.lead_length else None
            pair = (Conductor(Role.PLUS, "+", "+"), Conductor(Role.GROUND, "ground", "ground"))
            note = f"plug of the pack: {pack.part.connector}" if pack.part.connector else ""
            self.runs.append(Run(own, self.tap, pair, Basis.OWN, gauge, length, "", note))
        for extra in plugs[1:]:
            self.missing.append(f"where {extra.id} sits between pack and craft is not stated")

    def _end(self, name: str) -> list[tuple[PlacedPart, str, str]]:
        """Part, pad and device of one end of a stated run; several for one that names all motors alike."""
        own, _, pad = name.partition(".")
        placed = _called(self.craft, own)
        if placed is None:
            return []
        if isinstance(placed.part, Motor) and self.craft.motors:
            chosen = [i for i, spot in enumerate(self.craft.motors) if spot.name == pad]
            where = chosen or range(len(self.craft.motors))
            return [(placed, "phase", self.motor(i, placed)) for i in where]
        device = self.tap if isinstance(placed.part, Battery) and self.craft.the("battery") else self.key(placed)
        return [(placed, pad, device)]

    def _stated(self, index: int, wire: WireRun) -> None:
        starts, ends = self._end(wire.from_), self._end(wire.to)
        for name, found in ((wire.from_, starts), (wire.to, ends)):
            if not found:
                own = name.partition(".")[0]
                self.missing.append(f"wire {index + 1}, {wire.from_} to {wire.to}: no part '{own}' is on the craft")
        gauge = wire.gauge.value if wire.gauge else None
        length = wire.length.value if wire.length else None
        for start in starts:
            for end in ends:
                conductors = stated_conductors(self.craft, self.feeds, self.board, wire, start[:2], end[:2])
                run = Run(start[2], end[2], conductors, Basis.STATED, gauge, length, wire.colour, wire.note)
                self._add(run)

    def _add(self, run: Run) -> None:
        """A run, and what it spares looking for."""
        self.runs.append(run)
        for one in run.conductors:
            if one.role is Role.SIGNAL:
                words = {"TX": "serial", "RX": "serial", "clock": "bus", "data": "bus"}
                self.carried |= {(key, words.get(one.end, one.end)) for key in (run.start, run.end)}

    # --- what parts bring along

    def _motors(self) -> None:
        """Three leads from each motor to the controller that turns it."""
        placed = self.craft.the("motor")
        if placed is None or not isinstance(placed.part, Motor):
            return
        joined = {end for run in self.runs for end in (run.start, run.end)}
        outlets = [p for p in self.controllers for _ in range(_channels(p))]
        gauge = placed.part.wire_gauge.value if placed.part.wire_gauge else None
        length = placed.part.wire_length.value if placed.part.wire_length else None
        for index, spot in enumerate(self.craft.motors):
            key = self.motor(index, placed)
            if index >= len(outlets):
                self.missing.append(f"no speed controller is there for the motor {spaced(spot.name)}")
            elif key not in joined:
                self.runs.append(Run(self.key(outlets[index]), key, _PHASES, Basis.OWN, gauge, length))

    def _capacitors(self) -> None:
        """Across the supply pads of the controllers."""
        for placed in self.craft.parts:
            if not isinstance(placed.part, Capacitor):
                continue
            if not self.controllers:
                self.missing.append(f"{placed.id} has no speed controller to lie across")
                continue
            pair = (Conductor(Role.PLUS, "supply +", "+"), Conductor(Role.GROUND, "ground", "stripe \u2212"))
            note = "mind its polarity; legs as short as they go"
            self._add(Run(self.key(self.controllers[0]), self.key(placed), pair, Basis.OWN, note=note))

    # --- what feeds and ports leave no doubt about

    def _harness(self) -> None:
        """Motor signals, where no stated run joins the controllers and the flight controller."""
        if self.board is None or not self.controllers:
            return
        own = self.key(self.board)
        for placed in self.controllers:
            key = self.key(placed)
            if not any({run.start, run.end} == {key, own} for run in self.runs):
                count = min(_channels(placed), len(self.craft.motors))
                signals = (Conductor(Role.SIGNAL, "motor signal", "motor signal"),) * count
                ground = Conductor(Role.GROUND, "ground", "ground")
                self._add(Run(key, own, (ground, *signals), Basis.DERIVED))

    def _supply(self, placed: PlacedPart) -> None:
        """The supply of a part that no run brings it yet."""
        key, rail = self.key(placed), self.feeds.of(placed)
        if rail is None:
            self.missing.append(f"nothing is said to feed {placed.id}")
            return
        board, name = rail.source, rail.name
        if board is placed or self._brought(key, rail):
            return
        if rail.kind == "battery":
            board, name = self._tap(placed), "supply +"
        ports = [] if board is not self.board else list(self._wanted(placed))
        signals = [one for port in ports for one in signals_of(port, min(port.most, 2))]
        start = self.tap if isinstance(board.part, Battery) else self.key(board)
        pair = supply_pair("+" if isinstance(board.part, Battery) else name)
        self._add(Run(start, key, (*pair, *signals), Basis.DERIVED))

    def _brought(self, key: str, rail: SupplyRail) -> bool:
        """Whether a run brings a device the supply of its rail; the pack's may come from the controllers' pads."""
        sources = {self.key(rail.source)}
        if rail.kind == "battery":
            sources |= {self.tap, *(self.key(p) for p in self.controllers)} - {key}
        ends = [{run.start, run.end} for run in self.runs if any(c.role is Role.PLUS for c in run.conductors)]
        return any(key in pair and pair & sources - {key} for pair in ends)

    def _tap(self, placed: PlacedPart) -> PlacedPart:
        """Where the pack's own voltage is taken: the controller's supply pads hang on the same two wires."""
        pack = self.craft.the("battery")
        assert pack is not None
        others = [p for p in self.controllers if p is not placed]
        return others[0] if others and not isinstance(placed.part, SpeedController) else pack

    def _wanted(self, placed: PlacedPart) -> Iterator[Port]:
        """Ports on the flight controller that no run carries yet."""
        if self.board is None or placed is self.board:
            return
        offered = getattr(self.board.part, "pads", ())
        for port in ports_between(self.board, placed):
            if (self.key(placed), port.name) not in self.carried:
                if port.name in ("serial", "bus", *offered):
                    yield port
                else:
                    self.missing.append(f"{placed.id} takes a {port.name} pad; {self.board.id} has none")

    def _signals(self, placed: PlacedPart) -> None:
        """Signals that no run carries yet."""
        if isinstance(placed.part, Camera):
            self._picture(placed)
        elif getattr(placed.part, "takes", ()) and self.board is None:
            self.missing.append(f"{placed.id} takes a port, and no flight controller is on the craft")
        signals = [one for port in self._wanted(placed) for one in signals_of(port, min(port.most, 2))]
        if signals and self.board is not None:
            self._add(Run(self.key(self.board), self.key(placed), tuple(signals), Basis.DERIVED))

    def _picture(self, camera: PlacedPart) -> None:
        """The picture's way to a video transmitter, where it does not go through the flight controller."""
        key = self.key(camera)
        if (key, PICTURE) in self.carried or (key, "video") in self.carried:
            return
        if self.board is not None and any(port.name == "video" for port in ports_between(self.board, camera)):
            return
        sender = next((p for p in self.craft.parts if isinstance(p.part, VideoTransmitter)), None)
        if sender is None:
            self.missing.append(f"{camera.id} has no video transmitter to send its picture")
            return
        port = ports_between(sender, camera)[0]
        self._add(Run(self.key(sender), key, signals_of(port, 1), Basis.DERIVED))


def _called(craft: Craft, name: str) -> PlacedPart | None:
    """The part of that id, else of that role, else of that kind: as wires and feeds name it."""
    for way in ("id", "role", "kind"):
        for placed in craft.parts:
            if (placed.part.kind if way == "kind" else getattr(placed, way)) == name:
                return placed
    return None


def _channels(placed: PlacedPart) -> int:
    return placed.part.channels * placed.count if isinstance(placed.part, SpeedController) else 0
