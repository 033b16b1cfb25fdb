"""What follows from varied numbers as a picture: curves with bands over one number, maps over two."""

import statistics

from rotorwright.predict.result import Prediction
from rotorwright.search.measures import MEASURES
from rotorwright.search.sweep import Sweep, SweepPoint
from rotorwright.sheet.chart import Line, Panel, line_chart
from rotorwright.sheet.map_chart import Cell, Map, map_chart
from rotorwright.sheet.spoken_units import SPOKEN
from rotorwright.sheet.words import nominal
from rotorwright.units import split_key

__all__ = ["axis_words", "half_widths", "sweep_picture", "sweep_verdict"]


def axis_words(key: str) -> tuple[str, str]:
    """A key such as `propellers.pitch_in` in words and unit: `propellers pitch`, `in`."""
    name, _, field = key.partition(".")
    stem, unit = next(((stem, SPOKEN[unit.suffix]) for stem, unit in split_key(field)), (field, ""))
    return f"{name} {stem}".replace("-", " ").replace("_", " "), unit


def _axis(key: str) -> str:
    return "  ".join(axis_words(key)).rstrip()


def sweep_picture(result: Sweep) -> str:
    """SVG text: a panel with bounds for each goal over one number, a map for each over two."""
    return _curves(result) if len(result.axes) == 1 else _maps(result)


def _label(goal: str) -> str:
    measure = MEASURES[goal]
    return f"{measure.words}  {measure.shown}".strip()


def _curves(result: Sweep) -> str:
    axis = result.axes[0]
    panels = []
    for goal in result.goals:
        values = [point.values[goal] for point in result.points]
        y, low, high = (
            [None if (v := getattr(value, end)) is None else v * MEASURES[goal].factor for value in values]
            for end in ("value", "low", "high")
        )
        panels.append(Panel(_label(goal), (Line(MEASURES[goal].words, axis.values, y, low, high),), from_zero=False))
    marks = {} if result.present[0] is None else {"now": result.present[0]}
    if result.best is not None:
        best = result.points[result.best].at[0]
        marks = {"now, and best": best} if best in marks.values() else marks | {"best": best}
    note = "Bands hold 5 to 95 %." if result.samples else "Nominal, no bounds."
    return line_chart(result.craft, _axis(axis.key), panels, note, marks)


def _maps(result: Sweep) -> str:
    first, second = result.axes
    width = len(second.values)
    maps = []
    for goal in result.goals:
        led = goal == result.goals[0]  # best and as good are by the first goal
        cells = [_cell(result, k, point, goal, led) for k, point in enumerate(result.points)]
        rows = tuple(tuple(cells[i::width]) for i in range(width))
        maps.append(Map(_label(goal), rows, half_widths(result, goal)))
    thin = ", thin as good by the bounds" if result.samples else ""
    note = "Nominal." if result.best is None else f"Nominal. Thick frame the best{thin}."
    across, up = ((_axis(axis.key), axis.values) for axis in (first, second))
    return map_chart(result.craft, across, up, maps, note)


def half_widths(result: Sweep, goal: str) -> str:
    """How wide the bounds of a goal are over all points, in words; empty without samples."""
    measure = MEASURES[goal]
    ends = [(v.low, v.high) for point in result.points if (v := point.values[goal]).value is not None]
    halves = [(high - low) / 2 for low, high in ends if low is not None and high is not None]
    if not result.samples or not halves or not max(halves):
        return ""
    median, largest = (
        f"{nominal(Prediction.exact(half, measure.unit), measure.factor)} {measure.shown}".rstrip()
        for half in (statistics.median(halves), max(halves))
    )
    return f"5\u201395 % bounds: \u00b1{median} (median), at most \u00b1{largest}"


def _cell(result: Sweep, k: int, point: SweepPoint, goal: str, led: bool) -> Cell:
    value = point.values[goal]
    text = nominal(value, MEASURES[goal].factor)
    return Cell(value.value, text, led and k == result.best, led and point.as_good and bool(result.samples))


def sweep_verdict(result: Sweep) -> list[str]:
    """The best point, what the bounds cannot tell from it, what was scaled along, what could not be computed."""
    said = []
    if result.best is not None:
        at = result.points[result.best].at
        places = " and ".join(_at(axis.key, value) for axis, value in zip(result.axes, at, strict=True))
        equal = sum(point.as_good for point in result.points) - 1
        tail = ""
        if equal and result.samples:
            tail = f"; the bounds cannot tell {equal} other point{'s' if equal > 1 else ''} from it"
        if _at_the_end(result):
            tail += ". It lies at the end of the range: look further"
        said.append(f"Best {MEASURES[result.goals[0]].words} at {places}{tail}.")
    if result.follows:
        said.append(f"Scaled along by the laws: {', '.join(result.follows)}.")
    reasons = [point.reason for point in result.points if point.reason]
    said += [f"{reasons.count(reason)} points not computed: {reason}." for reason in sorted(set(reasons))]
    return said


def _at(key: str, value: float) -> str:
    words, unit = axis_words(key)
    return f"{words} {value:g} {unit}".rstrip()


def _at_the_end(result: Sweep) -> bool:
    return len(result.axes) == 1 and len(result.points) > 1 and result.best in (0, len(result.points) - 1)
