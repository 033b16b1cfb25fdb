"""Flat pieces laid on sheets of a given size: rows of falling height, first row that has room."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import shapely
from shapely import affinity

from rotorwright.frame.drawing import Fault
from rotorwright.frame.export.canvas import Canvas
from rotorwright.frame.materials import Material
from rotorwright.frame.shape import Piece

__all__ = ["Laid", "Sheet", "nest", "sheet_drawing"]

# Left between pieces beside the width of the bit, and along the edge of the sheet: common practice, no source [m].
_LAND, _BORDER = 1.5e-3, 5e-3


@dataclass(frozen=True, slots=True)
class Laid:
    """One copy on a sheet: its drawing's origin at (x, y) [m], turned by `turn` [rad]."""

    piece: Piece
    x: float
    y: float
    turn: float

    @property
    def shape(self) -> shapely.Geometry:
        """Its outline on the sheet."""
        turned = affinity.rotate(self.piece.bodies[0].outline.polygon, self.turn, origin=(0, 0), use_radians=True)
        return affinity.translate(turned, self.x, self.y)


@dataclass
class Sheet:
    """One sheet of stock and what lies on it."""

    material: Material
    thickness: float
    length: float
    width: float
    laid: list[Laid] = field(default_factory=list)
    rows: list[tuple[float, float, float]] = field(default_factory=list)

    @property
    def utilisation(self) -> float:
        """Share of the sheet that becomes pieces [1]."""
        return sum(one.piece.bodies[0].outline.moments.area for one in self.laid) / (self.length * self.width)

    @property
    def name(self) -> str:
        """Material and thickness, fit for a file's name."""
        return f"{self.material.name}-{1e3 * self.thickness:g}mm"


def nest(pieces: Sequence[Piece], length: float, width: float, bit: float, faults: list[Fault]) -> list[Sheet]:
    """Sheets for all copies of the flat pieces; one that is larger than a sheet is noted.

    length, width: of a sheet [m]; bit: diameter of the router bit [m]. Pieces turn by 90 degrees only, and only where
    the laminate is the same both ways.
    """
    sheets: list[Sheet] = []
    flat = [(piece, *_size(piece)) for piece in pieces if piece.flat]
    for piece, long, tall in sorted(flat, key=lambda row: (-row[2], -row[1], row[0].name)):
        ways = [(0.0, long, tall)]
        if _same_both_ways(piece.material):
            ways.append((math.pi / 2, tall, long))
        for _ in piece.places:
            if not any(_fits(w, h, length, width) for _, w, h in ways):
                size = f"{piece.name}, {1e3 * long:.0f} x {1e3 * tall:.0f} mm,"
                what = f"{size} is larger than a sheet of {1e3 * length:.0f} x {1e3 * width:.0f} mm"
                faults.append(Fault(piece.key, what, "Give a larger sheet with --sheet-mm."))
                break
            _lay(sheets, piece, ways, (length, width, bit + _LAND))
    return sheets


def _size(piece: Piece) -> tuple[float, float]:
    x0, y0, x1, y1 = piece.bodies[0].outline.polygon.bounds
    return x1 - x0, y1 - y0


def _same_both_ways(material: Material) -> bool:
    along, across = material.moduli(0.0), material.moduli(math.pi / 2)
    return abs(along.membrane / across.membrane - 1) < 0.01


def _fits(w: float, h: float, length: float, width: float) -> bool:
    return w <= length - 2 * _BORDER and h <= width - 2 * _BORDER


def _lay(
    sheets: list[Sheet], piece: Piece, ways: Sequence[tuple[float, float, float]], room: tuple[float, float, float]
) -> None:
    """Put one copy into the first row with room, or a new row, or a new sheet."""
    length, width, gap = room
    mates = [
        s for s in sheets if s.material.name == piece.material.name and abs(s.thickness - piece.thickness) < 1e-6
    ]
    for sheet in mates:
        for index, (start, height, used) in enumerate(sheet.rows):
            for turn, w, h in ways:
                if h <= height + 1e-9 and used + w <= length - _BORDER:
                    sheet.laid.append(_placed(piece, used, start, turn))
                    sheet.rows[index] = (start, height, used + w + gap)
                    return
        top = max((start + height + gap for start, height, _ in sheet.rows), default=_BORDER)
        for turn, w, h in sorted(ways, key=lambda way: way[2]):
            if top + h <= width - _BORDER and _BORDER + w <= length - _BORDER:
                sheet.laid.append(_placed(piece, _BORDER, top, turn))
                sheet.rows.append((top, h, _BORDER + w + gap))
                return
    fresh = Sheet(piece.material, piece.thickness, length, width)
    sheets.append(fresh)
    turn, w, h = next(way for way in sorted(ways, key=lambda way: way[2]) if _fits(way[1], way[2], length, width))
    fresh.laid.append(_placed(piece, _BORDER, _BORDER, turn))
    fresh.rows.append((_BORDER, h, _BORDER + w + gap))


def _placed(piece: Piece, x: float, y: float, turn: float) -> Laid:
    """The copy whose lower left corner, once turned, is at (x, y)."""
    turned = affinity.rotate(piece.bodies[0].outline.polygon, turn, origin=(0, 0), use_radians=True)
    x0, y0, _, _ = turned.bounds
    return Laid(piece, x - x0, y - y0, turn)


def sheet_drawing(sheet: Sheet) -> str:
    """SVG of one sheet with what lies on it."""
    scale = min(760.0 / sheet.length, 560.0 / sheet.width)
    wide, tall = sheet.length * scale, sheet.width * scale
    canvas = Canvas(wide + 110, tall + 140, sheet.name)
    canvas.text(28, 32, f"{sheet.material.name}, {1e3 * sheet.thickness:g} mm", 18, bold=True)
    canvas.text(
        28, 52, f"{len(sheet.laid)} pieces; {100 * sheet.utilisation:.0f} % of the sheet becomes pieces", 12, "soft"
    )
    left, top = 68.0, 72.0
    canvas.area(shapely.box(left, top, left + wide, top + tall), "none", "soft", 1.0)
    for one in sheet.laid:
        shape = affinity.affine_transform(one.shape, [scale, 0, 0, -scale, left, top + tall])
        canvas.area(shape, "plate", "ink", 0.8)
        x0, y0, x1, y1 = shape.bounds
        size = min(11.0, max(6.5, (max(x1 - x0, y1 - y0) - 6) / (0.56 * len(one.piece.name))))
        canvas.text(
            (x0 + x1) / 2,
            (y0 + y1) / 2 + 4,
            one.piece.name,
            size,
            "ink",
            "middle",
            -90 if y1 - y0 > x1 - x0 else 0,
            halo=True,
        )
    canvas.dimension((left, top + tall + 26), (left + wide, top + tall + 26), f"{1e3 * sheet.length:.0f}")
    canvas.dimension((left - 26, top + tall), (left - 26, top), f"{1e3 * sheet.width:.0f}")
    return canvas.svg()
