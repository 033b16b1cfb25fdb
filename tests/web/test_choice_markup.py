"""What the choice says, as markup and as writes: no browser needed."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.craft.read import read_craft
from rotorwright.errors import InputError
from rotorwright.parts.shelf import builtin_shelf
from rotorwright.predict.result import Prediction
from rotorwright.search.measures import MEASURES
from rotorwright.search.swap import FindingsChange, Swap, SwapRow
from rotorwright.sheet.known import known_fields
from rotorwright.sheet.quantities import Display
from rotorwright.web.choice_head import head_html, picker_html, why_html
from rotorwright.web.estimates_form import known_html, write_known
from rotorwright.web.part_adding import found_html, role_for
from rotorwright.web.placing_form import place_html, write_place
from rotorwright.web.swap_list import SwapWish, columns_of, controls_html, rows_html
from rotorwright.web.swap_run import bars_of, differences
from rotorwright.web.typed import typed_number, typed_numbers

Write = Callable[..., Path]

NOTHING = {name: Prediction.exact(0.0, measure.unit) for name, measure in MEASURES.items()}
SAME = dict.fromkeys(MEASURES, "same")
SHOWN = Display()


def row(name: str, found: Mapping[str, Prediction], verdict: Mapping[str, str], stops: int = 0) -> SwapRow:
    new = tuple(f"pack-overdrawn (pack-{n})" for n in range(stops + 1))
    return SwapRow(name, NOTHING, NOTHING | found, SAME | verdict, FindingsChange(new, (), stops), None)


def swap_of(*rows: SwapRow, goal: str = "weight") -> Swap:
    present = SwapRow("old", NOTHING, NOTHING, SAME, None, None)
    return Swap("craft", "motors", "motor", present, goal, rows, (), (), len(rows), 64, 64, ())


def part(file: Path, id: str) -> tuple[Craft, PlacedPart]:
    craft = read_craft(file)
    return craft, next(placed for placed in craft.parts if placed.id == id)


def test_better_worse_and_no_telling_stand_as_words_and_marks() -> None:
    found = {
        "weight": Prediction(-0.01, -0.012, -0.008, "kg"),
        "flight-time": Prediction(-20.0, -30.0, -10.0, "s"),
        "winding": Prediction(3.0, -9.0, 12.0, "K"),
    }
    one = row("new", found, {"weight": "better", "flight-time": "worse", "winding": "cannot tell"}, stops=2)
    body = rows_html(swap_of(one), SwapWish(goal="weight"), SHOWN, bars=True)
    assert '<span class="rw-better">\u221210.0</span> <span class="ch-sr">g, better</span>' in body
    assert '<span class="rw-worse">\u221220</span> <span class="ch-sr">s, worse</span>' in body
    assert '<span class="is-doubt">+3</span> <span class="ch-sr">K, the bars cannot tell</span>' in body
    assert "<small>\u221212.0\u2026\u22128.0</small>" in body
    assert "2 new stops" in body
    assert "1 new<" in body
    assert "Gains: 10.0 g" in body
    assert "Costs: 20 s" in body


def test_before_the_bars_nothing_is_called_better() -> None:
    one = row("new", {"weight": Prediction(-0.01, None, None, "kg")}, {"weight": "better"})
    body = rows_html(swap_of(one), SwapWish(goal="weight"), SHOWN, bars=False)
    assert "\u221210" in body
    assert "Bars follow" in body
    assert "better" not in body


def test_what_is_too_small_to_choose_by_has_no_column() -> None:
    one = row("new", {"winding": Prediction(0.2, 0.1, 0.3, "K"), "cost": Prediction.exact(2.0, "currency")}, {})
    assert columns_of(swap_of(one, goal="flight-time")) == ["flight-time", "cost"]
    assert "Too small to choose by" in rows_html(swap_of(one), SwapWish(), SHOWN, bars=True)


def test_what_cannot_be_computed_says_why_and_can_be_put_on_all_the_same() -> None:
    broken = SwapRow("new", {}, {}, {}, None, "the frame cannot be drawn about it")
    body = rows_html(swap_of(row("good", {}, {}), broken), SwapWish(), SHOWN, bars=True)
    assert "Cannot be computed: the frame cannot be drawn about it." in body
    assert 'data-what="new"' in body


def test_a_dozen_is_shown_and_all_on_demand() -> None:
    many = swap_of(*(row(f"part-{n}", {}, {}) for n in range(20)))
    few = rows_html(many, SwapWish(), SHOWN, bars=True)
    assert few.count('data-do="put"') == 12
    assert ">all 20</button>" in few
    assert rows_html(many, SwapWish(all=True), SHOWN, bars=True).count('data-do="put"') == 20


def test_equal_energy_is_for_packs_only(small_file: Write) -> None:
    file = small_file()
    assert "equal energy" in controls_html(part(file, "pack")[1].part, SwapWish())
    assert "equal energy" not in controls_html(part(file, "motors")[1].part, SwapWish())


def test_names_and_reasons_are_text_wherever_they_stand(small_file: Write) -> None:
    evil = "<img src=x onerror=alert(1)>"
    file = small_file(
        ('name = "rest"\n', f'name = "{evil}"\nnote = "{evil}"\n'),
        ('use = "rest"\n', f'use = "{evil}"\nwhy = "{evil}"\nfed_from = "{evil}"\n'),
        more=f'[[camera]]\nname = "{evil}c"\n',
    )
    craft, placed = part(file, "rest")
    fields = known_fields(craft, placed, builtin_shelf(), SHOWN)
    bodies = (
        picker_html(craft, placed),
        head_html(placed, None, SHOWN),
        why_html(placed),
        known_html(fields, placed.id, sweep="/craft/lapwing-3/sweep?vary="),
        place_html(craft, placed, "mm"),
        found_html(craft, builtin_shelf().with_parts([]), evil, "", SHOWN),
        rows_html(swap_of(replace(row(evil, {}, {}), reason=evil)), SwapWish(words=evil), SHOWN, bars=True),
        controls_html(placed.part, SwapWish(words=evil)),
    )
    assert all("<img" not in body for body in bodies)
    assert "&lt;img" in bodies[0]


def test_a_part_that_nobody_has_placed_says_so_and_offers_the_middle(small_file: Write) -> None:
    file = small_file(("at_mm = [0, 0, -10]\n", ""))
    craft, placed = part(file, "rest")
    assert "Nobody has said where" in place_html(craft, placed, "mm")
    write = write_place(file, placed, "at", {"x": "20", "y": "", "z": ""}, "mm")
    assert write is not None
    assert write() == f"rest: at_mm = [20, 0, {placed.places[0].z * 1e3:g}]"


def test_places_in_inches_are_written_in_inches(small_file: Write) -> None:
    file = small_file()
    craft, placed = part(file, "pack")
    assert 'value="1.1811"' in place_html(craft, placed, "in")  # 30 mm / 25.4
    write = write_place(file, placed, "at", {"x": "0,5", "y": "0", "z": "1.1811"}, "in")
    assert write is not None
    assert write() == "pack: at_in = [0.5, 0, 1.1811]"


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ({"field": "cells", "form": "number", "value": "6"}, "cells = 6"),
        ({"field": "chemistry", "form": "choice", "value": "lihv"}, 'chemistry = "lihv"'),
        ({"field": "connector", "form": "text", "value": "two-pin"}, 'connector = "two-pin"'),
        ({"field": "size", "form": "series", "value": "70, 35 30.5", "unit": "mm"}, "size_mm = [70, 35, 30.5]"),
        (
            {"field": "mass", "form": "estimate", "value": "181,5", "unit": "g", "basis": "weighed", "sd": ""},
            'mass_g = { value = 181.5, basis = "weighed" }',
        ),
    ],
)
def test_every_form_writes_its_kind_of_value(typed: Mapping[str, str], line: str, small_file: Write) -> None:
    file = small_file()
    assert write_known(file, "pack", typed)() == f"pack: {line}"
    assert line in file.read_text()


def test_a_mistype_is_refused_in_words() -> None:
    assert typed_number(" 33,1 ", "mass") == 33.1
    assert typed_number("\u22123", "x") == -3.0
    assert typed_numbers("1, 2;3  4", "size") == [1.0, 2.0, 3.0, 4.0]
    with pytest.raises(InputError, match="mass: 'heavy' is not a number"):
        typed_number("heavy", "mass")


def test_a_part_takes_the_role_that_is_missing(small_file: Write) -> None:
    craft = read_craft(small_file())
    shelf = builtin_shelf()
    camera = next(one for one in shelf if one.kind == "camera")
    screw = next(one for one in shelf if one.kind == "screw")
    assert role_for(craft, camera) == "camera"
    assert role_for(craft, screw, "camera") == "screw"
    assert "in place of b" in found_html(craft, shelf, "lipo", "", SHOWN)


def test_bars_come_to_what_is_shown_and_the_rest_keeps_its_order(tmp_path: Path) -> None:
    from rotorwright.craft.workshop import new_workshop

    craft, placed = part(new_workshop(tmp_path / "w")[1], "video-transmitter")
    wish = SwapWish(goal="weight", words="analog")
    first = differences(craft, placed, wish)
    full = bars_of(craft, placed, wish, first)
    assert [one.part for one in full.rows] == [one.part for one in first.rows]
    assert all("analog" in one.part for one in full.rows)
    assert first.rows[0].differences["weight"].low is None
    assert full.rows[0].differences["weight"].low is not None
    assert full.rows[0].findings is not None
