"""Where the grams sit: every part as a disc as large as its mass, from above and from the left, and the balance."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from rotorwright.craft.model import Craft
from rotorwright.predict.balance import Balance
from rotorwright.predict.craft_bodies import EYES, craft_bodies
from rotorwright.predict.ledger import Ledger
from rotorwright.sheet.ink import Picture, group_of
from rotorwright.sheet.space import FASTENINGS

__all__ = ["mass_view"]

_WIDE, _EDGE, _GAP = 480.0, 14.0, 40.0
# The area of a disc a gram, such that a pack of 200 g is a disc of 20 mm radius [m2/kg].
_AREA = math.pi * 0.020**2 / 0.200
_LIGHTEST = 0.4e-3
_NAMED = 8


@dataclass(frozen=True, slots=True)
class _Lump:
    name: str
    group: str
    mass: float
    x: float
    y: float
    z: float
    pieces: int

    @property
    def radius(self) -> float:
        return math.sqrt(_AREA * self.mass / math.pi)


def _lumps(craft: Craft, ledger: Ledger) -> list[_Lump]:
    """Every piece of known mass at its place, heavy ones first."""
    masses = {line.id: line.mass_kg.value for line in ledger.lines if line.mass_kg.value}
    found = []
    for placed in craft.parts:
        mass = masses.get(placed.id)
        if mass is None or not placed.places:
            continue
        group = group_of(placed.part.kind, placed.role)
        each = mass / len(placed.places)
        found += [_Lump(placed.id, group, each, p.x, p.y, p.z, len(placed.places)) for p in placed.places]
    return sorted((one for one in found if one.mass >= _LIGHTEST), key=lambda one: -one.mass)


def mass_view(craft: Craft, ledger: Ledger, balance: Balance) -> str | None:
    """SVG of masses by place, nose to the left; None when no mass has a place."""
    lumps = _lumps(craft, ledger)
    if not lumps:
        return None
    reach_x = max(abs(m.x) + m.radius for m in lumps)
    reach_y = max(abs(m.y) + m.radius for m in lumps)
    high, low = max(m.z + m.radius for m in lumps), min(m.z - m.radius for m in lumps)
    scale = min((_WIDE - 2 * _EDGE) / (2 * reach_x), 330.0 / (2 * reach_y))
    top, side = 20 + reach_y * scale, 20 + 2 * reach_y * scale + _GAP + high * scale
    picture = Picture(_WIDE, side - low * scale + 26, f"{craft.title.full}: mass by place")
    picture.text(4, 13, "from above, nose to the left", 12, "soft", bold=True)
    picture.text(4, 20 + 2 * reach_y * scale + _GAP - 12, "from the left", 12, "soft", bold=True)
    middle = _WIDE / 2
    for body in craft_bodies(craft):
        if body.kind not in (*FASTENINGS, "propeller"):
            shape = body.silhouette(EYES["above"])
            rings = [list(p.exterior.coords) for p in getattr(shape, "geoms", [shape]) if p.geom_type == "Polygon"]
            put = [[(middle - up * scale, top - right * scale) for right, up in ring] for ring in rings]
            picture.shape(put, "none", "line", 0.6)
    picture.line([(_EDGE, side), (_WIDE - _EDGE, side)], "line", 1.0, "6 4")
    picture.text(_WIDE - _EDGE, side - 5, "propeller discs", 11, "soft", "end")

    def plan(one: _Lump) -> tuple[float, float]:
        return middle - one.x * scale, top + one.y * scale

    def elevation(one: _Lump) -> tuple[float, float]:
        return middle - one.x * scale, side - one.z * scale

    for one in lumps:
        for view in (plan, elevation):
            picture.circle(*view(one), one.radius * scale, one.group, "ink", 0.6, 0.62)
    x, y, z = (c.value for c in balance.centre_m)
    centres = []
    if x is not None and y is not None and z is not None:
        centres = [(middle - x * scale, top + y * scale), (middle - x * scale, side - z * scale)]
    _name_some(picture, lumps, [plan, elevation], centres or [(-99.0, -99.0)] * 2)
    for spot in centres:
        _mark(picture, *spot)
    if centres:
        picture.text(4, picture.height - 5, "cross: centre of mass; areas of the discs as the masses", 11, "soft")
    return picture.svg()


def _mark(picture: Picture, x: float, y: float) -> None:
    picture.circle(x, y, 6, "ground", "ink", 1.3)
    picture.line([(x - 9, y), (x + 9, y)], "ink", 1.3)
    picture.line([(x, y - 9), (x, y + 9)], "ink", 1.3)


class _Names:
    """Words beside discs, none over another; what finds no free spot near its disc stays unnamed."""

    def __init__(self, picture: Picture) -> None:
        self.picture, self.taken = picture, list[tuple[float, float, float]]()

    def block(self, x: float, y: float, half: float = 12.0) -> None:
        """Keep a spot free."""
        self.taken.append((x, y, half))

    def say(self, one: _Lump, x: float, y: float) -> bool:
        """Name a disc at most two lines from its middle."""
        words = f"{one.name.replace('-', ' ')} {1e3 * one.mass:.0f} g" + (" each" if one.pieces > 1 else "")
        half = 3.1 * len(words)
        x = min(max(x, half + 2), _WIDE - half - 2)
        for step in (0, -14, 14):
            if not any(abs(y + step - v) < 13 and abs(x - u) < half + w for u, v, w in self.taken):
                self.block(x, y + step, half)
                self.picture.text(x, y + step + 4, words, 11, "ink", "middle", halo=True)
                return True
        return False


def _name_some(
    picture: Picture,
    lumps: list[_Lump],
    views: list[Callable[[_Lump], tuple[float, float]]],
    centres: list[tuple[float, float]],
) -> None:
    """Names and grams of the heaviest, one of each kind, in the first view that has room for them."""
    names = [_Names(picture) for _ in views]
    for spots, (x, y) in zip(names, centres, strict=True):
        spots.block(x, y)
    first = {one.name: one for one in reversed(lumps)}
    for one in sorted(first.values(), key=lambda one: -one.mass)[:_NAMED]:
        any(spots.say(one, *view(one)) for spots, view in zip(names, views, strict=True))
