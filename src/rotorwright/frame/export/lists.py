"""What to cut and what to print: pieces, mass, stock, minutes and cost."""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass

from rotorwright.frame.export.nest import Sheet
from rotorwright.frame.shape import Piece

__all__ = ["CAUTIONS", "ListRow", "TIME_BASIS", "cut_list", "list_csv", "list_markdown"]

# Feeds and rates: common practice, no source.
_FEED, _PASS = 10e-3, 1e-3  # router: 600 mm/min, a millimetre deep each pass
_PRINT_RATE = 8e-9  # printer: 8 mm3 of material a second
_SAW = 60.0  # seconds to saw and dress one length of tube or bar

TIME_BASIS = (
    "router 600 mm/min in passes of 1 mm, printer 8 mm\u00b3/s, one minute for each length of bar or tube; "
    "set-up and gluing not counted (common practice, no source)"
)
CAUTIONS = (
    "Carbon and glass dust harms lungs, skin and electronics: cut wet or with extraction, and wear a filter mask, "
    "gloves and goggles. Seal cut edges.",
    "Follow the manuals of router and printer and the safety sheet of the material; local rules prevail.",
)


@dataclass(frozen=True, slots=True)
class ListRow:
    """One piece of the list: all its copies."""

    piece: str
    how: str
    material: str
    count: int
    thickness_m: float
    mass_kg: float
    stock_kg: float
    minutes: float
    cost: float | None
    orientation: str


def _minutes(piece: Piece) -> float:
    if piece.material.form == "print":
        return float(piece.properties.volume * piece.infill / _PRINT_RATE / 60)
    if piece.flat:
        passes = max(1, round(piece.thickness / _PASS))
        return float(piece.cut_length * passes / _FEED / 60)
    return _SAW / 60


def _stock(piece: Piece) -> float:
    """Stock that one piece takes [kg]: the rectangle round a plate, a print or a bar as it is."""
    assert piece.material.density is not None
    if not piece.flat:
        return piece.mass
    x0, y0, x1, y1 = piece.bodies[0].outline.polygon.bounds
    return float((x1 - x0) * (y1 - y0) * piece.thickness) * piece.material.density.value


def stock_cost(piece: Piece) -> float | None:
    """Price of the stock that one piece takes, in any currency; None without a price."""
    price = piece.material.price_per_kg
    return None if price is None else price * _stock(piece)


def cut_list(pieces: Sequence[Piece]) -> list[ListRow]:
    """A row for each piece: cut pieces first, then lengths, then prints."""
    order = {"cut": 0, "saw": 1, "print": 2}
    rows = []
    for piece in pieces:
        count = len(piece.places)
        how = "print" if piece.material.form == "print" else "cut" if piece.flat else "saw"
        cost = stock_cost(piece)
        rows.append(
            ListRow(
                piece=piece.name,
                how=how,
                material=piece.material.name,
                count=count,
                thickness_m=piece.thickness,
                mass_kg=piece.mass * count,
                stock_kg=_stock(piece) * count,
                minutes=_minutes(piece) * count,
                cost=None if cost is None else cost * count,
                orientation=_orientation(piece, how),
            )
        )
    return sorted(rows, key=lambda row: (order[row.how], row.piece))


def _orientation(piece: Piece, how: str) -> str:
    if how != "print":
        return ""
    share = f", {100 * piece.infill:.0f} % infill" if piece.infill < 1 else ""
    return f"floor down as in the file, no supports{share}"


_COLUMNS = ("piece", "how", "material", "pieces", "height mm", "mass g", "stock g", "minutes", "cost", "orientation")


def _cells(row: ListRow) -> list[str]:
    cost = "" if row.cost is None else f"{row.cost:.2f}"
    numbers = [f"{1e3 * row.thickness_m:.2f}", f"{1e3 * row.mass_kg:.2f}", f"{1e3 * row.stock_kg:.2f}"]
    return [row.piece, row.how, row.material, str(row.count), *numbers, f"{row.minutes:.1f}", cost, row.orientation]


def list_csv(rows: Sequence[ListRow]) -> str:
    """The list as comma-separated values."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(_COLUMNS)
    writer.writerows(_cells(row) for row in rows)
    return stream.getvalue()


def list_markdown(title: str, rows: Sequence[ListRow], sheets: Sequence[Sheet], bit: float) -> str:
    """The list to read, with sheets, time basis and cautions."""
    lines = [f"# {title}: to cut and to print", "", "| " + " | ".join(_COLUMNS) + " |", "|" + "---|" * len(_COLUMNS)]
    lines += ["| " + " | ".join(_cells(row)) + " |" for row in rows]
    grams, minutes = 1e3 * sum(r.mass_kg for r in rows), sum(r.minutes for r in rows)
    cost = sum(r.cost or 0.0 for r in rows)
    lines += ["", f"Together {grams:.1f} g, {minutes:.0f} minutes, {cost:.2f} of stock.", "", f"Time: {TIME_BASIS}."]
    if sheets:
        lines += ["", f"Sheets, for a bit of {1e3 * bit:g} mm:", ""]
    for i, sheet in enumerate(sheets):
        size = f"{1e3 * sheet.length:.0f} x {1e3 * sheet.width:.0f} mm"
        lines.append(
            f"- {i + 1}: {sheet.name}, {size}, {len(sheet.laid)} pieces, {100 * sheet.utilisation:.0f} % used"
        )
    lines += ["", *(f"Caution: {caution}" for caution in CAUTIONS)]
    return "\n".join(lines) + "\n"
