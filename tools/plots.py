"""Plots for the documentation: curves with bands and marks over one axis, on light and dark."""

from collections.abc import Sequence
from dataclasses import dataclass

from rotorwright.sheet.ink import Picture

__all__ = ["Axis", "Curve", "Marks", "Panel", "Point", "plot"]

Point = tuple[float, float]

_WIDTH, _LEFT, _RIGHT, _PANEL, _HEAD, _ROW = 480, 56, 14, 190, 28, 17
_INKS, _DASHES = ("line-1", "line-2", "line-3", "line-4"), ("", "7 4", "2 3", "9 3 2 3")


@dataclass(frozen=True)
class Axis:
    """Label with its unit, ends and distance of the ticks."""

    label: str
    low: float
    high: float
    step: float

    @property
    def ticks(self) -> list[float]:
        """Round values from end to end."""
        return [self.low + i * self.step for i in range(round((self.high - self.low) / self.step) + 1)]

    def share(self, value: float) -> float:
        """Place of a value between the ends, 0 to 1."""
        return (value - self.low) / (self.high - self.low)


@dataclass(frozen=True)
class Curve:
    """What the model says; `band` holds x, low, high."""

    name: str
    points: Sequence[Point]
    band: Sequence[tuple[float, float, float]] = ()


@dataclass(frozen=True)
class Marks:
    """What it is held against; `like` is the number of the curve whose colour it takes."""

    name: str
    points: Sequence[Point]
    like: int = 1


@dataclass(frozen=True)
class Panel:
    """Curves and marks over one vertical axis."""

    up: Axis
    curves: Sequence[Curve]
    marks: Sequence[Marks]


def plot(title: str, across: Axis, panels: Sequence[Panel]) -> str:
    """SVG text: panels one below the other, each with its names under it."""
    heights = [_HEAD + _PANEL + 24 + _ROW * (len(p.curves) + len(p.marks)) + 8 for p in panels]
    picture = Picture(_WIDTH, 28 + sum(heights) + 20, title, wide=True)
    picture.text(12, 20, title, 14, bold=True)
    top = 28.0
    for panel, height in zip(panels, heights, strict=True):
        _draw(picture, across, panel, top + _HEAD)
        top += height
    picture.text((_LEFT + _WIDTH - _RIGHT) / 2, top + 12, f"across: {across.label}", 12, "soft", "middle")
    return picture.svg() + "\n"


def _draw(picture: Picture, across: Axis, panel: Panel, top: float) -> None:
    def place(x: float, y: float) -> Point:
        return _LEFT + across.share(x) * (_WIDTH - _LEFT - _RIGHT), top + (1 - panel.up.share(y)) * _PANEL

    picture.text(12, top - 10, panel.up.label, 13)
    for tick in panel.up.ticks:
        (x, y), (end, _) = place(across.low, tick), place(across.high, tick)
        picture.line([(x, y), (end, y)], "line", 0.8)
        picture.text(x - 6, y + 4, f"{tick:.6g}", 12, "soft", "end")
    for tick in across.ticks:
        (x, y), (_, end) = place(tick, panel.up.low), place(tick, panel.up.high)
        picture.line([(x, y), (x, end)], "line", 0.8)
        picture.text(x, y + 16, f"{tick:.6g}", 12, "soft", "middle")
    for i, curve in enumerate(panel.curves):
        if curve.band:
            around = [place(x, high) for x, _, high in curve.band] + [place(x, low) for x, low, _ in curve.band[::-1]]
            picture.shape([around], _INKS[i], opacity=0.16)
        picture.line([place(x, y) for x, y in curve.points], _INKS[i], 2.0, _DASHES[i], curve.name)
    for i, marks in enumerate(panel.marks):
        for point in marks.points:
            _mark(picture, *place(*point), _INKS[marks.like], i)
    _names(picture, panel, top + _PANEL + 24)


def _mark(picture: Picture, x: float, y: float, ink: str, shape: int) -> None:
    if shape % 2 == 0:
        picture.circle(x, y, 3.6, "ground", ink, 1.8)
    else:
        picture.box(x - 3.2, y - 3.2, 6.4, 6.4, "ground", ink, 1.8)


def _names(picture: Picture, panel: Panel, top: float) -> None:
    for i, curve in enumerate(panel.curves):
        y = top + 12 + _ROW * i
        picture.line([(_LEFT, y - 4), (_LEFT + 26, y - 4)], _INKS[i], 2.0, _DASHES[i])
        picture.text(_LEFT + 34, y, curve.name, 12)
    for i, marks in enumerate(panel.marks):
        y = top + 12 + _ROW * (i + len(panel.curves))
        _mark(picture, _LEFT + 13, y - 4, _INKS[marks.like], i)
        picture.text(_LEFT + 34, y, marks.name, 12)
