"""Who feeds whom, as a tree drawn line by line: each rail with what it carries of what it may."""

from collections.abc import Iterator
from dataclasses import dataclass

from rotorwright.craft.model import Craft
from rotorwright.predict.power_tree import PowerTree, Rail
from rotorwright.sheet.ink import Picture, group_of
from rotorwright.sheet.words import nominal

__all__ = ["power_view"]

_WIDE, _ROW, _STEP, _LEFT, _BAR = 480.0, 24.0, 26.0, 10.0, 90.0
# A rail over its rating still gets no longer bar than this many times its rating.
_MOST = 1.25


@dataclass(frozen=True, slots=True)
class _Row:
    depth: int
    name: str
    rail: Rail | None
    group: str


def power_view(craft: Craft, tree: PowerTree) -> str | None:
    """SVG of the power tree; None when nothing feeds anything."""
    rows = list(_rows(craft, tree))
    if not rows:
        return None
    picture = Picture(_WIDE, len(rows) * _ROW + 34, f"{craft.title.full}: who feeds whom")
    last: dict[int, int] = {}
    for index, row in enumerate(rows):
        y = (index + 0.5) * _ROW + 4
        x = _LEFT + row.depth * _STEP
        if row.depth:
            top = (last.get(row.depth - 1, 0) + 0.5) * _ROW + 4 + 7
            picture.line([(x - _STEP + 5, top), (x - _STEP + 5, y), (x - 4, y)], "line", 1.3)
        last[row.depth] = index
        if row.rail is None:
            picture.circle(x + 5, y, 5, row.group, "ink", 0.6)
            picture.text(x + 16, y + 4, row.name, 12.5)
        else:
            _rail(picture, row.rail, x, y)
    picture.text(
        _LEFT, picture.height - 6, "bars: load of each rail against its rating, the mark; motors left out", 11, "soft"
    )
    return picture.svg()


def _rail(picture: Picture, rail: Rail, x: float, y: float) -> None:
    name = rail.id.rpartition(".")[2]
    volts = f", {rail.voltage_v:.3g} V" if rail.voltage_v == rail.voltage_v else ""
    picture.box(x, y - 5, 10, 10, "ground", "soft", 1.2)
    picture.text(x + 16, y + 4, f"{name}{volts}", 12.5, "soft")
    right = _WIDE - 8 - _BAR
    load, rated = rail.load_current_a.value, rail.rated_current_a
    words = f"{nominal(rail.load_current_a)} A" + (f" of {rated:g} A" if rated else "")
    picture.text(right - 8, y + 4, "load not known" if load is None else words, 12, "ink", "end")
    if load is None or not rated:
        return
    scale = _BAR / _MOST
    over = load > rated
    picture.line([(right, y), (right + _BAR, y)], "line", 1.0)
    picture.box(right, y - 4, min(load / rated, _MOST) * scale, 8, "warn" if over else "accent")
    picture.line([(right + scale, y - 7), (right + scale, y + 7)], "ink", 1.6)


def _rows(craft: Craft, tree: PowerTree) -> Iterator[_Row]:
    """Sources with their rails and what hangs on those, from the pack down; then what nothing feeds."""
    groups = {placed.id: group_of(placed.part.kind, placed.role) for placed in craft.parts}
    rails: dict[str, list[Rail]] = {}
    for rail in tree.rails:
        rails.setdefault(rail.source, []).append(rail)
    fed = {part for rail in tree.rails for part in rail.feeds}
    seen: set[str] = set()

    def below(source: str, depth: int) -> Iterator[_Row]:
        if source in seen:
            return
        seen.add(source)
        yield _Row(depth, source, None, groups.get(source, "frame"))
        for rail in rails.get(source, ()):
            if rail.feeds or rail.rated_current_a:
                yield _Row(depth + 1, rail.id, rail, "")
            for part in rail.feeds:
                yield from below(part, depth + 2)

    for source in [s for s in rails if s not in fed] or list(rails)[:1]:
        yield from below(source, 0)
