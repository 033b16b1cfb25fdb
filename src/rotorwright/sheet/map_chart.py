"""Maps as SVG: one number over two others, a cell for each pair, told by its number and by its shade."""

from collections.abc import Sequence
from dataclasses import dataclass

from rotorwright.sheet.ink import Picture

__all__ = ["Cell", "Map", "map_chart"]

_WIDTH, _LEFT, _RIGHT = 480, 64, 14
_TOP, _HEAD, _FOOT, _GAP = 40, 24, 44, 26
_TALL, _LOW, _BELOW = 30.0, 16.0, 18
_SIZE = 13.0
# Shades end well before the ink of the numbers would be hard to read on them.
_PALEST, _DEEPEST = 0.06, 0.5
# Room that a number of four letters needs, and the size it then has; with less room none is written.
_ROOMS = ((34.0, 13.0), (27.0, 10.5))


@dataclass(frozen=True, slots=True)
class Cell:
    """One pair's number, ready to be shown; `best` and `as_good` as the bounds allow."""

    value: float | None
    text: str
    best: bool = False
    as_good: bool = False


@dataclass(frozen=True, slots=True)
class Map:
    """One number over both axes: `rows` from the lowest second number up, each along the first; `below`: words."""

    label: str
    rows: tuple[tuple[Cell, ...], ...]
    below: str = ""

    @property
    def span(self) -> str:
        """From the palest to the deepest shade, in words."""
        known = [cell for row in self.rows for cell in row if cell.value is not None]
        ends = [end(known, key=lambda cell: cell.value or 0.0).text for end in (min, max)] if known else []
        return " to ".join(dict.fromkeys(ends))


def map_chart(
    title: str, across: tuple[str, Sequence[float]], up: tuple[str, Sequence[float]], maps: Sequence[Map], note: str
) -> str:
    """SVG text of maps one below the other; `across` and `up` are the axes, each with its label and its values."""
    tall = _TALL if len(up[1]) <= 14 else _LOW
    each = _HEAD + tall * len(up[1]) + _FOOT + (_BELOW if any(one.below for one in maps) else 0)
    picture = Picture(_WIDTH, _TOP + len(maps) * (each + _GAP) + 6, title, wide=True)
    picture.text(_LEFT, 20, title, 15, bold=True)
    for index, one in enumerate(maps):
        _draw(picture, one, across, up, _TOP + index * (each + _GAP) + _HEAD, tall)
    picture.text(_LEFT, picture.height - 8, note, _SIZE, "soft")
    return picture.svg() + "\n"


def _draw(
    picture: Picture,
    one: Map,
    across: tuple[str, Sequence[float]],
    up: tuple[str, Sequence[float]],
    top: float,
    tall: float,
) -> None:
    wide = (_WIDTH - _LEFT - _RIGHT) / len(across[1])
    base = top + tall * len(up[1])
    known = [cell.value for row in one.rows for cell in row if cell.value is not None]
    low, high = min(known, default=0.0), max(known, default=1.0)
    size = next((size for room, size in _ROOMS if wide >= room and tall >= _TALL), 0.0)
    picture.text(_LEFT, top - 8, f"{one.label}, {one.span}" if one.span else one.label, _SIZE, bold=True)
    for i, row in enumerate(one.rows):
        y = base - (i + 1) * tall
        picture.text(_LEFT - 6, y + tall / 2 + 4, f"{up[1][i]:.6g}", _SIZE, "soft", "end")
        for j, cell in enumerate(row):
            x = _LEFT + j * wide
            if cell.value is not None:
                share = (cell.value - low) / (high - low) if high > low else 0.0
                picture.box(x, y, wide, tall, "accent", opacity=_PALEST + share * (_DEEPEST - _PALEST))
            if size:
                picture.text(x + wide / 2, y + tall / 2 + 4.5, cell.text, size, anchor="middle", bold=cell.best)
    _marks(picture, one, wide, tall, base)
    every = -(-len(across[1]) // 9)
    for j in range(0, len(across[1]), every):
        picture.text(_LEFT + (j + 0.5) * wide, base + 17, f"{across[1][j]:.6g}", _SIZE, "soft", "middle")
    axes = f"{across[0]}, upwards {up[0]}"
    picture.text((_LEFT + _WIDTH - _RIGHT) / 2, base + 36, axes, _SIZE, anchor="middle")
    if one.below:
        picture.text(_LEFT, base + 36 + _BELOW, one.below, _SIZE, "soft")


def _marks(picture: Picture, one: Map, wide: float, tall: float, base: float) -> None:
    """A thin frame round what is as good as the best, a thick one round the best, above all shades."""
    for best in (False, True):
        for i, row in enumerate(one.rows):
            for j, cell in enumerate(row):
                if cell.best if best else cell.as_good and not cell.best:
                    edge = 2.6 if best else 1.2
                    x, y = _LEFT + j * wide, base - (i + 1) * tall
                    picture.box(x + 1.5, y + 1.5, wide - 3, tall - 3, "none", "ink", edge, 2.0)
