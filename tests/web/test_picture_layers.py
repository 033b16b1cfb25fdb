"""The picture's layers as text: what is drawn where, what may be moved, and that nothing in a name is markup."""

import re
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import pytest

from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import new_workshop
from rotorwright.predict.ledger_change import ledger_change
from rotorwright.predict.report import Report, report
from rotorwright.search.gram import gram_prices
from rotorwright.sheet.quantities import Display
from rotorwright.web.grams_rows import rows_html, totals_html
from rotorwright.web.part_moves import where
from rotorwright.web.picture_layers import Wish, layers
from rotorwright.web.picture_view import SIDES, View

WREN = Path(__file__).parent.parent / "unit" / "frame" / "wren.toml"
NASTY = """
[[part]]
use = "lump <b>&\\"'"
id = "<script>alert(1)</script>"
at_in = [1, 0.5, 0]
[[other]]
name = "lump <b>&\\"'"
mass_g = 10
"""


@pytest.fixture(scope="module")
def lapwing(tmp_path_factory: pytest.TempPathFactory) -> Craft:
    folder = tmp_path_factory.mktemp("demo") / "workshop"
    new_workshop(folder)
    return read_craft(folder / "crafts" / "lapwing-3.toml")


@pytest.fixture(scope="module")
def found(lapwing: Craft) -> Report:
    return report(lapwing, samples=64)


def root(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


@pytest.mark.parametrize("side", SIDES)
def test_every_part_with_a_place_is_drawn_once_for_screen_readers(lapwing: Craft, found: Report, side: str) -> None:
    drawn = root(layers(View(lapwing, side), found, Wish(side=side), None, Display()).bodies)
    named = [one.get("data-id") for one in drawn.iter("g") if one.get("role") == "button"]
    assert sorted(named) == sorted(placed.id for placed in lapwing.parts if placed.places)


def test_it_is_to_scale(lapwing: Craft, found: Report) -> None:
    """The battery's outline from above is as long and as wide as the part says, in millimetres."""
    bodies = layers(View(lapwing, "above"), found, Wish(), None, Display()).bodies
    path = re.search(r'data-id="battery".*?d="M(.*?)Z"', bodies)
    assert path is not None
    corners = [tuple(map(float, one.split())) for one in path[1].split("L")]
    size = lapwing.with_role("battery")[0].part.size
    assert size is not None
    assert max(x for x, _ in corners) - min(x for x, _ in corners) == pytest.approx(1e3 * size[1], abs=0.01)
    assert max(y for _, y in corners) - min(y for _, y in corners) == pytest.approx(1e3 * size[0], abs=0.01)
    assert ">222 mm<" in bodies


def test_the_ground_does_not_change_when_bars_arrive(lapwing: Craft, found: Report) -> None:
    """What lies under a hand that drags is not drawn anew."""
    view, bare = View(lapwing, "above"), report(lapwing, samples=0)
    first, second = (layers(view, r, Wish(), None, Display()) for r in (bare, found))
    assert first.bodies == second.bodies
    assert "rw-bounds" not in first.marks
    assert "rw-bounds" in second.marks


def test_all_layers_lie_upon_each_other(lapwing: Craft, found: Report) -> None:
    view, prices = View(lapwing, "left"), gram_prices(lapwing, samples=0)
    for shown in ("balance", "mass", "price"):
        drawn = layers(view, found, Wish(side="left", shown=shown, inertia=True), prices, Display())
        assert root(drawn.bodies).get("viewBox") == root(drawn.marks).get("viewBox")


def test_discs_of_the_mass_view_are_as_large_in_area_as_their_pieces_are_heavy(lapwing: Craft, found: Report) -> None:
    marks = root(layers(View(lapwing, "above"), found, Wish(shown="mass"), None, Display()).marks)
    radius = {one.get("data-id"): float(one[0].get("r", "0")) for one in marks.iter("g") if one.get("data-id")}
    mass = {line.id: line.mass_kg.value or 0.0 for line in found.ledger.lines}
    ratio = (radius["battery"] / radius["motors"]) ** 2
    assert ratio == pytest.approx(mass["battery"] / (mass["motors"] / 4), rel=1e-3)


def test_the_price_of_a_gram_is_highest_at_the_arm_ends(lapwing: Craft, found: Report) -> None:
    prices = gram_prices(lapwing, samples=0)
    drawn = layers(View(lapwing, "above"), found, Wish(shown="price"), prices, Display())
    first = next(one for one in root(drawn.marks).iter("g") if one.get("data-id"))
    assert first.get("data-id") == "bumpers"
    assert "at bumpers" in drawn.words
    assert "Working out" in layers(View(lapwing, "above"), found, Wish(shown="price"), None, Display()).words


def test_what_cannot_be_moved_says_why(lapwing: Craft) -> None:
    fixed = {placed.id: where(lapwing, placed) for placed in lapwing.parts}
    assert "motor spacing" in fixed["motors"][0]
    assert "motor spacing" in fixed["arms"][0]
    assert fixed["battery"] == ("", "-6 0 33.5")
    wren = read_craft(WREN)
    assert "the frame draws it" in where(wren, next(p for p in wren.parts if p.role == "deck"))[0]


def test_of_two_parts_with_one_name_only_the_first_moves(small_craft: Callable[..., Craft]) -> None:
    twice = '\n[[part]]\nuse = "rest"\nrole = "rest"\nat_mm = [1, 2, 3]\n'
    craft = small_craft(more=twice)
    first, second = (placed for placed in craft.parts if placed.id == "rest")
    assert where(craft, first)[0] == ""
    assert "an id of its own" in where(craft, second)[0]


def test_names_are_never_markup(small_craft: Callable[..., Craft]) -> None:
    craft = small_craft(more=NASTY)
    known = report(craft, samples=0)
    for shown in ("balance", "mass"):
        drawn = layers(View(craft, "above"), known, Wish(shown=shown), None, Display())
        root(drawn.bodies)
        root(drawn.marks)
        assert "<script" not in drawn.bodies + drawn.marks + drawn.words
    rows = rows_html(craft, known.ledger, ledger_change(craft, craft, 0), False, Display())
    assert "<script" not in rows
    assert "<b>&" not in rows


def test_rows_of_grams(lapwing: Craft, found: Report) -> None:
    before = read_craft(lapwing.file.parent / lapwing.title.previous)
    change = ledger_change(before, lapwing, samples=64)
    rows = rows_html(lapwing, found.ledger, change, False, Display())
    order = re.findall(r'data-row="([^"]+)"', rows)
    assert order == [line.id for line in found.ledger.lines]
    assert re.search(r'data-row="recording-camera".*?\u221233\.8 g', rows)
    assert "unaccounted" in rows
    assert "Gone since Lapwing 2" not in rows
    assert "esc" in rows  # the trade's abbreviations find a part
    assert "dry" in totals_html(found.ledger, change, Display())
    kinds = rows_html(lapwing, found.ledger, None, True, Display())
    assert kinds.index("<strong>plates</strong>") < kinds.index("<strong>screws</strong>")
    assert "oz" in rows_html(lapwing, found.ledger, None, True, Display(mass="oz"))


def test_a_craft_without_any_size_is_still_drawn(small_craft: Callable[..., Craft]) -> None:
    craft = small_craft()
    drawn = layers(View(craft, "above"), report(craft, samples=0), Wish(), None, Display())
    assert 'class="rw-dot"' in drawn.bodies
    assert "its size is not stated" in drawn.bodies
