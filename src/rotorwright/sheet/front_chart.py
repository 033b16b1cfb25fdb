"""The front of a search as a picture: its goals two at a time, with what is near it and the craft as it is."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations

from rotorwright.search.answer import Answer, FrontCraft, NearCraft
from rotorwright.search.measures import MEASURES
from rotorwright.sheet.chart import Scale
from rotorwright.sheet.ink import Picture

__all__ = ["front_chart"]

_WIDTH, _LEFT, _RIGHT, _GAP = 480, 58, 16, 84
_HEAD, _FOOT = 112, 48
_TALL, _LOW = 320, 220
_SIZE = 13.0
_DOT, _RING, _MARK = 3.0, 2.6, 6.5
# From this many goals on the panels stand in two columns.
_MANY = 4

Row = FrontCraft | NearCraft


def front_chart(answer: Answer) -> str:
    """SVG text of a front: dots what nothing beats, rings what may belong to it, a diamond the craft as it is.

    Goals are drawn two at a time, each pair in a panel; points that fall on one another are drawn once.
    """
    pairs = list(combinations(answer.goals, 2))
    columns = 2 if len(answer.goals) >= _MANY else 1
    lines = -(-len(pairs) // columns)
    tall = _TALL if len(pairs) == 1 else _LOW
    height = _HEAD + lines * tall + (lines - 1) * _GAP + _FOOT
    count = f"{len(answer.front):,} craft of {answer.combinations:,} combinations are beaten by no other"
    picture = Picture(_WIDTH * columns, height, f"{answer.craft}: {count}", wide=True)
    picture.box(0, 0, picture.width, picture.height, "ground")
    picture.text(_LEFT, 22, answer.craft, 15, bold=True)
    picture.text(_LEFT, 41, count, _SIZE, "soft")
    _legend(picture, answer)
    scales = {name: _values(answer, name) for name in answer.goals}
    for k, (across, up) in enumerate(pairs):
        left = _WIDTH * (k % columns) + _LEFT
        top = _HEAD + (k // columns) * (tall + _GAP)
        _Panel(picture, answer, across, up, scales, left, top, tall).draw()
    return picture.svg() + "\n"


def _values(answer: Answer, name: str) -> list[float]:
    """All values of a goal in the unit people use."""
    rows: list[Row] = [*answer.front, *answer.near]
    found = [row.values[name] for row in rows]
    present = answer.present[name]
    return [MEASURES[name].factor * value for value in (*found, *([] if present is None else [present]))]


def _legend(picture: Picture, answer: Answer) -> None:
    x, y = float(_LEFT), 62.0
    for drawn, words in (
        (_dot, "nothing beats it"),
        (_ring if answer.near else None, f"may belong to it ({len(answer.near):,})"),
        (_diamond if _is_there(answer) else None, "the craft now"),
    ):
        if drawn is not None:
            drawn(picture, x + 4, y - 4)
            picture.text(x + 14, y, words, _SIZE)
            x += 30 + 6.6 * len(words)


def _is_there(answer: Answer) -> bool:
    return sum(value is not None for value in answer.present.values()) > 1


@dataclass(frozen=True)
class _Panel:
    """Two goals against each other."""

    picture: Picture
    answer: Answer
    across: str
    up: str
    values: dict[str, list[float]]
    left: float
    top: float
    tall: float

    def draw(self) -> None:
        """Axes, then what is near, then the front, then the craft as it is."""
        right, base = self.left + _WIDTH - _LEFT - _RIGHT, self.top + self.tall
        x = Scale.over(self.values[self.across] or [0.0, 1.0], self.left, right, zero=False)
        y = Scale.over(self.values[self.up] or [0.0, 1.0], base, self.top, zero=False)
        self._axes(x, y, right, base)
        for rows, draw in ((self.answer.near, _ring), (self.answer.front, _dot)):
            for at in self._places(rows, x, y):
                draw(self.picture, *at)
        present = [self.answer.present[name] for name in (self.across, self.up)]
        if present[0] is not None and present[1] is not None:
            _diamond(self.picture, x.at(self._shown(self.across, present[0])), y.at(self._shown(self.up, present[1])))

    def _axes(self, x: Scale, y: Scale, right: float, base: float) -> None:
        for tick in x.ticks:
            self.picture.line([(x.at(tick), self.top), (x.at(tick), base)], "line", 0.8)
            self.picture.text(x.at(tick), base + 17, f"{tick:.6g}", _SIZE, "soft", "middle")
        for tick in y.ticks:
            self.picture.line([(self.left, y.at(tick)), (right, y.at(tick))], "line", 0.8)
            self.picture.text(self.left - 6, y.at(tick) + 4, f"{tick:.6g}", _SIZE, "soft", "end")
        self.picture.line([(self.left, self.top), (self.left, base), (right, base)], "soft", 1.0)
        middle = (self.left + right) / 2
        self.picture.text(middle, base + 36, self._label(self.across), _SIZE, anchor="middle")
        self.picture.text(self.left, self.top - 10, self._label(self.up), _SIZE)

    def _label(self, name: str) -> str:
        measure = MEASURES[name]
        unit = f" [{measure.shown}]" if measure.shown else ""
        return f"{measure.words}{unit}, {self.answer.goals[name]} is wanted"

    def _shown(self, name: str, value: float) -> float:
        return value * MEASURES[name].factor

    def _places(self, rows: Sequence[Row], x: Scale, y: Scale) -> Iterable[tuple[float, float]]:
        """Where the rows are drawn, each place once, to half a unit."""
        places = (
            (x.at(self._shown(self.across, row.values[self.across])), y.at(self._shown(self.up, row.values[self.up])))
            for row in rows
        )
        return dict.fromkeys((round(2 * a) / 2, round(2 * b) / 2) for a, b in places)


def _dot(picture: Picture, x: float, y: float) -> None:
    picture.circle(x, y, _DOT, "accent", "ground", 0.6)


def _ring(picture: Picture, x: float, y: float) -> None:
    picture.circle(x, y, _RING, "none", "frame", 0.9)


def _diamond(picture: Picture, x: float, y: float) -> None:
    ring = [(x, y - _MARK), (x + _MARK, y), (x, y + _MARK), (x - _MARK, y)]
    picture.shape([ring], "warn", "ground", 1.2)
