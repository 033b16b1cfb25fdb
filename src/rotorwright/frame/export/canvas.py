"""A small SVG writer: numbers with fixed digits, colours that are words with a light and a dark face.

`Canvas` draws frames; the sheet's pictures add to it (`sheet/ink.py`).
"""

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from typing import ClassVar

import numpy as np
import shapely
from numpy.typing import NDArray

__all__ = ["FONTS", "Canvas", "number"]

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


FONTS = "system-ui, 'Segoe UI', Roboto, 'Liberation Sans', 'DejaVu Sans', sans-serif"
"""Families of letters in pictures, whichever is at hand."""


def _style() -> str:
    """Dark colours where the reader asks for them; readers that know no style sheet keep the light ones."""
    rules = [f".f-{word}{{fill:{c}}}.s-{word}{{stroke:{c}}}" for word, c in _DARK.items()]
    scoped = "".join(rules).replace(".f-", "svg.frame .f-").replace(".s-", "svg.frame .s-")
    return f"@media (prefers-color-scheme:dark){{{scoped}}}"


def number(value: float, digits: int = 2) -> str:
    """A coordinate with at most so many decimals, without idle zeros."""
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


class Canvas:
    """A drawing of fixed size in its own units, y downwards."""

    light: ClassVar[Mapping[str, str]] = _LIGHT
    digits: ClassVar[int] = 3

    def __init__(self, width: float, height: float, title: str) -> None:
        self.width, self.height, self.title = width, height, title
        self.items: list[str] = []

    def number(self, value: float) -> str:
        """A coordinate in this drawing's digits."""
        return number(value, self.digits)

    def paint(self, fill: str, stroke: str) -> str:
        """Attributes for fill and edge: words of the palette, colours that stay as they are, or 'none'."""
        light = self.light
        classes = " ".join(f"{k}-{word}" for k, word in (("f", fill), ("s", stroke)) if word in light)
        colours = f'fill="{light.get(fill, fill)}"'
        colours += f' stroke="{light.get(stroke, stroke)}"' if stroke != "none" else ""
        return colours + (f' class="{classes}"' if classes else "")

    def line(
        self, points: Iterable[Sequence[float]], stroke: str = "ink", width: float = 1.0, dash: str = ""
    ) -> None:
        """An open line."""
        way = " ".join(f"{self.number(x)},{self.number(y)}" for x, y in points)
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.items.append(
            f'<polyline points="{way}" {self.paint("none", stroke)} stroke-width="{self.number(width)}"{dashes}/>'
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
                parts.append("M" + "L".join(f"{self.number(x)} {self.number(y)}" for x, y in points) + "Z")
        if not parts:
            return
        extra = f' fill-opacity="{self.number(opacity)}"' if opacity < 1 else ""
        extra += f' stroke-dasharray="{dash}"' if dash else ""
        self.items.append(
            f'<path d="{"".join(parts)}" fill-rule="evenodd" {self.paint(fill, stroke)} '
            f'stroke-width="{self.number(width)}" stroke-linejoin="round"{extra}/>'
        )

    def circle(
        self,
        x: float,
        y: float,
        radius: float,
        fill: str = "none",
        stroke: str = "none",
        width: float = 1.0,
        opacity: float = 1.0,
        dash: str = "",
    ) -> None:
        """A circle."""
        extra = f' fill-opacity="{self.number(opacity)}"' if opacity < 1 else ""
        extra += f' stroke-dasharray="{dash}"' if dash else ""
        edge = f' stroke-width="{self.number(width)}"' if stroke != "none" else ""
        at = f'cx="{self.number(x)}" cy="{self.number(y)}" r="{self.number(radius)}"'
        self.items.append(f"<circle {at} {self.paint(fill, stroke)}{edge}{extra}/>")

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
        extra = f' transform="rotate({self.number(turn)} {self.number(x)} {self.number(y)})"' if turn else ""
        extra += ' font-weight="600"' if bold else ""
        where = (
            f'x="{self.number(x)}" y="{self.number(y)}" font-size="{self.number(size)}" text-anchor="{anchor}"{extra}'
        )
        if halo:  # under the words, since not every reader can paint a stroke below its own fill
            wide = f'stroke-width="{self.number(size / 3.5)}" stroke-linejoin="round" aria-hidden="true"'
            self.items.append(f"<text {where} {self.paint('ground', 'ground')} {wide}>{escape(words)}</text>")
        self.items.append(f"<text {where} {self.paint(fill, 'none')}>{escape(words)}</text>")

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
            self.text(middle_x, middle_y - 0.4 * size, words, size, "ink", "middle", halo=True)
        else:
            self.text(middle_x - 0.4 * size, middle_y, words, size, "ink", "middle", -90, halo=True)

    def svg(self) -> str:
        """The whole file."""
        wide, tall = self.number(self.width), self.number(self.height)
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="frame" width="{wide}" height="{tall}" '
            f'viewBox="0 0 {wide} {tall}" role="img" font-family="{FONTS}">'
        )
        ground = f'<rect width="{wide}" height="{tall}" {self.paint("ground", "none")}/>'
        body = "\n".join([ground, *self.items])
        return f"{head}\n<title>{escape(self.title)}</title>\n<style>{_style()}</style>\n{body}\n</svg>\n"
