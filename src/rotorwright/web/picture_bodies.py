"""The picture's ground: every part to scale, the propeller discs, the way the motors turn, and dimensions."""

import math
from collections import Counter
from collections.abc import Iterator, Mapping
from html import escape

import numpy as np
import shapely

from rotorwright.craft.model import Craft, Place, PlacedPart
from rotorwright.frame.layout import MotorPlace
from rotorwright.predict.craft_bodies import copy_name
from rotorwright.predict.ledger import Ledger
from rotorwright.sheet.ink import group_of
from rotorwright.sheet.quantities import CHOICES, Display
from rotorwright.sheet.space import FASTENINGS, HOLDERS
from rotorwright.web.part_moves import where
from rotorwright.web.picture_view import Piece, View
from rotorwright.web.wording import plain

__all__ = ["bodies_svg", "in_svg", "said_of"]

_NOSE = {"above": "\u25b2 ahead", "left": "\u25c0 ahead", "ahead": "its left is on your right"}


def in_svg(view: View, body: str, layer: str) -> str:
    """A layer of the picture; all layers of a view lie exactly upon each other."""
    box = " ".join(f"{v:g}" for v in view.box)
    return f'<svg class="rw-layer {layer}" viewBox="{box}" preserveAspectRatio="xMidYMid meet">{body}</svg>'


def said_of(craft: Craft, ledger: Ledger | None, display: Display) -> dict[str, str]:
    """What the line below the picture says of each part: name, part, mass and place."""
    masses = {line.id: line.mass_kg for line in ledger.lines} if ledger else {}
    said = {}
    for placed in craft.parts:
        count = f"{placed.count} \u00d7 " if placed.count > 1 else ""
        words = [placed.id, f"{count}{placed.part.name}"]
        mass = masses.get(placed.id)
        if mass is not None and mass.value is not None:
            words.append(plain(mass.value, "kg", "mass", display))
        if len(placed.places) == 1:
            words.append("no place given" if placed.assumed else f"at {_spoken(placed.places[0], display)}")
        said[placed.id] = " \u00b7 ".join(words)
    return said


def _spoken(place: Place, display: Display) -> str:
    factor, _ = CHOICES["length"][display.length]
    x, y, z = (f"{factor * v + 0.0:.4g}".replace("-", "\u2212") for v in (place.x, place.y, place.z))
    return f"{x} ahead, {y} left, {z} up {display.length}"


def bodies_svg(view: View, said: Mapping[str, str], display: Display) -> str:
    """The ground layer: one group for each copy of each part, with what a hand needs to pick and move it."""
    number = {placed.id: n for n, placed in reversed(list(enumerate(view.craft.parts)))}
    by_id = {placed.id: placed for placed in reversed(view.craft.parts)}
    crowd: Counter[tuple[int, int]] = Counter()
    body = []
    for piece in view.pieces:
        placed = by_id[piece.id]
        drawn = _outline(piece) if piece.mark is None else _dot(view, piece, crowd)
        body.append(_group(view.craft, placed, piece, number[piece.id], said.get(piece.id, piece.id), drawn))
    body += _discs(view)
    if view.side == "above":
        body += [_turning(view, motor) for motor in view.craft.motors]
        body += _dimensions(view, display)
    body += _heights(view, display) if view.side != "above" else []
    x, y, _, _ = view.box
    edge = f'x="{x + 4:g}" y="{y + 4:g}" dominant-baseline="hanging"'
    body.append(f'<text class="rw-soft-text" {edge}>{_NOSE[view.side]}</text>')
    return in_svg(view, "".join(body), "is-bodies")


def _group(craft: Craft, placed: PlacedPart, piece: Piece, n: int, said: str, drawn: str) -> str:
    """A copy of a part; the first one also speaks to screen readers."""
    classes = ["p", f"g-{group_of(piece.kind, piece.role)}"]
    classes += ["is-fastening"] if piece.kind in FASTENINGS else []
    classes += ["is-blades"] if piece.kind == "propeller" else []
    classes += ["is-open"] if piece.role in HOLDERS else []
    classes += ["is-assumed"] if placed.assumed else []
    fixed, at = where(craft, placed)
    words = f"{said} \u00b7 {piece.mark.reason}" if piece.mark and not placed.assumed else said
    told = {"id": piece.id, "n": n, "says": words, "at": at, "fixed": fixed}
    data = "".join(f' data-{key}="{escape(str(value))}"' for key, value in told.items() if value != "")
    if piece.copy == 0:
        data += f' id="rw-part-{n}" role="button" aria-label="{escape(words)}"'
    else:
        data += f' aria-hidden="true" data-copy="{escape(copy_name(craft, placed, piece.copy))}"'
    return f'<g class="{" ".join(classes)}"{data}>{drawn}</g>'


def _outline(piece: Piece) -> str:
    return f'<path fill-rule="evenodd" d="{_way(piece.shape)}"/>'


def _way(shape: shapely.Geometry) -> str:
    parts = [p for p in getattr(shape, "geoms", [shape]) if p.geom_type == "Polygon"]
    rings = [shapely.get_coordinates(r)[:-1] for p in parts for r in (p.exterior, *p.interiors)]
    return "".join("M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in ring) + "Z" for ring in rings)


def _dot(view: View, piece: Piece, crowd: Counter[tuple[int, int]]) -> str:
    """A small mark; those that share a place stand side by side."""
    assert piece.mark is not None
    x, y = view.place(piece.mark.place)
    spot = (round(x / 2), round(y / 2))
    crowd[spot] += 1
    shift = (-1) ** crowd[spot] * (crowd[spot] // 2)
    dot = f'<path class="rw-dot" data-shift="{shift}" d="M0-4 4 0 0 4-4 0Z"/>'
    return f'<g transform="translate({x:.2f} {y:.2f})">{dot}</g>'


def _discs(view: View) -> Iterator[str]:
    propeller = view.craft.the("propeller")
    if not view.disc or propeller is None:
        return
    r = 500 * view.disc
    for motor in view.craft.motors:
        x, y = view.point(motor.x, motor.y, motor.z)
        shape = f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{r:.2f}"/>'
        if view.side != "above":
            shape = f'<path d="M{x - r:.2f} {y:.2f}H{x + r:.2f}"/>'
        yield f'<g class="rw-disc" data-id="{escape(propeller.id)}" aria-hidden="true">{shape}</g>'


def _turning(view: View, motor: MotorPlace) -> str:
    """An arrow the way the motor turns; that of a lower motor lies inside that of the upper."""
    x, y = view.point(motor.x, motor.y, motor.z)
    r = view.motor + (5.0 if motor.z >= 0 else 1.5)
    sweep = 0 if motor.spin > 0 else 1
    start, end = (math.radians(a) for a in ((200, 340) if sweep else (340, 200)))
    x0, y0 = x + r * math.cos(start), y + r * math.sin(start)
    x1, y1 = x + r * math.cos(end), y + r * math.sin(end)
    way = end + (math.pi / 2 if sweep else -math.pi / 2)
    head = [(x1 + 4.2 * math.cos(way + a), y1 + 4.2 * math.sin(way + a)) for a in (0.0, 2.35, -2.35)]
    tip = "L".join(f"{u:.2f} {v:.2f}" for u, v in head)
    arc = f"M{x0:.2f} {y0:.2f}A{r:g} {r:g} 0 0 {sweep} {x1:.2f} {y1:.2f}"
    word = "clockwise" if sweep else "counter-clockwise"
    name = f"{escape(motor.name)} turns {word} seen from above"
    return f'<g class="rw-turning"><title>{name}</title><path d="{arc}"/><path class="is-head" d="M{tip}Z"/></g>'


def _dimensions(view: View, display: Display) -> Iterator[str]:
    """Motor to motor: the longest way aslant, and across the front."""
    motors = view.craft.motors
    pairs = [(a, b) for i, a in enumerate(motors) for b in motors[i + 1 :]]
    if not pairs:
        return
    a, b = max(pairs, key=lambda pair: round(_gap(*pair), 6))
    yield _line(view.point(a.x, a.y, a.z), view.point(b.x, b.y, b.z), plain(_gap(a, b), "m", "length", display), 0.24)
    front = sorted(motors, key=lambda m: -m.x)[:2]
    if abs(front[0].x - front[1].x) < 1e-4 and abs(front[0].y - front[1].y) > 1e-4:
        ends = sorted(view.point(m.x, m.y, m.z) for m in front)
        y = view.box[1] + 16
        yield _witness(ends, y)
        yield _line((ends[0][0], y), (ends[1][0], y), plain(_gap(*front), "m", "length", display))


def _witness(ends: list[tuple[float, float]], y: float) -> str:
    ways = "".join(f"M{x:.2f} {foot:.2f}V{y - 2:.2f}" for x, foot in ends)
    return f'<path class="rw-witness" d="{ways}"/>'


def _gap(a: MotorPlace, b: MotorPlace) -> float:
    return math.hypot(a.x - b.x, a.y - b.y)


def _heights(view: View, display: Display) -> Iterator[str]:
    """Height over everything with an outline, beside it."""
    bounds = [p.shape.bounds for p in view.pieces if p.shape is not None and not p.shape.is_empty]
    if not bounds:
        return
    low, high = max(b[3] for b in bounds), min(b[1] for b in bounds)
    x = view.box[0] + view.box[2] - 14
    yield _line((x, low), (x, high), plain((low - high) / 1e3, "m", "length", display))


def _line(a: tuple[float, float], b: tuple[float, float], words: str, along: float = 0.5) -> str:
    """A dimension line, ticked at its ends, its words upon it."""
    (x0, y0), (x1, y1) = sorted([a, b])
    slope = math.degrees(math.atan2(y1 - y0, x1 - x0))
    slope = slope - 180 if slope > 89 else slope
    x, y = (np.array([x0, y0]) + along * np.array([x1 - x0, y1 - y0])).tolist()
    ticks = "".join(f"M{u - 2.2:.2f} {v + 2.2:.2f}l4.4-4.4" for u, v in (a, b))
    turned = f'transform="rotate({slope:.2f} {x:.2f} {y:.2f})"'
    text = f'<text class="rw-size" x="{x:.2f}" y="{y:.2f}" {turned}>{escape(words)}</text>'
    return f'<g class="rw-dimension"><path d="M{x0:.2f} {y0:.2f}L{x1:.2f} {y1:.2f}{ticks}"/>{text}</g>'
