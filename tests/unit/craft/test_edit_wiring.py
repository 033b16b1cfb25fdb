"""Wiring changed by part and by wire: the tree follows, a wrong rail is a finding, not a broken file."""

import shutil
from pathlib import Path

import pytest

from rotorwright.craft.edit import undo_change
from rotorwright.craft.edit_wiring import move_feed, set_wire
from rotorwright.craft.feeds import Feeds
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.errors import InputError


@pytest.fixture
def file(tmp_path: Path) -> Path:
    shutil.copytree(DEMO, tmp_path / "w")
    return tmp_path / "w" / "crafts" / "lapwing-3.toml"


def test_a_part_moves_to_another_rail_with_its_wire(file: Path) -> None:
    before = file.read_text()
    assert (
        move_feed(file, "receiver", "flight-controller.9V") == "receiver fed from flight-controller.9V, its wire too"
    )
    craft = read_craft(file)
    receiver = craft.the("receiver")
    assert receiver is not None
    rail = Feeds(craft).of(receiver)
    assert rail is not None and rail.id == "flight-controller.9V"
    assert not Feeds(craft).faults()
    undo_change(file)
    assert file.read_text() == before


def test_a_wire_gets_another_gauge_and_length(file: Path) -> None:
    set_wire(file, 0, "gauge", "gauge_mm2", 4.0)
    set_wire(file, 0, "length", "length_mm", 80)
    wire = read_craft(file).wires[0]
    assert wire.gauge is not None and wire.length is not None
    assert wire.gauge.value == pytest.approx(4e-6)
    assert wire.length.value == pytest.approx(0.08)


@pytest.mark.parametrize(
    "call", [lambda f: move_feed(f, "nobody", "battery.lead"), lambda f: set_wire(f, 99, "a", "a", 1)]
)
def test_what_is_not_there_is_refused(file: Path, call: object) -> None:
    before = file.read_text()
    with pytest.raises(InputError):
        call(file)  # type: ignore[operator]
    assert file.read_text() == before
