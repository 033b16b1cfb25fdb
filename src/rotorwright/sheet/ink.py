"""Colours of the sheet and a small SVG writer: every colour is a word, with a light and a dark face.

Hues are those of Okabe and Ito (Color Universal Design, 2008), which people with any common colour vision tell apart;
no figure says anything by colour alone.
"""

from collections.abc import Iterable, Sequence
from html import escape

__all__ = ["DARK", "FONTS", "GROUPS", "LIGHT", "Picture", "group_of", "number", "shaded"]

_NEUTRAL_LIGHT = {"ground": "#ffffff", "ink": "#1c2430", "soft": "#566273", "line": "#c8d0d9", "panel": "#f3f5f8"}
_NEUTRAL_DARK = {"ground": "#14181d", "ink": "#e7ecf2", "soft": "#a3b0bf", "line": "#3a4450", "panel": "#1c222a"}

LIGHT = {
    **_NEUTRAL_LIGHT,
    "accent": "#0072b2",
    "warn": "#b84a00",
    "thrust": "#0072b2",
    "power": "#e69f00",
    "steering": "#009e73",
    "seeing": "#cc79a7",
    "frame": "#8b97a5",
    "line-1": "#0072b2",
    "line-2": "#d55e00",
    "line-3": "#009e73",
    "line-4": "#cc79a7",
}
"""Light face of every colour word: neutrals, the accent, and the groups of parts."""

DARK = {
    **_NEUTRAL_DARK,
    "accent": "#56b4e9",
    "warn": "#f0874a",
    "thrust": "#3d9bd1",
    "power": "#e69f00",
    "steering": "#1fb489",
    "seeing": "#d78fb5",
    "frame": "#8b97a5",
    "line-1": "#56b4e9",
    "line-2": "#f0874a",
    "line-3": "#1fb489",
    "line-4": "#d78fb5",
}
"""Dark face of every colour word."""

GROUPS = {
    "thrust": "motors and propellers",
    "power": "pack and power",
    "steering": "steering",
    "seeing": "seeing",
    "frame": "frame and fastenings",
}
"""What the parts of a craft are for, by the word of their colour."""

_OF_KIND = {
    "motor": "thrust",
    "propeller": "thrust",
    "speed-controller": "power",
    "battery": "power",
    "regulator": "power",
    "capacitor": "power",
    "connector": "power",
    "wire": "power",
    "flight-controller": "steering",
    "receiver": "steering",
    "satellite-positioning": "steering",
    "buzzer": "steering",
    "light": "steering",
    "antenna": "seeing",
    "pigtail": "seeing",
    "camera": "seeing",
    "recording-camera": "seeing",
    "video-transmitter": "seeing",
}
_OF_ROLE = {"control-antenna": "steering", "propeller-nut": "thrust", "battery-grip": "power", "strap": "power"}

_THIN = 0.5

FONTS = "system-ui, 'Segoe UI', Roboto, 'Liberation Sans', 'DejaVu Sans', sans-serif"
"""Families of letters in pictures, whichever is at hand."""


def group_of(kind: str, role: str = "") -> str:
    """What a part is for: a word of GROUPS."""
    return _OF_ROLE.get(role) or _OF_KIND.get(kind, "frame")


def number(value: float) -> str:
    """A coordinate in hundredths, without idle zeros."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _way(points: Iterable[Sequence[float]]) -> str:
    return "L".join(f"{x:.1f} {y:.1f}" for x, y in points).replace(".0 ", " ").replace(".0L", "L")


def shaded(word: str, light: float) -> str:
    """A colour of the light face made darker (`light` below 1) or paler (above, up to 2)."""
    parts = [int(LIGHT[word][i : i + 2], 16) for i in (1, 3, 5)]
    mixed = [c * light if light <= 1 else c + (255 - c) * (light - 1) for c in parts]
    return "#" + "".join(f"{round(min(max(c, 0), 255)):02x}" for c in mixed)


def _style(items: Sequence[str]) -> str:
    """Dark colours where the reader asks for them; what knows no style sheet keeps the light ones."""
    text = "".join(items)
    rules = [
        f"svg.drawn .{kind}-{word}{{{key}:{colour}}}"
        for word, colour in DARK.items()
        for kind, key in (("f", "fill"), ("s", "stroke"))
        if f"{kind}-{word}" in text
    ]
    return f"@media(prefers-color-scheme:dark){{{''.join(rules)}}}"


def _paint(fill: str, stroke: str) -> str:
    """Attributes for fill and edge: words of the palette, colours that stay as they are, or 'none'."""
    classes = " ".join(f"{k}-{word}" for k, word in (("f", fill), ("s", stroke)) if word in LIGHT)
    colours = f'fill="{LIGHT.get(fill, fill)}"' + (
        f' stroke="{LIGHT.get(stroke, stroke)}"' if stroke != "none" else ""
    )
    return colours + (f' class="{classes}"' if classes else "")


class Picture:
    """A drawing of fixed size in its own units, y downwards."""

    def __init__(self, width: float, height: float, title: str, wide: bool = False) -> None:
        """`wide` fills the width there is instead of keeping its own."""
        self.width, self.height, self.title, self.wide = width, height, title, wide
        self.items: list[str] = []

    def shape(
        self,
        rings: Iterable[Iterable[Sequence[float]]],
        fill: str = "none",
        stroke: str = "none",
        width: float = 1.0,
        opacity: float = 1.0,
        dash: str = "",
    ) -> None:
        """Closed rings filled even-odd."""
        way = "".join(f"M{_way(ring)}Z" for ring in rings)
        extra = f' fill-opacity="{number(opacity)}"' if opacity < 1 else ""
        extra += f' stroke-dasharray="{dash}"' if dash else ""
        edge = f' stroke-width="{number(width)}"' if stroke != "none" and width != _THIN else ""
        self.items.append(f'<path d="{way}" {_paint(fill, stroke)}{edge}{extra}/>')

    def line(
        self,
        points: Iterable[Sequence[float]],
        stroke: str = "ink",
        width: float = 1.0,
        dash: str = "",
        name: str = "",
    ) -> None:
        """An open line; a reader may ask for its name."""
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        paint = f'{_paint("none", stroke)} stroke-width="{number(width)}"{dashes}'
        end = f"><title>{escape(name)}</title></path>" if name else "/>"
        self.items.append(f'<path d="M{_way(points)}" {paint}{end}')

    def box(
        self,
        x: float,
        y: float,
        wide: float,
        tall: float,
        fill: str = "none",
        stroke: str = "none",
        width: float = 1.0,
        round_: float = 0.0,
        opacity: float = 1.0,
    ) -> None:
        """A rectangle, with rounded corners if asked."""
        extra = f' rx="{number(round_)}"' if round_ else ""
        extra += f' fill-opacity="{number(opacity)}"' if opacity < 1 else ""
        edge = f' stroke-width="{number(width)}"' if stroke != "none" else ""
        self.items.append(
            f'<rect x="{number(x)}" y="{number(y)}" width="{number(wide)}" height="{number(tall)}" '
            f"{_paint(fill, stroke)}{edge}{extra}/>"
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
        extra = f' fill-opacity="{number(opacity)}"' if opacity < 1 else ""
        extra += f' stroke-dasharray="{dash}"' if dash else ""
        edge = f' stroke-width="{number(width)}"' if stroke != "none" else ""
        self.items.append(
            f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius)}" {_paint(fill, stroke)}{edge}{extra}/>'
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: float = 12.0,
        fill: str = "ink",
        anchor: str = "start",
        turn: float = 0.0,
        bold: bool = False,
        halo: bool = False,
    ) -> None:
        """Words at a point; `halo` lays the ground's colour round them."""
        extra = f' transform="rotate({number(turn)} {number(x)} {number(y)})"' if turn else ""
        extra += ' font-weight="600"' if bold else ""
        where = f'x="{number(x)}" y="{number(y)}" font-size="{number(size)}" text-anchor="{anchor}"{extra}'
        if halo:  # under the words, since not every reader can paint a stroke below its own fill
            wide = f'stroke-width="{number(size / 3.5)}" stroke-linejoin="round" aria-hidden="true"'
            self.items.append(f"<text {where} {_paint('ground', 'ground')} {wide}>{escape(words)}</text>")
        self.items.append(f"<text {where} {_paint(fill, 'none')}>{escape(words)}</text>")

    def dimension(self, a: Sequence[float], b: Sequence[float], words: str, size: float = 12.0) -> None:
        """A dimension line between two points on a level or an upright, ticked at its ends, its words on it."""
        (x0, y0), (x1, y1) = a, b
        self.line([a, b], "soft", 0.8)
        for x, y in (a, b):
            self.line([(x - 3, y + 3), (x + 3, y - 3)], "soft", 1.1)
        x, y = (x0 + x1) / 2, (y0 + y1) / 2
        if abs(y1 - y0) < abs(x1 - x0):
            self.text(x, y - 0.4 * size, words, size, "ink", "middle", halo=True)
        else:
            self.text(x - 0.4 * size, y, words, size, "ink", "middle", -90, halo=True)

    def svg(self) -> str:
        """The whole element; its style touches nothing outside itself."""
        wide, tall = number(self.width), number(self.height)
        size = 'width="100%"' if self.wide else f'width="{wide}" height="{tall}"'
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="drawn" viewBox="0 0 {wide} {tall}" {size} role="img" '
            f'aria-label="{escape(self.title)}" font-family="{FONTS}" fill-rule="evenodd" stroke-linejoin="round" '
            f'stroke-width="{number(_THIN)}">'
        )
        style = f"<style>{_style(self.items)}</style>" if any('class="' in item for item in self.items) else ""
        return f"{head}<title>{escape(self.title)}</title>{style}\n" + "\n".join(self.items) + "\n</svg>"
