"""A small SVG writer: numbers with fixed digits, text that never depends on a font's width, light and dark."""

from collections.abc import Iterable, Sequence
from xml.sax.saxutils import escape

import numpy as np
import shapely
from numpy.typing import NDArray

__all__ = ["Canvas"]

Array = NDArray[np.float64]

# Ink and grounds of both themes; every colour of a drawing is one of these words.
_LIGHT = {
    "ground": "#ffffff",
    "ink": "#1c2430",
    "soft": "#5d6b7c",
    "line": "#c3ccd6",
    "plate": "#d5dde6",
    "plate-2": "#bcc8d5",
    "print": "#f3c98b",
    "metal": "#a9b7c6",
    "disc": "#2f7fb8",
    "warn": "#c2410c",
    "good": "#1f7a4d",
    "sky": "#dcebf5",
    "earth": "#e9e4d6",
}
_DARK = {
    "ground": "#14181d",
    "ink": "#e7ecf2",
    "soft": "#9aa8b8",
    "line": "#39434f",
    "plate": "#36414e",
    "plate-2": "#485666",
    "print": "#8a6330",
    "metal": "#64748a",
    "disc": "#63b1e6",
    "warn": "#ff9a5c",
    "good": "#6fd3a0",
    "sky": "#1d2f3c",
    "earth": "#332f25",
}


_FONTS = "system-ui, 'Segoe UI', Roboto, 'Liberation Sans', 'DejaVu Sans', sans-serif"


def _style() -> str:
    """Dark colours where the reader asks for them; readers that know no style sheet keep the light ones."""
    rules = [f".f-{word}{{fill:{c}}}.s-{word}{{stroke:{c}}}" for word, c in _DARK.items()]
    scoped = "".join(rules).replace(".f-", "svg.frame .f-").replace(".s-", "svg.frame .s-")
    return f"@media (prefers-color-scheme:dark){{{scoped}}}"


def _number(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _paint(fill: str, stroke: str) -> str:
    """Attributes for a fill and an edge, each a word of the palette or 'none'."""
    classes = " ".join(f"{k}-{word}" for k, word in (("f", fill), ("s", stroke)) if word != "none")
    inside, edge = (_LIGHT.get(word, "none") for word in (fill, stroke))
    return f'fill="{inside}" stroke="{edge}"' + (f' class="{classes}"' if classes else "")


class Canvas:
    """A drawing of fixed size in its own units, y downwards."""

    def __init__(self, width: float, height: float, title: str) -> None:
        self.width, self.height, self.title = width, height, title
        self.items: list[str] = [
            f'<rect width="{_number(width)}" height="{_number(height)}" {_paint("ground", "none")}/>'
        ]

    def line(
        self, points: Iterable[Sequence[float]], stroke: str = "ink", width: float = 1.0, dash: str = ""
    ) -> None:
        """An open line."""
        way = " ".join(f"{_number(x)},{_number(y)}" for x, y in points)
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.items.append(
            f'<polyline points="{way}" {_paint("none", stroke)} stroke-width="{_number(width)}"{dashes}/>'
        )

    def area(
        self,
        shape: shapely.Geometry,
        fill: str = "none",
        stroke: str = "ink",
        width: float = 1.0,
        opacity: float = 1.0,
        dash: str = "",
    ) -> None:
        """A polygon with holes, or several."""
        parts = []
        for polygon in getattr(shape, "geoms", [shape]):
            if polygon.geom_type != "Polygon" or polygon.is_empty:
                continue
            for ring in (polygon.exterior, *polygon.interiors):
                points = shapely.get_coordinates(ring)[:-1]
                parts.append("M" + "L".join(f"{_number(x)} {_number(y)}" for x, y in points) + "Z")
        if not parts:
            return
        extra = f' fill-opacity="{_number(opacity)}"' if opacity < 1 else ""
        extra += f' stroke-dasharray="{dash}"' if dash else ""
        self.items.append(
            f'<path d="{"".join(parts)}" fill-rule="evenodd" {_paint(fill, stroke)} '
            f'stroke-width="{_number(width)}" stroke-linejoin="round"{extra}/>'
        )

    def circle(
        self,
        x: float,
        y: float,
        radius: float,
        fill: str = "none",
        stroke: str = "ink",
        width: float = 1.0,
        dash: str = "",
    ) -> None:
        """A circle."""
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.items.append(
            f'<circle cx="{_number(x)}" cy="{_number(y)}" r="{_number(radius)}" {_paint(fill, stroke)} '
            f'stroke-width="{_number(width)}"{dashes}/>'
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: float = 12,
        fill: str = "ink",
        anchor: str = "start",
        turn: float = 0.0,
        bold: bool = False,
        halo: bool = False,
    ) -> None:
        """Words at a point; `halo` lays the ground's colour round them."""
        extra = f' transform="rotate({_number(turn)} {_number(x)} {_number(y)})"' if turn else ""
        extra += ' font-weight="600"' if bold else ""
        where = f'x="{_number(x)}" y="{_number(y)}" font-size="{_number(size)}" text-anchor="{anchor}"{extra}'
        if halo:  # under the words, since not every reader can paint a stroke below its own fill
            wide = f'stroke-width="{_number(size / 3)}" stroke-linejoin="round" aria-hidden="true"'
            self.items.append(f"<text {where} {_paint('ground', 'ground')} {wide}>{escape(words)}</text>")
        self.items.append(f"<text {where} {_paint(fill, 'none')}>{escape(words)}</text>")

    def dimension(self, a: Sequence[float], b: Sequence[float], words: str, size: float = 12) -> None:
        """A dimension line between two points on a level or an upright, with ticks and its words on its middle."""
        (x0, y0), (x1, y1) = a, b
        self.line([a, b], "soft", 0.8)
        level = abs(y1 - y0) < abs(x1 - x0)
        for x, y in (a, b):
            tick = [(x - 3, y + 3), (x + 3, y - 3)]
            self.line(tick, "soft", 1.1)
        middle_x, middle_y = (x0 + x1) / 2, (y0 + y1) / 2
        if level:
            self.text(middle_x, middle_y - 0.35 * size, words, size, "ink", "middle", halo=True)
        else:
            self.text(middle_x - 0.35 * size, middle_y, words, size, "ink", "middle", -90, halo=True)

    def svg(self) -> str:
        """The whole file."""
        wide, tall = _number(self.width), _number(self.height)
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="frame" width="{wide}" height="{tall}" '
            f'viewBox="0 0 {wide} {tall}" role="img" font-family="{_FONTS}">'
        )
        body = "\n".join(self.items)
        return f"{head}\n<title>{escape(self.title)}</title>\n<style>{_style()}</style>\n{body}\n</svg>\n"
