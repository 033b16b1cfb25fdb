"""Colours of the sheet and its pictures: every colour is a word, with a light and a dark face.

Hues are those of Okabe and Ito (Color Universal Design, 2008), which people with any common colour vision tell apart;
no figure says anything by colour alone.
"""

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from typing import ClassVar

from rotorwright.frame.export.canvas import FONTS, Canvas, number

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


def group_of(kind: str, role: str = "") -> str:
    """What a part is for: a word of GROUPS."""
    return _OF_ROLE.get(role) or _OF_KIND.get(kind, "frame")


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


class Picture(Canvas):
    """A picture of the sheet: the writer of frames with the sheet's colours, shapes, boxes and named lines."""

    light: ClassVar[Mapping[str, str]] = LIGHT
    digits: ClassVar[int] = 2

    def __init__(self, width: float, height: float, title: str, wide: bool = False) -> None:
        """`wide` fills the width there is instead of keeping its own."""
        super().__init__(width, height, title)
        self.wide = wide

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
        self.items.append(f'<path d="{way}" {self.paint(fill, stroke)}{edge}{extra}/>')

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
        paint = f'{self.paint("none", stroke)} stroke-width="{number(width)}"{dashes}'
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
            f"{self.paint(fill, stroke)}{edge}{extra}/>"
        )

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
