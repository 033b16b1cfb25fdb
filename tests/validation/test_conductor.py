"""Short-time heating, board traces and supply spikes against published tables and worked numbers."""

import math

import numpy as np
import pytest

from rotorwright.physics.conductor import (
    adiabatic_area,
    adiabatic_constant,
    bore_for_wires,
    held_voltage,
    insulated_diameter,
    smoothing_capacitance,
    trace_area,
    trace_width,
)
from rotorwright.physics.wire import awg_area, loop_inductance

ZERO = 273.15
OUNCE = 1.378 * 25.4e-6  # thickness of 1 oz/ft2 [m]


# Initial and final temperature [C], k [A s^0.5/mm2]: 115 and 143 are in the table of IEC 60364-4-43 (from memory),
# the rest follow from its formula. Tolerance: half a unit in the last printed digit.
@pytest.mark.parametrize(
    ("start", "end", "k", "digit"),
    [
        (70, 160, 115, 0.5),
        (90, 250, 143, 0.5),
        (70, 160, 115.004, 5e-4),
        (90, 250, 143.08, 5e-3),
        (25, 200, 162.255, 5e-4),
    ],
)
def test_adiabatic_constant(start: float, end: float, k: float, digit: float) -> None:
    assert adiabatic_constant(start + ZERO, end + ZERO) * 1e-6 == pytest.approx(k, abs=digit)


def test_adiabatic_current_of_12_awg() -> None:
    """12 AWG from 25 to 200 C in 5 s bears 240.1 A by the formula: its area is what that current needs."""
    need = adiabatic_area(240.1, 5.0, 25 + ZERO, 200 + ZERO)
    assert need == pytest.approx(awg_area(12), rel=3e-4)


# IPC-2221: current [A], warming [K], outer layer, area [mil2], width at 1 oz [mm]; second hand from two vendors'
# notes, recomputed. Tolerance: half a unit in the last printed digit.
@pytest.mark.parametrize(
    ("current", "rise", "outer", "area", "width", "digit"),
    [
        (1, 10, True, 16.30, 0.300, 1e-3),
        (3, 10, False, 192.93, 3.556, 1e-3),
        (10, 10, True, 390.29, 7.194, 1e-3),
        (30, 20, True, 1166.26, 21.50, 1e-2),
    ],
)
def test_trace(current: float, rise: float, outer: bool, area: float, width: float, digit: float) -> None:
    assert trace_area(current, rise, outer) / 25.4e-6**2 == pytest.approx(area, abs=6e-3)
    assert trace_width(current, rise, OUNCE, outer) * 1e3 == pytest.approx(width, abs=digit)
    assert trace_width(current, rise, 2 * OUNCE, outer) * 1e3 == pytest.approx(width / 2, abs=digit)


def test_spike_energy() -> None:
    """200 nH and 50 A need 1.818 uF to rise from 25 to 30 V; that capacitance gives the 30 V back."""
    C = smoothing_capacitance(200e-9, 50.0, 25.0, 30.0)
    assert pytest.approx(1.818e-6, abs=5e-10) == C
    assert held_voltage(200e-9, 50.0, 25.0, C) == pytest.approx(30.0, rel=1e-12)


def test_spike_of_a_real_lead() -> None:
    """100 mm of 2.053 mm wire at 4 mm have a loop of 64.41 nH (Grover/Rosa): 100 A and 1 uF lift 25.2 V to 35.8 V."""
    L = loop_inductance(0.1, 4e-3, 2.053e-3)
    assert pytest.approx(64.41e-9, abs=5e-12) == L
    assert held_voltage(L, 100.0, 25.2, 1e-6) == pytest.approx(math.sqrt(25.2**2 + 644.1), abs=1e-3)


def test_no_room_for_a_spike() -> None:
    assert smoothing_capacitance(1e-7, 10.0, 25.0, 25.0) == math.inf
    assert np.all(np.isinf(np.asarray(smoothing_capacitance(1e-7, np.array([1.0, 2.0]), 25.0, 20.0))))


# Circles in a circle, plane geometry: 2, 2.1547, 2.4142, 2.7013, 3 times the diameter. To the digits printed.
@pytest.mark.parametrize(("count", "ratio"), [(1, 1.0), (2, 2.0), (3, 2.1547), (4, 2.4142), (5, 2.7013), (6, 3.0)])
def test_wires_in_a_bore(count: int, ratio: float) -> None:
    assert bore_for_wires(1.0, count) == pytest.approx(ratio, abs=5e-5)


def test_too_many_wires() -> None:
    with pytest.raises(ValueError, match="one to six"):
        bore_for_wires(1.0, 7)


# Silicone wire as sold [AWG: mm over the insulation]; common practice, no source. 12 % either way: makers differ by
# that much for one gauge.
@pytest.mark.parametrize(("gauge", "diameter"), [(12, 4.5), (14, 3.5), (16, 3.0), (18, 2.3), (20, 1.85), (22, 1.7)])
def test_insulated_diameter(gauge: int, diameter: float) -> None:
    assert float(insulated_diameter(awg_area(gauge))) * 1e3 == pytest.approx(diameter, rel=0.12)
