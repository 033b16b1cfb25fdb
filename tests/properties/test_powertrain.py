"""Energy is kept, and every dial moves the operating point the way it must."""

import math
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

compiling = settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])

crafts = st.fixed_dictionaries(
    {
        "torque_constant": st.floats(0.0035, 0.008),
        "motor_resistance": st.floats(0.03, 0.2),
        "controller_resistance": st.floats(0.001, 0.01),
        "idle_current": st.floats(0.2, 2.5),
        "cells": st.integers(3, 6),
        "battery_resistance": st.floats(0.002, 0.06),
        "lead_resistance": st.floats(0.0005, 0.01),
        "electronics_power": st.floats(0.0, 20.0),
        "propeller": st.integers(0, 1),
        "density": st.floats(0.9, 1.3),
        "thrust_level": st.floats(0.7, 1.3),
        "power_level": st.floats(0.7, 1.3),
    }
)
duties = st.floats(0.15, 1.0)
speeds = st.floats(0.0, 20.0)


def at(plant: Any, craft: dict[str, Any], **demand: float) -> Any:
    return plant.solve(plant.rows(**craft), **demand)[0]


@compiling
@given(crafts, duties, speeds, st.floats(0.1, 1.0))
def test_energy_is_kept(plant: Any, craft: dict[str, Any], duty: float, speed: float, charge: float) -> None:
    """Out of the pack goes what shafts, copper, iron, switches, leads and electronics take; 1e-7 of the solver."""
    p = at(plant, craft, duty=duty, axial_speed=speed, charge=charge)
    if p["status"] != 0:
        return
    amps, w, Ib = p["motor_current"], p["rotation"], p["battery_current"]
    idle = craft["idle_current"] * (0.5 + 0.5 * w / (10 * 1900 * math.pi / 30))
    shaft, iron = p["torque"] * w, craft["torque_constant"] * idle * w
    heat = amps**2 * (craft["motor_resistance"] + craft["controller_resistance"])
    taken = 4 * (shaft + iron + heat) + craft["electronics_power"] + Ib**2 * craft["lead_resistance"]
    given_out = p["battery_voltage"] * Ib
    assert given_out == pytest.approx(taken, rel=1e-7, abs=1e-6)
    assert p["motor_voltage"] == pytest.approx(p["duty"] * p["supply_voltage"], rel=1e-7)


@compiling
@given(crafts, st.floats(0.5, 4.0), st.floats(0.2, 1.0))
def test_energy_is_kept_at_a_thrust(plant: Any, craft: dict[str, Any], thrust: float, charge: float) -> None:
    p = at(plant, craft, thrust=thrust, charge=charge)
    if p["status"] > 1:
        return
    assert p["thrust"] == pytest.approx(thrust, rel=1e-7)
    electrical = 4 * p["motor_voltage"] * p["motor_current"] + craft["electronics_power"]
    leads = p["battery_current"] ** 2 * craft["lead_resistance"]
    assert p["battery_voltage"] * p["battery_current"] == pytest.approx(electrical + leads, rel=1e-9)


@compiling
@given(crafts, duties, st.floats(0.01, 0.2))
def test_more_throttle_more_thrust_and_current(plant: Any, craft: dict[str, Any], duty: float, more: float) -> None:
    low, high = at(plant, craft, duty=duty * (1 - more)), at(plant, craft, duty=duty)
    if max(low["status"], high["status"]) == 0:
        assert high["rotation"] > low["rotation"]
        assert high["thrust"] > low["thrust"]
        assert high["battery_current"] > low["battery_current"]


@compiling
@given(crafts, st.floats(0.6, 3.0), st.floats(1.01, 1.5))
def test_more_weight_more_hover_throttle(plant: Any, craft: dict[str, Any], thrust: float, more: float) -> None:
    light, heavy = at(plant, craft, thrust=thrust), at(plant, craft, thrust=thrust * more)
    if max(light["status"], heavy["status"]) <= 1:
        assert heavy["duty"] > light["duty"]
        assert heavy["rotation"] > light["rotation"]
        assert heavy["battery_current"] > light["battery_current"]


@compiling
@given(crafts, st.floats(0.6, 3.0), st.floats(1.02, 1.4))
def test_denser_air_hovers_slower(plant: Any, craft: dict[str, Any], thrust: float, more: float) -> None:
    thin, dense = (
        at(plant, craft, thrust=thrust),
        at(plant, craft | {"density": craft["density"] * more}, thrust=thrust),
    )
    assert dense["rotation"] < thin["rotation"]


@compiling
@given(
    crafts,
    duties,
    st.floats(1.1, 3.0),
    st.sampled_from(["battery_resistance", "lead_resistance", "motor_resistance"]),
)
def test_resistance_costs_thrust(plant: Any, craft: dict[str, Any], duty: float, more: float, name: str) -> None:
    low, high = at(plant, craft, duty=duty), at(plant, craft | {name: craft[name] * more}, duty=duty)
    if max(low["status"], high["status"]) == 0:
        assert high["thrust"] < low["thrust"]


@compiling
@given(crafts, duties, st.floats(0.1, 0.95), st.floats(0.01, 0.05))
def test_charge_gives_thrust(plant: Any, craft: dict[str, Any], duty: float, charge: float, more: float) -> None:
    low, high = at(plant, craft, duty=duty, charge=charge), at(plant, craft, duty=duty, charge=charge + more)
    if max(low["status"], high["status"]) == 0:
        assert high["thrust"] > low["thrust"]


@compiling
@given(crafts, st.floats(8.0, 20.0), st.floats(2.0, 8.0))
def test_flying_along_the_axis_unloads_the_rotors(
    plant: Any, craft: dict[str, Any], speed: float, more: float
) -> None:
    """From 8 m/s on: below that a blade that stalls at rest may gain thrust from a little inflow."""
    slow, fast = at(plant, craft, duty=1.0, axial_speed=speed), at(plant, craft, duty=1.0, axial_speed=speed + more)
    if max(slow["status"], fast["status"]) == 0:
        assert fast["thrust"] < slow["thrust"]


@compiling
@given(crafts, duties)
def test_no_rotor_beats_the_ideal_disc(plant: Any, craft: dict[str, Any], duty: float) -> None:
    """Figure of merit sqrt(2/pi) CT^1.5/CP below one (actuator disc, hover), unless the levels were moved so."""
    p = at(plant, craft | {"thrust_level": 1.0, "power_level": 1.0}, duty=duty)
    if p["status"] == 0:
        assert 0 < math.sqrt(2 / math.pi) * p["ct"] ** 1.5 / p["cp"] < 1
