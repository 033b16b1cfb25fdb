"""Curves of one craft: bands end where they would no longer hold nine samples in ten, bars begin at their zero."""

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from rotorwright.predict.result import Prediction
from rotorwright.sheet.bars import range_bar
from rotorwright.sheet.blocks import Inset
from rotorwright.sheet.chart import Line, Panel, line_chart
from rotorwright.sheet.curves import _line

PATH = "{http://www.w3.org/2000/svg}path"


def result(lost: int, count: int = 200) -> Prediction:
    """A nominal 10 and `count` samples about it, of which the `lost` largest have no solution."""
    samples = np.concatenate([[10.0], np.linspace(5.0, 15.0, count)])
    samples[len(samples) - lost :] = np.nan
    return Prediction.of(samples, "W")


def test_a_band_ends_where_more_than_one_sample_in_twenty_has_no_solution() -> None:
    """The largest twentieth lies beyond the bound anyway: as long as no more is missing, the bound can be right."""
    line = _line("power", [1.0, 2.0, 3.0], [result(0), result(10), result(11)])
    assert line.y == [10.0, 10.0, 10.0]
    assert [low is not None for low in line.low] == [True, True, False]
    assert [high is not None for high in line.high] == [True, True, False]


def test_a_band_never_narrows_because_samples_drop_out() -> None:
    """Samples that spread with speed and have top speeds of their own: without an end the band has a notch."""
    speeds = np.linspace(0.0, 40.0, 41)
    top, factor = np.linspace(30.0, 50.0, 100), np.linspace(1.3, 0.7, 100)
    rows = [np.where(v <= top, factor * (100.0 + v**2), np.nan) for v in speeds]
    results = [Prediction.of(np.array([100.0 + v**2, *row]), "W") for v, row in zip(speeds, rows, strict=True)]
    line = _line("power", list(speeds), results)
    widths = [b - a for a, b in zip(line.low, line.high, strict=True) if a is not None and b is not None]
    bare = [r.high - r.low for r in results if r.low is not None and r.high is not None]
    assert min(np.diff(bare)) < 0 <= min(np.diff(widths))


def test_predictions_without_samples_keep_their_band() -> None:
    assert _line("p", [1.0], [Prediction(2.0, 1.0, 3.0, "W")]).low == [1.0]


def boxes(bar: Inset | str) -> list[tuple[float, float]]:
    """Place and width of the boxes of a bar."""
    assert isinstance(bar, Inset)
    found = re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"', bar.svg)
    return [(float(x), float(wide)) for x, wide in found]


def test_a_bar_begins_at_its_zero() -> None:
    """50 (30 to 110) above 20 is 30 (10 to 90) above nothing."""
    assert boxes(range_bar(Prediction(50.0, 30.0, 110.0, "degC"), base=20.0)) == boxes(
        range_bar(Prediction(30.0, 10.0, 90.0, "K"))
    )
    assert range_bar(Prediction(15.0, 10.0, 25.0, "degC"), base=20.0) == ""


def test_panels_stand_abreast_on_a_wide_page_and_below_each_other_on_a_narrow_one() -> None:
    panels = tuple(Panel(name, (Line(name, [0, 50, 100], [1, 2, 3]),)) for name in ("one", "two"))
    wide = ElementTree.fromstring(line_chart("t", "x", panels, abreast=True))
    stacked = ElementTree.fromstring(line_chart("t", "x", panels))
    size = [list(map(float, root.get("viewBox", "").split()[2:])) for root in (wide, stacked)]
    assert size[0][0] > 1.7 * size[1][0] and size[0][1] < 0.7 * size[1][1]
    lines = [node for node in wide.iter(PATH) if node.find("{http://www.w3.org/2000/svg}title") is not None]
    starts = [float(re.findall(r"M([\d.]+)", node.get("d", ""))[0]) for node in lines]
    assert len(starts) == 4 and starts[0] < starts[1] == pytest.approx(starts[0] + size[0][0] / 2)
    assert starts[2] == starts[3]  # the narrow arrangement of the same file


def test_names_of_lines_stand_where_the_lines_leave_room() -> None:
    """Two lines that run along the top: their names go to the bottom."""
    lines = tuple(Line(name, [0, 1, 2], [9.0, 9.5, 10.0]) for name in ("one", "two"))
    root = ElementTree.fromstring(line_chart("t", "x", (Panel("y", lines),)))
    names = [float(e.get("y", 0)) for e in root.iter() if e.text in ("one", "two") and e.get("y")]
    assert len(names) == 2 and min(names) > 54 + 190 / 2
