"""Line charts as SVG: panels over one axis, a band about each line, readable on light and dark and on a phone."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

__all__ = ["Line", "Panel", "line_chart"]

_WIDTH, _PANEL, _GAP = 480, 190, 34
_LEFT, _RIGHT, _TOP, _BOTTOM = 58, 14, 54, 46
# Told apart also without colour: each line has its own dashes.
_INKS = ("#0a7d8c", "#c2571a", "#6b58b8", "#5c8a1e")
_DASHES = ("", "7 4", "2 3", "9 3 2 3")
_STYLE = (
    "svg{color-scheme:light dark;font:13px system-ui,sans-serif;background:#fff;color:#1c1c1c}"
    "text{fill:currentColor}.grid{stroke:currentColor;stroke-opacity:.16}.axis{stroke:currentColor;stroke-opacity:.7}"
    ".title{font-weight:600;font-size:15px}"
    "@media(prefers-color-scheme:dark){svg{background:#161616;color:#ececec}}"
)


@dataclass(frozen=True, slots=True)
class Line:
    """One line; points without a value are left out. `low` and `high` make a band."""

    name: str
    x: Sequence[float]
    y: Sequence[float | None]
    low: Sequence[float | None] = ()
    high: Sequence[float | None] = ()


@dataclass(frozen=True, slots=True)
class Panel:
    """Lines over one vertical axis, whose label carries the unit."""

    label: str
    lines: tuple[Line, ...]
    from_zero: bool = True


def line_chart(title: str, x_label: str, panels: Sequence[Panel], note: str = "") -> str:
    """SVG text of panels one below the other over a shared horizontal axis."""
    xs = [x for panel in panels for line in panel.lines for x in line.x]
    across = _Scale.over(xs or [0.0, 1.0], _LEFT, _WIDTH - _RIGHT, zero=False)
    height = _TOP + len(panels) * _PANEL + (len(panels) - 1) * _GAP + _BOTTOM + (18 if note else 0)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {height}" width="100%" role="img" '
        f'aria-label="{escape(title)}">',
        f"<title>{escape(title)}</title><style>{_STYLE}</style>",
        _text(_LEFT, 20, title, "title"),
    ]
    for index, panel in enumerate(panels):
        top = _TOP + index * (_PANEL + _GAP)
        parts += _panel(panel, across, top, last=index == len(panels) - 1)
    base = _TOP + len(panels) * _PANEL + (len(panels) - 1) * _GAP
    parts.append(_text((_LEFT + _WIDTH - _RIGHT) / 2, base + 36, x_label, anchor="middle"))
    if note:
        parts.append(_text(_LEFT, height - 6, note))
    return "\n".join([*parts, "</svg>"]) + "\n"


@dataclass(frozen=True, slots=True)
class _Scale:
    """Linear scale with round ticks."""

    low: float
    high: float
    step: float
    start: float
    end: float

    @classmethod
    def over(cls, values: Sequence[float], start: float, end: float, zero: bool) -> "_Scale":
        low, high = min(values), max(values)
        low, high = (min(low, 0.0), max(high, 0.0)) if zero else (low, high)
        if high <= low:
            low, high = low - 0.5, high + 0.5
        raw = (high - low) / 5
        power = 10.0 ** math.floor(math.log10(raw))
        step = next(m * power for m in (1, 2, 2.5, 5, 10) if m * power >= raw * 0.999)
        return cls(math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step, step, start, end)

    def at(self, value: float) -> float:
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    @property
    def ticks(self) -> list[float]:
        return [self.low + i * self.step for i in range(round((self.high - self.low) / self.step) + 1)]


def _panel(panel: Panel, across: _Scale, top: float, last: bool) -> list[str]:
    known = [v for line in panel.lines for row in (line.y, line.low, line.high) for v in row if v is not None]
    up = _Scale.over(known or [0.0, 1.0], top + _PANEL, top, panel.from_zero)
    parts = [_text(_LEFT, top - 8, panel.label)]
    for tick in up.ticks:
        y = up.at(tick)
        parts.append(f'<line class="grid" x1="{_LEFT}" x2="{_WIDTH - _RIGHT}" y1="{y:.1f}" y2="{y:.1f}"/>')
        parts.append(_text(_LEFT - 6, y + 4, f"{tick:.6g}", anchor="end"))
    for tick in across.ticks:
        x = across.at(tick)
        parts.append(f'<line class="grid" x1="{x:.1f}" x2="{x:.1f}" y1="{top}" y2="{top + _PANEL}"/>')
        if last:
            parts.append(_text(x, top + _PANEL + 18, f"{tick:.6g}", anchor="middle"))
    parts.append(f'<path class="axis" fill="none" d="M{_LEFT} {top}V{top + _PANEL}H{_WIDTH - _RIGHT}"/>')
    for index, line in enumerate(panel.lines):
        parts += _line(line, across, up, index)
    if len(panel.lines) > 1:
        parts += _names(panel.lines, top, _freer_side(panel, across, up))
    return parts


def _freer_side(panel: Panel, across: _Scale, up: _Scale) -> float:
    """Where the names begin: left, unless what is drawn reaches higher there than on the right."""
    middle = (across.low + across.high) / 2
    highest = {True: math.inf, False: math.inf}
    for line in panel.lines:
        for x, y in zip(line.x, line.high or line.y, strict=True):
            if y is not None:
                highest[x < middle] = min(highest[x < middle], up.at(y))
    room = max(len(line.name) for line in panel.lines) * 7.5 + 48
    return _LEFT + 10 if highest[True] >= highest[False] else max(_WIDTH - _RIGHT - room, _LEFT + 10)


def _line(line: Line, across: _Scale, up: _Scale, index: int) -> list[str]:
    ink, dash = _INKS[index % 4], _DASHES[index % 4]
    parts = []
    if line.low and line.high:
        band = [
            (x, a, b) for x, a, b in zip(line.x, line.low, line.high, strict=True) if a is not None and b is not None
        ]
        around = [(x, b) for x, _, b in band] + [(x, a) for x, a, _ in reversed(band)]
        if len(band) > 1:
            parts.append(f'<path fill="{ink}" fill-opacity=".18" d="{_path(around, across, up)}Z"/>')
    points = [(x, y) for x, y in zip(line.x, line.y, strict=True) if y is not None]
    if points:
        drawn = f' stroke-dasharray="{dash}"' if dash else ""
        parts.append(
            f'<path fill="none" stroke="{ink}" stroke-width="2"{drawn} d="{_path(points, across, up)}">'
            f"<title>{escape(line.name)}</title></path>"
        )
    return parts


def _names(lines: Sequence[Line], top: float, left: float) -> list[str]:
    parts = []
    for index, line in enumerate(lines):
        y = top + 16 + 17 * index
        dash = f' stroke-dasharray="{_DASHES[index % 4]}"' if index % 4 else ""
        parts.append(f'<path stroke="{_INKS[index % 4]}" stroke-width="2"{dash} d="M{left:.0f} {y - 4}h26"/>')
        parts.append(_text(left + 32, y, line.name))
    return parts


def _path(points: Sequence[tuple[float, float]], across: _Scale, up: _Scale) -> str:
    return "M" + "L".join(f"{across.at(x):.1f} {up.at(y):.1f}" for x, y in points)


def _text(x: float, y: float, text: str, style: str = "", anchor: str = "start") -> str:
    kind = f' class="{style}"' if style else ""
    return f'<text{kind} x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(text)}</text>'
