"""Pictures of what was measured: what a fit leaves over, a log beside its prediction, the columns of a file."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rotorwright.errors import InputError, Problem
from rotorwright.measure.fit import Fit
from rotorwright.measure.log_book import LogBook
from rotorwright.measure.measurement import Measurement
from rotorwright.measure.quantities import QUANTITIES
from rotorwright.sheet.chart import Line, Panel, line_chart
from rotorwright.sheet.measured_words import left_over, shown_column
from rotorwright.units import SI_UNIT

__all__ = ["column_curve", "log_curves", "residual_curves", "unit_of_column"]

# Quantities of a log as people read them: factor from SI, unit.
_SHOWN = {"voltage": (1.0, "V"), "current": (1.0, "A"), "rotation": (60 / 6.283185307179586, "rpm")}
_OWN_UNITS = {"acceleration": "m/s2", "share": ""}
_MOST_POINTS = 240
_MOST_DOTS = 120


def unit_of_column(quantity: str) -> str:
    """SI unit of a measured quantity, '' for a share."""
    dimension = QUANTITIES[quantity].dimension
    return _OWN_UNITS.get(dimension, SI_UNIT.get(dimension, ""))


def residual_curves(found: Measurement) -> str:
    """What the fit leaves over of each reading, over the quantity it depends on; hollow what was set aside."""
    name, values = found.against
    factor, more, unit = shown_column(name, unit_of_column(name)) if name in QUANTITIES else (1.0, 0.0, "")
    order = sorted((i for i in range(len(values)) if np.isfinite(values[i])), key=lambda i: values[i])
    x = [factor * values[i] + more for i in order]
    panels = [_left_panel(found.fit, key, x, order) for key in found.fit.residuals]
    return line_chart(f"{found.fit.name}: what is left over", f"{name}  {unit}".strip(), panels)


def _left_panel(fit: Fit, key: str, x: Sequence[float], order: Sequence[int]) -> Panel:
    """One measured quantity: points where there are few, a line where there are many."""
    words, factor, unit = left_over(key)

    def shown(left: Sequence[float] | NDArray[np.float64]) -> list[float | None]:
        return [factor * float(left[i]) if np.isfinite(left[i]) else None for i in order]

    mark = "dot" if len(order) <= _MOST_DOTS else ""
    lines = [Line("used", x, shown(fit.residuals[key]), mark=mark)]
    aside = shown(fit.aside[key]) if key in fit.aside else []
    if any(value is not None for value in aside):
        lines.append(Line("set aside", x, aside, mark="ring"))
    return Panel(f"{words}, measured less fitted  {unit}".strip(), tuple(lines))


def log_curves(book: LogBook) -> str:
    """Measured over predicted with its band, one panel a quantity, on one axis of time."""
    if book.comparison is None:
        raise InputError(Problem(f"there is no picture: {book.reason}", "Name the craft, as in --craft FILE."))
    panels = []
    for one in book.comparison.series:
        factor, unit = _SHOWN[one.quantity]
        x = [t / 60 for t in one.time_s]
        scaled = [[factor * value for value in column] for column in (one.predicted, one.low, one.high, one.measured)]
        lines = (Line("predicted", x, scaled[0], scaled[1], scaled[2]), Line("measured", x, scaled[3]))
        panels.append(Panel(f"{one.quantity}  {unit}", lines, from_zero=one.quantity != "voltage"))
        panels.append(Panel(f"{one.quantity}, measured less predicted  {unit}", (_missed(x, scaled),)))
    title = f"{book.comparison.craft} against {book.log.file.name}"
    return line_chart(title, "time  min", panels, "Band: 5\u201395 % of the prediction.")


def _missed(x: Sequence[float], scaled: Sequence[Sequence[float]]) -> Line:
    """Measured less predicted, and the band that the prediction allows about nothing."""
    predicted, low, high, measured = (np.array(column) for column in scaled)
    left, below, above = (column.tolist() for column in (measured - predicted, low - predicted, high - predicted))
    return Line("measured less predicted", x, left, below, above)


def column_curve(values: NDArray[np.float64] | Sequence[float]) -> str:
    """One column over its rows as a small curve without axes, so that an eye can tell what it holds."""
    every = np.asarray(values, dtype=float)
    step = max(1, len(every) // _MOST_POINTS)
    y = every[::step]
    there = y[np.isfinite(y)]
    if not len(there):
        return ""
    low, high = float(there.min()), float(there.max())
    span = (high - low) or 1.0
    runs: list[list[str]] = [[]]
    for k, value in enumerate(y.tolist()):
        if value == value:  # a gap breaks the curve
            runs[-1].append(f"{160 * k / max(len(y) - 1, 1):.1f},{30 - 26 * (value - low) / span:.1f}")
        elif runs[-1]:
            runs.append([])
    lines = "".join(f'<polyline points="{" ".join(run)}"/>' for run in runs if run)
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 160 32" width="160" height="32" aria-hidden="true" '
        f'fill="none" stroke="currentColor" stroke-width="1.2">{lines}</svg>'
    )
