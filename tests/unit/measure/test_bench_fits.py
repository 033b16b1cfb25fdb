"""Winding, swing, weighings, steps, rotor inertia, coast-down and hovers: flags, refusals and words."""

import math
from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from rotorwright.columns import PowertrainColumns, drag_areas
from rotorwright.craft.read import read_craft
from rotorwright.errors import CannotCompute
from rotorwright.measure.coast_down import Coasting, coasting, fit_coast_down, speed_after
from rotorwright.measure.hover_points import HoverChain, fit_hover, hover_chain
from rotorwright.measure.rotor_inertia import fit_rotor_inertia
from rotorwright.measure.step_response import fit_steps, steps_of
from rotorwright.measure.swing import fit_swing
from rotorwright.measure.synthetic_bench import (
    invent_coast,
    invent_hovers,
    invent_rotor_steps,
    invent_steps,
)
from rotorwright.measure.weighings import fit_weighings
from rotorwright.measure.winding import fit_winding
from rotorwright.parts.estimate import Estimate
from rotorwright.predict.airborne import airborne

DEMO = Path(__file__).parents[3] / "src/rotorwright/craft/demo_workshop/crafts/lapwing-1.toml"
T = np.array([293.0, 313.0, 333.0, 353.0])
SWUNG: dict[str, Estimate] = {
    "radius": Estimate(0.1, 5e-4),
    "length": Estimate(1.5, 3e-3),
    "mass": Estimate(0.65, 5e-4),
}


@cache
def flying() -> PowertrainColumns:
    return airborne(read_craft(DEMO), 0).columns


@cache
def coasts() -> Coasting:
    return coasting(flying(), drag_areas(read_craft(DEMO))[0])


@cache
def chain() -> HoverChain:
    return hover_chain(read_craft(DEMO))


# winding


def test_leads_in_series_show_in_the_coefficient() -> None:
    fit = fit_winding(T, 0.08 * (1 + 0.00393 * (T - 293.15)) + 0.03)
    assert "27% less than copper's" in fit.notes[0]
    assert fit.value("resistance").value == pytest.approx(0.11, rel=0.01)


def test_one_reading_takes_copper_for_granted() -> None:
    fit = fit_winding([300.0], [0.08])
    assert [v.field for v in fit.values] == ["resistance"]
    assert fit.value("resistance").value == pytest.approx(0.08 / (1 + 0.00393 * 6.85), rel=1e-4)
    assert "taken for granted" in fit.identifies


def test_winding_flags() -> None:
    fit = fit_winding([293.0, 20.0, 313.0, np.nan], [0.08, 0.08, -0.08, 0.08])
    assert [s.row for s in fit.rows_set_aside] == [1, 2, 3]
    with pytest.raises(CannotCompute):
        fit_winding([20.0], [0.08])


# swing


def test_more_timings_tighten_the_bar() -> None:
    few = fit_swing([18.0], [10], **SWUNG)  # type: ignore[arg-type]
    many = fit_swing([54.0, 54.1, 53.9], [30, 30, 30], **SWUNG)  # type: ignore[arg-type]
    assert many.values[0].sd < few.values[0].sd
    assert "Few swings were timed" in few.notes[-1]


def test_a_miscounted_timing_is_set_aside() -> None:
    fit = fit_swing([18.0, 18.1, 17.95, 18.05, 18.0, 19.8, 18.0], [10] * 7, **SWUNG)  # type: ignore[arg-type]
    assert [s.row for s in fit.rows_set_aside] == [5]


def test_wide_swing_and_damping_are_allowed_for_and_said() -> None:
    plain = fit_swing([18.0], [10], amplitude=0.0, **SWUNG)  # type: ignore[arg-type]
    wide = fit_swing([18.0], [10], amplitude=math.radians(40.0), kept=0.8, **SWUNG)  # type: ignore[arg-type]
    assert wide.values[0].value == pytest.approx(plain.values[0].value * 0.94, rel=0.01)
    assert any("is wide" in note for note in wide.notes)
    assert any("dies fast" in note for note in wide.notes)


def test_a_platform_is_taken_off() -> None:
    bare = fit_swing([18.0], [10], **SWUNG)  # type: ignore[arg-type]
    laid = fit_swing([18.0], [10], platform=(Estimate(0.1), Estimate(1e-3, 1e-5)), **SWUNG)  # type: ignore[arg-type]
    assert laid.values[0].value == pytest.approx(bare.values[0].value * 0.75 / 0.65 - 1e-3, rel=1e-3)
    with pytest.raises(CannotCompute, match="platform"):
        fit_swing([18.0], [10], platform=(Estimate(0.1), Estimate(1.0)), **SWUNG)  # type: ignore[arg-type]


def test_no_swing_is_refused() -> None:
    with pytest.raises(CannotCompute):
        fit_swing([np.nan, -3.0], [10, 10], **SWUNG)  # type: ignore[arg-type]


# weighings

PARTS = [("motor", "m"), ("propeller", "p"), ("screw", "s")]


def test_only_a_sum_is_known_and_said() -> None:
    fit = fit_weighings(PARTS, [[1, 0, 0], [0, 1, 1]], [0.033, 0.0055])
    assert [v.part for v in fit.values] == ["m"]
    assert "Only sums of p, s are known" in fit.identifies
    assert "Nothing was weighed twice" in fit.notes[-1]


def test_what_was_never_weighed_is_said() -> None:
    fit = fit_weighings(PARTS, [[1, 0, 0], [0, 1, 0]], [0.033, 0.0055])
    assert "Never weighed: s." in fit.identifies


def test_a_slip_among_many_weighings_is_set_aside() -> None:
    counts = [[1, 0], [1, 0], [4, 0], [0, 1], [0, 4], [4, 4], [1, 1], [2, 2]]
    true = np.array([0.032, 0.0045])
    readings = np.array(counts) @ true
    readings[5] += 0.01
    fit = fit_weighings(PARTS[:2], counts, readings)
    assert [s.row for s in fit.rows_set_aside] == [5]
    assert "10.00 g above" in fit.rows_set_aside[0].reason


def test_weighings_refuse_nonsense() -> None:
    with pytest.raises(ValueError, match="one row a weighing"):
        fit_weighings(PARTS, [[1, 0]], [0.03])
    with pytest.raises(CannotCompute):
        fit_weighings(PARTS[:2], [[1, 1]], [0.03])


# steps


def test_steps_are_told_apart_by_direction() -> None:
    a = invent_steps(3).arguments
    found = steps_of(a["time"], a["rotation"])
    assert [s.up for s in found] == [True, False, True, False, True]


def test_a_slow_record_and_a_delay_are_said() -> None:
    a = invent_steps(3, rate=60.0).arguments
    fit = fit_steps(a["time"], a["rotation"], a["command"])
    assert any("a faster one" in note for note in fit.notes)
    assert any("after the command" in note for note in fit.notes)


@pytest.mark.parametrize("speed", [np.full(200, 1000.0), np.linspace(1000, 1010, 200)])
def test_no_step_is_refused(speed: np.ndarray) -> None:
    with pytest.raises(CannotCompute, match="no step"):
        fit_steps(np.arange(200) / 500, speed)


def test_backward_time_and_missing_speed_are_set_aside() -> None:
    a = invent_steps(3).arguments
    time, speed = a["time"].copy(), a["rotation"].copy()
    time[10], speed[20] = 0.0, np.nan
    rows = {s.row: s.reason for s in fit_steps(time, speed).rows_set_aside}
    assert "does not go on" in rows[10]
    assert rows[20] == "speed is missing"


# rotor inertia


def test_propeller_is_taken_off() -> None:
    a = dict(invent_rotor_steps(flying(), 0).arguments)
    whole = fit_rotor_inertia(**a)
    rest = fit_rotor_inertia(**a, propeller=Estimate(2e-6, 2e-7))
    blades = fit_rotor_inertia(**a, rotor=Estimate(3e-6, 1e-7)).values[0]
    assert (blades.kind, blades.field) == ("propeller", "inertia")
    assert blades.value == pytest.approx(whole.values[0].value - 3e-6)
    assert rest.values[0].kind == "motor"
    assert rest.values[0].value == pytest.approx(whole.values[0].value - 2e-6)


def test_a_known_winding_tightens_the_inertia() -> None:
    a = dict(invent_rotor_steps(flying(), 0).arguments)
    loose, tight = (fit_rotor_inertia(**a, winding=sd).values[0].relative for sd in (0.25, 0.05))
    assert tight < 0.5 * loose


def test_too_few_rows_of_a_step_are_refused() -> None:
    with pytest.raises(CannotCompute, match="twenty rows"):
        fit_rotor_inertia(flying(), *(np.ones(5) for _ in range(4)))


@pytest.mark.parametrize(("count", "apart", "why"), [(40, 0.3, "rows lie 0.3 s apart"), (200, 0.1, "6000 rows and")])
def test_a_record_too_coarse_or_too_long_to_follow_is_refused(count: int, apart: float, why: str) -> None:
    column = np.ones(count)
    with pytest.raises(CannotCompute, match=why):
        fit_rotor_inertia(flying(), apart * np.arange(count), 1000 * column, 0.5 * column, 16 * column)


# coast-down


def test_drag_slows_a_bluff_craft_sooner() -> None:
    numbers = {"craft.drag_area": coasts().beliefs[0].value, "craft.in_plane_level": 1.0, "mass_gain": 1.0}
    light = speed_after(coasts(), numbers, 15.0, np.array([3.0]))[0]
    heavy = speed_after(
        coasts(), numbers | {"craft.drag_area": 3 * numbers["craft.drag_area"]}, 15.0, np.array([3.0])
    )
    assert heavy[0] < light < 15.0


def test_one_way_is_said_and_gusts_are_set_aside() -> None:
    a = dict(invent_coast(coasts(), 1, headings=(1,)).arguments)
    a["speed"] = a["speed"].copy()
    a["speed"][30] += 3.0
    fit = fit_coast_down(**a)
    assert any("one way only" in note for note in fit.notes)
    assert "speed rises" in next(s.reason for s in fit.rows_set_aside if s.row == 30)


def test_no_coasting_run_is_refused() -> None:
    with pytest.raises(CannotCompute, match="no coasting run"):
        fit_coast_down(coasts(), [0.0, 1.0], [10.0, 9.0])


# hovers


def test_hovers_say_how_far_off_the_chain_is() -> None:
    trial = invent_hovers(chain(), 2)
    fit = fit_hover(**trial.arguments)
    assert {v.field for v in fit.values} >= {"hover_current_ratio", "hover_throttle_ratio"}
    assert any(note.startswith("Current in the hover is") for note in fit.notes)
    assert "one point of the chain" in fit.identifies


def test_hovers_without_throttle_are_checked_on_current_alone() -> None:
    arguments = {**invent_hovers(chain(), 2).arguments, "throttle": None}
    fit = fit_hover(**arguments)
    assert set(fit.residual_sd) == {"amps_a"}


def test_hover_flags() -> None:
    arguments = dict(invent_hovers(chain(), 2).arguments)
    for name in ("volts", "amps", "throttle"):
        arguments[name] = arguments[name].copy()
    arguments["volts"][0], arguments["amps"][1], arguments["throttle"][2] = np.nan, -1.0, 1.0
    fit = fit_hover(**arguments)
    assert [s.row for s in fit.rows_set_aside][:3] == [0, 1, 2]
    with pytest.raises(CannotCompute, match="no hover"):
        fit_hover(chain(), [np.nan], [3.0])


def test_every_reason_ends_a_sentence() -> None:
    """Lower case at the start, no full stop: 'row 7: ...'."""
    fits: list[Callable[[], object]] = [
        lambda: fit_winding([293.0, 20.0, 313.0, np.nan], [0.08, 0.08, -0.08, 0.08]),
        lambda: fit_swing([18.0, np.nan], [10, 10], **SWUNG),  # type: ignore[arg-type]
    ]
    for make in fits:
        for aside in make().rows_set_aside:  # type: ignore[attr-defined]
            assert aside.reason[0].islower()
            assert not aside.reason.endswith(".")
