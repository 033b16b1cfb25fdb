"""Antennas on the ground: looked up on the workshop's shelf, which is read again only when it has changed."""

import os
from pathlib import Path

import pytest

from rotorwright.craft import ground, read_craft
from rotorwright.craft.ground import antennas_called
from rotorwright.craft.workshop import new_workshop
from rotorwright.errors import CannotCompute

ANTENNA = '\n[[antenna]]\nname = "{}"\nmass_g = 2\n'


def test_an_unchanged_shelf_is_read_once_and_a_changed_one_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    new_workshop(tmp_path / "shop")
    craft = read_craft(tmp_path / "shop" / "crafts" / "lapwing-1.toml")
    shelf, reads = tmp_path / "shop" / "shelf" / "own.toml", []
    whole = ground.workshop_shelf
    monkeypatch.setattr(ground, "workshop_shelf", lambda folder: reads.append(folder) or whole(folder))
    before = shelf.read_text(encoding="utf-8")
    shelf.write_text(before + ANTENNA.format("mast one"), encoding="utf-8")
    for _ in range(3):
        assert [part.name for part in antennas_called(craft, "mast one")] == ["mast one"]
    assert len(reads) == 1
    shelf.write_text(before + ANTENNA.format("mast two"), encoding="utf-8")
    os.utime(shelf, ns=(1, 1))
    with pytest.raises(CannotCompute, match="no antenna 'mast one'"):
        antennas_called(craft, "mast one")
    assert [part.name for part in antennas_called(craft, "mast two")] == ["mast two"]
    assert len(reads) == 2
