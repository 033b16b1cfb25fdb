"""`rotorwright mend`."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rotorwright.craft.edit import change_craft
from rotorwright.craft.workshop import new_workshop

Run = Callable[..., Any]


@pytest.fixture
def craft(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    new_workshop(tmp_path / "w")
    monkeypatch.setenv("COLUMNS", "80")
    file = tmp_path / "w" / "crafts" / "lapwing-3.toml"
    change_craft(file, ["camera.tilt_deg=55"])
    return file


def test_remedies_are_told_and_one_is_written_and_taken_back(command: Run, craft: Path) -> None:
    before = craft.read_text()
    ran = command("mend", craft, "camera-tilt")
    assert (ran.code, ran.err) == (0, "")
    assert "1  Set tilt_deg of camera to 45" in ran.out
    assert "as heavy, as long and as strong as now" in ran.out
    assert "--take NUMBER" in ran.out
    assert max(map(len, ran.out.splitlines())) <= 80
    assert craft.read_text() == before
    ran = command("mend", craft, "camera-tilt", "camera", "--take", 1, "--json")
    data = json.loads(ran.out)
    assert data["done"] == "camera: tilt_deg = 45"
    assert data["remedies"]["found"][0]["move"]["value"] == 45
    assert "tilt_deg = 45" in craft.read_text()
    assert command("mend", craft, "camera-tilt").code == 2
    assert command("undo", craft).code == 0
    assert craft.read_text() == before


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (["camera-tild"], "Near: camera-tilt"),
        (["feed-loop"], "Found here: "),
        (["camera-tilt", "motors"], "finds no camera-tilt at 'motors'"),
        (["camera-tilt", "--take", "9"], "--take 9: there are"),
    ],
)
def test_what_cannot_be_done_is_said(command: Run, craft: Path, typed: list[str], words: str) -> None:
    ran = command("mend", craft, *typed)
    assert ran.code == 2
    assert words in ran.err.replace("\n", " ")
