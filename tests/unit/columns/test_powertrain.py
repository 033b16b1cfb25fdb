"""Rows of the operating-point kernel from the parts of a craft."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from rotorwright.columns import Draws, powertrain_columns, rotor_columns
from rotorwright.columns.powertrain import electronics_draw
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.parts.propulsion import Propeller
from rotorwright.physics.air import standard_atmosphere
from rotorwright.physics.rotor_error import TYPICAL
from rotorwright.physics.wire import resistance as wire_resistance

Read = Callable[..., Craft]
AIR = standard_atmosphere(0.0)
EXACT = "resistance_mohm = { value = 80, sd = 0 }\nidle_current_a = { value = 1.2, sd = 0 }\nidle_voltage_v = 10\n"


def columns_of(craft: Craft, samples: int = 0) -> Any:
    draws = Draws(samples)
    return powertrain_columns(craft, draws.constant(0.6), AIR, draws)


def row(craft: Craft) -> Any:
    return columns_of(craft).craft[0]


def test_nominal_row(small_craft: Read) -> None:
    craft = small_craft(
        ("mass_g = 32", "mass_g = 32\n" + EXACT),
        ("mass_g = 180", "mass_g = 180\nresistance_mohm = 20"),
    )
    c = row(craft)
    kv = 1800 * np.pi / 30
    assert c["mass"] == 0.6
    assert c["motors"] == 4
    assert c["torque_constant"] == pytest.approx(1 / kv)
    # copper at 60 C: 1 + 0.00393 x 40
    assert c["motor_resistance"] == pytest.approx(0.080 * 1.1572)
    assert c["idle_current"] == 1.2
    assert c["idle_rotation"] == pytest.approx(10 * kv)
    assert c["controller_resistance"] == 4e-3
    assert (c["cells"], c["chemistry"], c["capacity"]) == (4, 0, 5400)
    assert c["battery_resistance"] == pytest.approx(0.020)
    assert c["lead_resistance"] == pytest.approx(0.45e-3)
    assert c["electronics_power"] == 0.0
    assert (c["diameter"], c["thrust_level"], c["power_level"], c["mach_scale"]) == (0.127, 1.0, 1.0, 1.0)
    assert (c["density"], c["viscosity"], c["sound_speed"]) == (AIR.density, AIR.viscosity, AIR.sound_speed)
    assert c["chord_75"] > 0


def test_packs_in_parallel_share_the_current(small_craft: Read) -> None:
    one, two = row(small_craft()), row(small_craft(('id = "pack"', 'id = "pack"\ncount = 2')))
    assert two["capacity"] == 2 * one["capacity"]
    assert two["battery_resistance"] == one["battery_resistance"] / 2


def test_leads_count_both_ways(small_craft: Read) -> None:
    craft = small_craft(
        ("mass_g = 180", "mass_g = 180\nlead_gauge_awg = 12\nlead_length_mm = 80"),
        more='[[wire]]\nfrom = "battery.lead"\nto = "rest"\ngauge_awg = 14\nlength_mm = 100\n'
        '[[wire]]\nfrom = "rest"\nto = "motors"\ngauge_awg = 28\nlength_mm = 100\n',
    )
    pack_lead = craft.parts[2].part.lead_gauge.value  # type: ignore[attr-defined]
    run = craft.wires[0].gauge
    assert run is not None
    expected = 0.45e-3 + 2 * wire_resistance(0.080, pack_lead) + 2 * wire_resistance(0.100, run.value)
    assert row(craft)["lead_resistance"] == pytest.approx(expected, rel=1e-12)


def test_a_run_is_named_by_the_id_of_the_pack_too(small_craft: Read) -> None:
    run = '[[wire]]\nfrom = "{}.lead"\nto = "rest"\ngauge_awg = 14\nlength_mm = 100\n'
    by_role, by_id = (row(small_craft(more=run.format(name)))["lead_resistance"] for name in ("battery", "pack"))
    assert by_id == by_role > row(small_craft())["lead_resistance"]


CONSUMERS = """\
[[flight-controller]]
name = "fc"
mass_g = 9
power_w = 1
[[flight-controller.outputs]]
name = "5V"
voltage_v = 5
efficiency_fraction = 0.9
[[flight-controller.outputs]]
name = "linear"
voltage_v = 5
kind = "linear"
[[camera]]
name = "cam"
mass_g = 8
current_ma = 200
supply_at_v = 5
[[video-transmitter]]
name = "vtx"
mass_g = 8
supply_at_v = 5
levels = [{ power_mw = 25, current_ma = 300 }, { power_mw = 400, current_ma = 900 }]
[[recording-camera]]
name = "rec"
mass_g = 60
power_w = 5
[[part]]
use = "fc"
fed_from = "battery.lead"
"""


def drawn(craft: Craft) -> dict[str, float]:
    return {placed.id: power.value for placed, power in electronics_draw(craft)}


def test_what_the_electronics_draw(small_craft: Read) -> None:
    more = (
        CONSUMERS
        + '[[part]]\nuse = "cam"\nfed_from = "flight-controller.5V"\n[[part]]\nuse = "vtx"\n[[part]]\nuse = "rec"\n'
    )
    power = drawn(small_craft(more=more))
    assert power["flight-controller"] == pytest.approx(1.0)
    assert power["camera"] == pytest.approx(0.2 * 5 / 0.9)
    # no rail named: lowest level through the usual switching regulator
    assert power["video-transmitter"] == pytest.approx(0.3 * 5 / 0.85)
    assert "recording-camera" not in power  # it runs from its own battery


def test_a_linear_rail_burns_the_difference(small_craft: Read) -> None:
    power = drawn(small_craft(more=CONSUMERS + '[[part]]\nuse = "cam"\nfed_from = "flight-controller.linear"\n'))
    assert power["camera"] == pytest.approx(0.2 * 4 * 3.8)


@pytest.mark.parametrize("milliwatts, amps", [(25, 0.3), (26, 0.9), (400, 0.9), (1000, 0.9)])
def test_transmitter_draws_what_its_setting_needs(milliwatts: float, amps: float, small_craft: Read) -> None:
    more = f'{CONSUMERS}[[part]]\nuse = "vtx"\nset_power_mw = {milliwatts}\n'
    assert drawn(small_craft(more=more))["video-transmitter"] == pytest.approx(amps * 5 / 0.85)


def test_a_recording_camera_on_a_rail_draws(small_craft: Read) -> None:
    more = CONSUMERS + '[[part]]\nuse = "rec"\nfed_from = "flight-controller.5V"\n'
    assert drawn(small_craft(more=more))["recording-camera"] == pytest.approx(5 / 0.9)


@pytest.mark.parametrize("role", ["motor", "propeller", "battery"])
def test_a_missing_part_is_named(role: str, small_craft: Read) -> None:
    use = {"motor": 'use = "m"\nid = "motors"', "propeller": 'use = "p"', "battery": 'use = "b"\nrole = "battery"'}[
        role
    ]
    craft = small_craft((use, 'use = "rest"'))
    with pytest.raises(CannotCompute, match=f"no {role} on the craft"):
        columns_of(craft)


def test_a_motor_that_says_too_little(small_craft: Read) -> None:
    craft = small_craft(("stator_diameter_mm = 23\nstator_height_mm = 6\nmass_g = 32\n", ""))
    with pytest.raises(CannotCompute, match="motor 'm': give resistance_mohm, or stator_diameter_mm"):
        columns_of(craft)


BLADE = "station = [0.15, 0.4, 0.7, 1.0]\nchord = [0.2, 0.22, 0.2, 0.1]\ntwist_deg = [30, 20, 13, 9]"
IMPOSSIBLE = {
    "pitch_in = 15": "The pitch is more than twice the diameter",
    "pitch_in = 4\n" + BLADE.replace("1.0]", "0.8]"): "The tip is missing",
    "pitch_in = 4\n" + BLADE.replace("[0.2, 0.22,", "[0.2, 0.0,"): "Every chord must be positive",
    "pitch_in = 4\n" + BLADE.replace("0.15, 0.4", "0.4, 0.15"): "crosses itself",
    "pitch_in = 4\n" + BLADE.replace("[30, 20, 13, 9]", "[30, 20]"): "lists of one length",
    "pitch_in = 4\n" + BLADE.replace("[30, 20, 13, 9]", "[-30, -20, -13, -9]"): "its sense is reversed",
    "pitch_in = 4\n" + BLADE.split("twist")[0]: "needs station, chord and twist_deg together",
}


@pytest.mark.parametrize("blade", IMPOSSIBLE, ids=IMPOSSIBLE.values())
def test_an_impossible_blade(blade: str, small_craft: Read) -> None:
    with pytest.raises(CannotCompute, match="propeller 'p': ") as caught:
        columns_of(small_craft(("pitch_in = 4", blade)))
    assert IMPOSSIBLE[blade] in str(caught.value)
    assert not str(caught.value).endswith(".")


def test_a_measured_blade_scatters_less(small_craft: Read) -> None:
    typical, measured = (
        columns_of(small_craft(), 500),
        columns_of(small_craft(("pitch_in = 4", "pitch_in = 4\n" + BLADE)), 500),
    )
    for name in ("thrust_level", "power_level"):
        assert np.log(measured.craft[name]).std() < np.log(typical.craft[name]).std()
    assert measured.craft["chord_75"][0] == pytest.approx(np.interp(0.75, [0.7, 1.0], [0.2, 0.1]) * 0.0635)


def test_thrust_and_power_levels_go_together(small_craft: Read) -> None:
    """A blade that thrusts more than its table also takes more: that of the fit; 3/sqrt(2000)."""
    craft = columns_of(small_craft(), 2000).craft[1:]
    r = np.corrcoef(np.log(craft["thrust_level"]), np.log(craft["power_level"]))[0, 1]
    assert r == pytest.approx(TYPICAL.correlation, abs=3 / np.sqrt(2000))


def test_two_craft_share_the_chance_of_what_they_share(small_craft: Read) -> None:
    one, two = (
        columns_of(small_craft(), 50).craft,
        columns_of(
            small_craft(("motor_spacing_mm = 240", "motor_spacing_mm = 250"), ('name = "Stint"', 'name = "Dunlin"')),
            50,
        ).craft,
    )
    assert np.array_equal(one, two)


def test_solve_takes_scalars_and_arrays(small_craft: Read) -> None:
    columns = columns_of(small_craft(), 4)
    one = columns.solve(duty=0.5, charge=0.7)
    each = columns.solve(duty=np.full(5, 0.5), charge=np.full(5, 0.7))
    assert np.array_equal(one["thrust"], each["thrust"])
    assert (one["status"] == 0).all()
    assert (columns.solve()["status"] == 3).all()


def test_turn_gives_the_coefficients_of_thrust_and_torque(small_craft: Read) -> None:
    propeller = small_craft().parts[1].part
    assert isinstance(propeller, Propeller)
    columns = rotor_columns(propeller, AIR, Draws(0))
    point = columns.turn(2 * np.pi * 200.0)[0]
    assert point["thrust"] == pytest.approx(point["ct"] * AIR.density * 200.0**2 * 0.127**4)
    assert 2 * np.pi * point["torque"] == pytest.approx(point["cp"] * AIR.density * 200.0**2 * 0.127**5)
    assert point["tip_mach"] == pytest.approx(np.pi * 200 * 0.127 / AIR.sound_speed)
