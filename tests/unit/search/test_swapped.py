"""A part replaced in memory is a part replaced in the file."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from rotorwright.craft.edit import change_craft
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.errors import InputError
from rotorwright.search.swapped import candidates, choose, find_placed, loosened, own_shelf, settled, swapped

Read = Callable[[int], Craft]


@pytest.mark.parametrize(
    ("place", "name"),
    [
        ("motors", "motor-2208-1800"),
        ("propellers", "6x4-3"),
        ("battery", "battery-4s-1500-75c"),
        ("camera", "camera-14mm-analog"),
        ("arms", "plate-arm-112x12x4"),
        ("recording-camera", "recording-camera-125g"),
    ],
)
def test_swapped_in_memory_or_in_the_file(workshop: Path, lapwing: Read, place: str, name: str) -> None:
    craft = lapwing(3)
    shelf = own_shelf(craft)
    placed = find_placed(craft, place)
    if shelf.find(name) is None:
        name = candidates(shelf, type(placed.part), placed.part.name)[0].name
    file = workshop / "crafts" / f"swap-{place}.toml"
    shutil.copyfile(craft.file, file)
    change_craft(file, [f"{place}.use={name}"])
    (part,) = choose(shelf, type(placed.part), [name])
    read, made = read_craft(file), swapped(craft, placed, part)
    assert read.weighed == made.weighed
    for a, b in zip(read.parts, made.parts, strict=True):
        assert (a.id, a.role, a.count, a.part) == (b.id, b.role, b.count, b.part)
        assert a.places == b.places


@pytest.mark.parametrize("version", [1, 2, 3])
def test_loosened_and_settled_again_it_is_the_same(lapwing: Read, version: int) -> None:
    craft = lapwing(version)
    assert settled(loosened(craft)).parts == craft.parts


def test_single_controllers_come_in_fours(lapwing: Read) -> None:
    craft = lapwing(3)
    placed = find_placed(craft, "esc")
    (single,) = choose(own_shelf(craft), type(placed.part), ["esc-single-35a"])
    four = swapped(craft, placed, single)
    assert find_placed(four, "esc").count == 4
    board = swapped(four, find_placed(four, "esc"), placed.part)
    assert find_placed(board, "esc").count == 1


def test_unknown_names_are_all_told_with_near_ones(lapwing: Read) -> None:
    craft = lapwing(3)
    shelf, kind = own_shelf(craft), type(find_placed(craft, "motor").part)
    with pytest.raises(InputError) as caught:
        choose(shelf, kind, ["motor-2306-1751", "5x4.3-3"])
    first, second = caught.value.problems
    assert "motor-2306-1750" in first.fix
    assert "is a propeller" in second.what
    with pytest.raises(InputError, match="no part 'wing' on the craft"):
        find_placed(craft, "wing")
