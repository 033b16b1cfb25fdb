"""`rotorwright report` on good, poor and impossible craft."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
Write = Callable[..., Path]


def no_nan(text: str) -> Any:
    def refuse(word: str) -> None:
        raise AssertionError(word)

    return json.loads(text, parse_constant=refuse)


def test_json_is_json_alone(command: Run, small_file: Write) -> None:
    small_file()
    ran = command("report", "stint.toml", "--json", "--samples", 64)
    assert (ran.code, ran.err) == (0, "")
    data = no_nan(ran.out)
    assert data["craft"]["name"] == "Stint"
    assert data["samples"] == 64
    p = data["full_throttle"]["battery_current_a"]
    assert p["low"] < p["value"] < p["high"]
    assert p["unit"] == "A"


def test_the_same_seed_prints_the_same_digits(command: Run, small_file: Write) -> None:
    small_file()
    typed = ("report", "stint.toml", "--json", "--samples", 64, "--seed", -5)
    assert command(*typed).out == command(*typed).out


def test_the_verdict_in_words(command: Run, small_file: Write) -> None:
    small_file()
    ran = command("report", "stint", "--samples", 64)
    assert ran.code == 0
    for words in (
        "Stint",
        "It weighs 574",
        "It hovers at",
        "times its weight",
        "Where the grams are",
        "Balance",
        "Air: 1.2",
    ):
        assert words in ran.out, words
    assert "\x1b" not in ran.out


def test_every_line_and_the_curve_on_request(command: Run, small_file: Write) -> None:
    small_file()
    short, long = (
        command("report", "stint", "--samples", 0).out,
        command("report", "stint", "--samples", 0, "--all").out,
    )
    assert "Every line" in long
    assert "100%" in long
    assert "Every line" not in short


def test_a_craft_that_cannot_hover_is_a_result(command: Run, small_file: Write) -> None:
    small_file(("mass_g = 250", "mass_g = 9000"))
    ran = command("report", "stint", "--samples", 64)
    assert ran.code == 0
    assert "It cannot hover: full throttle carries 0." in " ".join(ran.out.split())
    data = no_nan(command("report", "stint", "--samples", 64, "--json").out)
    assert data["hover"]["throttle"]["value"] is None
    assert data["hover"]["throttle"]["reason"].startswith("cannot hover: full throttle carries 0.")


def test_a_pack_that_collapses_is_a_result(command: Run, small_file: Write) -> None:
    small_file(("mass_g = 180", "mass_g = 180\nresistance_mohm = 900"))
    ran = command("report", "stint", "--samples", 64)
    assert ran.code == 0
    assert "the pack collapses to" in " ".join(ran.out.split())


@pytest.mark.parametrize("use", ['use = "m"', 'use = "p"', 'use = "b"\nrole = "battery"'])
def test_a_craft_without_a_part_is_weighed_all_the_same(use: str, command: Run, small_file: Write) -> None:
    small_file((use, 'use = "rest"'))
    ran = command("report", "stint", "--samples", 64)
    assert ran.code == 0
    assert "not computed: see below" in ran.out
    assert "no powertrain figures: no" in ran.out
    assert no_nan(command("report", "stint", "--samples", 64, "--json").out)["hover"] is None


def test_no_parts(command: Run, tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text('format = 1\nname = "a"\n[frame]\nmotor_spacing_mm = 200\n')
    for option in ((), ("--json",), ("--all",)):
        assert command("report", "a", *option).code == 0


def test_names_are_not_markup(command: Run, small_file: Write) -> None:
    small_file(('name = "Stint"', 'name = "[bold]x[/y]"\nnote = "[red]"'), ('id = "rest"', 'id = "[/z]"'))
    ran = command("report", "stint", "--samples", 0, "--all")
    assert ran.code == 0
    assert "[bold]x[/y]" in ran.out
    assert "[red]" in ran.out
    assert "[/z]" in ran.out


def test_demo_craft(command: Run) -> None:
    made = command("new", "shop")
    assert made.code == 0
    assert made.out.count("rotorwright report") == 6
    for name in ("lapwing-1", "lapwing-2", "lapwing-3", "lapwing-4", "sanderling-1", "curlew-1"):
        data = no_nan(command("report", f"shop/crafts/{name}", "--json", "--samples", 64).out)
        assert f"{data['craft']['name'].lower()}-{data['craft']['version']}" == name
        assert data["hover"]["time_s"]["value"] > 120
        assert data["full_throttle"]["thrust_to_weight"]["value"] > 2
