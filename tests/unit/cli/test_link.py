"""The link command: the page, the JSON, what it refuses."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rotorwright.craft.workshop import DEMO

LAPWING = Path(DEMO) / "crafts" / "lapwing-3.toml"

Command = Callable[..., Any]


def test_page(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    ran = command("link", LAPWING, "--channels", "5658,5695,5732", "--samples", 256)
    assert ran.code == 0
    assert max(len(line) for line in ran.out.splitlines()) <= 80
    assert "…" not in ran.out
    for words in ("e.i.r.p.", "in the open", "10 dB for fading", "5695, 5732 make 5658, which falls on 5658"):
        assert words in ran.out
    assert "verify locally" in " ".join(ran.out.split())


def test_json(command: Command) -> None:
    ran = command("link", LAPWING, "--json", "--samples", 64, "--margin", 20, "--exponent", 3, "--pilots", 4)
    found = json.loads(ran.out)
    video = found["links"]["video"]
    assert video["fade_margin_db"] == 20
    assert video["clutter_exponent"] == 3
    assert set(video["range_m"]) == {"value", "low", "high", "unit", "reason"}
    assert video["range_m"]["unit"] == "m"
    assert len(found["channels"]["best_hz"]) == 4


def test_margin_shortens_the_range(command: Command) -> None:
    def reach(margin: int) -> float:
        ran = command("link", LAPWING, "--json", "--samples", 0, "--margin", margin)
        return float(json.loads(ran.out)["links"]["video"]["range_m"]["value"])

    assert reach(0) == pytest.approx(10 * reach(20))


@pytest.mark.parametrize(
    "arguments, words",
    [
        (("--margin", "99"), "--margin 99 is out of range"),
        (("--exponent", "1"), "--exponent 1 is out of range"),
        (("--pilots", "0"), "--pilots 0 is out of range"),
        (("--samples", "-1"), "--samples -1 is out of range"),
        (("--channels", "a,b"), "--channels a,b cannot be read"),
        (("--channels", "nan,5800"), "cannot be read"),
        (("--channels", "5.8"), "Write MHz with commas"),
    ],
)
def test_refuses(command: Command, arguments: tuple[str, str], words: str) -> None:
    ran = command("link", LAPWING, *arguments)
    assert ran.code == 2
    assert words in ran.err
    assert "Traceback" not in ran.out + ran.err


def test_all_problems_at_once(command: Command) -> None:
    ran = command("link", LAPWING, "--margin", 99, "--pilots", 0)
    assert "--margin" in ran.err and "--pilots" in ran.err


def test_more_pilots_than_channels_is_a_reason(command: Command) -> None:
    ran = command("link", LAPWING, "--pilots", 9, "--samples", 0)
    assert ran.code == 1
    assert "9 channels cannot be chosen from 8" in ran.err


def test_a_craft_without_radio_gets_a_list_of_what_to_give(command: Command, small_file: Callable[..., Path]) -> None:
    ran = command("link", small_file(), "--samples", 0)
    assert ran.code == 0
    assert "video: not computed: give a video transmitter." in ran.out
    assert "control: not computed: give a receiver." in ran.out


def test_missing_file(command: Command) -> None:
    assert command("link", "nowhere").code == 2
