"""What rules read of one craft: solved points, parts by name, and what is missing."""

import math
from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from rotorwright.checks import CraftView, Missing, Severity
from rotorwright.checks.columns_view import full_cells, key_of
from rotorwright.checks.rule import Case, Rule
from rotorwright.checks.run import apply
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.parts.electronics import Antenna, Camera, Capacitor
from rotorwright.parts.hardware import Plate, Screw
from rotorwright.parts.propulsion import Battery, Motor, Propeller, SpeedController

from .conftest import record

RPM = 30 / math.pi


class Asked:
    """Columns that keep what they were asked to solve."""

    def __init__(self, **points: Any) -> None:
        self.craft = record(mass=[2.0, 4.0], motors=[4, 8])
        self.demands: list[dict[str, Any]] = []
        self.points = record(**points)

    def solve(self, **demand: Any) -> Any:
        self.demands.append(demand)
        return self.points


def test_at_which_points_a_craft_is_solved(posed: Callable[..., CraftView]) -> None:
    """Each once: full throttle fresh and standing, at half charge and 15 m/s, hover at half charge."""
    asked = Asked(duty=[0.5, 0.6])
    view = posed({}, columns=asked)
    for _ in range(2):
        assert view.full is asked.points and view.in_flight is asked.points and view.hover is asked.points
    full, fast, hover = asked.demands
    assert full == {"duty": 1.0}
    assert fast == {"duty": 1.0, "charge": 0.5, "axial_speed": 15.0}
    # a quarter of 2 kg, an eighth of 4 kg
    assert hover["charge"] == 0.5
    assert hover["thrust"] == pytest.approx([0.5 * 9.80665, 0.5 * 9.80665])


@pytest.mark.parametrize(("status", "hover", "reason"), [(0, 200 * RPM, ""), (1, math.nan, "it cannot hover")])
def test_rotor_speeds_are_those_of_the_nominal_craft(
    status: int, hover: float, reason: str, posed: Callable[..., CraftView]
) -> None:
    asked = Asked(rotation=[100.0, 7.0])
    points = {
        "hover": record(rotation=[200.0, 8.0], status=[status, 1 - status]),
        "full": record(rotation=[300.0, 9.0], thrust=[12.0, 6.0]),
    }
    found = posed({}, columns=asked, **points).speeds
    assert asked.demands == [{"duty": 0.1}]
    assert (found.low_rpm, found.full_rpm, found.full_thrust_n) == pytest.approx((100 * RPM, 300 * RPM, 12.0))
    assert found.hover_rpm == pytest.approx(hover, nan_ok=True)
    assert found.reason == reason


def test_four_modes_of_the_frame_are_asked_for(
    posed: Callable[..., CraftView], monkeypatch: pytest.MonkeyPatch
) -> None:
    import rotorwright.predict.structure as module

    asked: list[Any] = []
    monkeypatch.setattr(
        module, "structure", lambda craft, speeds, count: asked.append((craft, speeds, count)) or "it"
    )
    points = {"hover": record(rotation=[1.0], status=[0]), "full": record(rotation=[1.0], thrust=[1.0])}
    view = posed({}, columns=Asked(rotation=[1.0]), **points)
    assert view.structure == "it"  # type: ignore[comparison-overlap]
    assert asked == [(view.craft, view.speeds, 4)]


def test_what_cannot_be_computed_is_tried_once_and_missing_each_time(sound: Callable[..., Craft]) -> None:
    view, tried = CraftView(sound(), samples=0), []

    def fails() -> None:
        tried.append(1)
        raise CannotCompute("no air")

    for _ in range(2):
        with pytest.raises(Missing, match=r"^no air$"):
            view._once("x", fails)
    assert tried == [1]
    assert view._once("y", lambda: 0) == view._once("y", lambda: 1) == 0


def test_samples_and_seed_make_the_draws(sound: Callable[..., Craft]) -> None:
    view = CraftView(sound(), samples=8, seed=3)
    assert (view.draws.rows, view.draws.seed) == (9, 3)
    # 4.2 V of six, in every row; a field scatters, a count does not
    assert view.full_voltage == pytest.approx(np.full(9, 25.2))
    assert view.field("battery", "capacity")[0] == pytest.approx(1.3 * 3600)
    assert len(set(view.field("battery", "capacity"))) == 9
    assert view.field("battery", "cells").tolist() == [6.0] * 9


def test_samples_of_a_field_are_shared_with_what_asks_of_the_same_part(sound: Callable[..., Craft]) -> None:
    view = CraftView(sound(), samples=7)
    estimate = view.part("motor").part.kv  # type: ignore[attr-defined]
    assert view.field("motor", "kv").tolist() == view.draws.of(estimate, "motor-2306-1750.kv").tolist()
    drawn = view.drawn_at(view.part("video-transmitter"))
    assert drawn is not None
    assert drawn[0] == pytest.approx(0.75 * 9)
    assert (
        drawn.tolist()
        == view.draws.of(
            next(level.current for level in view.part("video-transmitter").part.levels).times(9.0),  # type: ignore[attr-defined]
            "vtx-digital-a-25-700mw-20x20.power",
        ).tolist()
    )


def test_power_at_a_supply_is_that_of_all_pieces(sound: Callable[..., Craft]) -> None:
    light = {"id": "lights", "use": "light-8-lamps-5v", "fed_from": "fc.5V", "count": 3}
    view = CraftView(sound({"+part": light}), samples=0)
    drawn = view.drawn_at(view.part("light"))
    assert drawn is not None and drawn[0] == pytest.approx(3 * 0.32 * 5)
    assert view.drawn_at(view.part("recording-camera")) is None


def test_the_flight_has_one_row(sound: Callable[..., Craft]) -> None:
    """It has no error bar here."""
    assert len(CraftView(sound(), samples=7).airborne.craft) == 1


def test_a_flight_that_takes_no_time_is_none(
    posed: Callable[..., CraftView], monkeypatch: pytest.MonkeyPatch
) -> None:
    import rotorwright.predict.endurance as module

    draws: list[Any] = []
    for seconds, flies in ((0.0, False), (-1.0, False), (math.nan, False), (1e-3, True)):
        ends = record(time=[seconds])
        monkeypatch.setattr(
            module, "flown", lambda *given, ends=ends: (draws.append(given[3]), SimpleNamespace(ends=ends))[1]
        )
        view = posed({}, airborne=SimpleNamespace())
        if flies:
            assert view.flown is ends
        else:
            with pytest.raises(Missing, match=r"^a craft that can fly its profile$"):
                _ = view.flown
    assert {one.rows for one in draws} == {1}
    with pytest.raises(Missing, match=r"^a battery$"):
        _ = posed({"battery": None}, airborne=SimpleNamespace()).flown


def test_the_centre_is_that_of_the_mass(sound: Callable[..., Craft], monkeypatch: pytest.MonkeyPatch) -> None:
    """And not what comes behind it, the inertia."""
    import rotorwright.checks.view as module

    monkeypatch.setattr(module, "centre_and_inertia", lambda *_: ("centre", "inertia"))
    assert CraftView(sound(), samples=0).centre == "centre"  # type: ignore[comparison-overlap]


def test_without_any_mass_there_is_no_balance(sound: Callable[..., Craft], monkeypatch: pytest.MonkeyPatch) -> None:
    import rotorwright.checks.view as module

    monkeypatch.setattr(module, "centre_and_inertia", lambda *_: None)
    view = CraftView(sound(), samples=0)
    for name in ("centre", "airborne"):
        with pytest.raises(Missing, match=r"^mass_g of the parts$"):
            getattr(view, name)


@pytest.mark.parametrize(
    ("chemistry", "full", "landing"),
    [("lipo", 4.2 * 6, 3.3 * 6), ("lihv", 4.35 * 6, 3.3 * 6), ("li-ion", 4.2 * 6, 3.3 * 6)],
)
def test_voltages_of_a_pack(chemistry: str, full: float, landing: float, sound: Callable[..., Craft]) -> None:
    view = CraftView(sound({"battery.chemistry": chemistry, "flight.landing_voltage_v": 3.3}), samples=0)
    assert view.full_voltage.tolist() == pytest.approx([full])
    assert view.landing_voltage == pytest.approx(landing)


def test_voltage_of_a_full_cell_by_chemistry() -> None:
    """4.20 V, of a high-voltage cell 4.35 V."""
    assert full_cells() == pytest.approx([4.2, 4.35, 4.2])


def test_rails_and_their_loads(sound: Callable[..., Craft]) -> None:
    view = CraftView(sound(), samples=0)
    rail = view.feeds.rail("vtx.camera")
    assert rail is not None
    load = view.load(rail)
    assert load is not None and load.rail.id == "vtx.camera" and load.current[0] == pytest.approx(0.4)
    assert view.load(replace(rail, name="nothing")) is None
    assert [placed.id for placed in view.fed] == ["esc", "fc", "rx", "camera", "vtx"]
    fed = CraftView(sound({"recorder.fed_from": "fc.5V"}), samples=0).fed
    assert [placed.id for placed in fed] == ["esc", "fc", "rx", "camera", "vtx", "recorder"]


def test_a_part_is_called_by_id_before_role_before_kind(sound: Callable[..., Craft]) -> None:
    """Whatever stands first in the file."""
    antennas = [
        {"id": "receiver", "use": "antenna-2.4ghz-t", "role": "x"},
        {"id": "y", "use": "antenna-2.4ghz-t", "role": "camera"},
    ]
    view = CraftView(sound({"+part": antennas, "camera.role": "main", "camera.id": "eye"}), samples=0)
    called = {name: view.called(name) for name in ("receiver", "camera", "strap", "antenna", "plate", "winch")}
    assert {name: placed and placed.id for name, placed in called.items()} == {
        "receiver": "receiver",
        "camera": "y",
        "strap": "strap",
        "antenna": "rx-antenna",
        "plate": "arms",
        "winch": None,
    }


def test_the_part_of_a_role_or_else_of_its_kind(sound: Callable[..., Craft]) -> None:
    spare = {"id": "other", "use": "receiver-2.4ghz", "role": "receiver"}
    view = CraftView(sound({"rx.role": "spare", "+part": spare}), samples=0)
    assert view.part("receiver").id == "other"
    assert view.part("capacitor", "capacitance", "voltage").id == "cap"
    assert view.part("antenna").id == "rx-antenna"
    with pytest.raises(Missing, match=r"^a winch drum$"):
        view.part("winch-drum")
    assert [p.id for p in view.of_kind(Antenna)] == ["rx-antenna", "vtx-antenna"]
    assert [(p.id, part is p.part) for p, part in view.pairs(Screw)] == [
        ("motor-screws", True),
        ("standoff-screws", True),
    ]
    assert [p.id for p in view.arms] == ["arms"]
    assert view.motors == 4


def test_what_a_part_does_not_say_is_missing(sound: Callable[..., Craft]) -> None:
    view = CraftView(sound({"fc.pads": [], "plug.family": "", "rx.telemetry_power_mw": 0}), samples=0)
    for role, name, words in (
        ("flight-controller", "pads", "pads of fc"),
        ("battery-connector", "family", "family of plug"),
        ("battery", "rating_burst", "rating_burst_c of battery"),
        ("battery", "nothing", "nothing of battery"),
    ):
        with pytest.raises(Missing, match=f"^{words}$"):
            view.stated(view.part(role), name)
    assert view.stated(view.part("receiver"), "telemetry_power").value == 0.0


@pytest.mark.parametrize(
    ("kind", "name", "key"),
    [
        (Motor, "resistance", "resistance_mohm"),
        (Motor, "power_max", "power_max_w"),
        (Motor, "current_max_time", "current_max_time_s"),
        (Motor, "current_max", "current_max_a"),
        (Motor, "diameter", "diameter_mm"),
        (Motor, "mount_pattern", "mount_pattern_mm"),
        (Motor, "cells_max", "cells_max"),
        (Motor, "kv", "kv_rpm_per_v"),
        (Battery, "capacity", "capacity_mah"),
        (Battery, "mass", "mass_g"),
        (Plate, "modulus", "modulus_gpa"),
        (Capacitor, "capacitance", "capacitance_uf"),
        (Propeller, "rotation_max", "rotation_max_rpm"),
        (Camera, "field_of_view", "field_of_view_deg"),
        (SpeedController, "signals", "signals"),
        (SpeedController, "not_there", "not_there"),
    ],
)
def test_a_field_is_asked_for_by_the_key_of_a_file(kind: type, name: str, key: str) -> None:
    assert key_of(kind, name) == key


@pytest.mark.parametrize(
    ("at", "part", "key"),
    [
        ("esc", "esc", ("esc",)),
        ("video-antenna", "vtx-antenna", ("part", 13)),
        ("plate", "arms", ("part", 16)),
        (("the air", ("site", "temperature_degc")), "the air", ("site", "temperature_degc")),
        (None, "rx", ("part", 8)),
    ],
)
def test_where_a_case_stands(at: Any, part: str, key: Any, sound: Callable[..., Craft]) -> None:
    """At the line of the part's table, of the key, or of a role that nothing plays."""
    craft = sound()

    def judged(_: Any) -> list[Case]:
        """It holds.

        It matters.

        Source: made up.
        """
        return [Case(-1.0, None, None, "", at)]

    known = Rule("made-up", "x", ("receiver", "battery"), Severity.STOP, 0.0, False, "it", "Mend.", judged)
    done = apply(known, CraftView(craft, samples=0))
    assert (done.looked, done.unchecked, done.close) == (1, [], [])
    where = done.findings[0].where
    assert (where.file, where.part, where.line) == ("sound.toml", part, craft.source.line(*key))
