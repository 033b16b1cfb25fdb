"""Who is joined to whom: stated wires, own leads, what follows from feeds and ports, and what does not."""

from pathlib import Path

import pytest

import rotorwright.craft
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.parts.propulsion import SpeedController
from rotorwright.sheet.wiring_nets import wiring_plan
from rotorwright.sheet.wiring_plan import Basis, Role, Run, WiringPlan, carried, gauge_words
from rotorwright.sheet.wiring_ports import Port, fitted, harness
from rotorwright.units import to_si

LAPWING = Path(rotorwright.craft.__file__).parent / "demo_workshop" / "crafts" / "lapwing-1.toml"


def craft(*replacements: tuple[str, str], more: str = "") -> Craft:
    text = LAPWING.read_text(encoding="utf-8")
    for old, new in replacements:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return read_craft(LAPWING, text=text + more)


def between(plan: WiringPlan, one: str, other: str) -> list[Run]:
    return [run for run in plan.runs if {run.start, run.end} == {one, other}]


WIRE_TO_RECEIVER = '[[wire]]\nfrom = "flight-controller.5V"\nto = "receiver.supply"\ngauge_awg = 28\nlength_mm = 70\n'


def test_a_stated_wire_keeps_its_size_and_names_its_conductors() -> None:
    (run,) = between(wiring_plan(craft()), "flight-controller", "receiver")
    assert run.basis is Basis.STATED
    assert run.length_m == pytest.approx(0.07)
    assert gauge_words(run.gauge_m2) == "28 AWG"
    assert carried(run.conductors) == "5V, ground, TX to RX, RX to TX"


def test_conductors_that_do_not_fit_the_ports_are_not_named() -> None:
    plan = wiring_plan(craft((WIRE_TO_RECEIVER + "conductors = 4", WIRE_TO_RECEIVER + "conductors = 6")))
    stated, derived = between(plan, "flight-controller", "receiver")
    assert [one.role for one in stated.conductors[2:]] == [Role.OPEN] * 4
    assert derived.basis is Basis.DERIVED
    assert carried(derived.conductors) == "TX to RX, RX to TX"


def test_a_wire_written_from_its_other_end_is_the_same_wire() -> None:
    turned = '[[wire]]\nfrom = "receiver.supply"\nto = "flight-controller.5V"\ngauge_awg = 28\nlength_mm = 70\n'
    (run,) = between(wiring_plan(craft((WIRE_TO_RECEIVER, turned))), "flight-controller", "receiver")
    plus = run.conductors[0]
    assert (run.start, plus.start, plus.end) == ("receiver", "+", "5V")


def test_without_a_wire_feed_and_ports_say_what_is_wanted() -> None:
    (run,) = between(wiring_plan(craft((WIRE_TO_RECEIVER + "conductors = 4\n", ""))), "flight-controller", "receiver")
    assert run.basis is Basis.DERIVED
    assert (run.gauge_m2, run.length_m) == (None, None)
    assert carried(run.conductors) == "5V, ground, TX to RX, RX to TX"


def test_each_motor_has_three_leads_of_its_own() -> None:
    plan = wiring_plan(craft())
    motors = [run for run in plan.runs if run.end.startswith("motors.")]
    assert [run.end for run in motors] == [f"motors.{m.name}" for m in craft().motors]
    assert {(run.basis, len(run.conductors)) for run in motors} == {(Basis.OWN, 3)}


def test_an_outlet_that_the_file_names_is_kept() -> None:
    own = '\n[[wire]]\nfrom = "speed-controller.3"\nto = "motors.front-left"\ngauge_awg = 18\nlength_mm = 90\n'
    plan = wiring_plan(craft(more=own + "conductors = 3\n"))
    (run,) = between(plan, "speed-controller", "motors.front-left")
    assert run.basis is Basis.STATED
    assert {one.start for one in run.conductors} == {"3"}


def test_one_stated_wire_may_stand_for_all_motors() -> None:
    own = '\n[[wire]]\nfrom = "speed-controller.out"\nto = "motors.leads"\ngauge_awg = 18\nlength_mm = 90\n'
    plan = wiring_plan(craft(more=own + "conductors = 3\n"))
    assert {run.basis for run in plan.runs if run.end.startswith("motors.")} == {Basis.STATED}
    assert sum(run.end.startswith("motors.") for run in plan.runs) == 4


def test_the_harness_feeds_the_flight_controller_when_its_conductors_say_so() -> None:
    (run,) = between(wiring_plan(craft()), "speed-controller", "flight-controller")
    expected = "battery +, ground, 4 \u00d7 motor signal, telemetry, current"
    assert carried(run.conductors) == expected


@pytest.mark.parametrize("count, open_", [(4, 0), (5, 1), (6, 2), (8, 0), (9, 5), (3, 3)])
def test_a_harness_of_another_size_is_not_guessed(count: int, open_: int) -> None:
    controller = craft().the("speed-controller")
    assert controller is not None and isinstance(controller.part, SpeedController)
    found = harness(controller.part, 4, "battery +", count)
    assert len(found) == count
    assert sum(one.role is Role.OPEN for one in found) == open_


def test_a_pack_without_a_connector_is_said() -> None:
    before = LAPWING.read_text(encoding="utf-8")
    start = before.index('[[part]]\nuse = "connector-two-pin-60a-male"')
    block = before[start : before.index("\n\n", start)]
    plan = wiring_plan(craft((block, "")))
    assert "no connector for the pack's plug is on the craft" in plan.missing
    assert between(plan, "battery", "speed-controller")


def test_what_nobody_feeds_is_missing() -> None:
    feed = 'tilt_deg = 15\nfed_from = "flight-controller.5V"'
    wire = '[[wire]]\nfrom = "flight-controller.5V"\nto = "camera.supply"\ngauge_awg = 28\nlength_mm = 90\n'
    plan = wiring_plan(craft((feed, "tilt_deg = 15"), (wire + "conductors = 3\n", "")))
    assert "nothing is said to feed camera" in plan.missing


def test_a_wire_to_nowhere_is_missing() -> None:
    own = '\n[[wire]]\nfrom = "flight-controller.5V"\nto = "lamp.supply"\ngauge_awg = 28\nlength_mm = 90\n'
    plan = wiring_plan(craft(more=own))
    assert any("no part 'lamp' is on the craft" in words for words in plan.missing)


def test_an_antenna_hangs_on_its_radio_over_the_lead_that_mates() -> None:
    (run,) = between(wiring_plan(craft()), "video-transmitter", "video-antenna")
    assert run.conductors[0].role is Role.COAXIAL
    assert "pigtail" in run.note
    assert run.length_m == pytest.approx(0.1)


def test_connectors_that_do_not_mate_and_missing_antennas_are_said() -> None:
    text = LAPWING.read_text(encoding="utf-8")
    start = text.index('[[part]]\nuse = "pigtail-push-small-100"')
    plan = wiring_plan(craft((text[start : text.index("\n\n", start)], "")))
    assert any("does not mate" in words for words in plan.missing)
    start = text.index('[[part]]\nuse = "antenna-5.8ghz-right"')
    plan = wiring_plan(craft((text[start : text.index("\n\n", start)], "")))
    assert any("no antenna is on the craft for video-transmitter" in words for words in plan.missing)


def test_the_pack_also_feeds_what_hangs_on_the_controllers_pads() -> None:
    wire = (
        '[[wire]]\nfrom = "flight-controller.9V"\nto = "video-transmitter.supply"\ngauge_awg = 26\nlength_mm = 80\n'
    )
    plan = wiring_plan(
        craft(('fed_from = "flight-controller.9V"', 'fed_from = "battery.lead"'), (wire + "conductors = 4\n", ""))
    )
    (run,) = between(plan, "speed-controller", "video-transmitter")
    assert carried(run.conductors) == "supply +, ground"


def test_ports_share_conductors_only_one_way() -> None:
    serial, bus, video = Port("serial", 1, 2), Port("bus", 2, 2), Port("video")
    assert fitted((serial, video), 3) is not None
    assert fitted((serial, video), 2) is not None
    assert fitted((serial, video), 4) is None
    assert fitted((serial, bus), 1) is None
    assert fitted((serial, Port("other", 1, 2)), 3) is None


@pytest.mark.parametrize(
    "area, words",
    [
        (to_si(14, "awg", "wire area"), "14 AWG"),
        (to_si(0, "awg", "wire area"), "0 AWG"),
        (0.75e-6, "0.75 mm\u00b2"),
        (2.5e-6, "2.5 mm\u00b2"),
        (25e-6, "25 mm\u00b2"),
        (None, ""),
    ],
)
def test_gauges_as_the_trade_says_them(area: float | None, words: str) -> None:
    assert gauge_words(area) == words
