"""Where the grams sit: every part as a disc as large as its mass, from above and from the left, and the balance."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from rotorwright.craft.model import Craft
from rotorwright.frame.export.letters import width_of
from rotorwright.frame.export.spots import Spots
from rotorwright.predict.balance import Balance
from rotorwright.predict.craft_bodies import EYES, craft_bodies
from rotorwright.predict.ledger import Ledger
from rotorwright.sheet.fold import folded
from rotorwright.sheet.ink import Picture, group_of
from rotorwright.sheet.space import FASTENINGS

__all__ = ["mass_view"]

_VIEW, _EDGE, _GAP, _HEAD, _FOOT = 480.0, 14.0, 52.0, 32.0, 26.0
_LIST, _LINE, _SIZE, _RING = 400.0, 21.0, 14.0, 10.0
# A number stands at most this far from its disc.
_REACH = 110.0
# The area of a disc a gram, such that a pack of 200 g is a disc of 20 mm radius [m2/kg].
_AREA = math.pi * 0.020**2 / 0.200
_LIGHTEST = 0.4e-3
_NAMED = 12
_NOTES = ("cross: centre of mass", "dashed: plane of the propeller discs")


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
    """SVG of masses by place, nose to the left, with a list beside or on a narrow page below; None without places."""
    lumps = _lumps(craft, ledger)
    if not lumps:
        return None
    views, title = _Views(craft, lumps, balance), f"{craft.title.full}: mass by place"
    rows = _rows(lumps)
    listed = _LINE * (len(rows) + len(_NOTES)) + 12
    wide = Picture(_VIEW + _LIST, max(views.height, listed + _HEAD), title)
    narrow = Picture(_VIEW, views.height + listed, title)
    views.draw(wide)
    narrow.items = list(wide.items)
    _list(wide, rows, _VIEW + 16.0, _HEAD)
    _list(narrow, rows, 4.0, views.height + 16.0)
    return folded(wide, narrow)


def _rows(lumps: Sequence[_Lump]) -> list[tuple[_Lump, str]]:
    """The heaviest, one of each kind, with their words."""
    first = {one.name: one for one in reversed(lumps)}
    heaviest = sorted(first.values(), key=lambda one: -one.mass)[:_NAMED]
    return [(one, f"{_named(one)} {1e3 * one.mass:.0f} g{' each' if one.pieces > 1 else ''}") for one in heaviest]


def _named(one: _Lump) -> str:
    return one.name.replace("-", " ")


def _list(picture: Picture, rows: Sequence[tuple[_Lump, str]], x: float, y: float) -> None:
    """What the numbers stand for, with the colour of each disc, and what the lines are."""
    for number, (one, words) in enumerate(rows, 1):
        picture.text(x + 20, y, str(number), _SIZE, "soft", "end")
        picture.box(x + 27, y - 11, 12, 12, one.group, "ink", 0.6, 3, 0.62)
        picture.text(x + 46, y, words, _SIZE)
        y += _LINE
    for note in _NOTES:
        y += _LINE
        picture.text(x + 4, y - 8, note, _SIZE - 0.5, "soft")


class _Views:
    """The two views, one below the other, at one scale."""

    def __init__(self, craft: Craft, lumps: Sequence[_Lump], balance: Balance) -> None:
        self.craft, self.lumps, self.balance = craft, lumps, balance
        reach_x = max(abs(m.x) + m.radius for m in lumps)
        reach_y = max(abs(m.y) + m.radius for m in lumps)
        self.scale = min((_VIEW - 2 * _EDGE) / (2 * reach_x), 300.0 / (2 * reach_y))
        self.middle, self.above = _VIEW / 2, _HEAD + reach_y * self.scale
        self.side_top = _HEAD + 2 * reach_y * self.scale
        self.side = self.side_top + _GAP + max(m.z + m.radius for m in lumps) * self.scale
        self.height = self.side - min(m.z - m.radius for m in lumps) * self.scale + _FOOT

    def plan(self, x: float, y: float, z: float) -> tuple[float, float]:
        return self.middle - x * self.scale, self.above + y * self.scale

    def elevation(self, x: float, y: float, z: float) -> tuple[float, float]:
        return self.middle - x * self.scale, self.side - z * self.scale

    def draw(self, picture: Picture) -> None:
        """Outlines, discs, the centre of mass and the numbers."""
        self._titles(picture)
        self._outlines(picture)
        picture.line([(_EDGE, self.side), (_VIEW - _EDGE, self.side)], "line", 1.0, "6 4")
        tops = (_HEAD - 6, self.side_top + _GAP - 18)
        for view, top, low in zip((self.plan, self.elevation), tops, (tops[1] - 20, self.height), strict=True):
            placed = [(one, view(one.x, one.y, one.z)) for one in self.lumps]
            for one, (across, down) in placed:
                picture.circle(across, down, one.radius * self.scale, one.group, "ink", 0.6, 0.62)
            x, y, z = (c.value for c in self.balance.centre_m)
            spot = None if x is None or y is None or z is None else view(x, y, z)
            self._numbers(picture, placed, spot, (top, low))
            if spot is not None:
                _mark(picture, *spot)

    def _titles(self, picture: Picture) -> None:
        picture.text(4, 16, "from above, nose to the left", _SIZE - 0.5, "soft", bold=True)
        picture.text(4, self.side_top + _GAP - 24, "from the left", _SIZE - 0.5, "soft", bold=True)

    def _outlines(self, picture: Picture) -> None:
        for body in craft_bodies(self.craft):
            if body.kind not in (*FASTENINGS, "propeller"):
                shape = body.silhouette(EYES["above"])
                parts = [p for p in getattr(shape, "geoms", [shape]) if p.geom_type == "Polygon"]
                put = [[self.plan(up, -right, 0.0) for right, up in p.exterior.coords] for p in parts]
                picture.shape(put, "none", "line", 0.6)

    def _numbers(
        self,
        picture: Picture,
        placed: Sequence[tuple[_Lump, tuple[float, float]]],
        centre: tuple[float, float] | None,
        heights: tuple[float, float],
    ) -> None:
        """A number at each disc that the list names: off all discs, with a line to its own."""
        discs = [shapely.Point(spot).buffer(one.radius * self.scale, quad_segs=8) for one, spot in placed]
        cross = [shapely.Point(centre).buffer(10.0)] if centre else []
        spots = Spots((0.0, heights[0], _VIEW, heights[1]), [*discs, *cross])
        for number, (one, _) in enumerate(_rows(self.lumps), 1):
            own = [shapely.Point(spot) for lump, spot in placed if lump.name == one.name]
            half = max(_RING, width_of(str(number), _SIZE) / 2 + 3)
            spot = next((spot for point in own if (spot := spots.near(point, (half, _RING), _REACH))), None)
            if spot is not None:
                picture.line([(spot.x, spot.y), spot.foot], "ink", 0.8)
                picture.circle(*spot.foot, 1.6, "ink")
                picture.circle(spot.x, spot.y, _RING, "ground", "ink", 0.9)
                picture.text(spot.x, spot.y + 4.8, str(number), _SIZE - 0.5, "ink", "middle")


def _mark(picture: Picture, x: float, y: float) -> None:
    picture.circle(x, y, 6, "ground", "ink", 1.3)
    picture.line([(x - 9, y), (x + 9, y)], "ink", 1.3)
    picture.line([(x, y - 9), (x, y + 9)], "ink", 1.3)
