"""`propeller`, `motor` and `shelf`."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rotorwright.parts.kinds import KINDS
from rotorwright.parts.shelf import builtin_shelf

Run = Callable[..., Any]


def test_propeller_rows_as_json(command: Run) -> None:
    ran = command("propeller", "5x4.3-3", "--rpm", "4000,6000", "--advance", "0,0.2,0.4", "--json")
    assert (ran.code, ran.err) == (0, "")
    data = json.loads(ran.out)
    assert [(row["rpm"], row["advance"]) for row in data["rows"]] == [
        (n, J) for n in (4000, 6000) for J in (0, 0.2, 0.4)
    ]
    for row in data["rows"]:
        assert {"rpm", "advance", "ct", "cp", "efficiency"} <= set(row)
        ct, cp = row["ct"]["value"], row["cp"]["value"]
        assert row["efficiency"]["value"] == pytest.approx(row["advance"] * ct / cp)
        assert row["ct"]["low"] < ct < row["ct"]["high"]


def test_propeller_in_words_and_from_a_file(command: Run, tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(
        'format = 1\n[[propeller]]\nname = "one"\ndiameter_in = 5\npitch_in = 3\n'
        '[[propeller]]\nname = "two"\ndiameter_in = 6\npitch_in = 3\n[[other]]\nname = "o"\n'
    )
    assert "5 x 4.3 in, 3 blades" in command("propeller", "5x4.3-3").out
    ran = command("propeller", "own.toml", "--json")
    assert [t["name"] for t in json.loads(ran.out)["propellers"]] == ["one", "two"]
    assert "to first" in command("propeller", "own.toml").out
    assert command("propeller", "own.toml", "5x4.3-3", "--thrust-g", "300").code == 0


def test_thinner_air_gives_less_thrust(command: Run) -> None:
    def thrust(*options: str) -> float:
        data = json.loads(command("propeller", "5x4.3-3", "--rpm", "15000", "--json", *options).out)
        return float(data["rows"][0]["thrust_n"]["value"])

    assert thrust("--altitude-m", "3000") < thrust() < thrust("--temperature-degc", "-20")


def test_motor(command: Run) -> None:
    data = json.loads(command("motor", "motor-2306-1750", "--volts", "14.8", "--json").out)
    assert data["voltage_v"] == 14.8
    assert data["kv_rpm_per_v"]["value"] == pytest.approx(1750)
    assert "Most efficient at" in command("motor", "motor-2306-1750").out


def test_shelf_counts(command: Run) -> None:
    counts = json.loads(command("shelf", "--json").out)["kinds"]
    assert sum(counts.values()) == len(builtin_shelf()) >= 120
    listed = command("shelf").out
    assert all(kind in listed for kind in KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_shelf_of_every_kind(kind: str, command: Run) -> None:
    ran = command("shelf", kind)
    assert ran.code == 0
    assert f"of kind {kind}" in ran.out
    parts = json.loads(command("shelf", kind, "--json").out, parse_constant=lambda word: pytest.fail(word))["parts"]
    assert all(part["kind"] == kind and part["name"] for part in parts)


@pytest.mark.parametrize(
    "word, kind", [("vtx", "video-transmitter"), ("ESC", "speed-controller"), ("props", "propeller")]
)
def test_trade_words(word: str, kind: str, command: Run) -> None:
    assert command("shelf", word).out == command("shelf", kind).out


def test_the_shelf_of_the_workshop_one_stands_in(
    command: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "shelf").mkdir()
    (tmp_path / "crafts").mkdir()
    (tmp_path / "shelf" / "own.toml").write_text('format = 1\n[[strap]]\nname = "my-own-strap"\nmass_g = 3\n')
    assert "my-own-strap" in command("shelf", "strap").out
    monkeypatch.chdir(tmp_path / "crafts")
    assert "my-own-strap" in command("shelf", "strap").out
    (tmp_path / "shelf" / "own.toml").write_text("format = 1\n[[strap]]\nmass_g = -3\n")
    ran = command("shelf", "strap")
    assert ran.code == 2
    assert "own.toml:3: strap: mass is -3 g" in ran.err
