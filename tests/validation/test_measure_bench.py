"""Swing, winding and battery fits against published numbers."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from rotorwright.measure.battery_fit import pack_on_test, pack_row
from rotorwright.measure.least_squares import solve
from rotorwright.measure.pack_model import pack_voltages
from rotorwright.measure.swing import fit_swing, period_stretch, small_swing_inertia
from rotorwright.measure.winding import fit_winding
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.laws import completed
from rotorwright.parts.propulsion import Battery
from rotorwright.physics.cell import discharge

Array = NDArray[np.float64]


def test_published_swing() -> None:
    """Model of 0.980 kg, half spacing 0.175 m, threads 1.55 m, 9 swings in 16.5 s: 0.0161 kg m2 reported (a builder's
    page, bartslinger.com 2025). Half a unit in its last digit, and 0.5 % for its period rounded to 1.83 s.
    """
    fit = fit_swing(
        [16.5],
        [9],
        radius=Estimate(0.175, 0.001),
        length=Estimate(1.55, 0.005),
        mass=Estimate(0.98, 1e-3),
        amplitude=0.0,
    )
    assert fit.value("inertia_zz").value == pytest.approx(0.0161, abs=0.5e-4 + 0.005 * 0.0161)


@pytest.mark.parametrize(
    ("mass", "radius", "length", "period", "inertia"),
    [
        (0.65, 0.10, 1.0, 1.5, 3.63293e-3),  # two threads, 0.20 m apart
        (0.65, 0.10, 1.0, 1.2, 2.32507e-3),  # three threads
        (0.5, 0.25, 1.2, 1.522758, 0.015),  # a rod of 0.6 m, m L^2/12
    ],
)
def test_swing_formula(mass: float, radius: float, length: float, period: float, inertia: float) -> None:
    """Two- and three-thread formulas recomputed outside this project with g = 9.80665; half a last digit."""
    assert small_swing_inertia(mass, radius, length, period) == pytest.approx(inertia, rel=2e-6)


# Simple pendulum: T/T0 = 2 K(sin(theta0/2))/pi with the complete elliptic integral; 60 degrees: 1.0732, 90: 1.1803
# (tabulated in mechanics texts, from memory; recomputed with scipy.special.ellipk).
@pytest.mark.parametrize(("degrees", "ratio"), [(10.0, 1.001907), (60.0, 1.073182), (90.0, 1.180341)])
def test_long_threads_swing_as_a_pendulum(degrees: float, ratio: float) -> None:
    """Threads a thousand times their distance: the potential is that of a pendulum. 2e-6: rounding, r/L of 1e-3."""
    assert period_stretch(math.radians(degrees), 0.01, 10.0, 1.0, 0.1) == pytest.approx(ratio, abs=2e-6)


# Resistance ratios of copper at 20, 60, 100 and 120 C by the 234.5 rule of machine tests, (234.5 + T)/254.5
# (IEC 60034-1 as quoted in textbooks, from memory).
RULE = [(20.0, 1.0), (60.0, 1.157171), (100.0, 1.314342), (120.0, 1.392927)]


def test_winding_after_the_rule_of_machine_tests() -> None:
    """R20 to 2e-4, as far as 1/254.5 is from 0.00393; the coefficient that is read off to 0.1 %."""
    T, R = np.array([[c + 273.15, 0.0853 * ratio] for c, ratio in RULE]).T
    fit = fit_winding(T, R)
    assert fit.value("resistance").value == pytest.approx(0.0853, rel=2e-4)
    assert fit.value("copper_coefficient").value == pytest.approx(1 / 254.5, rel=1e-3)
    assert fit.notes == ("Resistance rises as copper's does.",)


# Chen and Rincon-Mora, IEEE Trans. Energy Conversion 21(2) (2006) 504-511: 850 mAh polymer cell at half charge, 0.8 A
# from rest, charge held (constants second hand, voltages recomputed from them).
CHEN = {"rest": 3.803362, "R0": 0.074461, "R": (0.04669, 0.04984), "tau": (32.810, 223.034)}
POINTS = [(0.0, 3.743794), (10.0, 3.732233), (60.0, 3.703037), (300.0, 3.676961)]


def chen(seconds: Array, R0: float, pairs: Array) -> Array:
    slow, taus = (float(pairs[0]), float(pairs[1])), (float(pairs[2]), float(pairs[3]))
    return np.array([discharge(0.8, float(s), CHEN["rest"], R0, slow, taus) for s in seconds])  # type: ignore[arg-type]


def test_published_circuit_is_found_again_in_its_own_pulse() -> None:
    """A row a second for twenty minutes of the published cell's pulse, 0.1 mV of scatter: five constants come back
    within four of their bars, and the bars are below 3 %; at the printed moments it reads as printed, 2 uV.
    """
    assert chen(np.array([p[0] for p in POINTS]), CHEN["R0"], np.array([*CHEN["R"], *CHEN["tau"]])) == pytest.approx(  # type: ignore[misc,arg-type]
        np.array([p[1] for p in POINTS]), abs=2e-6
    )
    true = np.log([CHEN["R0"], *CHEN["R"], *CHEN["tau"]])  # type: ignore[misc]
    seconds = np.arange(0.0, 1200.0)
    read = chen(seconds, math.exp(true[0]), np.exp(true[1:])) + 1e-4 * np.random.default_rng(1).standard_normal(1200)
    start = np.log([0.05, 0.03, 0.03, 10.0, 100.0])
    found = solve(lambda x: (read - chen(seconds, math.exp(x[0]), np.exp(x[1:]))) / 1e-4, start)
    sd = np.sqrt(np.diag(found.covariance))
    assert np.all(np.abs(found.values - true) < 4 * sd)
    assert np.all(sd < 0.03)


def test_pack_under_a_pulse_is_the_published_circuit() -> None:
    """The pack that battery logs are fitted with, given the published constants and a charge that hardly falls, reads
    the published pulse less what it has at rest: 0.05 mV, for charge that falls by 6e-5 and rows of a second.
    """
    battery = completed(Battery(name="b", cells=1, capacity=Estimate(3600.0 * 1000), mass=Estimate(0.02)))
    assert isinstance(battery, Battery)
    pack = pack_on_test(battery, temperature=Estimate(298.15, 0.1), air=298.15)
    numbers = {(f"{b.kind}.{b.field}" if b.kind else b.field): b.value for b in pack.beliefs}
    numbers |= {"battery.resistance": CHEN["R0"], "start": 0.5}  # type: ignore[dict-item]
    for name, R, tau in zip(("fast", "slow"), CHEN["R"], CHEN["tau"], strict=True):  # type: ignore[call-overload]
        numbers |= {f"battery.polarisation_{name}": R / CHEN["R0"], f"battery.relaxation_{name}": tau}
    row = pack_row(pack, numbers)
    row["heat"] = np.inf
    time = np.arange(0.0, 301.0)
    drop = pack_voltages(row, time, np.full(301, 0.8))[:, 0] - pack_voltages(row, time, np.zeros(301))[:, 0]
    printed = np.array([v for _, v in POINTS]) - CHEN["rest"]  # type: ignore[operator]
    assert drop[[0, 10, 60, 300]] == pytest.approx(printed, abs=5e-5)
