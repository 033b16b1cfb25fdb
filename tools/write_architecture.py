"""Draw docs/pictures/architecture.svg from the layer contract in pyproject.toml."""

import re
import tomllib
from pathlib import Path

from rotorwright.sheet.ink import Picture

__all__ = ["ROOMS", "layers", "picture"]

ROOT = Path(__file__).parent.parent
TARGET = ROOT / "docs" / "pictures" / "architecture.svg"

ROOMS = {
    "cli": ("terminal: asks, calls, prints", "seeing"),
    "web": ("local page: asks, calls, draws", "seeing"),
    "sheet": ("results as words, pictures, pages; no physics", "seeing"),
    "measure": ("readings to fits to values of the parts", "steering"),
    "search": ("swap, compare, sweep, the exact front", "steering"),
    "checks": ("rules, each with why and remedy", "steering"),
    "predict": ("one craft, or its samples, to results with bounds", "thrust"),
    "columns": ("objects to rows of numbers, in samples", "thrust"),
    "craft": ("the craft file: read, place, change, undo", "power"),
    "frame": ("numbers to outlines, solids, beams", "power"),
    "parts": ("the shelf: records of estimates, scaling laws", "power"),
    "physics": ("SI functions and compiled kernels on plain numbers", "thrust"),
    "units": ("suffix to SI and back", "frame"),
    "errors": ("what can go wrong, in words", "frame"),
}
"""What each room does, and the colour of its kind."""

_WIDTH, _ROW, _GAP, _LEFT = 480, 40, 8, 44


def layers() -> list[list[str]]:
    """The rooms of each layer, uppermost first."""
    contract = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    rows = contract["tool"]["importlinter"]["contracts"][0]["layers"]
    return [re.findall(r"rotorwright\.(\w+)", row) for row in rows]


def picture() -> str:
    """SVG text: one row a layer, each uses only those below it."""
    rows = layers()
    tall = len(rows) * (_ROW + _GAP) + 34
    drawing = Picture(_WIDTH, tall, "Rooms of the program: each uses only those below it", wide=True)
    for i, rooms in enumerate(rows):
        top = 8 + i * (_ROW + _GAP)
        wide = (_WIDTH - _LEFT - 8 - _GAP * (len(rooms) - 1)) / len(rooms)
        for k, room in enumerate(rooms):
            _room(drawing, room, _LEFT + k * (wide + _GAP), top, wide, alone=len(rooms) == 1)
    low = tall - 34
    drawing.line([(22, 14), (22, low)], "soft", 1.6)
    drawing.line([(16, low - 9), (22, low), (28, low - 9)], "soft", 1.6)
    drawing.text(14, (14 + low) / 2, "uses only what is below", 12, "soft", "middle", -90)
    drawing.text(_LEFT, tall - 10, "Held by `make check`; drawn from the contract in pyproject.toml.", 12, "soft")
    return drawing.svg() + "\n"


def _room(drawing: Picture, room: str, left: float, top: float, wide: float, alone: bool) -> None:
    words, colour = ROOMS[room]
    drawing.box(left, top, wide, _ROW, "panel", "line", 1.0, 5)
    drawing.box(left, top, 5, _ROW, colour, "none", 1.0, 2)
    if alone:
        drawing.text(left + 16, top + 25, room, 14, bold=True)
        drawing.text(left + 96, top + 25, words, 12.5, "soft")
    else:
        drawing.text(left + 16, top + 17, room, 14, bold=True)
        drawing.text(left + 16, top + 33, words, 12, "soft")


if __name__ == "__main__":
    TARGET.write_text(picture(), encoding="utf-8")
