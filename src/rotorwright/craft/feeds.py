"""Who feeds whom: the tree that `fed_from` and the supply wires of a craft draw, and what is wrong with it."""

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.parts.electronics import Consumer
from rotorwright.parts.propulsion import Output, SpeedController

__all__ = ["FeedFault", "Feeds", "SupplyRail", "is_fed", "outputs"]

# Pads by which a part hands its own supply on, besides the rails it regulates.
_PASSED_ON = ("supply", "battery", "lead")
# Pads of a part that a supply wire ends at.
_SUPPLY_PADS = ("supply", "power")


@dataclass(frozen=True, slots=True)
class SupplyRail:
    """One rail: the part that offers it, its name, and the regulator behind it (None: a battery or a through pad)."""

    source: PlacedPart
    name: str
    output: Output | None = None

    @property
    def id(self) -> str:
        """As in `fed_from`: `flight-controller.5V`."""
        return f"{self.source.id}.{self.name}"

    @property
    def kind(self) -> str:
        """How it regulates: battery, through, switching or linear."""
        if self.output is not None:
            return self.output.kind
        return "battery" if self.source.role == "battery" else "through"


@dataclass(frozen=True, slots=True)
class FeedFault:
    """One thing wrong with the feeding of a part: 'unknown rail', 'loop', 'orphan' or 'double feed'."""

    part: str
    kind: str
    sentence: str


def outputs(placed: PlacedPart) -> tuple[Output, ...]:
    """The regulated rails of a part."""
    found: tuple[Output, ...] = getattr(placed.part, "outputs", ())
    return found


def is_fed(placed: PlacedPart) -> bool:
    """Whether a part needs a supply from the craft."""
    if isinstance(placed.part, SpeedController):
        return True
    return isinstance(placed.part, Consumer) and not getattr(placed.part, "own_battery", False)


class Feeds:
    """The feeds of one craft, read once."""

    def __init__(self, craft: Craft) -> None:
        self._fed = [placed for placed in craft.parts if is_fed(placed) or placed.fed_from]
        self._sources = [p for p in craft.parts if p.role == "battery" or outputs(p) or is_fed(p)]
        self._names: dict[str, PlacedPart] = {}
        for way in ("id", "role", "kind"):  # an id wins over a role, a role over a kind
            for placed in self._sources:
                name = placed.part.kind if way == "kind" else getattr(placed, way)
                self._names.setdefault(name, placed)
        self._wired: dict[int, list[SupplyRail]] = {}
        for run in craft.wires:
            self._read_wire(run.from_, run.to, both=True)
            self._read_wire(run.to, run.from_, both=False)
        self._feeds = {id(placed): self._found(placed) for placed in self._fed}

    def _read_wire(self, start: str, end: str, both: bool) -> None:
        """A wire that ends at a supply pad; read backwards (not `both`) it must start where a voltage is made."""
        name, _, pad = end.partition(".")
        placed, rail = self._names.get(name), self.rail(start)
        if placed is None or pad not in _SUPPLY_PADS or rail is None or rail.source is placed:
            return
        if both or rail.kind != "through":
            self._wired.setdefault(id(placed), []).append(rail)

    def rail(self, pad: str) -> SupplyRail | None:
        """The rail that `flight-controller.5V` names; None when the part or the rail is not on the craft."""
        name, _, rail = pad.partition(".")
        source = self._names.get(name)
        if source is None:
            return None
        if source.role == "battery":
            return SupplyRail(source, rail or "lead")
        output = next((o for o in outputs(source) if o.name == rail), None)
        if output is None and not (rail in _PASSED_ON and is_fed(source)):
            return None
        return SupplyRail(source, rail, output)

    def of(self, placed: PlacedPart) -> SupplyRail | None:
        """The rail a part is fed from: what `fed_from` names, else where its supply wire comes from, else None.

        A speed controller of which nothing is said hangs on the battery: there is nowhere else for it to hang.
        """
        return self._feeds.get(id(placed))

    def _found(self, placed: PlacedPart) -> SupplyRail | None:
        if placed.fed_from:
            return self.rail(placed.fed_from)
        if wired := self._wired.get(id(placed)):
            return wired[0]
        return self.rail("battery.lead") if isinstance(placed.part, SpeedController) else None

    def path(self, placed: PlacedPart) -> tuple[SupplyRail, ...]:
        """Rails between a part and where its feed ends, nearest first; a loop is walked once."""
        path: list[SupplyRail] = []
        rail = self.of(placed)
        while rail is not None and not any(rail.source is seen.source for seen in path):
            path.append(rail)
            rail = None if rail.kind == "battery" else self.of(rail.source)
        return tuple(path)

    def made_at(self, rail: SupplyRail) -> SupplyRail:
        """Where a rail's voltage is made: a through pad is followed to what feeds its part."""
        if rail.kind != "through":
            return rail
        return next((before for before in self.path(rail.source) if before.kind != "through"), rail)

    def rails(self) -> tuple[SupplyRail, ...]:
        """Every rail: the battery's, the regulated ones, and the through pads that something is fed from."""
        battery = self.rail("battery.lead")
        found = {battery.id: battery} if battery else {}
        for placed in self._sources:
            for output in outputs(placed):
                found.setdefault(f"{placed.id}.{output.name}", SupplyRail(placed, output.name, output))
        for rail in self._feeds.values():
            if rail is not None and rail.kind != "battery":
                found.setdefault(rail.id, rail)
        return tuple(found.values())

    def fed_by(self, rail: SupplyRail) -> list[PlacedPart]:
        """Parts that hang on a rail; all pads of a battery are one."""
        feeds = [(placed, self.of(placed)) for placed in self._fed]
        return [p for p, f in feeds if f and f.source is rail.source and (f.name == rail.name or f.kind == "battery")]

    def faults(self) -> tuple[FeedFault, ...]:
        """Everything wrong with who feeds whom, in the order of the parts."""
        return tuple(fault for placed in self._fed for fault in self._faults(placed))

    def _faults(self, placed: PlacedPart) -> Iterator[FeedFault]:
        name, rail, path = placed.id, self.of(placed), self.path(placed)
        if placed.fed_from and rail is None:
            yield FeedFault(name, "unknown rail", self._unknown(placed))
        elif rail is None:
            yield FeedFault(name, "orphan", f"nothing is said to feed {name}")
        if any(before.source is placed for before in path):
            ring = ", which is fed from ".join(before.id for before in path)
            yield FeedFault(name, "loop", f"{name} is fed from {ring}: a ring that no battery feeds")
        feeds = [*([rail] if rail else []), *self._wired.get(id(placed), [])]
        origins = {self._origin(feed): feed.id for feed in feeds}
        if len(origins) > 1:
            both = " and ".join(origins.values())
            yield FeedFault(name, "double feed", f"{name} is fed from {both}: the two drive each other")

    def _origin(self, rail: SupplyRail) -> str:
        made = self.made_at(rail)
        return made.source.id if made.kind == "battery" else made.id

    def _unknown(self, placed: PlacedPart) -> str:
        """Says which half of `fed_from` is not there, and what is."""
        name, _, pad = placed.fed_from.partition(".")
        source = self._names.get(name)
        says = f"{placed.id} is fed from '{placed.fed_from}', but"
        if source is None:
            known = [p.id for p in self._sources if p.role == "battery" or outputs(p)]
            return f"{says} no part '{name}' feeds anything; {_offer(get_close_matches(name, known, n=3) or known)}"
        known = [f"{source.id}.{output.name}" for output in outputs(source)]
        return f"{says} {source.id} has no rail '{pad}'; {_offer(known)}"


def _offer(known: list[str]) -> str:
    return f"it could be {', '.join(known)}" if known else "there is none"
