"""Line charts are well-formed, labelled, and leave out what has no value."""

from xml.etree import ElementTree

from rotorwright.sheet.chart import Line, Panel, line_chart

SVG = "{http://www.w3.org/2000/svg}"


def drawn(*lines: Line) -> ElementTree.Element:
    return ElementTree.fromstring(line_chart("A < B", "speed  m/s", (Panel("power  W", lines),), "a note"))


def test_title_axes_and_note_are_there() -> None:
    words = [text.text for text in drawn(Line("p", [0, 1], [2, 3])).iter(f"{SVG}text")]
    assert {"A < B", "speed  m/s", "power  W", "a note"} <= set(words)


def test_a_point_without_value_is_left_out() -> None:
    line = next(p for p in drawn(Line("p", [0, 1, 2], [2, None, 3])).iter(f"{SVG}path") if p.get("stroke"))
    assert line.get("d", "").count("L") == 1


def test_a_band_is_drawn_where_both_bounds_are_known() -> None:
    chart = drawn(Line("p", [0, 1, 2], [2, 3, 4], [1, 2, None], [3, 4, 5]))
    assert any(path.get("fill-opacity") for path in chart.iter(f"{SVG}path"))


def test_two_lines_are_named_and_told_apart_without_colour() -> None:
    chart = drawn(Line("one", [0, 1], [2, 3]), Line("two", [0, 1], [3, 2]))
    assert {"one", "two"} <= {text.text for text in chart.iter(f"{SVG}text")}
    assert any(path.get("stroke-dasharray") for path in chart.iter(f"{SVG}path"))


def test_dark_and_light_are_both_served() -> None:
    assert "prefers-color-scheme:dark" in line_chart("t", "x", (Panel("y", (Line("l", [0, 1], [1, 1]),)),))


def test_an_empty_chart_is_still_a_picture() -> None:
    assert drawn(Line("p", [], [])).tag == f"{SVG}svg"


def test_the_last_number_of_the_axis_stays_inside_the_picture() -> None:
    """Four digits of 13 units are some 33 wide (0.63 of their height each) and stand centred on their place."""
    drawn = ElementTree.fromstring(line_chart("t", "x", (Panel("y", (Line("l", [1800, 4200], [1, 2]),)),)))
    last = next(node for node in drawn.iter() if node.text == "4500")
    assert float(last.get("x", 0)) + 33 / 2 <= 480
