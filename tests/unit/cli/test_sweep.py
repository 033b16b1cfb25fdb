"""`rotorwright sweep`."""

import json
import re
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


def test_the_craft_as_it_is_has_a_row(command: Run, craft: Path) -> None:
    rows = command("sweep", craft, "--vary", "propeller.pitch_in=3.5,3.75", "--samples", 0).out.splitlines()
    assert [row.split()[:2] for row in rows[2:5]][1] == ["3.6", "now"]
    turned = command("sweep", craft, "--vary", "propeller.pitch_in=3.75,3.5", "--samples", 0).out.splitlines()
    assert turned[3].split()[:2] == ["3.6", "now"]
    beyond = command("sweep", craft, "--vary", "propeller.pitch_in=4,5", "--samples", 0).out.splitlines()
    assert beyond[2].split()[:2] == ["3.6", "now"]
    exactly = command("sweep", craft, "--vary", "propeller.pitch_in=3.5,3.6", "--samples", 0).out
    assert exactly.count(" now ") == 1 and len(exactly.splitlines()) == len(rows) - 1


def test_a_map_is_shown_for_every_goal(command: Run, craft: Path) -> None:
    typed = ("--vary", "battery.capacity_mah=900,1300", "--vary", "battery.cells=4,6")
    ran = command("sweep", craft, *typed, "--goals", "weight,hover-time,cost", "--samples", 20)
    assert ran.out.count("capacity_mah \\ cells") == 3
    heads = [line.strip() for line in ran.out.splitlines() if line.strip() in ("weight g", "hover s", "cost")]
    assert heads == ["weight g", "hover s", "cost"]
    assert ran.out.count("5\u201395 % bounds: \u00b1") == 2  # a price has none
    assert len(re.findall(r"\d\*", ran.out)) == 1  # the best is marked once, in the map of the first
    assert "Now, at 1060 and 6: weight g 600" in ran.out


def test_one_number_twice_is_refused(command: Run, craft: Path) -> None:
    ran = command("sweep", craft, "--vary", "propeller.pitch_in=3,4", "--vary", "propeller.pitch_in=3,4")
    assert (ran.code, ran.out) == (2, "")
    assert "propeller.pitch_in is varied twice" in ran.err
