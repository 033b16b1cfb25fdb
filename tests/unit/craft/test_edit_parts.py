"""Parts put on, taken off, replaced and told more exactly: comments stay, and undo restores every byte."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rotorwright.craft.edit import change_craft, undo_change
from rotorwright.craft.edit_parts import add_part, free_id, remove_part, replace_part, set_entry, set_estimate
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.errors import InputError
from rotorwright.parts.estimate import Basis, Estimate

Write = Callable[..., Path]


@pytest.fixture
def lapwing(tmp_path: Path) -> Path:
    """A demo craft without its workshop's own parts: every part of it is on the built-in shelf."""
    file = tmp_path / "a.toml"
    file.write_text((DEMO / "crafts" / "lapwing-1.toml").read_text())
    return file


def comments(text: str) -> list[str]:
    return [line for line in text.split("\n") if line.startswith("#")]


def mass_of(file: Path, id: str) -> Estimate:
    mass = next(p for p in read_craft(file).parts if p.id == id).part.mass
    assert mass is not None
    return mass


def test_a_part_is_put_on_behind_the_others_and_before_the_next_heading(lapwing: Path) -> None:
    before = lapwing.read_text()
    said = add_part(lapwing, "light-4-lamps-5v", role="light", more={"why": "to be seen", "at_mm": [-90, 0, 0]})
    assert said.startswith("light-4-lamps-5v put on as light")
    after = lapwing.read_text()
    assert comments(after) == comments(before)
    keys = ('use = "light-4-lamps-5v"', 'role = "light"', 'why = "to be seen"', "at_mm = [-90, 0, 0]")
    assert "\n\n[[part]]\n" + "\n".join(keys) + "\n\n# Wiring\n" in after
    placed = next(p for p in read_craft(lapwing).parts if p.id == "light")
    assert (placed.why, placed.places[0].x) == ("to be seen", pytest.approx(-0.09))
    undo_change(lapwing)
    assert lapwing.read_text() == before


def test_a_second_part_of_a_role_gets_an_id_of_its_own(small_file: Write) -> None:
    file = small_file()
    assert free_id(read_craft(file), "rest") == "rest-2"
    assert free_id(read_craft(file), "light") == "light"
    add_part(file, "rest", role="rest", id="rest-2")
    assert free_id(read_craft(file), "rest") == "rest-3"


def test_a_part_that_no_shelf_has_is_refused(small_file: Write) -> None:
    file = small_file()
    before = file.read_text()
    with pytest.raises(InputError, match="no part 'nothing'"):
        add_part(file, "nothing")
    assert file.read_text() == before


@pytest.mark.parametrize("id", ["motors", "buzzer", "solder"], ids=["first", "middle", "last"])
def test_a_part_taken_off_leaves_every_heading_behind(id: str, lapwing: Path) -> None:
    before = lapwing.read_text()
    ids = [p.id for p in read_craft(lapwing).parts]
    said = remove_part(lapwing, id)
    assert said.startswith(f"{id} taken off")
    after = lapwing.read_text()
    assert comments(after) == comments(before)
    assert "\n\n\n" not in after
    assert [p.id for p in read_craft(lapwing).parts] == [name for name in ids if name != id]
    undo_change(lapwing)
    assert lapwing.read_text() == before


def test_a_weighing_of_the_craft_goes_with_the_parts_it_held(small_file: Write) -> None:
    file = small_file(more="[weighed]\nall_up_g = 580\n")
    assert "dropped [weighed]" in remove_part(file, "rest")
    assert "all_up_g" not in file.read_text()
    undo_change(file)
    assert "dropped [weighed]" in add_part(file, "rest", id="rest-2")


def test_another_part_in_a_place_drops_what_was_read_of_the_old_one(small_file: Write) -> None:
    file = small_file(('use = "b"', 'use = "b"\nmass_g = 190  # scale'), more="[weighed]\nall_up_g = 580\n")
    said = replace_part(file, "pack", "battery-4s-1500-75c", count=2)
    assert said == ("pack: battery-4s-1500-75c instead of b (dropped mass_g, [weighed]: true of the part before)")
    pack = next(p for p in read_craft(file).parts if p.id == "pack")
    assert (pack.part.name, pack.count) == ("battery-4s-1500-75c", 2)
    undo_change(file)
    assert "mass_g = 190  # scale" in file.read_text()


def test_a_weighing_of_one_part_with_its_scatter(small_file: Write) -> None:
    file = small_file()
    said = set_estimate(file, "motors", "mass", "g", 33.2, basis="weighed", sd=0.1)
    assert said == 'motors: mass_g = { value = 33.2, basis = "weighed", sd = 0.1 }'
    assert 'mass_g = { value = 33.2, basis = "weighed", sd = 0.1 }' in file.read_text()
    mass = mass_of(file, "motors")
    assert (mass.value, mass.sd, mass.basis) == (pytest.approx(0.0332), pytest.approx(1e-4), Basis.WEIGHED)


def test_another_unit_replaces_the_spelling_before_and_keeps_the_note_behind_it(small_file: Write) -> None:
    file = small_file(('use = "b"', 'use = "b"\nmass_g = 190  # kitchen scale'))
    set_estimate(file, "pack", "mass", "oz", 6.7)
    text = file.read_text()
    assert "mass_oz = 6.7  # kitchen scale" in text
    assert "mass_g = 190" not in text
    assert mass_of(file, "pack").basis is Basis.DATASHEET


def test_back_to_what_the_shelf_says(small_file: Write) -> None:
    file = small_file()
    set_estimate(file, "motors", "mass", "g", 33.2, basis="weighed")
    assert set_entry(file, "motors", "mass") == "motors: mass as on the shelf"
    assert mass_of(file, "motors").value == pytest.approx(0.032)
    with pytest.raises(InputError, match="no mass of its own"):
        set_entry(file, "motors", "mass")


def test_a_value_out_of_bounds_is_refused(small_file: Write) -> None:
    file = small_file()
    before = file.read_text()
    with pytest.raises(InputError, match="It must be more than"):
        set_estimate(file, "motors", "mass", "g", -3.0)
    assert file.read_text() == before


def test_a_place_and_a_reason(lapwing: Path) -> None:
    set_entry(lapwing, "buzzer", "at", "at_in", [1.5, 0, 0.25])
    set_entry(lapwing, "buzzer", "why", "why", 'found by "ear"')
    placed = next(p for p in read_craft(lapwing).parts if p.id == "buzzer")
    assert placed.places[0].x == pytest.approx(0.0381)
    assert placed.why == 'found by "ear"'
    assert "at_mm" not in lapwing.read_text().split('use = "buzzer')[1].split("[[part]]")[0]


def test_the_exact_part_is_meant_even_where_its_id_is_another_ones_role(small_file: Write) -> None:
    """Two entries with the role 'rest': one has an id, the other goes by its role."""
    filler = '[[part]]\nuse = "rest"\nrole = "filler"\n'
    file = small_file(more=f'{filler}id = "tail"\n{filler}')
    set_entry(file, "filler", "why", "why", "second")
    assert {p.id: p.why for p in read_craft(file).parts if p.role == "filler"} == {"tail": "", "filler": "second"}


def test_no_such_part(small_file: Write) -> None:
    with pytest.raises(InputError, match="no part 'x' on the craft"):
        remove_part(small_file(), "x")


def test_a_new_key_stands_before_the_comment_of_the_next_table(lapwing: Path) -> None:
    """By the other way of changing, too."""
    part_before_heading = 'use = "connector-two-pin-60a-male"'
    change_craft(lapwing, ["battery-connector.count=1"])
    block = lapwing.read_text().split(part_before_heading)[1].split("[[part]]")[0]
    assert block.index("count = 1") < block.index("# Steering")
