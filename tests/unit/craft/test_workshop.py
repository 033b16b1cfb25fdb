"""A new workshop, and how a craft is found by name."""

from pathlib import Path

import pytest

from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import find_craft, new_workshop
from rotorwright.errors import InputError


def test_a_new_workshop_has_its_folders_and_crafts_that_read(tmp_path: Path) -> None:
    crafts = new_workshop(tmp_path / "deep" / "shop")
    assert [file.name for file in crafts] == [
        "curlew-1.toml",
        *(f"lapwing-{version}.toml" for version in (1, 2, 3, 4)),
        "sanderling-1.toml",
    ]
    assert sorted(p.name for p in (tmp_path / "deep" / "shop").iterdir()) == ["crafts", "logs", "out", "shelf"]
    assert all(read_craft(file).parts for file in crafts)


def test_an_empty_folder_will_do_and_a_full_one_will_not(tmp_path: Path) -> None:
    new_workshop(tmp_path)
    with pytest.raises(InputError, match="the folder is not empty"):
        new_workshop(tmp_path)


def test_a_file_in_the_way(tmp_path: Path) -> None:
    (tmp_path / "x").write_text("")
    with pytest.raises(InputError):
        new_workshop(tmp_path / "x")
    with pytest.raises(InputError, match="cannot be made"):
        new_workshop(tmp_path / "x" / "y")


def test_find_craft(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "crafts").mkdir()
    (tmp_path / "crafts" / "a.toml").touch()
    (tmp_path / "b.toml").touch()
    assert find_craft("a") == Path("crafts/a.toml")
    assert find_craft("b") == Path("b.toml")
    assert find_craft("crafts/a") == Path("crafts/a.toml")
    assert find_craft("crafts/a.toml") == Path("crafts/a.toml")


@pytest.mark.parametrize("name", ["", ".", "..", "/", "no", "x" * 300, "~"])
def test_a_name_that_is_no_file_comes_back_as_it_is(name: str) -> None:
    assert find_craft(name) == Path(name)
