"""A craft made from a combination: a new file, whole or not at all, and never over another."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.errors import InputError
from rotorwright.search.craft_from import craft_with, new_file, write_craft_with
from rotorwright.search.fleet import fleet_of
from rotorwright.search.space import Choice, Goal, Space
from rotorwright.search.swapped import choose, find_placed, own_shelf, unweighed

Read = Callable[[int], Craft]
PARTS = {"motors": "motor-2203.5-1800", "battery": "battery-6s-1300-75c"}


@pytest.fixture
def space(workshop: Path, tmp_path: Path) -> Space:
    shutil.copytree(workshop, tmp_path / "w")
    craft = unweighed(read_craft(tmp_path / "w" / "crafts" / "lapwing-3.toml"))
    choices = [
        Choice(placed, tuple(choose(own_shelf(craft), type(placed.part), [name])))
        for place, name in PARTS.items()
        for placed in (find_placed(craft, place),)
    ]
    return Space(craft.file, craft, tuple(choices), (), ())


def test_the_file_is_the_craft(space: Space) -> None:
    file = new_file(space, "made")
    assert file == space.craft.file.parent / "made.toml"
    what = write_craft_with(space, PARTS, file)
    assert "motors.use=motor-2203.5-1800" in what
    written, built = unweighed(read_craft(file)), craft_with(space, PARTS)
    assert float(fleet_of([written]).masses[0, 0]) == float(fleet_of([built]).masses[0, 0])
    assert 'previous = "lapwing-3.toml"' in file.read_text()


def test_it_speaks_for_itself(space: Space) -> None:
    """Reasons, version and note of the craft it came from are not carried over to other parts."""
    file = new_file(space, "lapwing-9")
    write_craft_with(replace(space, goals=(Goal("weight", -1), Goal("flight-time", 1))), PARTS, file)
    written = read_craft(file)
    assert written.title.full == "Lapwing 9"
    assert written.title.note == "Lapwing 3 with other parts, from a search by lapwing-3.toml."
    whys = {placed.id: placed.why for placed in written.parts}
    told = "Of a search, lapwing-3.toml, for less all-up weight, more flight time as flown."
    assert {whys[place] for place in PARTS} == {told}
    kept = {placed.id: placed.why for placed in space.craft.parts if placed.id not in PARTS}
    assert {place: whys[place] for place in kept} == kept


def test_paths_are_taken_as_they_are(space: Space) -> None:
    assert new_file(space, "other/x.toml") == Path("other/x.toml")
    assert new_file(space, "x.toml") == Path("x.toml")


def test_no_file_is_written_over(space: Space) -> None:
    file = space.craft.file.parent / "lapwing-1.toml"
    before = file.read_bytes()
    with pytest.raises(InputError) as told:
        write_craft_with(space, PARTS, file)
    assert "the file exists" in told.value.problems[0].what
    assert file.read_bytes() == before


def test_what_fails_leaves_no_file(space: Space) -> None:
    file = space.craft.file.parent / "made.toml"
    with pytest.raises(InputError):
        write_craft_with(space, PARTS | {"battery": "no-such-pack"}, file)
    assert not file.exists()


def test_a_folder_that_is_not_there(space: Space, tmp_path: Path) -> None:
    with pytest.raises(InputError) as told:
        write_craft_with(space, PARTS, tmp_path / "nowhere" / "made.toml")
    assert "cannot be written" in told.value.problems[0].what
