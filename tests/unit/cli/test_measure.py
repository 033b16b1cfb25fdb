"""`measure`: shown first, applied on request, undone, and one clear message for what cannot be read."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from rotorwright.craft import read_craft
from rotorwright.measure.forms import FORMS
from rotorwright.measure.synthetic_flight import invent_flight

Run = Callable[..., Any]


@pytest.fixture
def shop(command: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A demo workshop that one stands in, with a bench table and the log of a flight."""
    assert command("new", "shop").code == 0
    folder = tmp_path / "shop"
    monkeypatch.chdir(folder)
    rows = "\n".join(f"{t};{70 * (1 + 0.00393 * (t - 20)):.3f}".replace(".", ",") for t in range(15, 80, 8))
    (folder / "logs" / "winding.csv").write_text(f"temperature_degc;resistance_mohm\n{rows}\n")
    log = invent_flight(read_craft(folder / "crafts" / "lapwing-3.toml"), 1, seconds=120).csv()
    (folder / "logs" / "flight.csv").write_text(log)
    return folder


def test_a_form_alone_says_what_it_needs(command: Run) -> None:
    everything = command("measure")
    assert everything.code == 0
    for name in FORMS:
        assert name in everything.out
        own = command("measure", name)
        assert (own.code, own.err) == (0, "")
        assert FORMS[name].needs[0] in own.out
    assert "PART=GRAMS" in command("measure", "weigh").out
    wrong = command("measure", "stnd")
    assert wrong.code == 2
    assert "Known: stand" in wrong.err


def test_preview_apply_history_undo(command: Run, shop: Path) -> None:
    asked = ("measure", "winding", "logs/winding.csv", "--part", "motor=motor-2306-1750")
    shown = command(*asked)
    assert (shown.code, shown.err) == (0, "")
    for words in ("resistance_mohm", "(typical)", "Nothing was written", "Propeller off"):
        assert words in shown.out
    assert not (shop / "shelf" / "measured.toml").exists()
    done = command(*asked, "--apply")
    assert "Done: winding laid on motor-2306-1750: resistance_mohm" in done.out
    assert "70" in command("motor", "motor-2306-1750").out.split("resistance")[1][:5]
    seen = command("measure", "history")
    assert "logs/winding.csv" in seen.out
    assert "Taken back: winding" in command("measure", "undo").out
    assert "Nothing has been laid" in command("measure", "history").out
    again = command("measure", "undo")
    assert again.code == 2
    assert "nothing to undo" in again.err


def test_history_on_a_narrow_screen_breaks_no_key(command: Run, shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    done = command("measure", "stand", "logs/stand-invented.csv", "--craft", "lapwing-3", "--apply")
    assert done.code == 0
    assert "18 rows used, 1 reading set aside" in done.out
    assert "Columns, guessed: voltage from 'voltage_v' in V" in done.out
    sentences = [line for line in done.out.splitlines() if not line.startswith("Done:")]
    assert max(map(len, sentences)) <= 80
    seen = command("measure", "history").out
    for key in ("idle_current_a", "bench_density_kg_per_m3"):
        assert any(line.strip().startswith(key) for line in seen.splitlines())


def test_invented_readings_are_written_once(command: Run, shop: Path) -> None:
    ran = command("measure", "invent", "swing", "logs/swing.csv", "--craft", "lapwing-3")
    assert (ran.code, ran.err) == (0, "")
    assert "Done: 5 invented rows written to logs/swing.csv" in ran.out
    options = [
        word for text in ("axis=yaw", "radius_mm=60", "length_mm=500", "mass_g=598") for word in ("--given", text)
    ]
    fitted = command("measure", "swing", "logs/swing.csv", "--craft", "lapwing-3", *options)
    assert "Moment of inertia in yaw: measured" in fitted.out
    assert "g cm\u00b2" in fitted.out
    for wrong, words in (
        (("swing", "logs/swing.csv", "--craft", "lapwing-3"), "is there already"),
        (("thrust", "logs/x.csv", "--craft", "lapwing-3"), "Known: stand, battery, flight, swing"),
        (("swing", "logs/x.csv"), "whose readings to invent"),
        (("swing",), "what to invent, and which new file"),
    ):
        again = command("measure", "invent", *wrong)
        assert again.code == 2
        assert words in again.err


def test_a_specimen_reaches_the_craft_that_names_it(command: Run, shop: Path) -> None:
    asked = ("measure", "winding", "logs/winding.csv", "--craft", "lapwing-3", "--specimen", "set 2", "--apply")
    assert "specimen 'set 2'" in command(*asked).out
    assert command("change", "lapwing-3", "motors.specimen=set 2").code == 0
    motor: Any = read_craft(shop / "crafts" / "lapwing-3.toml").parts[0].part
    assert motor.resistance.value == pytest.approx(0.070, rel=0.01)
    other: Any = read_craft(shop / "crafts" / "lapwing-2.toml").parts[0].part
    assert other.resistance.value != pytest.approx(0.070, rel=0.01)


def test_json_csv_and_picture(command: Run, shop: Path) -> None:
    asked = ("measure", "winding", "logs/winding.csv", "--part", "motor=motor-2306-1750", "--json")
    ran = command(*asked, "--csv", "out/left.csv", "--picture", "out/left.svg")
    found = json.loads(ran.out)
    assert found["measurement"]["fit"]["values"][0]["field"] == "resistance"
    assert found["measurement"]["preview"]["laid"][0]["key"] == "resistance_mohm"
    assert found["done"] == []
    assert (shop / "out" / "left.csv").read_text().startswith("line,temperature,left_resistance_ohm\n2,288.15,")
    ElementTree.fromstring((shop / "out" / "left.svg").read_text())


def test_a_log_and_its_prediction(command: Run, shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    asked = ("measure", "log", "logs/flight.csv", "--craft", "lapwing-3", "--samples", 64)
    ran = command(*asked, "--csv", "out/log.csv", "--picture", "out/log.svg")
    assert (ran.code, ran.err) == (0, "")
    for words in ("stretches of hover", "voltage", "the bar held", "mean current", "driven by"):
        assert words in ran.out
    assert (shop / "out" / "log.csv").read_text().startswith("time_s,voltage_measured_v,voltage_predicted_v")
    picture = ElementTree.fromstring((shop / "out" / "log.svg").read_text())
    assert picture.tag.endswith("svg")
    found = json.loads(command(*asked, "--json").out)
    series = {one["quantity"]: one for one in found["comparison"]["series"]}
    assert set(series) == {"voltage", "current", "rotation"}
    assert len(series["voltage"]["time_s"]) == len(series["voltage"]["low"])
    assert found["log"]["flights"][0]["charge_ah"] > 0.05
    bare = command("measure", "log", "logs/flight.csv")
    assert "Not held against a prediction: no craft was named" in bare.out
    assert command("measure", "log", "logs/flight.csv", "--flight", 5).code == 2
    assert command("measure", "log", "logs/flight.csv", "--apply").code == 2
    assert command("measure", "log", "logs/flight.csv", "--picture", "out/x.svg").code == 2


def test_a_profile_as_flown(command: Run, shop: Path) -> None:
    shown = command("measure", "profile", "logs/flight.csv")
    assert "load factor" in shown.out
    ran = command("measure", "profile", "logs/flight.csv", "--craft", "lapwing-3", "--apply")
    assert "Done: profile as-flown" in ran.out
    assert "flown as 'as-flown'" in command("fly", "lapwing-3", "--samples", 0).out
    assert command("undo", "lapwing-3").code == 0
    assert "flown as 'filming'" in command("fly", "lapwing-3", "--samples", 0).out
    assert command("measure", "profile", "logs/flight.csv", "--apply").code == 2


def test_columns_are_shown_corrected_and_kept(command: Run, shop: Path) -> None:
    (shop / "logs" / "own.csv").write_text("t;Spannung;Strom\n0;25100;3\n1;25000;4\n2;24900;5\n")
    shown = command("measure", "columns", "logs/own.csv")
    assert "Not used: Spannung, Strom" in shown.out
    assert "?" in shown.out  # the unit of time is a guess
    kept = command(
        "measure",
        "columns",
        "logs/own.csv",
        "--take",
        "voltage=Spannung:mv",
        "--take",
        "current=Strom:a",
        "--remember",
    )
    assert "Done: columns of own.csv remembered" in kept.out
    again = json.loads(command("measure", "columns", "logs/own.csv", "--json").out)
    assert again["columns"]["source"] == "remembered in mappings.toml"
    assert {c["quantity"] for c in again["columns"]["columns"]} == {"time", "voltage", "current"}
    assert "Taken back: columns of own.csv" in command("measure", "undo", "columns").out
    assert "Not used: Spannung, Strom" in command("measure", "columns", "logs/own.csv").out
    assert command("measure", "undo", "everything").code == 2


BAD = {
    "a word": (b"temperature_degc;resistance_mohm\n20;70\n30;warm\n40;75\n", "bad.csv:3: column 2"),
    "nothing": (b"", "bad.csv: the file is empty"),
    "another encoding": ("temperature (\u00b0C);R (mohm)\n20;70\n30;71\n".encode("latin-1"), "bad.csv:1: column 14"),
    "bytes": (bytes(range(200)), "bad.csv:1: column 1"),
    "missing columns": (b"a;b\n1;2\n2;3\n", "no column"),
    "two units": (b"temperature_degc;resistance_mohm\n" + b"20;70\n" * 20 + b"20;-70\n" * 20, "bad.csv:22: column 2"),
}


@pytest.mark.parametrize("name", list(BAD))
def test_a_file_that_cannot_be_read_changes_nothing(name: str, command: Run, shop: Path) -> None:
    data, message = BAD[name]
    (shop / "logs" / "bad.csv").write_bytes(data)
    before = sorted((p, p.read_bytes()) for p in shop.rglob("*") if p.is_file())
    ran = command("measure", "winding", "logs/bad.csv", "--part", "motor=motor-2306-1750", "--apply")
    assert ran.code == 2
    assert message in ran.err
    assert "Traceback" not in ran.err
    assert sorted((p, p.read_bytes()) for p in shop.rglob("*") if p.is_file()) == before


def test_outside_a_workshop(command: Run, tmp_path: Path) -> None:
    (tmp_path / "w.csv").write_text("temperature_degc;resistance_mohm\n20;70\n30;72\n")
    asked = ("measure", "winding", "w.csv", "--part", "motor=motor-2306-1750")
    assert "Outside a workshop nothing can be applied" in command(*asked).out
    assert command(*asked, "--apply").code == 2
    assert "this is no workshop" in command("measure", "history").err
