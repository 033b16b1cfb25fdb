"""Changes by name: comments stay, a change that breaks the craft is refused, undo restores every byte."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rotorwright.craft.edit import accept_finding, change_craft, undo_change
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.errors import InputError

Write = Callable[..., Path]


def test_comments_and_order_stay(small_file: Write) -> None:
    file = small_file()
    before = file.read_text()
    assert change_craft(file, ["frame.motor_spacing_mm=250"]) == "frame.motor_spacing_mm=250"
    assert file.read_text() == before.replace("motor_spacing_mm = 240", "motor_spacing_mm = 250")
    assert undo_change(file) == "frame.motor_spacing_mm=250"
    assert file.read_text() == before


@pytest.mark.parametrize("name", ["pack", "battery", "b"], ids=["id", "role", "shelf name"])
def test_a_part_by_its_names(name: str, small_file: Write) -> None:
    file = small_file()
    change_craft(file, [f"{name}.count=2"])
    assert read_craft(file).parts[2].count == 2


def test_a_part_by_its_kind_when_nothing_else_names_it(small_file: Write) -> None:
    file = small_file()
    change_craft(file, ["propeller.mass_g=5", "motor.why=light"])
    craft = read_craft(file)
    assert craft.parts[1].part.mass is not None
    assert craft.parts[1].part.mass.value == pytest.approx(0.005)
    assert craft.parts[0].why == "light"


def test_a_name_needs_no_quotes_and_numbers_are_numbers(small_file: Write) -> None:
    file = small_file()
    change_craft(file, ["propeller.use=5.1x3.6-3", "motors.use=motor-2306-1750", "name=2306-b"])
    craft = read_craft(file)
    assert [p.part.name for p in craft.parts[:2]] == ["motor-2306-1750", "5.1x3.6-3"]
    assert craft.title.name == "2306-b"


def test_values_of_the_part_before_go_with_it(small_file: Write) -> None:
    file = small_file(
        ('use = "b"', 'use = "b"\nwhy = "It was cheap."\nmass_g = 190'), more="[weighed]\nall_up_g = 580\n"
    )
    said = change_craft(file, ["pack.use=battery-4s-1500-75c"])
    assert "dropped why, mass_g, [weighed]" in said
    assert "all_up_g" not in file.read_text()
    undo_change(file)
    assert "mass_g = 190" in file.read_text()
    assert "It was cheap." in file.read_text()
    assert "all_up_g" in file.read_text()


def test_nothing_behind_the_equals_sign_removes_the_key(small_file: Write) -> None:
    file = small_file()
    change_craft(file, ["rest.at_mm="])
    assert read_craft(file).parts[3].assumed
    with pytest.raises(InputError, match="no such key to remove"):
        change_craft(file, ["rest.nothing="])
    undo_change(file)
    assert not read_craft(file).parts[3].assumed


def test_a_nested_value(small_file: Write) -> None:
    file = small_file(('id = "pack"', 'id = "pack"\nmass_g = { value = 190, sd = 2 }'))
    change_craft(file, ["pack.mass_g.value=200"])
    mass = read_craft(file).parts[2].part.mass
    assert mass is not None
    assert mass.value == pytest.approx(0.2)
    assert mass.sd == pytest.approx(0.002)


def test_several_changes_are_one_step(small_file: Write) -> None:
    file = small_file()
    before = file.read_bytes()
    change_craft(file, ["pack.count=2", 'pack.why="two = more"'])
    assert read_craft(file).parts[2].why == "two = more"
    undo_change(file)
    assert file.read_bytes() == before


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["plain", "byte-order mark"])
@pytest.mark.parametrize("end", [b"\n", b"\r\n"], ids=["lf", "crlf"])
def test_undo_restores_every_byte(mark: bytes, end: bytes, small_file: Write) -> None:
    file = small_file(("# a small wader", "# a small\u2028wader \u00e9"))
    file.write_bytes(mark + file.read_bytes().replace(b"\n", end))
    before = file.read_bytes()
    change_craft(file, ["name=Dunlin"])
    change_craft(file, ["pack.count=2"])
    assert file.read_bytes().count(end) == before.count(end) + 1
    undo_change(file)
    undo_change(file)
    assert file.read_bytes() == before


def test_a_change_that_changes_nothing_is_not_on_record(small_file: Write) -> None:
    file = small_file()
    change_craft(file, ["frame.motor_spacing_mm=240"])
    with pytest.raises(InputError, match="nothing to undo"):
        undo_change(file)


REFUSED = {
    "pack.mass_g=-3": "mass is -3 g",
    "pack.use=no-such-thing": "no part 'no-such-thing' on any shelf",
    "frame.motor_spacing_mm=inf": "is not finite",
    "frame.motor_spacing_mm=wide": "is not a number",
    "frame.colour=red": "unknown key 'colour'",
    "frame.motor_spacing_mm=": "does not say how far apart",
    "name=": "the craft lacks name",
    "nobody.count=2": "no table or part 'nobody'. Parts here: motors, p, pack, rest",
    "frame.foo.bar=1": "no table or part 'frame.foo'",
    "name.x=1": "no table or part 'name'",
    "frame.layout.x=": "no table or part 'frame.layout'",
    "pack": "'pack' is not a change",
    "=3": "'=3' is not a change",
    ".count=3": "is not a change",
    "part.count=3": "no table or part 'part'",
    "frame=3": "a table is expected here",
    "part=3": "[part] is a single table",
    "pack.count=\udcff": "not text",
    "pack.why=\x1b[31m": "why holds a control character",
}


@pytest.mark.parametrize("change", REFUSED, ids=ascii)
def test_a_bad_change_leaves_the_file(change: str, small_file: Write) -> None:
    file = small_file()
    before = file.read_bytes()
    with pytest.raises(InputError) as caught:
        change_craft(file, ["pack.count=2", change])
    assert REFUSED[change] in str(caught.value)
    assert file.read_bytes() == before
    assert not (file.parent / ".journal").exists()


def test_a_broken_file_is_told_with_its_line(small_file: Write) -> None:
    file = small_file(more="[[part]\n")
    with pytest.raises(InputError, match=r"stint.toml:52: not valid TOML"):
        change_craft(file, ["pack.count=2"])


def test_a_missing_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such file"):
        change_craft(tmp_path / "x.toml", ["name=x"])
    with pytest.raises(InputError, match="no such file"):
        undo_change(tmp_path / "x.toml")


def test_a_table_that_is_not_there_yet_is_made(small_file: Write) -> None:
    file = small_file()
    assert "[site]" not in file.read_text()
    change_craft(file, ["site.altitude_m=800"])
    altitude = read_craft(file).site.altitude
    assert altitude is not None
    assert altitude.value == 800
    undo_change(file)
    assert "[site]" not in file.read_text()


def test_no_change_is_no_success(small_file: Write) -> None:
    with pytest.raises(InputError, match="nothing to change"):
        change_craft(small_file(), [])


def test_accepting_a_finding_writes_its_reason_and_can_be_undone(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_text((DEMO / "crafts" / "lapwing-1.toml").read_text())
    before = file.read_text()
    assert accept_finding(file, "lead-too-thin", "short flights only") == "lead-too-thin accepted"
    assert [(w.code, w.reason) for w in read_craft(file).waivers][-1] == ("lead-too-thin", "short flights only")
    accept_finding(file, "lead-too-thin", "a better reason")
    assert [w.reason for w in read_craft(file).waivers if w.code == "lead-too-thin"] == ["a better reason"]
    undo_change(file)
    undo_change(file)
    assert file.read_text() == before


def test_a_value_in_another_unit_takes_the_place_of_the_old_one(small_file: Write) -> None:
    file = small_file()
    change_craft(file, ["flight.landing_voltage_mv=3500", "motors.mass_oz=1.2"])
    change_craft(file, ["flight.landing_voltage_v=3.4", "motors.mass_g=33"])
    text = file.read_text()
    assert "landing_voltage_v = 3.4" in text
    assert "mass_g = 33" in text
    assert "landing_voltage_mv" not in text
    assert "mass_oz" not in text
