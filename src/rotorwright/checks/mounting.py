"""Does it sit: boards in the stack, camera in its cage, pack on its deck, strap round both."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks.finding import Severity
from rotorwright.checks.rule import Case, Missing, Skipped, at_least, at_most, rule, same
from rotorwright.checks.view import CraftView
from rotorwright.craft.model import PlacedPart
from rotorwright.parts.electronics import Camera
from rotorwright.parts.hardware import Plate, PrintedPart, Screw, Standoff, Strap
from rotorwright.predict.soft_mounts import soft_mounts

__all__: list[str] = []  # rules are reached by their codes

Array = NDArray[np.float64]
STOP, WARN, NOTE = Severity.STOP, Severity.WARN, Severity.NOTE

_PLAY = 0.3e-3
# Room between the top board of a stack and the deck above: common practice, no source [m].
_STACK_ROOM = 1e-3
# Boards whose middles lie within this distance seen from above are one stack [m].
_SAME_STACK = 5e-3
# A strap overlaps itself by this much: common practice, no source [m].
_OVERLAP = 30e-3


def _spacings(view: CraftView) -> dict[str, tuple[float, ...]]:
    """Hole spacings that each deck offers, by its id."""
    decks = [p for p in view.craft.with_role("deck") if isinstance(p.part, Plate)]
    found = {p.id: tuple(p.part.mount_pattern) for p in decks if isinstance(p.part, Plate) and p.part.mount_pattern}
    for deck in view.craft.frame.deck:
        own = tuple(s for pattern in deck.pattern for s in pattern.spacing if s > 0)
        if own:
            found[deck.name] = (*found.get(deck.name, ()), *own)
    return found


def _boards(view: CraftView) -> list[PlacedPart]:
    kinds = ("flight-controller", "speed-controller", "video-transmitter", "regulator")
    return [p for p in view.craft.parts if p.part.kind in kinds and getattr(p.part, "mount_pattern", None)]


@rule(
    "board-pattern",
    STOP,
    reads="flight-controller speed-controller video-transmitter plate",
    says="its holes are {value} apart; the decks take {limit}",
    fix="Take a board of the deck's spacing, or an adapter plate.",
)
def board_pattern(view: CraftView) -> Iterator[Case]:
    """Every board with holes finds its spacing on a deck.

    A board held by two screws, or by tape, breaks its plugs in the first crash.

    Source: hole spacings of both parts; the spacings of the trade follow no standard.
    """
    offered = _spacings(view)
    if not offered:
        raise Missing("mount_pattern_mm of a deck, or [[frame.deck.pattern]]")
    everything = tuple(sorted({s for spacing in offered.values() for s in spacing}))
    for board in _boards(view):
        wanted = view.stated(board, "mount_pattern")
        fits = any(all(any(abs(a - b) <= _PLAY for b in deck) for a in wanted) for deck in offered.values())
        yield same(fits, _list(wanted), _list(everything), board)


def _list(lengths: tuple[float, ...]) -> str:
    return ", ".join(dict.fromkeys(f"{s * 1e3:g}" for s in lengths)) + " mm"


def _gap(view: CraftView) -> Array:
    """Clear height between the decks [m]: the longest standoff's length."""
    rows = [view.of(p, "length") for p in view.of_kind(Standoff)]
    if not rows:
        raise Missing("the standoffs between the decks")
    return max(rows, key=lambda row: float(row[0]))


def _stacks(view: CraftView) -> list[list[PlacedPart]]:
    """Boards that sit one above the other."""
    stacks: list[list[PlacedPart]] = []
    for board in _boards(view):
        if board.assumed or not board.places:
            continue
        spot = board.places[0]
        near = [s for s in stacks if np.hypot(s[0].places[0].x - spot.x, s[0].places[0].y - spot.y) < _SAME_STACK]
        near[0].append(board) if near else stacks.append([board])
    return stacks


@rule(
    "stack-too-high",
    STOP,
    reads="flight-controller speed-controller video-transmitter standoff",
    says="its boards take {value} with their parts; the decks are {limit} apart",
    fix="Take longer standoffs or lower boards, or move one board elsewhere.",
)
def stack_too_high(view: CraftView) -> Iterator[Case | Skipped]:
    """Boards stacked on each other fit between the decks, with a millimetre over.

    A deck that presses on a board shorts it or cracks it.

    Source: heights of the boards with their parts; standoff length; the millimetre is common practice, no source.
    """
    gap = _gap(view)
    for stack in _stacks(view):
        if sizeless := [board for board in stack if not board.part.size]:
            yield Skipped(f"size_mm of {sizeless[0].id}", sizeless[0])
            continue
        height = sum(board.part.size[2] for board in stack if board.part.size)
        yield at_most(height + _STACK_ROOM, gap, "m", stack[-1])


@rule(
    "standoffs-uneven",
    WARN,
    reads="standoff",
    says="it is {value} long; the longest at its height is {limit}",
    fix="Take standoffs of one length between two decks.",
)
def standoffs_uneven(view: CraftView) -> Iterator[Case]:
    """Standoffs at one height have one length.

    Uneven ones bend the deck and load its screws.

    Source: lengths of the parts.
    """
    rows = [(p, pillar.length.value) for p, pillar in view.pairs(Standoff) if pillar.length]
    for placed, length in rows:
        level = [own for p, own in rows if abs(p.places[0].z - placed.places[0].z) < max(own, length) / 2]
        yield Case((0.25e-3 - (max(level) - length)) / 0.25e-3, length, max(level), "m", placed)


@rule(
    "standoff-screws-meet",
    STOP,
    reads="standoff screw plate",
    says="two screws reach {value} into a standoff of {limit}",
    fix="Take shorter screws.",
)
def standoff_screws_meet(view: CraftView) -> Iterator[Case]:
    """Screws from both ends of a standoff do not meet inside it.

    Screws that meet never clamp the deck: it feels tight, and comes loose.

    Source: sizes of the parts.
    """
    screws = [p for p in view.of_kind(Screw) if "standoff" in p.id or "standoff" in p.role]
    pillars = [p for p in view.of_kind(Standoff) if getattr(p.part, "length", None)]
    if screws and pillars:
        decks = [view.of(p, "thickness") for p in view.craft.with_role("deck") if getattr(p.part, "thickness", None)]
        thinnest = min(decks, key=lambda row: float(row[0])) if decks else view.draws.constant(0.0)
        shortest = min((view.of(p, "length") for p in pillars), key=lambda row: float(row[0]))
        for placed in screws:
            yield at_most(2 * (view.of(placed, "length") - thinnest), shortest, "m", placed)


def _holders(view: CraftView) -> list[tuple[str, Array]]:
    """Clear widths that a camera may be held in: the frame's cage, or a mount."""
    found = []
    cage = view.craft.frame.cage
    if cage is not None and cage.inside is not None:
        found.append(("the cage", view.draws.of(cage.inside, "cage.inside")))
    for placed, part in view.pairs(PrintedPart):
        if "camera" in placed.role and part.holds_width:
            found.append((placed.id, view.of(placed, "holds_width")))
    return found


@rule(
    "camera-width",
    STOP,
    reads="camera printed-part",
    says="it is {value} wide; {holder} takes {limit}",
    fix="Take a camera of the mount's width, or print another mount.",
)
def camera_width(view: CraftView) -> Iterator[Case]:
    """The camera's body is as wide as its mount or cage, within a millimetre.

    Wider does not go in; much narrower turns in every crash.

    Source: widths of both parts; the trade's 14, 19 and 28 mm follow no standard.
    """
    cameras = view.of_kind(Camera)
    holders = _holders(view)
    if cameras and not holders:
        raise Missing("holds_width_mm of the camera's mount, or inside_mm of [frame.cage]")
    for placed in cameras:
        width = view.of(placed, "width")
        name, inside = min(holders, key=lambda h: abs(float(h[1][0] - width[0])))
        yield Case((1e-3 - np.abs(inside - width)) / 1e-3, width, inside, "m", placed, {"holder": name})


@rule(
    "camera-tilt",
    WARN,
    reads="camera printed-part",
    says="it is set to {value}; its mount goes from {lowest} to {limit}",
    fix="Set a tilt that the mount can hold, or take another mount.",
)
def camera_tilt(view: CraftView) -> Iterator[Case]:
    """The camera's tilt lies within what its mount can be set to.

    A tilt that the mount does not hold slips in flight.

    Source: both parts' own statement.
    """
    mounts = [(p, part) for p, part in view.pairs(PrintedPart) if p.role == "camera-mount" and part.tilt is not None]
    for placed in view.of_kind(Camera) if mounts else ():
        tilt = view.stated(placed, "tilt").value
        low = mounts[0][1].tilt.value if mounts[0][1].tilt else 0.0
        high = mounts[0][1].tilt_max.value if mounts[0][1].tilt_max else low
        room = np.radians(2.0)  # play of a mount
        words = {"lowest": f"{np.degrees(low):.0f}"}
        yield Case(float(min(tilt - low, high - tilt) + room), tilt, high, "rad", placed, words)


@rule(
    "strap-short",
    STOP,
    reads="strap battery plate",
    says="it is {value} long; once round pack and deck with 30 mm over takes {limit}",
    fix="Take a longer strap.",
)
def strap_short(view: CraftView) -> Iterator[Case]:
    """The strap goes round pack and deck and overlaps itself by three centimetres.

    A strap that barely meets opens in a hard turn, and the pack hangs on its lead.

    Source: perimeter of the pack's cross-section and twice the deck; the overlap is common practice, no source.
    """
    straps = view.of_kind(Strap)
    if not straps:
        raise Missing("the strap")
    _, width, height = view.stated(view.part("battery"), "size")
    decks = [p.part.thickness.value for p in view.craft.with_role("deck") if getattr(p.part, "thickness", None)]  # type: ignore[attr-defined]
    need = 2 * (width + height + (max(decks) if decks else 2e-3)) + _OVERLAP
    for placed in straps:
        yield at_least(view.of(placed, "length"), need, "m", placed)


@rule(
    "pack-off-deck",
    WARN,
    reads="battery plate",
    says="{value} of its length lie on the deck; {limit} should",
    fix="Move the pack over the deck, or take a shorter pack or a longer deck.",
)
def pack_off_deck(view: CraftView) -> Iterator[Case]:
    """At least two thirds of the pack's length lie on the deck that carries it.

    A pack that overhangs pivots round its strap and pulls its lead off.

    Source: places and sizes; the two thirds are common practice, no source.
    """
    battery = view.part("battery", "size")
    if battery.assumed:
        raise Missing(f"at_mm of {battery.id}")
    decks = [p for p in view.craft.with_role("deck") if p.part.size and p.places and not p.assumed]
    if not decks:
        raise Missing("a deck with size_mm and at_mm")
    spot = battery.places[0]
    carrier = min(decks, key=lambda p: abs(p.places[0].z - spot.z))
    length, half = view.stated(battery, "size")[0], view.stated(carrier, "size")[0] / 2
    middle = carrier.places[0].x
    on = min(spot.x + length / 2, middle + half) - max(spot.x - length / 2, middle - half)
    yield at_least(max(on, 0.0) / length, 2 / 3, "share", battery)


@rule(
    "soft-mount-rings",
    NOTE,
    reads="grommet flight-controller motor propeller battery",
    says="{board} rings at about {value}; below {limit} it would be shielded from what the rotors shake in hover",
    fix="Take softer or taller grommets or pads, or fewer millimetres of squeeze.",
)
def soft_mount_rings(view: CraftView) -> Iterator[Case]:
    """What is mounted softly rings below the rotor speed in hover over sqrt(2).

    Above that a soft mount does not shield the gyroscope but amplifies what shakes it. The model is comparative.

    Source: pad stiffness E (1 + 2 S^2) A/t, E from Shore A hardness (Qi and others 2003), scatter a half either way.
    """
    hover = view.speeds.hover_rpm / 60
    if not np.isfinite(hover):
        raise Missing("a craft that can hover")
    for mount in soft_mounts(view.craft, view.speeds):
        if mount.natural_hz.value is not None:
            yield at_most(mount.natural_hz.value, hover / np.sqrt(2), "Hz", "flight-controller", board=mount.what)
