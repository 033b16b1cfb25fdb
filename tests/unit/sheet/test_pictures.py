"""Pictures of a craft: what is hidden is left out, near covers far, dimensions are those of the file."""

import math
import re
from collections.abc import Callable
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import shapely
from shapely import Polygon, affinity

from rotorwright.craft import Craft, read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.frame.export.letters import width_of
from rotorwright.predict.frame_report import frame_drawings, frame_report
from rotorwright.predict.report import report
from rotorwright.sheet.ink import LIGHT, shaded
from rotorwright.sheet.masses import mass_view
from rotorwright.sheet.plan import plan_view, size_of
from rotorwright.sheet.powering import power_view
from rotorwright.sheet.space import space_view

WREN = Path(__file__).parent.parent / "frame" / "wren.toml"
TEXT = "{http://www.w3.org/2000/svg}text"
CRAFTS = (WREN, *(DEMO / "crafts" / f"{name}.toml" for name in ("lapwing-1", "lapwing-4", "curlew-1")))
_RING = re.compile(r"M([^MZ]+)Z")
# Width of the words on paper [points] and on a wide screen [pixels].
PAPER, SCREEN = 481.9, 717.0

HEAD = """format = 1
name = "Boxes"
[frame]
layout = "x"
motor_spacing_mm = 100
"""


@pytest.fixture
def boxes(tmp_path: Path) -> Callable[..., Craft]:
    """A craft of boxes: (role, size in mm, middle in mm) each."""

    def make(*rows: tuple[str, list[float], list[float]]) -> Craft:
        text = HEAD
        for k, (role, size, at) in enumerate(rows):
            text += f'[[other]]\nname = "box {k}"\nmass_g = 10\nsize_mm = {size}\n'
            text += f'[[part]]\nuse = "box {k}"\nid = "b{k}"\nrole = "{role}"\nat_mm = {at}\n'
        file = tmp_path / "boxes.toml"
        file.write_text(text, encoding="utf-8")
        return read_craft(file)

    return make


def words(svg: str | None) -> list[str]:
    assert svg is not None
    return ["".join(e.itertext()) for e in ElementTree.fromstring(svg).iter(TEXT)]


def fills(svg: str | None) -> list[str]:
    """Colours in the order in which they are drawn."""
    assert svg is not None
    return re.findall(r'<path [^>]*fill="(#[0-9a-f]{6})"', svg)


def rects(svg: str | None) -> list[tuple[str, Polygon]]:
    """Every word of a picture, once, with an upper bound of the room it takes."""
    assert svg is not None
    found = []
    for node in shown(svg):
        if node.tag == TEXT and not node.get("aria-hidden"):
            said, size = "".join(node.itertext()), float(node.get("font-size", 0))
            wide = width_of(said, size, node.get("font-weight") is not None)
            x, y = float(node.get("x", 0)), float(node.get("y", 0))
            left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[node.get("text-anchor", "start")]
            shape = shapely.box(left, y - 0.76 * size, left + wide, y + 0.1 * size)
            if turned := re.match(r"rotate\(([-\d.]+)", node.get("transform", "")):
                shape = affinity.rotate(shape, float(turned[1]), origin=(x, y))
            found.append((said, shape))
    return found


def shown(svg: str) -> list[ElementTree.Element]:
    """Elements of a picture as a wide page shows it."""
    root = ElementTree.fromstring(svg)
    hidden = {e for group in root.iter() if group.get("display") == "none" for e in group.iter()}
    return [e for e in root.iter() if e not in hidden]


def faces(svg: str | None) -> list[Polygon]:
    """Filled paths of a picture."""
    assert svg is not None
    found = []
    for node in shown(svg):
        if node.tag.endswith("}path") and node.get("fill") != "none":
            rings = [[tuple(map(float, p.split())) for p in r.split("L")] for r in _RING.findall(node.get("d", ""))]
            found += [shapely.Polygon(ring) for ring in rings if len(ring) > 2]
    return found


def overlapping(svg: str | None) -> list[tuple[str, str]]:
    return [(a, b) for (a, one), (b, other) in combinations(rects(svg), 2) if one.intersects(other)]


def hues(group: str) -> set[str]:
    return {shaded(group, level / 10) for level in range(21)}


def test_what_is_hidden_is_left_out(boxes: Callable[..., Craft]) -> None:
    """A small box inside a large one adds no path."""
    large = ("other", [100, 100, 50], [0, 0, 0])
    alone, with_small = space_view(boxes(large)), space_view(boxes(large, ("other", [10, 10, 10], [0, 0, 0])))
    assert alone is not None and with_small is not None
    assert with_small.count("<path") == alone.count("<path")


def test_a_box_shows_three_faces(boxes: Callable[..., Craft]) -> None:
    """Of a box seen from ahead, above and the left: front, left and top, lit differently, and one outline."""
    drawn = fills(space_view(boxes(("other", [40, 30, 20], [0, 0, 0]))))
    assert len(set(drawn)) == 3 and len(drawn) == 3


@pytest.mark.parametrize("apart", [[0, 0, 20], [45, 0, 0], [0, 45, 0]], ids=["above", "ahead", "left"])
def test_what_is_nearer_is_drawn_later(boxes: Callable[..., Craft], apart: list[float]) -> None:
    """The eye is ahead, above and to the left: of two boxes the one on that side covers the other."""
    far, near = ("other", [40, 40, 18], [0, 0, 0]), ("battery-grip", [40, 40, 18], apart)
    for order in ((far, near), (near, far)):
        drawn = fills(space_view(boxes(*order)))
        last_far = max(i for i, c in enumerate(drawn) if c in hues("frame"))
        first_near = min(i for i, c in enumerate(drawn) if c in hues("power"))
        assert last_far < first_near


def test_dimensions_are_those_of_the_file() -> None:
    craft = read_craft(WREN)
    told = words(plan_view(craft))
    assert "225" in told  # motor_spacing_mm of the file
    assert "\u2300 127" in told  # a five inch propeller: 5 x 25.4 mm
    front = [m for m in craft.motors if m.x > 0]
    assert f"{1e3 * abs(front[0].y - front[1].y):.1f}" in told
    size = size_of(craft)
    assert size is not None
    assert size.motor_to_motor == pytest.approx(0.225)
    reach = 0.225 / math.hypot(1, 0.8)  # wide x: 0.8 as long as it is wide
    assert size.width_over_discs == pytest.approx(reach + 0.127)
    assert size.length_over_discs == pytest.approx(0.8 * reach + 0.127)


def test_size_of_a_single_box(boxes: Callable[..., Craft]) -> None:
    size = size_of(boxes(("other", [40, 30, 20], [5, -3, 2])))
    assert size is not None
    assert (size.length, size.width, size.height) == pytest.approx((0.04, 0.03, 0.02))


def test_size_of_a_drawn_frame_agrees_with_its_meshes() -> None:
    """Bounds of the triangles that are printed and cut, against the size told; the pack and cameras reach beyond."""
    from rotorwright.predict.frame_report import picture

    craft = read_craft(WREN)
    points = np.vstack([mesh.vertices for mesh in picture(craft)])
    span = points.max(axis=0) - points.min(axis=0)
    size = size_of(craft)
    assert size is not None
    assert size.width == pytest.approx(span[1], abs=2e-4)  # nothing else is as wide as the arms
    assert size.length >= span[0] - 2e-4 and size.height >= span[2] - 2e-4


def test_grams_in_the_picture_are_those_of_the_ledger() -> None:
    craft = read_craft(WREN)
    found = report(craft, 0)
    masses = {line.id: (line.mass_kg.value or 0.0, line.count) for line in found.ledger.lines}
    told = words(mass_view(craft, found.ledger, found.balance))
    named = [re.fullmatch(r"(.+) (\d+) g( each)?", one) for one in told]
    known = [match for match in named if match]
    assert len(known) >= 4
    for match in known:
        mass, count = masses[match[1].replace(" ", "-")]
        assert float(match[2]) == pytest.approx(1e3 * mass / (count if match[3] else 1), abs=0.5)


@pytest.mark.parametrize("file", CRAFTS, ids=lambda file: file.stem)
def test_words_lie_on_no_disc_and_on_no_other_word(file: Path) -> None:
    craft = read_craft(file)
    found = report(craft, 0)
    svg = mass_view(craft, found.ledger, found.balance)
    assert svg is not None
    assert overlapping(svg) == []
    discs = [
        shapely.Point(float(e.get("cx", 0)), float(e.get("cy", 0))).buffer(float(e.get("r", 0)))
        for e in shown(svg)
        if e.get("fill-opacity") == "0.62" and e.get("r")
    ]
    assert len(discs) > 20
    assert [word for word, rect in rects(svg) for disc in discs if rect.intersects(disc)] == []
    numbers = [word for word, _ in rects(svg) if word.isdigit()]
    assert all(numbers.count(word) >= 2 for word in numbers)  # in the list, and in a view


@pytest.mark.parametrize("file", CRAFTS, ids=lambda file: file.stem)
def test_the_longest_way_is_written_beside_the_craft(file: Path) -> None:
    svg = plan_view(read_craft(file))
    (words,) = [rect for word, rect in rects(svg) if word in ("222", "225", "304")]
    assert not any(words.intersects(face) for face in faces(svg))
    assert overlapping(svg) == []


@pytest.mark.parametrize("file", [CRAFTS[0], *CRAFTS[2:]], ids=lambda file: file.stem)
def test_words_of_the_frame_can_be_read_and_lie_apart(file: Path) -> None:
    """7 points on paper and 11 pixels on a screen, the least for reading (common practice, no source)."""
    craft = read_craft(file)
    drawn = frame_drawings(craft, frame_report(craft, everything=False))
    for name in ("frame", "modes"):
        root = ElementTree.fromstring(drawn[name])
        wide = float(root.get("width", 0))
        least = min(float(e.get("font-size", 0)) for e in root.iter(TEXT))
        assert least * PAPER / wide >= 7.0 and least * SCREEN / wide >= 11.0
    assert overlapping(drawn["frame"]) == []
    carried = [rect for word, rect in rects(drawn["frame"]) if word.isdigit()]
    assert len(carried) >= 8  # each number at its thing and in the list


def test_areas_in_the_picture_are_as_the_masses(boxes: Callable[..., Craft]) -> None:
    craft = boxes(("other", [10, 10, 10], [40, 0, 0]), ("other", [10, 10, 10], [-40, 0, 0]))
    found = report(craft, 0)
    svg = mass_view(craft, found.ledger, found.balance)
    assert svg is not None
    radii = {float(r) for r in re.findall(rf'<circle [^>]*r="([\d.]+)" fill="{LIGHT["frame"]}"', svg)}
    assert len(radii) == 1  # two boxes of one mass


def test_without_places_there_is_no_picture(tmp_path: Path) -> None:
    file = tmp_path / "bare.toml"
    file.write_text(HEAD, encoding="utf-8")
    craft = read_craft(file)
    found = report(craft, 0)
    assert space_view(craft) is None and plan_view(craft) is None and size_of(craft) is None
    assert mass_view(craft, found.ledger, found.balance) is None
    assert found.power_tree is not None and power_view(craft, found.power_tree) is None


def test_the_power_tree_tells_each_rail_once(whole: tuple) -> None:
    craft, verdict, _ = whole
    tree = verdict.report.power_tree
    assert tree is not None
    told = words(power_view(craft, tree))
    for rail in tree.rails:
        assert sum(one.startswith(f"{rail.id.rpartition('.')[2]}, {rail.voltage_v:.3g} V") for one in told) == 1
        for part in rail.feeds:
            assert part in told
