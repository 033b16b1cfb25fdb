"""`fly`, `speed`, `response`: words, pictures, machine-readable keys, clear refusals."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

Command = Callable[..., Any]


@pytest.fixture
def craft(small_file: Callable[..., Path]) -> Path:
    return small_file()


KEYS = {
    "fly": {
        "endurance": ("profile", "time_s", "distance_m", "charge_ah", "landing_voltage_v"),
        "heat": ("winding_degc",),
    },
    "speed": {"flight": ("top_speed_m_per_s", "best_range_speed_m_per_s", "climb_m_per_s", "punch_30m_s")},
    "response": {"response": ("thrust_rise_s", "roll_rad_per_s2", "full_roll_s", "throttle_gain_n_per_percent")},
}


@pytest.mark.parametrize("name", list(KEYS))
def test_json_holds_its_keys(name: str, craft: Path, command: Command) -> None:
    ran = command(name, craft, "--json", "--samples", 32)
    assert ran.code == 0, ran.err
    found = json.loads(ran.out)
    for area, keys in KEYS[name].items():
        assert set(keys) <= set(found[area])
    assert "NaN" not in ran.out


@pytest.mark.parametrize("name", list(KEYS))
def test_a_picture_is_written(name: str, craft: Path, command: Command, tmp_path: Path) -> None:
    picture = tmp_path / f"{name}.svg"
    assert command(name, craft, "--samples", 32, "--svg", picture).code == 0
    assert ElementTree.fromstring(picture.read_text(encoding="utf-8")).tag.endswith("svg")


def test_a_picture_of_pack_sizes_is_written(craft: Path, command: Command, tmp_path: Path) -> None:
    picture = tmp_path / "packs.svg"
    assert command("fly", craft, "--samples", 0, "--packs-svg", picture).code == 0
    assert "mass of the pack" in picture.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", list(KEYS))
def test_words_are_printed_without_nan(name: str, craft: Path, command: Command) -> None:
    ran = command(name, craft, "--samples", 32)
    assert ran.code == 0
    assert "nan" not in ran.out.lower().split()


def test_report_holds_flight(craft: Path, command: Command) -> None:
    found = json.loads(command("report", craft, "--json", "--samples", 32).out)
    assert {"profile", "time_s", "distance_m", "charge_ah", "landing_voltage_v"} <= set(found["endurance"])
    flight = {"top_speed_m_per_s", "best_range_speed_m_per_s", "climb_m_per_s", "punch_30m_s", "camera_tilt_deg"}
    assert flight <= set(found["flight"])
    response = {"thrust_rise_s", "roll_rad_per_s2", "pitch_rad_per_s2", "yaw_rad_per_s2", "full_roll_s"}
    assert response | {"throttle_gain_n_per_percent"} <= set(found["response"])
    assert {"winding_degc", "battery_degc"} <= set(found["heat"])


def test_an_unknown_profile_is_refused_with_its_neighbours(craft: Path, command: Command) -> None:
    ran = command("fly", craft, "--profile", "hoover")
    assert ran.code == 2
    assert "hover" in ran.err


def test_a_landing_voltage_above_a_full_cell_is_refused(small_file: Callable[..., Path], command: Command) -> None:
    ran = command("fly", small_file(more="\n[flight]\nlanding_voltage_v = 4.4\n"))
    assert ran.code == 2
    assert "full cell" in ran.err


def test_no_flight_is_told(small_file: Callable[..., Path], command: Command) -> None:
    ran = command("fly", small_file(more="\n[flight]\nlanding_voltage_v = 4.19\n"), "--profile", "hover")
    assert "No flight" in ran.out


@pytest.mark.parametrize("arguments", [("--samples", -1), ("--payload-g", -5), ("--samples", 10**9)])
def test_numbers_out_of_range_are_refused(arguments: tuple[object, ...], craft: Path, command: Command) -> None:
    assert command("fly", craft, *arguments).code == 2


def test_a_picture_in_a_folder_that_is_not_there(craft: Path, command: Command) -> None:
    ran = command("speed", craft, "--samples", 0, "--svg", "nowhere/at/all.svg")
    assert ran.code == 2
    assert "Check the folder" in ran.err


def test_a_craft_that_cannot_hover(small_file: Callable[..., Path], command: Command) -> None:
    heavy = small_file(('name = "rest"\nmass_g = 250', 'name = "rest"\nmass_g = 9000'))
    for name in KEYS:
        ran = command(name, heavy, "--samples", 32)
        assert ran.code in (0, 1)
        assert "Traceback" not in ran.err and "nan" not in ran.out.lower().split()
    assert command("report", heavy, "--samples", 32).code == 0
