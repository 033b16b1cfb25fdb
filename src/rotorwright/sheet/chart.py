"""Line charts as SVG: panels over one axis, a band about each line, readable on light and dark and on a phone."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rotorwright.sheet.ink import Picture

__all__ = ["Line", "Panel", "Scale", "line_chart"]

_WIDTH, _PANEL, _GAP = 480, 190, 34
_LEFT, _RIGHT, _TOP, _BOTTOM = 58, 14, 54, 46
# Told apart also without colour: each line has its own dashes.
_INKS = ("line-1", "line-2", "line-3", "line-4")
_DASHES = ("", "7 4", "2 3", "9 3 2 3")
_SIZE = 13.0


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


def line_chart(
    title: str, x_label: str, panels: Sequence[Panel], note: str = "", marks: Mapping[str, float] | None = None
) -> str:
    """SVG text of panels one below the other over a shared horizontal axis; `marks` are places on it, with a word."""
    xs = [x for panel in panels for line in panel.lines for x in line.x]
    across = Scale.over(xs or [0.0, 1.0], _LEFT, _WIDTH - _RIGHT, zero=False)
    height = _TOP + len(panels) * _PANEL + (len(panels) - 1) * _GAP + _BOTTOM + (18 if note else 0)
    picture = Picture(_WIDTH, height, title, wide=True)
    picture.text(_LEFT, 20, title, 15, bold=True)
    for index, panel in enumerate(panels):
        top = _TOP + index * (_PANEL + _GAP)
        _panel(picture, panel, across, top, last=index == len(panels) - 1)
        for word, x in (marks or {}).items():
            if across.low <= x <= across.high:
                _mark(picture, word if index == 0 else "", across, x, top)
    base = _TOP + len(panels) * _PANEL + (len(panels) - 1) * _GAP
    picture.text((_LEFT + _WIDTH - _RIGHT) / 2, base + 36, x_label, _SIZE, anchor="middle")
    if note:
        picture.text(_LEFT, height - 6, note, _SIZE, "soft")
    return picture.svg() + "\n"


@dataclass(frozen=True, slots=True)
class Scale:
    """Linear scale with round ticks."""

    low: float
    high: float
    step: float
    start: float
    end: float

    @classmethod
    def over(cls, values: Sequence[float], start: float, end: float, zero: bool) -> "Scale":
        """A scale of about five steps that holds all values, and zero if asked, drawn from `start` to `end`."""
        low, high = min(values), max(values)
        low, high = (min(low, 0.0), max(high, 0.0)) if zero else (low, high)
        if high <= low:
            low, high = low - 0.5, high + 0.5
        raw = (high - low) / 5
        power = 10.0 ** math.floor(math.log10(raw))
        step = next(m * power for m in (1, 2, 2.5, 5, 10) if m * power >= raw * 0.999)
        return cls(math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step, step, start, end)

    def at(self, value: float) -> float:
        """Where a value is drawn."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    @property
    def ticks(self) -> list[float]:
        """The round values."""
        return [self.low + i * self.step for i in range(round((self.high - self.low) / self.step) + 1)]


def _mark(picture: Picture, word: str, across: Scale, x: float, top: float) -> None:
    """A place on the horizontal axis: a thin upright with its word above, clear of the panel's own label."""
    at = across.at(x)
    picture.line([(at, top), (at, top + _PANEL)], "soft", 1.2, "4 4")
    if word:
        picture.text(at, top + _PANEL - 6, f" {word}", _SIZE, "soft", "start" if at < 0.8 * _WIDTH else "end")


def _panel(picture: Picture, panel: Panel, across: Scale, top: float, last: bool) -> None:
    known = [v for line in panel.lines for row in (line.y, line.low, line.high) for v in row if v is not None]
    up = Scale.over(known or [0.0, 1.0], top + _PANEL, top, panel.from_zero)
    picture.text(_LEFT, top - 8, panel.label, _SIZE)
    for tick in up.ticks:
        y = up.at(tick)
        picture.line([(_LEFT, y), (_WIDTH - _RIGHT, y)], "line", 0.8)
        picture.text(_LEFT - 6, y + 4, f"{tick:.6g}", _SIZE, "soft", "end")
    for tick in across.ticks:
        x = across.at(tick)
        picture.line([(x, top), (x, top + _PANEL)], "line", 0.8)
        if last:
            label = f"{tick:.6g}"  # one at the right edge moves in as far as it is long
            picture.text(min(x, _WIDTH - 4.2 * len(label)), top + _PANEL + 18, label, _SIZE, "soft", "middle")
    picture.line([(_LEFT, top), (_LEFT, top + _PANEL), (_WIDTH - _RIGHT, top + _PANEL)], "soft", 1.0)
    for index, line in enumerate(panel.lines):
        _line(picture, line, across, up, index)
    if len(panel.lines) > 1:
        _names(picture, panel.lines, top, _freer_side(panel, across, up))


def _freer_side(panel: Panel, across: Scale, up: Scale) -> float:
    """Where the names begin: left, unless what is drawn reaches higher there than on the right."""
    middle = (across.low + across.high) / 2
    highest = {True: math.inf, False: math.inf}
    for line in panel.lines:
        for x, y in zip(line.x, line.high or line.y, strict=True):
            if y is not None:
                highest[x < middle] = min(highest[x < middle], up.at(y))
    room = max(len(line.name) for line in panel.lines) * 7.5 + 48
    return _LEFT + 10 if highest[True] >= highest[False] else max(_WIDTH - _RIGHT - room, _LEFT + 10)


def _line(picture: Picture, line: Line, across: Scale, up: Scale, index: int) -> None:
    ink, dash = _INKS[index % 4], _DASHES[index % 4]
    if line.low and line.high:
        band = [
            (x, a, b) for x, a, b in zip(line.x, line.low, line.high, strict=True) if a is not None and b is not None
        ]
        around = [(x, b) for x, _, b in band] + [(x, a) for x, a, _ in reversed(band)]
        if len(band) > 1:
            picture.shape([_points(around, across, up)], ink, opacity=0.18)
    points = [(x, y) for x, y in zip(line.x, line.y, strict=True) if y is not None]
    if points:
        picture.line(_points(points, across, up), ink, 2.0, dash, line.name)


def _names(picture: Picture, lines: Sequence[Line], top: float, left: float) -> None:
    for index, line in enumerate(lines):
        y = top + 16 + 17 * index
        picture.line([(left, y - 4), (left + 26, y - 4)], _INKS[index % 4], 2.0, _DASHES[index % 4])
        picture.text(left + 32, y, line.name, _SIZE)


def _points(points: Sequence[tuple[float, float]], across: Scale, up: Scale) -> list[tuple[float, float]]:
    return [(across.at(x), up.at(y)) for x, y in points]
