"""Line charts as SVG: panels over one axis, a band about each line, readable on light and dark and on a phone.

Panels stand one below the other, or, on a page of its own, abreast as long as the page is wide.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rotorwright.frame.export.letters import width_of
from rotorwright.sheet.fold import folded
from rotorwright.sheet.ink import Picture

__all__ = ["Line", "Panel", "Scale", "line_chart"]

_WIDTH, _PANEL, _GAP = 480, 190, 34
_LEFT, _RIGHT, _TOP, _BOTTOM = 58, 14, 54, 46
# Abreast: as wide as the page, letters a little larger for it.
_PAGE, _LARGE = 880, 14.0
# Told apart also without colour: each line has its own dashes.
_INKS = ("line-1", "line-2", "line-3", "line-4")
_DASHES = ("", "7 4", "2 3", "9 3 2 3")
_SIZE, _NAME = 13.0, 17.0


@dataclass(frozen=True, slots=True)
class Line:
    """One line; points without a value are left out. `low` and `high` make a band.

    With `mark` every point stands alone: "dot" filled, "ring" hollow.
    """

    name: str
    x: Sequence[float]
    y: Sequence[float | None]
    low: Sequence[float | None] = ()
    high: Sequence[float | None] = ()
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Panel:
    """Lines over one vertical axis, whose label carries the unit."""

    label: str
    lines: tuple[Line, ...]
    from_zero: bool = True


@dataclass(frozen=True, slots=True)
class _Field:
    """Where one panel is drawn: its lower left corner, its size, and the size of its letters."""

    picture: Picture
    left: float
    top: float
    right: float
    size: float

    @property
    def base(self) -> float:
        return self.top + _PANEL

    def across(self, panels: Sequence[Panel]) -> "Scale":
        """The horizontal scale that all panels share."""
        xs = [x for panel in panels for line in panel.lines for x in line.x]
        return Scale.over(xs or [0.0, 1.0], self.left, self.right, zero=False)


def line_chart(
    title: str,
    x_label: str,
    panels: Sequence[Panel],
    note: str = "",
    marks: Mapping[str, float] | None = None,
    abreast: bool = False,
) -> str:
    """SVG text of panels over a shared horizontal axis; `marks` are places on it, with a word.

    abreast: whether panels stand side by side where the page is wide enough for that
    """
    stacked = _stacked(title, x_label, panels, note, marks or {})
    if not abreast or len(panels) < 2:
        return stacked.svg() + "\n"
    return folded(_abreast(title, x_label, panels, note, marks or {}), stacked) + "\n"


def _stacked(title: str, x_label: str, panels: Sequence[Panel], note: str, marks: Mapping[str, float]) -> Picture:
    """Panels one below the other; only the lowest tells the numbers of the axis."""
    base = _TOP + len(panels) * _PANEL + (len(panels) - 1) * _GAP
    picture = Picture(_WIDTH, base + _BOTTOM + (18 if note else 0), title, wide=True)
    picture.text(_LEFT, 20, title, 15, bold=True)
    for index, panel in enumerate(panels):
        field = _Field(picture, _LEFT, _TOP + index * (_PANEL + _GAP), _WIDTH - _RIGHT, _SIZE)
        across = field.across(panels)
        _panel(field, panel, across, last=index == len(panels) - 1)
        _marks(field, across, marks, words=index == 0)
    picture.text((_LEFT + _WIDTH - _RIGHT) / 2, base + 36, x_label, _SIZE, anchor="middle")
    if note:
        picture.text(_LEFT, picture.height - 6, note, _SIZE, "soft")
    return picture


def _abreast(title: str, x_label: str, panels: Sequence[Panel], note: str, marks: Mapping[str, float]) -> Picture:
    """Panels side by side, each with its own numbers."""
    picture = Picture(_PAGE, _TOP + _PANEL + _BOTTOM, title, wide=True)
    picture.text(_LEFT, 20, title, 15, bold=True)
    picture.text(_PAGE - _RIGHT, 20, note, _LARGE, "soft", "end")
    each = _PAGE / len(panels)
    for index, panel in enumerate(panels):
        field = _Field(picture, index * each + _LEFT, _TOP, (index + 1) * each - _RIGHT, _LARGE)
        across = field.across(panels)
        _panel(field, panel, across, last=True)
        _marks(field, across, marks, words=index == 0)
        picture.text((field.left + field.right) / 2, field.base + 38, x_label, _LARGE, anchor="middle")
    return picture


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


def _marks(field: _Field, across: Scale, marks: Mapping[str, float], words: bool) -> None:
    """Places on the horizontal axis: thin uprights with their words below, clear of the panel's own label."""
    for word, x in marks.items():
        if not across.low <= x <= across.high:
            continue
        at = across.at(x)
        field.picture.line([(at, field.top), (at, field.base)], "soft", 1.2, "4 4")
        if words and word:
            anchor = "start" if at < field.left + 0.75 * (field.right - field.left) else "end"
            field.picture.text(at, field.base - 6, f" {word}", field.size, "soft", anchor)


def _panel(field: _Field, panel: Panel, across: Scale, last: bool) -> None:
    picture, left, right, size = field.picture, field.left, field.right, field.size
    known = [v for line in panel.lines for row in (line.y, line.low, line.high) for v in row if v is not None]
    up = Scale.over(known or [0.0, 1.0], field.base, field.top, panel.from_zero)
    picture.text(left, field.top - 8, panel.label, size)
    for tick in up.ticks:
        y = up.at(tick)
        picture.line([(left, y), (right, y)], "line", 0.8)
        picture.text(left - 6, y + 4, f"{tick:.6g}", size, "soft", "end")
    labels = [f"{tick:.6g}" for tick in across.ticks]
    every = 1 + int(sum(width_of(label, size) + 6.0 for label in labels) > right - left + _LEFT)
    for index, (tick, label) in enumerate(zip(across.ticks, labels, strict=True)):
        x = across.at(tick)
        picture.line([(x, field.top), (x, field.base)], "line", 0.8)
        if last and index % every == 0:  # one at the right edge moves in as far as it is long
            inside = right + _RIGHT - 0.32 * size * len(label)
            picture.text(min(x, inside), field.base + 18, label, size, "soft", "middle")
    picture.line([(left, field.top), (left, field.base), (right, field.base)], "soft", 1.0)
    for index, line in enumerate(panel.lines):
        _line(picture, line, across, up, index)
    if len(panel.lines) > 1:
        _names(field, panel.lines, _freest(field, panel, across, up))


def _freest(field: _Field, panel: Panel, across: Scale, up: Scale) -> tuple[float, float]:
    """Left upper corner of the names: in the corner of the panel that the lines leave most room in."""
    middle = (across.low + across.high) / 2
    tall = _NAME * len(panel.lines) + 8
    room = max(len(line.name) for line in panel.lines) * 7.5 + 48
    free = {}
    for left in (True, False):
        drawn = [
            up.at(y)
            for line in panel.lines
            for values in (line.y, line.low, line.high)
            for x, y in zip(line.x, values, strict=False)
            if y is not None and (x < middle) == left
        ]
        x = field.left + 10 if left else max(field.right - room, field.left + 10)
        free[x, field.top] = min(drawn, default=field.base) - field.top
        free[x, field.base - tall] = field.base - max(drawn, default=field.top)
    return max(free, key=lambda corner: free[corner])


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
    if line.mark:
        for x, y in _points(points, across, up):
            _point(picture, x, y, ink, line.mark)
    elif points:
        picture.line(_points(points, across, up), ink, 2.0, dash, line.name)


def _point(picture: Picture, x: float, y: float, ink: str, mark: str) -> None:
    if mark == "dot":
        picture.box(x - 2.6, y - 2.6, 5.2, 5.2, ink, round_=2.6)
    else:
        picture.box(x - 4.0, y - 4.0, 8.0, 8.0, stroke=ink, width=1.6, round_=4.0)


def _names(field: _Field, lines: Sequence[Line], corner: tuple[float, float]) -> None:
    left, top = corner
    for index, line in enumerate(lines):
        y = top + 16 + _NAME * index
        if line.mark:
            _point(field.picture, left + 13, y - 4, _INKS[index % 4], line.mark)
        else:
            field.picture.line([(left, y - 4), (left + 26, y - 4)], _INKS[index % 4], 2.0, _DASHES[index % 4])
        field.picture.text(left + 32, y, line.name, field.size)


def _points(points: Sequence[tuple[float, float]], across: Scale, up: Scale) -> list[tuple[float, float]]:
    return [(across.at(x), up.at(y)) for x, y in points]
