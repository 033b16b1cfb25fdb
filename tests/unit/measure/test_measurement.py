"""From a file to the shelf: every form fits invented readings, shows what it would change, and applies it."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from rotorwright.craft import read_craft
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute, InputError
from rotorwright.measure.battery_fit import pack_on_test
from rotorwright.measure.forms import FORMS
from rotorwright.measure.given import given_parts, read_options
from rotorwright.measure.measurement import Measurement, apply, look, measure, residual_rows
from rotorwright.measure.overlay import measured_file, undo_overlay
from rotorwright.measure.scale import weigh
from rotorwright.measure.stand_model import bench_of
from rotorwright.measure.synthetic import invent_pack_log, invent_stand
from rotorwright.measure.synthetic_bench import (
    invent_coast,
    invent_rotor_steps,
    invent_steps,
    invent_swing,
    invent_winding,
)
from rotorwright.measure.synthetic_flight import invent_flight
from rotorwright.parts.propulsion import Battery, Motor, Propeller, SpeedController
from rotorwright.physics.air import standard_atmosphere

from .conftest import write_table

RPM = 30 / np.pi


def parts(craft: Craft) -> tuple[Motor, Propeller, SpeedController, Battery]:
    found = [craft.the(role) for role in ("motor", "propeller", "speed-controller", "battery")]
    return tuple(placed.part for placed in found if placed)  # type: ignore[return-value]


def near(found: Measurement, field: str, truth: float) -> None:
    """Within four standard deviations."""
    value = found.fit.value(field)
    assert abs(value.value - truth) < 4 * value.sd


def test_a_stand(workshop: Path, craft: Craft) -> None:
    motor, propeller, controller, _ = parts(craft)
    rows = invent_stand(bench_of(motor, propeller, controller, standard_atmosphere(0)), 3, slips=1)
    file = workshop / "logs" / "stand.csv"
    file.write_text(rows.csv())
    found = measure("stand", file, workshop=workshop, craft=craft, options=["altitude_m=0", "temperature_degc=15"])
    near(found, "resistance", rows.truth["motor.resistance"])
    (slip,) = [unused for unused in found.unused if "thrust" in unused.reason]
    assert file.read_text().splitlines()[slip.line - 1]  # the line of the file itself
    assert found.preview is not None
    keys = {(laid.part, laid.key) for laid in found.preview.laid}
    assert (motor.name, "resistance_mohm") in keys
    assert (propeller.name, "bench") in keys
    assert "stand laid on" in apply(found)[0]
    after = read_craft(craft.file)
    bench = parts(after)[1].bench
    assert len(bench) == 3
    headings, left = residual_rows(found)
    assert headings[:3] == ["line", "rotation", "left_thrust_n"]
    assert len(left) == 18
    assert left[slip.line - 3][2] is None
    undo_overlay(workshop)
    assert parts(read_craft(craft.file))[1].bench == ()


def test_a_pack(workshop: Path, craft: Craft) -> None:
    battery = parts(craft)[3]
    rows = invent_pack_log(pack_on_test(battery), 4)
    file = workshop / "logs" / "pack.csv"
    file.write_text(rows.csv())
    found = measure("battery", file, workshop=workshop, craft=craft, only=["resistance"])
    near(found, "resistance", rows.truth["battery.resistance"])
    assert found.preview is not None
    assert [laid.key for laid in found.preview.laid] == ["resistance_mohm"]
    apply(replace(found, preview=replace(found.preview, specimen="B")))
    resistance = parts(read_craft(craft.file))[3].resistance
    assert resistance is not None and resistance.value == pytest.approx(0.043)  # the craft names no specimen


def test_a_winding_with_decimal_commas(workshop: Path, craft: Craft) -> None:
    rows = invent_winding(2)
    T, R = rows.arguments["temperature"] - 273.15, 1e3 * rows.arguments["resistance"]
    write_table(workshop / "logs" / "w.csv", {"temperature (\u00b0C)": T, "R (m\u03a9)": R}, comma=True)
    found = measure("winding", workshop / "logs" / "w.csv", workshop=workshop, craft=craft)
    near(found, "resistance", rows.truth["motor.resistance"])


def test_a_swing_has_no_key_yet(workshop: Path) -> None:
    rows = invent_swing(2).arguments
    write_table(workshop / "logs" / "s.csv", {"time_s": rows["times"], "swings": rows["swings"]})
    options = ["radius_mm=100+-0.5", "length_m=1.5", "mass_g=650", "axis=roll"]
    found = measure("swing", workshop / "logs" / "s.csv", workshop=workshop, options=options)
    assert found.fit.values[0].field == "inertia_xx"
    with pytest.raises(InputError, match="has a key of its own"):
        apply(found)
    with pytest.raises(InputError, match="radius is not said"):
        measure("swing", workshop / "logs" / "s.csv", workshop=workshop, options=options[1:])


def test_steps_and_inertia(workshop: Path, craft: Craft) -> None:
    from rotorwright.predict.airborne import airborne

    rows = invent_steps(2).arguments
    write_table(workshop / "logs" / "s.csv", {"time_s": rows["time"], "rpm": rows["rotation"] * RPM})
    assert {v.field for v in measure("steps", workshop / "logs" / "s.csv", workshop=workshop).fit.values} == {
        "lag_up",
        "lag_down",
    }
    trial = invent_rotor_steps(airborne(craft, 0).columns, 2)
    a = trial.arguments
    columns = {"time_s": a["time"], "rpm": a["rotation"] * RPM, "throttle": a["throttle"], "voltage": a["volts"]}
    write_table(workshop / "logs" / "i.csv", columns)
    found = measure("inertia", workshop / "logs" / "i.csv", workshop=workshop, craft=craft)
    near(found, "rotor_inertia", trial.truth["craft.rotor_inertia"])


def test_coasting_goes_into_the_craft_s_file(workshop: Path, craft: Craft) -> None:
    from rotorwright.columns.flight import drag_areas
    from rotorwright.measure.coast_down import coasting
    from rotorwright.predict.airborne import airborne

    body = coasting(airborne(craft, 0).columns, drag_areas(craft)[0])
    trial = invent_coast(body, 2)
    a = trial.arguments
    write_table(workshop / "logs" / "c.csv", {"time_s": a["time"], "speed (m/s)": a["speed"], "run": a["run"]})
    back = ",".join(str(run) for run, way in a["heading"].items() if way < 0)
    found = measure("coast", workshop / "logs" / "c.csv", workshop=workshop, craft=craft, options=[f"back={back}"])
    near(found, "drag_area", trial.truth["craft.drag_area"])
    assert [laid.key for laid in found.onto_craft] == ["drag_area_cm2"]
    assert "flight.drag_area_cm2" in apply(found)[0]
    area = read_craft(craft.file).flight.drag_area
    assert area is not None and area.value == pytest.approx(found.fit.value("drag_area").value, rel=1e-3)
    assert not measured_file(workshop).exists()


def test_hovers_out_of_a_log(workshop: Path, craft: Craft) -> None:
    file = workshop / "logs" / "flight.csv"
    file.write_text(invent_flight(craft, 2, profile="filming", seconds=200, exact=True).csv())
    found = measure("hover", file, workshop=workshop, craft=craft)
    assert 4 <= found.fit.rows_used <= 12
    assert all(3 <= line <= 2003 for line in found.lines)
    near(found, "hover_throttle_ratio", 1.0)


def test_weighings(workshop: Path, craft: Craft) -> None:
    given = ["motor-2306-1750=33.4", "5.1x3.6-3*4=18", "5.1x3.6-3*4+nut-m5-locking-aluminium*4=22.1", "all-up=597"]
    found = weigh(given, workshop=workshop, craft=craft)
    assert found.preview is not None
    assert found.onto_craft == ()  # the file knows the whole craft to half a gram, this scale to 0.6 g
    assert "597.6 \u00b1 0.5 (weighed) is known already" in found.left_out[0].reason
    found = weigh(given, workshop=workshop, craft=craft, only=["all_up", "mass"])
    assert found.preview is not None
    assert {laid.part: laid.after.split()[0] for laid in found.preview.laid} == {
        "motor-2306-1750": "33.4",
        "5.1x3.6-3": "4.5",
        "nut-m5-locking-aluminium": "1.025",
    }
    assert "states mass of 'motors', which wins" in found.preview.notes[0]
    assert [laid.key for laid in found.onto_craft] == ["all_up_g"]
    assert "known less well than what it replaces" in found.notes[0]
    assert len(apply(found)) == 2
    assert read_craft(craft.file).weighed.all_up is not None


@pytest.mark.parametrize("text", ["motor-2306-1750", "=3", "a*x=3", "motor-2306-1750=many", "*4=3"])
def test_a_wrong_weighing(text: str, workshop: Path) -> None:
    with pytest.raises(InputError, match="is no weighing"):
        weigh([text], workshop=workshop)


@pytest.mark.parametrize(("text", "words"), [("-3", "a mass cannot be negative"), ("0", "a mass cannot be nothing")])
def test_a_mass_that_cannot_be(text: str, words: str, workshop: Path) -> None:
    with pytest.raises(InputError, match=words):
        weigh([f"motor-2306-1750={text}"], workshop=workshop)


def test_a_weight_far_from_what_was_believed_is_asked_about(workshop: Path) -> None:
    far, near_ = (weigh([f"motor-2306-1750={g}"], workshop=workshop) for g in (400, 33.1))
    assert far.preview is not None and near_.preview is not None
    assert "lies far from what was believed, 34 \u00b1 2.7 (typical)" in far.preview.notes[0]
    assert [laid.key for laid in far.preview.laid] == ["mass_g"]
    assert near_.preview.notes == ()


def test_no_offered_bar_is_wider_than_what_is_known(workshop: Path, craft: Craft) -> None:
    """The demo's own logs on its measured pack (1060 +- 15 mAh, 43 +- 3 mohm) and its motor."""
    known = {"capacity": 15.0, "resistance": 3.0}
    found = measure("battery", workshop / "logs" / "flight-invented.csv", workshop=workshop, craft=craft)
    assert found.preview is not None
    offered = {laid.key.rpartition("_")[0]: laid.value["sd"] for laid in found.preview.laid}
    assert {key: sd for key, sd in offered.items() if sd > known.get(key, np.inf)} == {}
    assert "capacity" in offered
    stand = measure("stand", workshop / "logs" / "stand-invented.csv", workshop=workshop, craft=craft)
    assert stand.preview is not None
    assert "idle_voltage_v" not in {laid.key for laid in stand.preview.laid}
    assert {laid.key for laid in stand.preview.laid} >= {"idle_current_a", "kv_rpm_per_v"}


def test_only_the_slip_of_the_demo_s_stand_is_set_aside(workshop: Path, craft: Craft) -> None:
    """At 4 standard deviations chance sets aside one reading in 16 000; of the file's 72 one thrust is times 1.4."""
    found = measure("stand", workshop / "logs" / "stand-invented.csv", workshop=workshop, craft=craft)
    assert [unused.reason.split()[0] for unused in found.unused] == ["thrust"]
    drawn = found.fit.aside["thrust_n"]
    assert int(np.isfinite(drawn).sum()) == 1
    assert np.isnan(found.fit.residuals["thrust_n"][np.isfinite(drawn)]).all()


def test_the_same_readings_count_once(workshop: Path, craft: Craft) -> None:
    file = workshop / "logs" / "stand-invented.csv"
    first = measure("stand", file, workshop=workshop, craft=craft)
    apply(first)
    again = measure("stand", file, workshop=workshop, craft=read_craft(craft.file))
    for field in ("kv", "resistance", "idle_current"):
        assert again.fit.value(field).sd == pytest.approx(first.fit.value(field).sd, rel=1e-6)


def test_a_fit_that_cannot_be_says_file_lines_and_columns(workshop: Path, craft: Craft) -> None:
    write_table(workshop / "logs" / "p.csv", {"time_s": [0, 1, 2], "voltage_v": [24, 24, 24], "current_a": [1, 2, 3]})
    words = r"p\.csv:2 to 4: 3 rows of the battery.*current from column 3 \('current_a', a\)"
    with pytest.raises(CannotCompute, match=words):
        measure("battery", workshop / "logs" / "p.csv", workshop=workshop, craft=craft)


def test_two_columns_of_one_heading_are_asked_about(workshop: Path, craft: Craft) -> None:
    rows = "\n".join(f"{i},{24.9 - 0.01 * i:.2f},5,7" for i in range(30))
    file = workshop / "logs" / "two.csv"
    file.write_text(f"time_s,voltage_v,current_a,current_a\n{rows}\n")
    with pytest.raises(InputError, match="columns 3 and 4 are both headed 'current_a'"):
        measure("battery", file, workshop=workshop, craft=craft)
    found = measure("battery", file, workshop=workshop, craft=craft, changes=["current=4"])
    assert found.columns is not None and "again, column 4" in found.columns.of("current")[0].heading


def test_slow_pairs_reach_the_battery_and_its_prediction(workshop: Path, craft: Craft) -> None:
    from rotorwright.predict.airborne import airborne

    battery = parts(craft)[3]
    rows = invent_pack_log(pack_on_test(battery), 4, seconds=900.0, rate=1.0, pulse=(8.0, 10.0, 30.0))
    file = workshop / "logs" / "pack.csv"
    file.write_text(rows.csv())
    found = measure("battery", file, workshop=workshop, craft=craft)
    near(found, "polarisation_slow", rows.truth["battery.polarisation_slow"])
    apply(found)
    row = airborne(read_craft(craft.file), 0).columns.craft[0]
    assert row["polarisation"][1] == pytest.approx(found.fit.value("polarisation_slow").value, rel=1e-3)
    assert row["relaxation"][1] == pytest.approx(found.fit.value("relaxation_slow").value, rel=1e-3)


def test_a_swing_stands_beside_its_prediction(workshop: Path, craft: Craft) -> None:
    from rotorwright.measure.invent import invent

    file = workshop / "logs" / "swing.csv"
    assert "5 invented rows" in invent("swing", craft, file)
    head = file.read_text().splitlines()[:2]
    assert head[0].startswith("# Invented") and "inertia_zz_kg_m2 =" in head[1]
    truth = float(head[1].rpartition("=")[2])
    options = ["axis=yaw", "radius_mm=60", "length_mm=500", "mass_g=597.6"]
    found = measure("swing", file, workshop=workshop, craft=craft, options=options)
    near(found, "inertia_zz", truth)
    (beside,) = found.beside
    assert beside.verdict == "the bar held"
    wrong = measure(
        "swing", file, workshop=workshop, craft=craft, options=[*options[:2], "length_mm=250", options[3]]
    )
    assert wrong.beside[0].verdict == "the bar did not hold"


@pytest.mark.parametrize("kind", ["stand", "battery", "flight"])
def test_invented_files_are_read_back(kind: str, workshop: Path, craft: Craft) -> None:
    from rotorwright.measure.invent import invent

    file = workshop / "logs" / f"{kind}.csv"
    invent(kind, craft, file, 2)
    assert "The truth: " in file.read_text().splitlines()[1]
    with pytest.raises(InputError, match="is there already"):
        invent(kind, craft, file)
    columns = look(file, workshop, "log" if kind == "flight" else kind)[1]
    assert {"voltage", "current"} <= set(columns.quantities)


def test_when_the_craft_s_file_refuses_the_shelf_is_as_before(workshop: Path, craft: Craft) -> None:
    given = ["motor-2306-1750=33.4", "all-up=597"]
    found = weigh(given, workshop=workshop, craft=craft, only=["mass", "all_up"])
    craft.file.write_text("format = 2\n")
    with pytest.raises(InputError):
        apply(found)
    assert "mass_g" not in measured_file(workshop).read_text()


def test_outside_a_workshop_a_fit_is_only_shown(tmp_path: Path) -> None:
    rows = invent_winding(2).arguments
    write_table(
        tmp_path / "w.csv", {"temperature_degc": rows["temperature"] - 273.15, "resistance_ohm": rows["resistance"]}
    )
    found = measure("winding", tmp_path / "w.csv", workshop=None, named=["motor=motor-2306-1750"])
    assert found.preview is None
    with pytest.raises(InputError, match="no workshop to keep it in"):
        apply(found)


def test_what_is_not_named(workshop: Path, tmp_path: Path) -> None:
    write_table(tmp_path / "w.csv", {"temperature_degc": [20, 30], "resistance_ohm": [0.07, 0.072]})
    with pytest.raises(InputError, match="which motor was measured is not said"):
        measure("winding", tmp_path / "w.csv", workshop=workshop)
    with pytest.raises(InputError, match="no measurement is called 'windings'"):
        measure("windings", tmp_path / "w.csv", workshop=workshop)
    with pytest.raises(InputError, match="no column was recognised as voltage"):
        measure("stand", tmp_path / "w.csv", workshop=workshop)


def test_rows_that_say_nothing(workshop: Path, craft: Craft) -> None:
    write_table(workshop / "logs" / "s.csv", {"time_s": [0, 1, 2, 3], "rpm": [1000, 1000, 1000, 1000]})
    with pytest.raises(CannotCompute, match="no step"):
        measure("steps", workshop / "logs" / "s.csv", workshop=workshop)


def test_the_log_of_quite_another_pack(workshop: Path, craft: Craft) -> None:
    """Five times what the pack holds was drawn: said at once, in place of a fit that leads nowhere."""
    t = np.arange(0.0, 1800.0, 0.5)
    i = 10.7 + 8 * np.sin(t / 3)
    write_table(workshop / "logs" / "p.csv", {"time_s": t, "voltage_v": 25 - 0.002 * t - 0.04 * i, "current_a": i})
    with pytest.raises(CannotCompute, match=r"53\d\d mAh were drawn from 'own-pack-b', which holds 1060 mAh"):
        measure("battery", workshop / "logs" / "p.csv", workshop=workshop, craft=craft)


def test_options_and_parts(workshop: Path, craft: Craft) -> None:
    from rotorwright.craft.read import workshop_shelf

    shelf = workshop_shelf(workshop)
    options = FORMS["swing"].options
    numbers, words = read_options(["radius_in=4", "length_mm=1500 \u00b1 3", "axis=pitch", "swings=20"], options)
    assert numbers["radius"].value == pytest.approx(0.1016)
    assert (numbers["length"].value, numbers["length"].sd) == pytest.approx((1.5, 0.003))
    assert (words["axis"], numbers["swings"].value) == ("pitch", 20.0)
    for text, message in (
        ("radius=4", "is no number that is asked for"),
        ("radius_g=4", "is no number that is asked for"),
        ("radius_mm=four", "this is no number"),
        ("axis=up", "Use one of: roll, pitch, yaw"),
        ("radius_mm=1+-2+-3", "this is no number"),
    ):
        with pytest.raises(InputError, match=message):
            read_options([text], options)
    assert given_parts(["esc=esc-4in1-35a-30x30"], shelf, None, ())["speed-controller"].name
    assert given_parts([], shelf, craft, ("motor",))["motor"].name == "motor-2306-1750"
    for text, message in (
        ("motor", "names no part"),
        ("motr=x", "names no part"),
        ("motor=5x4.3-3", "no motor '5x4.3-3'"),
    ):
        with pytest.raises(InputError, match=message):
            given_parts([text], shelf, None, ())


def test_look_uses_what_a_form_needs(workshop: Path) -> None:
    write_table(workshop / "logs" / "a.csv", {"time": [0, 1], "weight": [1, 2], "rpm": [1, 2]})
    assert look(workshop / "logs" / "a.csv", workshop)[1].quantities == ("time", "mass", "rotation")
    assert look(workshop / "logs" / "a.csv", workshop, "steps")[1].quantities == ("time", "rotation")
