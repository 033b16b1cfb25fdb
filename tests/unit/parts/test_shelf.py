"""Shelves of files: unique names, later shelves first, and every problem of every file."""

from pathlib import Path

import pytest

from rotorwright.errors import InputError
from rotorwright.parts.hardware import Other
from rotorwright.parts.propulsion import Motor
from rotorwright.parts.shelf import Shelf, builtin_shelf, read_part_file, read_shelf

GOOD = 'format = 1\n[[other]]\nname = "a"\nmass_g = 1\n[[motor]]\nname = "mo"\nkv_rpm_per_v = 1000\n'


def put(folder: Path, name: str, text: str) -> Path:
    folder.mkdir(exist_ok=True, parents=True)
    (folder / name).write_text(text)
    return folder


def problems(*folders: Path) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_shelf(*folders)
    return [str(problem) for problem in caught.value.problems]


def test_files_below_a_folder_make_one_shelf(tmp_path: Path) -> None:
    put(tmp_path, "one.toml", GOOD)
    put(tmp_path / "deep" / "er", "two.toml", 'format = 1\n[[other]]\nname = "b"\nmass_g = 2\n')
    put(tmp_path, "notes.txt", "not a part file")
    shelf = read_shelf(tmp_path)
    assert len(shelf) == 3
    assert {part.name for part in shelf} == {"a", "b", "mo"}
    assert [part.name for part in shelf.of_kind(Motor)] == ["mo"]
    found = shelf.find("a")
    assert found is not None
    assert (found.line, found.source.file.name) == (2, "one.toml")
    assert shelf.find("A") is None


def test_a_later_folder_wins(tmp_path: Path) -> None:
    first = put(tmp_path / "1", "x.toml", GOOD)
    second = put(tmp_path / "2", "x.toml", 'format = 1\n[[other]]\nname = "a"\nmass_g = 9\n')
    found = read_shelf(first, second).find("a")
    assert found is not None
    assert found.part.mass is not None
    assert found.part.mass.value == pytest.approx(0.009)


def test_one_name_twice_in_a_file_names_the_first_line(tmp_path: Path) -> None:
    put(tmp_path, "x.toml", GOOD + '[[screw]]\nname = "a"\n')
    assert problems(tmp_path) == [
        f"{tmp_path}/x.toml:8: a part named 'a' stands on line 2 already. Give it another name."
    ]


def test_one_name_in_two_files(tmp_path: Path) -> None:
    put(tmp_path, "x.toml", GOOD)
    put(tmp_path, "y.toml", 'format = 1\n\n[[screw]]\nname = "a"\n')
    assert problems(tmp_path) == [
        f"{tmp_path}/y.toml:3: a part named 'a' stands in x.toml already. Give one of them another name."
    ]


def test_all_problems_of_all_files(tmp_path: Path) -> None:
    put(tmp_path, "a.toml", "[[moter]]\nname = 'x'\n")
    put(tmp_path, "b.toml", "format = 2\n[motor]\nname = 'x'\n")
    put(tmp_path, "c.toml", "format = 1\n[[other]]\nname = ['a']\nmass_g = -1\n[[other]]\n")
    put(tmp_path, "d.toml", "format = = 1\n")
    said = problems(tmp_path)
    assert [s.removeprefix(f"{tmp_path}/").split(". ")[0] for s in said] == [
        "a.toml: the file does not say its format",
        "a.toml:1: unknown kind of part 'moter'",
        "b.toml:1: format 2 is not known",
        "b.toml:2: [motor] is a single table",
        "c.toml:3: other: name is not text",
        "c.toml:4: other: mass is -1 g",
        "c.toml:5: other lacks name",
        "d.toml:1: not valid TOML: Invalid value",
    ]


def test_an_entry_that_is_no_table(tmp_path: Path) -> None:
    put(tmp_path, "a.toml", "format = 1\nother = [1, 2]\n")
    assert ["a table is expected here" in said for said in problems(tmp_path)] == [True, True]


def test_near_names(tmp_path: Path) -> None:
    shelf = builtin_shelf()
    assert "motor-2306-1750" in shelf.near("motor-2306-1570")
    assert all(isinstance(shelf.find(name).part, Motor) for name in shelf.near("2306", Motor))  # type: ignore[union-attr]
    assert shelf.near("") == []
    assert Shelf().near("anything") == []


def test_parts_put_before_a_shelf_win() -> None:
    put_before = builtin_shelf().find("motor-2306-1750")
    assert put_before is not None
    shelf = Shelf().with_parts([put_before]).with_parts([put_before])
    assert len(shelf) == 1


def test_read_part_file(tmp_path: Path) -> None:
    put(tmp_path, "x.toml", GOOD)
    assert [type(part) for part in read_part_file(tmp_path / "x.toml")] == [Other, Motor]
    put(tmp_path, "y.toml", "format = 1\n[[other]]\n")
    with pytest.raises(InputError, match="lacks name"):
        read_part_file(tmp_path / "y.toml")
    with pytest.raises(InputError, match="no such file"):
        read_part_file(tmp_path / "z.toml")
