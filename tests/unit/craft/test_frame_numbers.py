"""Numbers of the frame by their path: listed in order, changed in place, everything else kept."""

from pathlib import Path

import pytest

from rotorwright.craft.edit import undo_change
from rotorwright.craft.frame_numbers import frame_numbers, set_frame_number, with_frame_number
from rotorwright.craft.read import read_craft
from rotorwright.errors import InputError

_WREN = (Path(__file__).parents[1] / "frame" / "wren.toml").read_text()


def test_every_number_is_listed_with_its_group_and_unit() -> None:
    found = {number.path: number for number in frame_numbers(_WREN)}
    arm = found["arm", "thickness_mm"]
    assert (arm.group, arm.name, arm.unit, arm.value) == ("arm", "thickness", "mm", 5.0)
    assert found["arm", "screw_at_mm", 1].name == "screw at 2"
    assert found["deck", 2, "length_mm"].group == "deck top"
    assert found["deck", 0, "pattern", 0, "hole_mm"].value == 3.2


@pytest.mark.parametrize("path", [number.path for number in frame_numbers(_WREN)])
def test_a_number_is_changed_alone(path: tuple[str | int, ...]) -> None:
    before = {number.path: number.value for number in frame_numbers(_WREN)}
    after = {number.path: number.value for number in frame_numbers(with_frame_number(_WREN, path, 12.25))}
    assert after == {**before, path: 12.25}


def test_it_goes_through_the_journal(tmp_path: Path) -> None:
    file = tmp_path / "wren.toml"
    file.write_text(_WREN)
    assert set_frame_number(file, ("arm", "thickness_mm"), 6.0) == "frame arm thickness_mm = 6"
    arm = read_craft(file).frame.arm
    assert arm is not None and arm.thickness is not None
    assert arm.thickness.value == pytest.approx(6e-3)
    with pytest.raises(InputError):
        set_frame_number(file, ("arm", "thickness_mm"), -1.0)
    undo_change(file)
    assert file.read_text() == _WREN
