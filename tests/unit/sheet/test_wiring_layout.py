"""The wiring picture: no wire through a box, no words over words or wires, whatever is wired to what."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.craft.read import read_craft
from rotorwright.sheet.as_html import natural_size
from rotorwright.sheet.as_typst import _width
from rotorwright.sheet.blocks import Figure
from rotorwright.sheet.wiring_layout import laid_out
from rotorwright.sheet.wiring_nets import wiring_plan
from rotorwright.sheet.wiring_plan import Basis, Conductor, Device, Role, Run, WiringPlan
from rotorwright.sheet.wiring_shapes import Drawing, Label, Rect, Strand, offset
from rotorwright.sheet.wiring_svg import wiring_svg
from rotorwright.sheet.wiring_text import width_of

ROOT = Path(__file__).parents[3]
DEMO = sorted((ROOT / "src" / "rotorwright" / "craft" / "demo_workshop" / "crafts").glob("*.toml"))
CRAFTS = [*DEMO, ROOT / "tests" / "unit" / "frame" / "wren.toml"]
BOTH, NARROW = (1, -1), (-1,)
HALF_LINE = 0.8  # half the width of the thinnest line


def stretches(strand: Strand) -> Iterator[Rect]:
    """Every stretch of every line of a strand."""
    for aside in strand.offsets:
        way = offset(strand.points, aside)
        for (x0, y0), (x1, y1) in pairwise(way):
            assert x0 == x1 or y0 == y1, "a stretch is level or upright"
            low, high = (min(x0, x1), min(y0, y1)), (max(x0, x1), max(y0, y1))
            yield Rect(
                low[0] - HALF_LINE,
                low[1] - HALF_LINE,
                high[0] - low[0] + 2 * HALF_LINE,
                high[1] - low[1] + 2 * HALF_LINE,
            )


def inside(rect: Rect, by: float) -> Rect:
    return Rect(rect.x + by, rect.y + by, rect.width - 2 * by, rect.height - 2 * by)


def troubles(drawing: Drawing) -> list[str]:
    """Everything that lies over something else."""
    found = [*_wires(drawing), *_words(drawing)]
    pairs = [(a.device.key, b.device.key) for a, b in combinations(drawing.boxes, 2) if a.rect.meets(b.rect)]
    found += [f"box {a} over box {b}" for a, b in pairs]
    shapes = [
        *(b.rect for b in drawing.boxes),
        *(one.rect for one in drawing.labels),
        *(m.rect for m in drawing.marks),
    ]
    for r in shapes:
        if r.x < 0 or r.y < 0 or r.x + r.width > drawing.width or r.y + r.height > drawing.height:
            found.append(f"{r} is off the page")
    return found


def _wires(drawing: Drawing) -> Iterator[str]:
    ways = [(strand, list(stretches(strand))) for strand in drawing.strands]
    for strand, own in ways:
        for box in drawing.boxes:
            if any(inside(box.rect, 2.0).meets(rect) for rect in own):
                yield f"run {strand.number} through {box.device.key}"
        for label in drawing.labels:
            if any(label.rect.meets(rect) for rect in own):
                yield f"run {strand.number} over '{label.words}'"
        for mark in drawing.marks:
            if not mark.over and any(mark.rect.meets(rect) for rect in own):
                yield f"run {strand.number} over the number {mark.number}"
    for (a, own), (b, other) in combinations(ways, 2):
        along = ((r, q) for r in own for q in other if (r.width > r.height) == (q.width > q.height))
        if any(r.meets(q) for r, q in along):
            yield f"run {a.number} along run {b.number}"


def _words(drawing: Drawing) -> Iterator[str]:
    ticks = [Rect(x - 0.4, min(y0, y1), 0.8, abs(y1 - y0)) for (x, y0), (_, y1) in drawing.ticks]
    for label in drawing.labels:
        yield from (f"a tick over '{label.words}'" for tick in ticks if label.rect.meets(tick))
    for a, b in combinations(drawing.labels, 2):
        if a.rect.meets(b.rect):
            yield f"'{a.words}' over '{b.words}'"
    for one, other in combinations(drawing.marks, 2):
        if one.rect.meets(other.rect):
            yield f"number {one.number} over number {other.number}"
    for mark in drawing.marks:
        yield from (f"number {mark.number} over '{own.words}'" for own in drawing.labels if mark.rect.meets(own.rect))
        yield from (f"number {mark.number} over a box" for box in drawing.boxes if mark.rect.meets(box.rect))


@pytest.mark.parametrize("sides", [BOTH, NARROW])
@pytest.mark.parametrize("file", CRAFTS, ids=lambda file: file.stem)
def test_nothing_lies_over_anything_on_known_craft(file: Path, sides: tuple[int, ...]) -> None:
    assert troubles(laid_out(wiring_plan(read_craft(file)), sides)) == []


def test_the_troubles_are_seen() -> None:
    """Two boxes moved onto each other, and a label onto a wire."""
    plan = wiring_plan(read_craft(DEMO[0]))
    drawing = laid_out(plan)
    first = drawing.strands[0].points[0]
    spoilt = Drawing(
        drawing.width,
        drawing.height,
        (*drawing.boxes, drawing.boxes[0]),
        drawing.strands,
        (*drawing.labels, Label(first[0], first[1] + 6, "over a wire")),
        drawing.marks,
    )
    assert {"box battery over box battery"} <= set(troubles(spoilt))
    assert any("over 'over a wire'" in one for one in troubles(spoilt))


KINDS = ("battery", "connector", "speed-controller", "flight-controller", "regulator", "motor", "camera", "other")
WORDS = st.text("abmwMW -/.\u00e9", max_size=24)


@st.composite
def plans(draw: st.DrawFn) -> WiringPlan:
    """Any devices, wired in any way."""
    count = draw(st.integers(1, 12))
    numbers = st.integers(0, count - 1)
    device = st.tuples(WORDS, WORDS, st.sampled_from(KINDS), st.integers(1, 4), st.integers(-1, 1))
    devices = tuple(Device(f"d{i}", *draw(device)) for i in range(count))
    conductor = st.builds(Conductor, st.sampled_from(list(Role)), WORDS, WORDS)
    run = st.tuples(
        numbers,
        numbers,
        st.lists(conductor, min_size=1, max_size=5),
        st.integers(1, 3),
        st.sampled_from(list(Basis)),
        st.sampled_from([None, 1e-7, 3.4e-6]),
        st.sampled_from([None, 0.05, 1.2]),
        WORDS,
    )
    runs = tuple(
        Run(f"d{a}", f"d{b}", tuple(one) * times, basis, gauge, length, colour)
        for a, b, one, times, basis, gauge, length, colour in draw(st.lists(run, max_size=14))
    )
    return WiringPlan(devices, runs, ())


@settings(max_examples=60)
@given(plans(), st.sampled_from([BOTH, NARROW]))
def test_nothing_lies_over_anything_whatever_is_wired(plan: WiringPlan, sides: tuple[int, ...]) -> None:
    drawing = laid_out(plan, sides)
    assert troubles(drawing) == []
    assert {box.device.key for box in drawing.boxes} == {device.key for device in plan.devices}
    apart = [i for i, run in enumerate(plan.runs, 1) if run.start != run.end]
    assert sorted({strand.number for strand in drawing.strands}) == apart


def renamed(plan: WiringPlan) -> WiringPlan:
    """The plan with a name of its own for each pad."""
    runs = [
        replace(
            run,
            conductors=tuple(Conductor(Role.SIGNAL, f"a{n}{i}", f"b{n}{i}") for i in range(len(run.conductors[:5]))),
        )
        for n, run in enumerate(plan.runs)
    ]
    return replace(plan, runs=tuple(runs))


@settings(max_examples=60)
@given(plans().map(renamed), st.sampled_from([BOTH, NARROW]))
def test_every_strand_ends_at_the_pads_it_joins(plan: WiringPlan, sides: tuple[int, ...]) -> None:
    """Each strand that comes in from the side lies, at both its ends, on the rows of its conductor's pads."""
    drawing = laid_out(plan, sides)
    pads = [label for label in drawing.labels if label.style == "pad"]
    for number in {strand.number for strand in drawing.strands}:
        strands = [strand for strand in drawing.strands if strand.number == number]
        for strand, conductor in zip(strands, plan.runs[number - 1].conductors, strict=True):
            if strand.points[0][0] == strand.points[-1][0] and len(strand.points) == 2:
                continue  # straight down: the next test
            words = {
                pad.words
                for pad in pads
                for x, y in (strand.points[0], strand.points[-1])
                if abs(pad.y - 4.0 - y) < 0.1 and abs(abs(pad.x - x) - 5.0) < 0.1
            }
            assert words == {conductor.start, conductor.end}


def names_of(drawing: Drawing, strand: Strand) -> set[str]:
    """Pad names in the boxes that a strand comes down from and goes down to, straight above it and below it."""
    (x, y0), (_, y1) = strand.points
    pads = [one for one in drawing.labels if one.style == "pad" and one.anchor == "middle" and abs(one.x - x) < 0.1]
    return {one.words for one in pads if -30 < one.y - y0 < 0 or 0 < one.y - y1 < 40}


@settings(max_examples=60)
@given(plans().map(renamed), st.sampled_from([BOTH, NARROW]))
def test_a_strand_between_boards_has_the_names_of_its_pads_at_both_ends(
    plan: WiringPlan, sides: tuple[int, ...]
) -> None:
    drawing = laid_out(plan, sides)
    boards = {box.device.key for box in drawing.boxes if box.board}
    for number in {strand.number for strand in drawing.strands}:
        run = plan.runs[number - 1]
        strands = [strand for strand in drawing.strands if strand.number == number]
        for strand, conductor in zip(strands, run.conductors, strict=True):
            if {run.start, run.end} <= boards and len(strand.points) == 2:
                assert names_of(drawing, strand) == {conductor.start, conductor.end}


@pytest.mark.parametrize("file", CRAFTS, ids=lambda file: file.stem)
def test_no_name_on_a_known_craft_is_cut(file: Path) -> None:
    drawing = laid_out(wiring_plan(read_craft(file)))
    assert [label.words for label in drawing.labels if "\u2026" in label.words] == []


@pytest.mark.parametrize("file", CRAFTS, ids=lambda file: file.stem)
def test_a_wiring_plan_fills_the_width_of_a_page(file: Path) -> None:
    """Its smallest words then have 6 points at the least, as much as the small print of a data sheet."""
    wide, tall = natural_size(wiring_svg(wiring_plan(read_craft(file)), "t"))
    share = _width(Figure(wiring_svg(wiring_plan(read_craft(file)), "t"), "t"))
    assert share == 1.0 and tall < 1.45 * wide
    assert min(label.size for label in laid_out(wiring_plan(read_craft(file))).labels) * 481.9 / wide >= 6.0


def test_colours_of_wires_are_told_where_the_file_states_them() -> None:
    plan = wiring_plan(read_craft(next(file for file in DEMO if file.stem == "lapwing-4")))
    coloured = [run for run in plan.runs if run.colour]
    assert len(coloured) >= 4
    said = " ".join(label.words for label in laid_out(plan).labels)
    assert said.count("red, black") >= len(coloured)


@settings(max_examples=200)
@given(WORDS, st.floats(6, 20))
def test_bold_is_wider_and_width_grows_with_size(words: str, size: float) -> None:
    assert width_of(words, size, bold=True) >= width_of(words, size) >= 0
    assert width_of(words, 2 * size) == pytest.approx(2 * width_of(words, size))
