"""`rotorwright begin`."""

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rotorwright.craft.read import read_craft

Run = Callable[..., Any]


@pytest.fixture
def workshop(command: Run, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder one stands in."""
    assert command("new", "w").code == 0
    monkeypatch.chdir("w")
    return Path(os.curdir)


def test_a_craft_is_proposed_into_the_workshop_and_never_over_another(command: Run, workshop: Path) -> None:
    ran = command("begin", "plover-1", "--inches", 3, "--use", "filming", "--under-g", 250)
    assert (ran.code, ran.err) == (0, "")
    assert "rotorwright report crafts/plover-1.toml" in ran.out
    file = workshop / "crafts" / "plover-1.toml"
    before = file.read_text(encoding="utf-8")
    assert read_craft(file).title.full == "plover 1"
    again = command("begin", "plover-1", "--inches", 4, "--use", "racing")
    assert again.code == 2
    assert "the file exists" in again.err
    assert file.read_text(encoding="utf-8") == before


def test_json_says_what_was_proposed(command: Run, workshop: Path) -> None:
    ran = command("begin", "plover-2", "--inches", 4, "--use", "gentle-freestyle", "--recording", "--json")
    assert (ran.code, ran.err) == (0, "")
    told = json.loads(ran.out)
    assert told["file"] == "crafts/plover-2.toml"
    assert told["thrust_to_weight"] >= 4.5
    assert told["tried"] > 100


def test_what_cannot_be_made_leaves_no_file(command: Run, workshop: Path) -> None:
    ran = command("begin", "plover-3", "--inches", 7, "--use", "filming", "--under-g", 250)
    assert ran.code == 1
    assert "The lightest" in ran.err
    assert not (workshop / "crafts" / "plover-3.toml").exists()


def test_outside_a_workshop_it_says_so(command: Run) -> None:
    ran = command("begin", "plover-4", "--inches", 5, "--use", "filming")
    assert ran.code == 2
    assert "there is no folder crafts/ here" in ran.err
