"""Single steps of an endurance flight beside their own equations, and what keeps one from going on."""

import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from rotorwright.physics.air import GRAVITY
from rotorwright.physics.endurance import CONSUMERS, END, ENDINGS, TRACE, State, _ending, _moved, endure
from rotorwright.physics.heat import case_conductance, wake_speed

WARM = {
    "capacity": 5000.0,
    "polarisation": (0.11, 1.3),
    "relaxation": (7.0, 110.0),
    "pack_heat": 190.0,
    "pack_cooling": 0.31,
    "pack_start": 301.0,
    "resistance_20": 0.061,
    "winding_heat": 3.1,
    "case_heat": 9.7,
    "winding_conductance": 0.83,
    "case_area": 2.3e-3,
    "case_diameter": 0.029,
    "air_temperature": 293.15,
}


@pytest.fixture
def even(straight: Any) -> Any:
    """A pack at 25 C and windings at 20 C that stay there, without slow overvoltages: resistances are the row's."""
    held = WARM | {"pack_heat": 1e15, "pack_start": 298.15, "winding_heat": 1e15, "polarisation": (0.0, 0.0)}
    for name, value in held.items():
        straight.row[name] = value
    return straight


def fly(straight: Any, trims: Any, seconds: tuple[float, ...], landing: tuple[float, ...], **given: float) -> Any:
    ends, trace = np.zeros(1, END).view(np.recarray), np.zeros((5000, len(TRACE)))
    way = np.arange(3.0, 3.0 + len(seconds))[None]
    rows, limits = straight.rows.copy(), (given.get("resting", 0.0), given.get("floor", 0.0))
    cycle = np.array(seconds), np.zeros(1), way, trims, np.array(landing)
    filled = endure(rows, straight.rotors, *cycle, *limits, ends, trace)
    return SimpleNamespace(end=ends[0], rows=trace[:filled], ending=ENDINGS[ends[0]["ending"]])


def full_throttle(straight: Any, duty: float, voc: float, v: float, e: float) -> float:
    """Battery current at a duty in an oblique flow, the loop of winding and supply closed by a root search [A]."""
    c = straight.row
    supply = c["battery_resistance"] + c["lead_resistance"]

    def drawn(w: float) -> tuple[float, float]:
        current = straight.idle(w) + straight.forces(w, v, e)[1] / c["torque_constant"]
        volts = c["torque_constant"] * w + current * (c["motor_resistance"] + c["controller_resistance"])
        return volts, c["motors"] * duty * current + c["electronics_power"] / (volts / duty)

    w = brentq(lambda w: (voc - supply * drawn(w)[1]) * duty - drawn(w)[0], 400.0, 4000.0)
    return drawn(w)[1]


def test_full_throttle_in_the_segments_own_air(even: Any) -> None:
    """Axial and edgewise flow both count, the latter by its amount: a demand too high is flown at full throttle."""
    for speed in (11.0, -11.0):
        trims = even.columns.level(load=np.array([[9.0, 1.0]]), speed=speed, climb=2.0, charge=1.0)
        found = fly(even, trims, (1.0, 1.0), (0.0, math.inf))
        t = trims[0, 0]
        assert t["edgewise_speed"] * speed > 0.0
        expected = full_throttle(even, 1.0, even.voc(1.0), t["axial_speed"], abs(t["edgewise_speed"]))
        assert found.rows[0, TRACE.index("current")] == pytest.approx(expected, rel=1e-6)  # rotation to 1e-9
        assert (found.end["limited"], found.end["time"]) == (1.0, 1.0)


def test_a_pilot_eases_off_to_the_floor_and_no_further(even: Any) -> None:
    """The duty is halved down on twelve times: within 1/4096 of full throttle, some 20 mV of the pack."""
    trims = even.columns.level(load=np.array([[4.0, 1.0]]), speed=5.0, charge=1.0)
    found = fly(even, trims, (1.0, 1.0), (0.0, math.inf), floor=4.05)
    volts = found.rows[0, TRACE.index("voltage")]
    assert 4 * 4.05 <= volts <= 4 * 4.05 + 0.02
    assert found.end["limited"] == 1.0


def test_a_floor_above_the_pack_leaves_a_thousandth_of_throttle(even: Any) -> None:
    even.row["idle_current"] = 0.0  # so little duty does not overcome any friction
    trims = even.columns.level(load=np.array([[1.0, 1.0]]), charge=1.0)
    found = fly(even, trims, (1.0, 1.0), (0.0, math.inf), floor=4.3)
    least = even.columns.solve(duty=1e-3, charge=1.0)[0]
    assert found.rows[0, TRACE.index("current")] == pytest.approx(least["battery_current"], rel=1e-6)


def test_energy_of_a_part_of_a_second(even: Any) -> None:
    """Each consumer by its own product of torque, current and resistance, in 0.6 s without overvoltage."""
    trims, c = even.columns.level(load=np.array([[1.3, 1.0]]), speed=6.0, charge=1.0), even.row
    found, h = fly(even, trims, (0.6, 1.0), (0.0, math.inf)), 0.6
    t = trims[0, 0]
    current, drawn, w = t["motor_current"], t["battery_current"], t["rotation"]
    expected = {
        "shaft": 6 * t["torque"] * w,
        "iron": 6 * even.idle(w) * c["torque_constant"] * w,
        "copper": 6 * current**2 * 0.061,
        "controllers": 6 * current**2 * 0.0043,
        "leads": drawn**2 * 0.0045,
        "pack": drawn**2 * 0.017,
        "electronics": 7.0,
    }
    assert dict(zip(CONSUMERS, found.end["energy"], strict=True)) == pytest.approx(
        {name: watts * h for name, watts in expected.items()}
    )
    assert found.end["distance"] == pytest.approx(3.0 * h)
    volts = even.voc(1.0) - 0.017 * drawn
    sums = [found.end[name] for name in ("taken", "current_square", "delivered", "stored")]
    assert sums == pytest.approx([drawn * h, drawn**2 * h, volts * drawn * h, even.voc(1.0) * drawn * h])


def test_it_lands_when_full_throttle_hovers_no_longer(even: Any) -> None:
    """The craft is as heavy as its pack can lift half full; it lands a step of charge below that, where somebody
    lands, and flies on at full throttle where nobody does."""
    c = even.row

    def spare(mass: float) -> float:
        return float(even.columns.solve(thrust=mass * GRAVITY / 6, charge=0.5)[0]["duty"] - 1.0)

    c["mass"] = brentq(spare, 0.5, 5.0)
    hover = even.columns.level(load=np.array([[1.0]]), charge=1.0)
    assert 0.0 < hover[0, 0]["duty"] < 1.0
    landed = fly(even, hover, (10.0,), (0.1,))
    step = landed.rows[-1, TRACE.index("current")] / c["capacity"]
    assert landed.ending == "full throttle does not hover any more"
    assert 0.5 - 1.01 * step <= landed.end["charge"] <= 0.5  # the duty is one within the search's 1e-9
    assert landed.end["limited"] == 0.0
    onwards = fly(even, hover, (10.0,), (0.0,))
    assert onwards.ending == "empty"
    assert onwards.end["limited"] > 10.0


def test_a_step_moves_every_part_of_the_state(straight: Any) -> None:
    """Charge by its current, overvoltages by their exponentials, pack by its balance, motor by implicit steps."""
    for name, value in WARM.items():
        straight.row[name] = value
    c, h, drawn, losses = straight.row, 0.7, 31.0, (4.1, 9.3)
    trim = SimpleNamespace(thrust=1.7, axial_speed=2.1, edgewise_speed=5.3)
    trims = straight.columns.level()
    for name, value in vars(trim).items():
        trims[name] = value
    old = State(0.8, 0.02, 0.11, 305.0, 330.0, 312.0)
    new = _moved(c, trims.view(np.recarray)[0, 0], old, drawn, losses, h)
    assert new.charge == pytest.approx(0.8 - 31.0 * h / 5000.0)
    for was, now, share, tau in ((0.02, new.fast, 0.11, 7.0), (0.11, new.slow, 1.3, 110.0)):
        settled = 31.0 * 0.017 * share
        assert now - settled == pytest.approx((was - settled) * math.exp(-h / tau))
    assert new.pack == pytest.approx(305.0 + (9.3 - 0.31 * (305.0 - 293.15)) * h / 190.0)
    air = wake_speed(1.7, c["diameter"], c["density"], 2.1, 5.3)
    outer, across = case_conductance(2.3e-3, 0.029, air), 0.83 * (new.winding - new.case)
    assert 3.1 * (new.winding - 330.0) / h == pytest.approx(4.1 - across, rel=1e-6)  # differences of 300 K
    assert 9.7 * (new.case - 312.0) / h == pytest.approx(across - outer * (new.case - 293.15), rel=1e-6)


@pytest.mark.parametrize(
    ("changes", "ending"),
    [
        ({}, ""),
        ({"status": 3}, "a segment without trim"),
        ({"status": 1}, ""),
        ({"drawn": math.nan}, "collapse"),
        ({"volts": (3.49, 3.9, 3.5, 3.6)}, "landing voltage"),
        ({"volts": (3.5, 3.6, 3.5, 3.6)}, ""),
        ({"volts": (3.7, 3.59, 3.5, 3.6)}, "resting voltage"),
        ({"after": 0.0}, "empty"),
        ({"time": 6 * 3600.0}, ""),
        ({"time": 6 * 3600.0 + 1e-6}, "too long"),
    ],
)
def test_what_keeps_a_step_from_being_flown(changes: dict[str, Any], ending: str) -> None:
    given = {"status": 0, "drawn": 20.0, "volts": (3.7, 3.9, 3.5, 3.6), "after": 1e-6, "time": 0.0} | changes
    end, trim = SimpleNamespace(time=given["time"]), SimpleNamespace(status=given["status"])
    plain = getattr(_ending, "py_func", _ending)  # the kernel's own text, uncompiled: it takes any record
    assert ENDINGS[plain(end, trim, given["drawn"], given["volts"], given["after"])] == ending
