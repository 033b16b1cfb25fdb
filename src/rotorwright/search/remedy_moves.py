"""Changes that might end a finding: settings, one part more, other parts; nothing is judged here."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from rotorwright.checks import Finding, Rule
from rotorwright.craft.edit import Change, changed_craft, changing
from rotorwright.craft.edit_parts import adding, free_id, replacing, setting
from rotorwright.craft.edit_wiring import feeding, wiring
from rotorwright.craft.feeds import Feeds
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.craft.roles import missing_roles
from rotorwright.errors import CannotCompute, InputError
from rotorwright.parts.electronics import Camera, RecordingCamera, VideoTransmitter
from rotorwright.parts.hardware import Nut
from rotorwright.parts.kinds import KINDS
from rotorwright.parts.part import Part
from rotorwright.parts.propulsion import Battery
from rotorwright.search.swapped import candidates, own_shelf, swapped
from rotorwright.search.sweep import with_value
from rotorwright.units import from_si, to_si

__all__ = ["Move", "change_of", "moves"]

# What is tried, from the smallest change on.
_SHIFTS_MM = (5, -5, 10, -10, 15, -15, 20, -20, 30, -30, 40, -40)
_TILTS_DEG = tuple(range(0, 61, 5))
_LANDINGS_V = (3.3, 3.4, 3.5, 3.6)
_THICKER_AWG = (2, 4, 6, 8)
# Kinds of which a craft may carry one more, and kinds whose parts do not all do the same.
_COUNTED = ("screw", "nut", "standoff", "grommet", "antenna", "capacitor", "speed-controller")
_OF_MANY_USES = ("plate", "printed-part", "other")


@dataclass(frozen=True, slots=True)
class Move:
    """One change of a craft.

    doing: swap, add, feed, wire, set or flight; at: the part, the role it is to play, or the wire's number, from 1
    """

    doing: str
    at: str
    field: str
    value: Any

    @property
    def group(self) -> str:
        """What is changed."""
        return f"{self.at}.{self.field}"

    @property
    def is_part(self) -> bool:
        """Whether a part comes on, in the place of another or as one more."""
        return self.doing in ("swap", "add")


Trial = tuple[Move, Callable[[], Craft]]


def change_of(craft: Craft, move: Move) -> Change:
    """The change of the craft's file that makes a move."""
    file = craft.file
    if move.doing == "swap":
        placed = next(placed for placed in craft.parts if placed.id == move.at)
        shelved = own_shelf(craft).find(move.value)
        assert shelved is not None
        count = swapped(craft, placed, shelved.part).parts[craft.parts.index(placed)].count
        return replacing(file, move.at, move.value, None if count == placed.count else count)
    if move.doing == "add":
        return adding(move.value, role=move.at, id=free_id(craft, move.at), more=_more(craft, move.at))
    if move.doing == "feed":
        return feeding(file, move.at, move.value)
    if move.doing == "wire":
        return wiring(file, int(move.at) - 1, "gauge", "gauge_awg", move.value)
    if move.doing == "flight":
        return changing(file, f"flight.{move.field}={move.value:g}")
    return setting(file, move.at, move.field.rpartition("_")[0] or move.field, move.field, move.value)


def _more(craft: Craft, role: str) -> dict[str, Any]:
    """As many pieces as there are motors, of what each motor takes."""
    return {"count": len(craft.motors)} if role == "propeller-nut" else {}


def moves(craft: Craft, rule: Rule, finding: Finding) -> Iterator[Trial]:
    """Every change of what the rule reads: settings first, then one part more, then other parts of the shelf."""
    yield from ((move, partial(_set, craft, move)) for move in _settings(craft, rule, finding))
    yield from _added(craft, rule, finding)
    yield from _swaps(craft, rule, finding)


def _written(craft: Craft, move: Move) -> Craft:
    """The craft as its file would be read after the move."""
    return changed_craft(craft.file, craft.source.text, change_of(craft, move))[0]


def _set(craft: Craft, move: Move) -> Craft:
    """The same, without reading the file again where nothing else follows from the setting."""
    if move.doing == "flight" or move.field == "tilt_deg":
        return with_value(craft, f"{move.at}.{move.field}", move.value, hold=True)[0]
    if move.field not in ("at_mm", "set_power_mw"):
        return _written(craft, move)
    at = next(k for k, placed in enumerate(craft.parts) if placed.id == move.at)
    placed = craft.parts[at]
    if move.field == "at_mm":
        x, y, z = (1e-3 * v for v in move.value)
        new = replace(placed, places=(replace(placed.places[0], x=x, y=y, z=z),))
    else:
        new = replace(placed, set_power=to_si(move.value, "mw", "power"))
    return replace(craft, parts=(*craft.parts[:at], new, *craft.parts[at + 1 :]))


def _read_parts(craft: Craft, rule: Rule, finding: Finding) -> list[PlacedPart]:
    """Parts of the file that the rule reads: the one it found first, then the others of its kinds, each id once."""
    ours = [p for p in craft.parts if p.key[:1] == ("part",)]
    read = [p for p in ours if p.id == finding.where.part]
    read += [p for p in ours if p.part.kind in rule.reads]
    return list({placed.id: placed for placed in reversed(read)}.values())[::-1]


def _use(name: str) -> str:
    """What a plate or print is for, by the first two words of its name: `plate-arm`."""
    return "-".join(name.split("-")[:2])


def _settings(craft: Craft, rule: Rule, finding: Finding) -> Iterator[Move]:
    for placed in _read_parts(craft, rule, finding):
        match placed.part:
            case Camera(tilt=tilt) | RecordingCamera(tilt=tilt):
                now = from_si(tilt.value, "deg", "angle") if tilt else 0.0
                near = sorted(_TILTS_DEG, key=lambda angle: abs(angle - now))
                yield from (Move("set", placed.id, "tilt_deg", angle) for angle in near)
            case Battery():
                yield from _shifts(placed)
            case VideoTransmitter(levels=levels):
                set_to = placed.set_power or 0.0
                powers = sorted((one.power.value for one in levels if one.power), key=lambda p: abs(p - set_to))
                milliwatts = [_plain(from_si(power, "mw", "power")) for power in powers]
                yield from (Move("set", placed.id, "set_power_mw", power) for power in milliwatts)
        if placed.id == finding.where.part and placed.part.kind in _COUNTED:
            yield from _counts(craft, placed)
    if "battery" in rule.reads:
        yield from (Move("flight", "flight", "landing_voltage_v", volts) for volts in _LANDINGS_V)
    yield from _feeds(craft, rule, finding)
    yield from _wires(craft, rule, finding)


def _shifts(placed: PlacedPart) -> Iterator[Move]:
    if placed.assumed or len(placed.places) != 1:
        return
    x, y, z = (1e3 * v for v in (placed.places[0].x, placed.places[0].y, placed.places[0].z))
    for ahead, left in [*((shift, 0) for shift in _SHIFTS_MM), *((0, shift) for shift in _SHIFTS_MM)]:
        yield Move("set", placed.id, "at_mm", [_plain(x + ahead), _plain(y + left), _plain(z)])


def _plain(value: float) -> float | int:
    """A number as people write it, to a thousandth."""
    rounded = round(value, 3)
    return int(rounded) if rounded.is_integer() else rounded


def _counts(craft: Craft, placed: PlacedPart) -> Iterator[Move]:
    motors = len(craft.motors)
    for count in sorted({placed.count + 1, 2 * placed.count, motors, 4 * motors}):
        if count > placed.count:
            yield Move("set", placed.id, "count", count)


def _feeds(craft: Craft, rule: Rule, finding: Finding) -> Iterator[Move]:
    """Every consumer that the finding is about, or that hangs on the part it is about, on every other rail."""
    if not set(rule.reads) & {"regulator", "receiver", "video-transmitter"}:
        return
    feeds = Feeds(craft)
    for placed in craft.parts:
        rail = feeds.of(placed)
        about = placed.id == finding.where.part or (rail is not None and rail.source.id == finding.where.part)
        if about and placed.key[:1] == ("part",) and placed.role != "battery":
            for other in feeds.rails():
                if other.source is not placed and (rail is None or other.id != rail.id):
                    yield Move("feed", placed.id, "fed_from", other.id)


def _wires(craft: Craft, rule: Rule, finding: Finding) -> Iterator[Move]:
    if "wire" not in rule.reads:
        return
    for index, run in enumerate(craft.wires):
        ends = {run.from_.partition(".")[0], run.to.partition(".")[0]}
        if run.gauge is None or not (ends & {"battery", finding.where.part, finding.where.part.rpartition(" ")[2]}):
            continue
        gauge = round(from_si(run.gauge.value, "awg", "wire area"))
        yield from (Move("wire", str(index + 1), "gauge_awg", gauge - less) for less in _THICKER_AWG)


def _added(craft: Craft, rule: Rule, finding: Finding) -> Iterator[Trial]:
    shelf = own_shelf(craft)
    wanted: dict[str, type[Part]] = {}
    for usual in missing_roles(craft):
        if usual.role == finding.where.part or usual.kind in rule.reads:
            wanted[usual.role] = KINDS[usual.kind]
    if rule.code == "propeller-nut":  # the nuts that are there hold something else
        wanted["propeller-nut"] = Nut
    for role, kind in wanted.items():
        parts = candidates(shelf, kind)
        if parts:
            try:
                first = _written(craft, Move("add", role, "use", parts[0].name))
            except (CannotCompute, InputError):
                continue
            placed = next(one for one in first.parts if one.role == role and one.part.name == parts[0].name)
            for part in parts:
                yield Move("add", role, "use", part.name), partial(swapped, first, placed, part)


def _swaps(craft: Craft, rule: Rule, finding: Finding) -> Iterator[Trial]:
    shelf = own_shelf(craft)
    for placed in _read_parts(craft, rule, finding):
        for part in candidates(shelf, type(placed.part), placed.part.name):
            if placed.part.kind in _OF_MANY_USES and _use(part.name) != _use(placed.part.name):
                continue
            yield Move("swap", placed.id, "use", part.name), partial(swapped, craft, placed, part)
