"""The operating point put back into the equations it solves, and demands without a solution."""

import math
from typing import Any

import numpy as np
import pytest

from rotorwright.columns import PowertrainColumns
from rotorwright.physics.powertrain import (
    COLLAPSED,
    OK,
    TOO_HEAVY,
    UNSOLVED,
    balanced_rotation,
    motor_load,
    rotor_coefficients,
    supply_load,
)

DEMANDS = [{"duty": 0.45}, {"duty": 0.9}, {"thrust": 1.3}, {"thrust": 3.1}]


@pytest.mark.parametrize("axial", [-1.5, 0.0, 7.0])
@pytest.mark.parametrize("demand", DEMANDS)
def test_rotor_motor_and_supply_balance(straight: Any, demand: dict[str, float], axial: float) -> None:
    """Torque, voltage and current of the module's equations; 1e-6: rotation is solved to 1e-9, residuals cancel."""
    p, c = straight.columns.solve(charge=0.65, axial_speed=axial, **demand)[0], straight.row
    T, Q, _ = straight.forces(p["rotation"], axial)
    CT, CP, _ = straight.coefficients(p["rotation"], axial)
    assert (p["thrust"], p["torque"], p["ct"], p["cp"]) == pytest.approx((T, Q, CT, CP))
    assert p["motor_current"] == pytest.approx(straight.idle(p["rotation"]) + Q / c["torque_constant"])
    path = c["motor_resistance"] + c["controller_resistance"]
    assert p["motor_voltage"] == pytest.approx(c["torque_constant"] * p["rotation"] + p["motor_current"] * path)
    assert p["battery_voltage"] == pytest.approx(straight.voc(0.65) - c["battery_resistance"] * p["battery_current"])
    supply = p["battery_voltage"] - c["lead_resistance"] * p["battery_current"]
    assert p["supply_voltage"] == pytest.approx(supply, rel=1e-6)
    assert p["duty"] * supply == pytest.approx(p["motor_voltage"], rel=1e-6)
    motors = c["motors"] * p["duty"] * p["motor_current"]
    assert p["battery_current"] == pytest.approx(motors + c["electronics_power"] / supply, rel=1e-6)
    for name, value in demand.items():
        assert p[name] == pytest.approx(value, rel=1e-8)
    speed = 0.75 * p["rotation"] * c["diameter"] / 2
    assert p["reynolds"] == pytest.approx(c["density"] * speed * c["chord_75"] / c["viscosity"])
    assert p["tip_mach"] == pytest.approx(speed / 0.75 / c["sound_speed"])
    assert p["status"] == OK


def test_a_rotor_turned_on_its_own(straight: Any) -> None:
    """The same thrust, torque and numbers without a motor."""
    p, c = straight.columns.turn(1234.0, axial_speed=4.0)[0], straight.row
    T, Q, _ = straight.forces(1234.0, 4.0)
    assert (p["rotation"], p["thrust"], p["torque"]) == pytest.approx((1234.0, T, Q))
    assert (p["ct"], p["cp"]) == pytest.approx(straight.coefficients(1234.0, 4.0)[:2])
    speed = 0.75 * 1234.0 * c["diameter"] / 2
    assert p["reynolds"] == pytest.approx(c["density"] * speed * c["chord_75"] / c["viscosity"])
    assert p["tip_mach"] == pytest.approx(1234.0 * c["diameter"] / 2 / c["sound_speed"])


@pytest.mark.parametrize(("axial", "edgewise"), [(2.0, 0.0), (-1.0, 3.0), (3.0, 11.0)])
def test_coefficients_in_oblique_flow(straight: Any, axial: float, edgewise: float) -> None:
    """What the flow along the disc adds to thrust and power, and what it drags, with each level of the row once."""
    found = rotor_coefficients(straight.row, straight.rotors, 900.0, axial, edgewise)
    assert found[:3] == pytest.approx(straight.coefficients(900.0, axial, edgewise))


def test_in_plane_drag_from_thrust_grows_no_further_than_an_edgewise_advance_of_1_2(straight: Any) -> None:
    """Beyond it the table's own part goes on with the square of the flow, the fitted part with its thrust alone."""
    c = straight.row
    nD = 500.0 / (2 * math.pi) * c["diameter"]
    CT, _, CH, _, mach = rotor_coefficients(c, straight.rotors, 500.0, 0.0, 2.4 * nD)
    stretch = c["mach_scale"] * (1 / math.sqrt(1 - mach**2) - 1)
    own = 0.011 * 1.2 * 4 * c["power_level"]
    assert pytest.approx(c["in_plane_level"] * (own + 0.12 * CT / (1 + 0.4 * stretch) * 1.2)) == CH


def test_the_tips_mach_number_is_held_where_the_factor_would_run_away(straight: Any) -> None:
    """1 - M^2 is no less than 0.2."""
    slow = rotor_coefficients(straight.row, straight.rotors, 100.0, 0.0, 0.0)
    straight.row["sound_speed"] = 1e-9
    fast = rotor_coefficients(straight.row, straight.rotors, 100.0, 0.0, 0.0)
    gain = 0.6 * (1 / math.sqrt(0.2) - 1)
    assert fast[0] / slow[0] == pytest.approx(1 + 0.4 * gain, rel=1e-3)  # the slow one's own factor: 1e-4
    assert fast[1] / slow[1] == pytest.approx(1 + 0.7 * gain, rel=1e-3)


@pytest.mark.parametrize(("name", "k"), [("thrust_slope", 0), ("power_slope", 1)])
def test_one_slope_over_reynolds_number_alone(straight: Any, name: str, k: int) -> None:
    plain = rotor_coefficients(straight.row, straight.rotors, 800.0, 1.0, 2.0)
    straight.row[name] = 0.21
    sloped = rotor_coefficients(straight.row, straight.rotors, 800.0, 1.0, 2.0)
    assert sloped[k] == pytest.approx(plain[k] * (plain[3] / 1e5) ** 0.21)
    assert sloped[1 - k] == plain[1 - k]


def test_the_load_of_a_motor(straight: Any) -> None:
    Q, current, voltage = motor_load(straight.row, 1300.0, 0.05)
    assert pytest.approx(0.05 * 1.19 * 1300.0**2 * 0.131**5 / (2 * math.pi) ** 3) == Q
    assert current == pytest.approx(straight.idle(1300.0) + Q / 0.0052)
    assert voltage == pytest.approx(0.0052 * 1300.0 + current * (0.061 + 0.0043))


@pytest.mark.parametrize("thrust", [0.05, 0.4, 2.0, 30.0, 900.0])
def test_any_thrust_is_found(straight: Any, thrust: float) -> None:
    """From far below to far above what the search starts from; 1e-8: rotation is solved to 1e-9."""
    straight.row["sound_speed"] = 1e6
    found = balanced_rotation(straight.row, straight.rotors, math.nan, thrust, 16.0, 0.0, 0.0)
    assert straight.forces(found)[0] == pytest.approx(thrust, rel=1e-8)


@pytest.mark.parametrize("duty", [0.1, 0.4, 1.0])
@pytest.mark.parametrize("axial", [0.0, 3.0])
def test_any_duty_is_found(straight: Any, duty: float, axial: float) -> None:
    """The net torque of the rotor vanishes there; 1e-4 of the torque: no electronics, whose current is otherwise
    at the open voltage in one equation and at the loaded one in the other."""
    straight.row["electronics_power"], straight.row["current_limit"] = 0.0, math.inf
    straight.row["idle_current"] = 0.01
    found = balanced_rotation(straight.row, straight.rotors, duty, math.nan, 16.0, axial, 0.0)
    net = straight.spin(duty, found, 16.0, 6.0, axial) * straight.row["rotor_inertia"]
    assert net == pytest.approx(0.0, abs=1e-4 * abs(straight.forces(found, axial)[1]))


def test_what_no_rotation_gives_is_not_found(straight: Any) -> None:
    """A rotor without thrust leaves a demand at every rotation; air from below alone gives more than a little."""
    given = straight.row, straight.rotors, math.nan
    assert math.isnan(balanced_rotation(*given, 1e-6, 16.0, -9.0, 0.0))
    assert math.isnan(balanced_rotation(*given, -0.1, 16.0, 0.0, 0.0))
    straight.row["thrust_level"] = 0.0
    assert math.isnan(balanced_rotation(*given, 1.0, 16.0, 0.0, 0.0))


@pytest.mark.parametrize(
    ("power", "current", "fed"), [(179.0, 50.0, True), (181.0, 50.0, False), (1.0, 100.0, False)]
)
def test_electronics_are_fed_as_long_as_the_motors_leave_volts(
    straight: Any, power: float, current: float, fed: bool
) -> None:
    """16 V less 50 mohm times four motors of 50 A leaves 6 V, which feed 6^2/(4 R) = 180 W at most; 100 A leave
    nothing."""
    c = straight.row
    c["motors"], c["battery_resistance"], c["lead_resistance"], c["electronics_power"] = 4.0, 0.03, 0.02, power
    duty, supply, drawn = supply_load(c, 1.0, 1.0, current, 3.5, 16.0)
    assert duty == 1.0
    assert math.isfinite(supply) == fed
    if fed:
        assert (supply, drawn) == pytest.approx((3.5, 4 * 50.0 + 179.0 / 3.5))


def test_supply_of_a_part_duty(straight: Any) -> None:
    """Half of the supply at the motor; each of six motors draws half of its current from the pack."""
    found = supply_load(straight.row, 0.5, 0.5, 9.0, 7.0, 16.0)
    assert found == pytest.approx((0.5, 14.0, 6 * 0.5 * 9.0 + 7.0 / 14.0))


def test_a_supply_for_a_voltage_meets_its_power(straight: Any) -> None:
    duty, supply, drawn = supply_load(straight.row, math.nan, math.nan, 9.0, 7.0, 16.0)
    assert supply * drawn == pytest.approx(6 * 7.0 * 9.0 + 7.0)
    assert supply == pytest.approx(16.0 - (0.017 + 0.0045) * drawn)
    assert duty == pytest.approx(7.0 / supply)


def test_each_failure_has_its_number(straight: Any) -> None:
    rows = np.concatenate([np.asarray(straight.rows)] * 4)
    rows["electronics_power"][2] = 1e5
    columns = PowertrainColumns(rows, *straight.rotors)
    found = columns.solve(thrust=np.array([1.5, 9.0, 1.5, -1.0]))
    assert found["status"].tolist() == [OK, TOO_HEAVY, COLLAPSED, UNSOLVED]
