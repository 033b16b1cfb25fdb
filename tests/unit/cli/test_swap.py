"""`rotorwright swap`."""

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


def test_a_list_an_argument_and_what_cannot_be_told(
    command: Run, craft: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    ran = command("swap", craft, "motors", "motor-2203.5-1800", "motor-2207-1750", "--samples", 32)
    assert (ran.code, ran.err) == (0, "")
    for words in ("motor-2306-1750", "flight s", "new", "Gains:", "No telling:", "Note: "):
        assert words in ran.out, words
    assert max(map(len, ran.out.splitlines())) <= 80
    assert "\x1b" not in ran.out


def test_json_holds_every_measure_with_its_difference(command: Run, craft: Path) -> None:
    ran = command("swap", craft, "esc", "--json", "--samples", 0, "--goal", "cost")
    assert (ran.code, ran.err) == (0, "")
    data = json.loads(ran.out)
    assert data["goal"] == "cost"
    costs = [row["values"]["cost"]["value"] for row in data["rows"] if row["reason"] is None]
    assert costs == sorted(costs)
    row = data["rows"][0]
    assert set(row["differences"]) == set(row["verdict"]) == set(data["present"]["values"])


def test_the_price_of_a_gram(command: Run, craft: Path) -> None:
    ran = command("swap", craft, "--samples", 0)
    assert ran.code == 0
    assert "The price of a gram" in ran.out
    assert "bumpers (over 4)" in ran.out
    assert isinstance(json.loads(command("swap", craft, "--samples", 0, "--json").out), list)


def test_only_what_fits(command: Run, craft: Path) -> None:
    ran = command("swap", craft, "motors", "motor-1303-5000", "motor-2207-1750", "--fits", "--samples", 0)
    assert ran.code == 0
    assert "left out for a new stop: 1 of 2" in ran.out
    assert "motor-1303-5000" not in ran.out


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (("wing",), "no part 'wing' on the craft"),
        (("motors", "motor-2306-175"), "motor-2306-1750"),
        (("motors", "5x4.3-3"), "is a propeller, not a motor"),
        (("motors", "--goal", "flight_time"), "flight-time"),
        (("motors", "--samples", "-1"), "out of range"),
    ],
)
def test_bad_input(command: Run, craft: Path, typed: tuple[str, ...], says: str) -> None:
    ran = command("swap", craft, *typed)
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err


def test_a_craft_that_does_not_fly_has_reasons_and_no_traceback(
    command: Run, small_file: Callable[..., Path]
) -> None:
    small_file(("mass_g = 250", "mass_g = 25000"))
    ran = command("swap", "stint.toml", "motors", "motor-2306-1750", "--samples", 0)
    assert ran.code == 0
    assert "motor-2306-1750" in ran.out
