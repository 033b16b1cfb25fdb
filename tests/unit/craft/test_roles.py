"""What a craft lacks, told by what is taken off a complete one."""

from pathlib import Path

import pytest

from rotorwright.craft.edit_parts import remove_part
from rotorwright.craft.read import read_craft
from rotorwright.craft.roles import missing_roles
from rotorwright.craft.workshop import DEMO


@pytest.fixture
def lapwing(tmp_path: Path) -> Path:
    file = tmp_path / "a.toml"
    file.write_text((DEMO / "crafts" / "lapwing-1.toml").read_text())
    return file


def test_the_demo_craft_lacks_nothing(lapwing: Path) -> None:
    assert missing_roles(read_craft(lapwing)) == ()


def test_what_nothing_flies_without_comes_first(lapwing: Path) -> None:
    for id in ("strap", "receiver"):
        remove_part(lapwing, id)
    assert [(usual.role, usual.needed) for usual in missing_roles(read_craft(lapwing))] == [
        ("receiver", True),
        ("strap", False),
    ]


def test_a_transmitter_misses_its_antenna_and_no_transmitter_misses_none(lapwing: Path) -> None:
    remove_part(lapwing, "video-antenna")
    assert [usual.role for usual in missing_roles(read_craft(lapwing))] == ["video-antenna"]
    remove_part(lapwing, "video-transmitter")
    assert [usual.role for usual in missing_roles(read_craft(lapwing))] == ["video-transmitter"]


def test_a_part_of_the_kind_plays_the_role_under_another_name(lapwing: Path) -> None:
    lapwing.write_text(lapwing.read_text().replace('role = "buzzer"', 'role = "finder"'))
    assert missing_roles(read_craft(lapwing)) == ()
