"""`rotorwright wiring` on the command line."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import rotorwright.craft

LAPWING = Path(rotorwright.craft.__file__).parent / "demo_workshop" / "crafts" / "lapwing-2.toml"
Command = Callable[..., Any]


def test_the_table_and_the_picture(command: Command, tmp_path: Path) -> None:
    file = tmp_path / "plan.svg"
    ran = command("wiring", LAPWING, "--picture", file)
    assert ran.code == 0
    assert "speed controller \u2192 flight controller" in ran.out
    assert "12: no wire stated" in ran.out
    assert "Propellers off" in ran.out
    assert ElementTree.fromstring(file.read_text(encoding="utf-8")).tag.endswith("svg")


def test_json_has_units_in_its_keys(command: Command) -> None:
    found = json.loads(command("wiring", LAPWING, "--json").out)
    run = found["runs"][1]
    assert run["length_m"] == 0.1
    assert run["conductors"][0] == {"role": "plus", "start": "+", "end": "+"}
    assert set(found) == {"devices", "runs", "missing"}


def test_what_is_missing_is_said(command: Command) -> None:
    ran = command("wiring", Path(__file__).parents[1] / "frame" / "wren.toml")
    assert "missing: nothing is said to feed camera" in ran.out


def test_a_craft_that_is_not_there(command: Command) -> None:
    assert command("wiring", "nowhere.toml").code == 2
