"""`rotorwright check` and `rotorwright explain`."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rotorwright.checks import all_rules
from rotorwright.craft.workshop import DEMO


@pytest.fixture
def craft_file(tmp_path: Path, sound: Callable[..., Any]) -> Callable[..., Path]:
    """The sound craft as a file, with changes."""

    def write(changes: dict[str, Any] | None = None) -> Path:
        file = tmp_path / "sound.toml"
        file.write_text(sound(changes).source.text, encoding="utf-8")
        return file

    return write


def test_a_sound_craft_exits_with_0(command: Callable[..., Any], craft_file: Callable[..., Path]) -> None:
    ran = command("check", craft_file(), "--samples", 0)
    assert ran.code == 0
    assert ran.out.startswith("Sound: 0 stops, 0 warnings")
    assert "region in [site]" in ran.out


def test_a_stop_exits_with_1(command: Callable[..., Any], craft_file: Callable[..., Path]) -> None:
    ran = command("check", craft_file({"rx.fed_from": "fc.9V"}), "--samples", 0)
    assert ran.code == 1
    assert "stop  supply-too-high" in ran.out
    assert "sound.toml:" in ran.out
    assert "9 V" in ran.out and "5.5 V" in ran.out


def test_a_waived_stop_exits_with_0(command: Callable[..., Any], craft_file: Callable[..., Path]) -> None:
    waive = {"+waive": {"code": "supply-too-high", "reason": "it bears 10 V, tried"}}
    ran = command("check", craft_file({"rx.fed_from": "fc.9V", **waive}), "--samples", 0)
    assert ran.code == 0
    assert "Waived: it bears 10 V, tried" in ran.out


def test_json(command: Callable[..., Any], craft_file: Callable[..., Path]) -> None:
    ran = command("check", craft_file({"rx.fed_from": "fc.9V"}), "--json", "--samples", 64)
    assert ran.code == 1
    found = json.loads(ran.out)["findings"][0]
    assert found["code"] == "supply-too-high"
    assert found["severity"] == "stop"
    assert found["where"]["part"] == "rx"
    assert {"what", "why", "fix", "value", "limit", "unit", "chance", "margin", "waived"} <= set(found)


def test_input_errors_exit_with_2(command: Callable[..., Any], craft_file: Callable[..., Path]) -> None:
    assert command("check", "nowhere.toml").code == 2
    assert command("check", craft_file(), "--samples", -1).code == 2
    ran = command("check", craft_file({"+waive": {"code": "suply-too-high", "reason": "x"}}))
    assert ran.code == 2
    assert "supply-too-high" in ran.err


def test_all_lists_everything(command: Callable[..., Any], craft_file: Callable[..., Path]) -> None:
    ran = command("check", craft_file(), "--samples", 0, "--all")
    assert all(code in ran.out for code in all_rules())


def test_explain(command: Callable[..., Any]) -> None:
    ran = command("explain", "regulator-overloaded")
    assert ran.code == 0
    assert "Source:" in ran.out and "Fix:" in ran.out
    everything = command("explain").out
    assert all(code in everything for code in all_rules())
    assert json.loads(command("explain", "pack-sags", "--json").out)[0]["family"] == "supply"


def test_explain_unknown(command: Callable[..., Any]) -> None:
    ran = command("explain", "regulator-overload")
    assert ran.code == 2
    assert "regulator-overloaded" in ran.err


def test_the_latest_demo_craft_has_no_stop(command: Callable[..., Any]) -> None:
    ran = command("check", DEMO / "crafts" / "lapwing-3.toml", "--json", "--samples", 0)
    assert ran.code == 0
    standing = [f["code"] for f in json.loads(ran.out)["findings"] if f["severity"] != "note" and not f["waived"]]
    assert standing == []
