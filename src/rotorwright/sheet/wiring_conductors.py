"""What each conductor of a wire that the craft file states carries."""

from rotorwright.craft.feeds import Feeds, SupplyRail
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.craft.tables import WireRun
from rotorwright.parts.electronics import Buzzer
from rotorwright.parts.propulsion import Battery, Motor, SpeedController
from rotorwright.sheet.wiring_plan import Conductor, Role
from rotorwright.sheet.wiring_ports import fitted, harness, open_conductors, ports_between, supply_pair

__all__ = ["stated_conductors"]

_SUPPLY = ("supply", "power", "battery", "lead")

Conductors = tuple[Conductor, ...]


def stated_conductors(
    craft: Craft,
    feeds: Feeds,
    board: PlacedPart | None,
    wire: WireRun,
    start: tuple[PlacedPart, str],
    end: tuple[PlacedPart, str],
) -> Conductors:
    """Conductors of `wire` between two parts and their pads, from its first end to its second.

    board: the flight controller. Conductors of which feeds and ports leave any doubt are not named.
    """
    (a, pad_a), (b, pad_b) = start, end
    if isinstance(b.part, Motor) or isinstance(a.part, Motor):
        outlet = pad_a if isinstance(b.part, Motor) else pad_b
        return (Conductor(Role.PHASE, outlet or "phase", "phase"),) * wire.conductors
    part = next((p.part for p in (a, b) if isinstance(p.part, SpeedController)), None)
    if part is not None and board in (a, b) and pad_b not in _SUPPLY and pad_a not in _SUPPLY:
        found = harness(part, len(craft.motors), _harness_supply(feeds, board), wire.conductors)
        return found if a.part is part else _turned(found)
    rail, back = feeds.rail(wire.from_), feeds.rail(wire.to)
    if rail is not None and pad_b in _SUPPLY:
        return _fed_through(a, b, rail, wire.conductors)
    if back is not None and pad_a in _SUPPLY:
        return _turned(_fed_through(b, a, back, wire.conductors))
    return (Conductor(Role.SIGNAL, pad_a or "?", pad_b or "?"),) * wire.conductors


def _fed_through(board: PlacedPart, consumer: PlacedPart, rail: SupplyRail, count: int) -> Conductors:
    """Supply first, then what the ports of the two take of the other conductors."""
    if isinstance(board.part, Battery) and count % 2 == 0:
        plus, ground = Conductor(Role.PLUS, "+", "+"), Conductor(Role.GROUND, "ground", "ground")
        return (plus,) * (count // 2) + (ground,) * (count // 2)
    plus, ground = supply_pair(rail.name)
    if isinstance(consumer.part, Buzzer) and count == 2 and not consumer.part.own_battery:
        return plus, Conductor(Role.SIGNAL, "buzzer", "buzzer")  # it is switched at its minus
    if count < 2:
        return (plus,) * count
    ports = ports_between(board, consumer)
    more = fitted(ports, count - 2) if ports else None
    return (plus, ground, *(more if more is not None else open_conductors(count - 2)))


def _harness_supply(feeds: Feeds, board: PlacedPart | None) -> str:
    """What feeds the flight controller through the harness: the pack, a rail of the controllers, or nothing."""
    rail = feeds.of(board) if board else None
    if rail is None:
        return ""
    if isinstance(rail.source.part, SpeedController):
        return rail.name
    return "battery +" if rail.kind == "battery" else ""


def _turned(conductors: Conductors) -> Conductors:
    return tuple(Conductor(one.role, one.end, one.start) for one in conductors)
