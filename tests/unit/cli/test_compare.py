"""`rotorwright compare`."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


@pytest.fixture
def crafts(command: Run) -> list[Path]:
    assert command("new", "w").code == 0
    return [Path(f"w/crafts/lapwing-{k}.toml") for k in (1, 2, 3)]


def test_versions_in_a_line(command: Run, crafts: list[Path], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    ran = command("compare", *crafts, "--samples", 0, "--svg", "line.svg")
    assert (ran.code, ran.err) == (0, "")
    for words in ("From Lapwing 1 to Lapwing 2", "From Lapwing 2 to Lapwing 3", "all together", "in combination"):
        assert words in ran.out, words
    assert max(map(len, ran.out.splitlines())) <= 80
    assert Path("line.svg").read_text().startswith("<svg")


def test_json(command: Run, crafts: list[Path]) -> None:
    (step,) = json.loads(command("compare", *crafts[1:], "--samples", 32, "--json").out)
    battery = next(change for change in step["changes"] if change["place"] == "battery")
    assert battery["why"].startswith("The better of the two packs")
    assert battery["effects"]["weight"]["unit"] == "kg"


def test_nothing_to_compare(command: Run, crafts: list[Path]) -> None:
    assert command("compare", crafts[0]).code == 2
    same = command("compare", crafts[0], crafts[0], "--samples", 0)
    assert "Nothing that counts has changed." in same.out
    missing = command("compare", crafts[0], "nothere.toml")
    assert missing.code == 2
    assert "Traceback" not in missing.err
