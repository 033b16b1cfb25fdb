"""Curves and maps of varied numbers, and what is said of them."""

import re
from collections.abc import Callable
from xml.etree import ElementTree

import pytest

from rotorwright.craft.model import Craft
from rotorwright.search.measures import MEASURES
from rotorwright.search.sweep import Axis, Sweep, sweep
from rotorwright.sheet.map_chart import Cell, Map, map_chart
from rotorwright.sheet.sweep_picture import axis_words, half_widths, sweep_picture, sweep_verdict

Read = Callable[[int], Craft]
SVG = "{http://www.w3.org/2000/svg}"


def texts(picture: str) -> list[str]:
    return ["".join(node.itertext()) for node in ElementTree.fromstring(picture).iter(f"{SVG}text")]


@pytest.fixture
def curve(demo: Read) -> Sweep:
    goals = [MEASURES["hover-time"], MEASURES["weight"]]
    return sweep(demo(3), [Axis("recording-camera.mass_g", (20.0, 31.2, 60.0))], goals, samples=32)


def test_words_of_an_axis() -> None:
    assert axis_words("speed-controller.burst_time_s") == ("speed controller burst time", "s")
    assert axis_words("battery.cells") == ("battery cells", "")


def test_a_curve_has_its_units_its_bands_and_marks(curve: Sweep) -> None:
    found = texts(sweep_picture(curve))
    assert {"hover time  s", "all-up weight  g", "recording camera mass  g"} <= set(found)
    assert [text.strip() for text in found if text.strip() in ("now", "best")] == ["now", "best"]
    assert sweep_picture(curve).count('fill-opacity="0.18"') == 2


def test_what_is_now_and_best_is_one_mark(demo: Read) -> None:
    found = sweep(demo(3), [Axis("recording-camera.mass_g", (31.2, 60.0))], [MEASURES["weight"]], samples=0)
    assert " now, and best" in texts(sweep_picture(found))
    assert "Nominal, no bounds." in texts(sweep_picture(found))


def test_the_verdict_names_the_best_and_warns_of_the_end_of_the_range(curve: Sweep) -> None:
    assert sweep_verdict(curve) == [
        "Best hover time at recording camera mass 20 g. It lies at the end of the range: look further."
    ]


def test_a_map_has_a_cell_for_each_pair_and_frames_the_best(demo: Read) -> None:
    axes = [Axis("battery.capacity_mah", (900.0, 1060.0)), Axis("recording-camera.mass_g", (20.0, 40.0, 60.0))]
    found = sweep(demo(3), axes, [MEASURES["hover-time"], MEASURES["weight"]], samples=16)
    picture = sweep_picture(found)
    boxes = list(ElementTree.fromstring(picture).iter(f"{SVG}rect"))
    shaded = [node for node in boxes if node.get("fill") != "none"]
    framed = [node for node in boxes if node.get("stroke-width") == "2.6"]
    assert (len(shaded), len(framed)) == (12, 1)
    assert found.best == 3  # 1060 mAh, 20 g: to the right, below
    assert float(framed[0].get("x", 0)) > 240
    lower = max(float(node.get("y", 0)) for node in shaded[:6])
    assert float(framed[0].get("y", 0)) == pytest.approx(lower + 1.5)
    assert "battery capacity  mAh, upwards recording camera mass  g" in texts(picture)


def test_under_each_map_stands_how_wide_its_bounds_are(demo: Read) -> None:
    axes = [Axis("battery.capacity_mah", (900.0, 1200.0, 1500.0)), Axis("battery.cells", (4.0, 6.0))]
    goals = [MEASURES["hover-time"], MEASURES["weight"], MEASURES["cost"]]
    found = sweep(demo(3), axes, goals, samples=32)
    picture = texts(sweep_picture(found))
    for name, unit, factor in (("hover-time", " s", 1.0), ("weight", " g", 1e3)):
        ends = [point.values[name] for point in found.points]
        halves = sorted((one.high - one.low) / 2 * factor for one in ends)
        told = next(text for text in picture if text == half_widths(found, name))
        median, most = (float(x) for x in re.findall(rf"\u00b1([\d.]+){unit}", told))
        # written to three digits
        assert median == pytest.approx((halves[2] + halves[3]) / 2, rel=5e-3)
        assert most == pytest.approx(halves[-1], rel=5e-3)
    assert half_widths(found, "cost") == ""  # a price has no bounds
    bare = sweep(demo(3), axes, goals, samples=0)
    assert [half_widths(bare, goal.name) for goal in goals] == ["", "", ""]


def test_numbers_are_written_where_there_is_room_and_the_span_always() -> None:
    cells = tuple(Cell(float(k), f"{k}") for k in range(30))
    one = Map("time  s", (cells,))
    found = texts(map_chart("t", ("x", range(30)), ("y", (0.0,)), (one,), "note"))
    assert "time  s, 0 to 29" in found
    assert found.count("13") == 0  # of cells; of the axis every fourth
    few = texts(map_chart("t", ("x", range(3)), ("y", (0.0,)), (Map("time  s", (cells[:3],)),), "note"))
    assert few.count("1") == 2


def test_a_cell_that_could_not_be_computed_has_no_shade() -> None:
    row = (Cell(None, "-"), Cell(2.0, "2"))
    picture = map_chart("t", ("x", (1.0, 2.0)), ("y", (0.0,)), (Map("time", (row,)),), "")
    assert len(list(ElementTree.fromstring(picture).iter(f"{SVG}rect"))) == 1
    assert map_chart("t", ("x", (1.0,)), ("y", (0.0,)), (Map("time", ((Cell(None, "-"),),)),), "")
