"""`rotorwright sweep`."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


@pytest.fixture
def craft(command: Run) -> Path:
    assert command("new", "w").code == 0
    return Path("w/crafts/lapwing-3.toml")


def test_a_curve(command: Run, craft: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    ran = command("sweep", craft, "--vary", "battery.capacity_mah=900:1800:300", "--samples", 32, "--svg", "c.svg")
    assert (ran.code, ran.err) == (0, "")
    for words in ("capacity_mah", "1800 *", "Scaled along by the laws: battery.mass", "--hold"):
        assert words in ran.out, words
    assert max(map(len, ran.out.splitlines())) <= 80
    assert "battery capacity  mAh" in Path("c.svg").read_text()


def test_a_map(command: Run, craft: Path) -> None:
    typed = ("--vary", "battery.cells=4,6", "--vary", "site.altitude_m=0,2000", "--goals", "thrust-to-weight")
    ran = command("sweep", craft, *typed, "--samples", 0)
    assert ran.code == 0
    assert "*" in ran.out
    data = json.loads(command("sweep", craft, *typed, "--samples", 0, "--json").out)
    assert [point["at"] for point in data["points"]] == [[4, 0], [4, 2000], [6, 0], [6, 2000]]
    assert data["best"] == 2


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (("--vary", "propeller.pich_in=3:4:1"), "unknown key 'pich_in'"),
        (("--vary", "propeller.pitch_in=3:4"), "not low:high:step"),
        (("--vary", "propeller.pitch_in=4:3:1"), "not low:high:step"),
        (("--vary", "a.b=1", "--vary", "a.c=1", "--vary", "a.d=1"), "one or two"),
        (("--vary", "site.altitude_m=1,2", "--goals", "speed"), "nothing is measured by 'speed'"),
    ],
)
def test_bad_input(command: Run, craft: Path, typed: tuple[str, ...], says: str) -> None:
    ran = command("sweep", craft, *typed)
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err
