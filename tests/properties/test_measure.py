"""Fits scale with their data, do not depend on the order of what has no order, and never drop a row in silence."""

import math
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.measure.least_squares import solve
from rotorwright.measure.pack_model import PACK, pack_voltages
from rotorwright.measure.swing import fit_swing, period_stretch, small_swing_inertia
from rotorwright.measure.weighings import fit_weighings
from rotorwright.measure.winding import fit_winding
from rotorwright.parts.estimate import Estimate

few = settings(max_examples=25, deadline=None)
masses = st.floats(0.1, 3.0)
seeds = st.integers(0, 10_000)


@cache
def pack() -> np.ndarray:
    row = np.zeros(1, PACK)
    row["cells"], row["capacity"], row["start"], row["resistance"] = 4, 5400.0, 1.0, 0.03
    row["polarisation"], row["relaxation"] = [0.1, 1.2], [8.0, 120.0]
    row["heat"], row["cooling"], row["air"], row["warm"], row["warming"] = 180.0, 0.1, 293.15, 298.15, 1.0
    return row


@few
@given(masses, st.floats(0.05, 0.3), st.floats(0.5, 3.0), st.floats(0.5, 4.0), st.floats(1.1, 3.0))
def test_inertia_goes_with_the_square_of_time_and_distance(m: float, r: float, L: float, T: float, k: float) -> None:
    one = small_swing_inertia(m, r, L, T)
    assert small_swing_inertia(m, r, L, k * T) == pytest.approx(k**2 * one, rel=1e-12)
    assert small_swing_inertia(m, k * r, L, T) == pytest.approx(k**2 * one, rel=1e-12)
    assert small_swing_inertia(m, r, k * L, T) == pytest.approx(one / k, rel=1e-12)
    assert small_swing_inertia(k * m, r, L, T) == pytest.approx(k * one, rel=1e-12)


@few
@given(st.floats(0.02, 1.2), st.floats(1.05, 1.5), st.floats(0.05, 0.2), st.floats(1.0, 3.0))
def test_a_wider_swing_takes_longer(amplitude: float, wider: float, r: float, L: float) -> None:
    narrow, wide = (period_stretch(a, r, L, 0.7, 4e-3) for a in (amplitude, amplitude * wider))
    assert 1.0 < narrow < wide
    # a pendulum's series, 1 + a^2/16 + ..., less what slanting threads take off, about 3 r^2/L^2 of it
    assert narrow - 1.0 >= (1.0 - 3.6 * (r / L) ** 2) * amplitude**2 / 16


@few
@given(seeds, st.floats(1e-3, 1e3), st.floats(-1e2, 1e2))
def test_scaled_readings_give_scaled_values_and_bars(seed: int, factor: float, shift: float) -> None:
    x = np.linspace(0.0, 1.0, 30)
    y = 1.0 + 2.0 * x + 0.1 * np.random.default_rng(seed).standard_normal(30)
    one = solve(lambda b: y - b[0] - b[1] * x, np.zeros(2))
    other = solve(lambda b: (factor * y + shift - b[0] - b[1] * x) / factor, np.zeros(2))
    assert other.values == pytest.approx(factor * one.values + np.array([shift, 0.0]), rel=1e-5, abs=1e-5 * factor)
    assert np.sqrt(np.diag(other.covariance)) == pytest.approx(factor * np.sqrt(np.diag(one.covariance)), rel=1e-4)
    assert (other.marked == one.marked).all()


@few
@given(seeds)
def test_the_order_of_weighings_does_not_matter(seed: int) -> None:
    rng = np.random.default_rng(seed)
    counts = np.array([[1, 0], [2, 0], [0, 1], [0, 3], [1, 1], [2, 3]])
    readings = counts @ np.array([0.03, 0.005]) + 1e-4 * rng.standard_normal(6)
    order = rng.permutation(6)
    parts = [("motor", "m"), ("propeller", "p")]
    one, other = (fit_weighings(parts, counts[o], readings[o]) for o in (np.arange(6), order))
    assert [v.value for v in one.values] == pytest.approx([v.value for v in other.values], rel=1e-6)
    assert [v.sd for v in one.values] == pytest.approx([v.sd for v in other.values], rel=1e-5)
    # what one lists as left over stands at its own row in the other
    assert one.residuals["mass_kg"][order] == pytest.approx(other.residuals["mass_kg"], abs=1e-8)


@few
@given(seeds, st.sampled_from([math.nan, -0.05]))
def test_every_row_is_used_or_set_aside(seed: int, bad: float) -> None:
    rng = np.random.default_rng(seed)
    T = np.linspace(290.0, 350.0, 12)
    R = 0.07 * (1 + 0.00393 * (T - 293.15)) * (1 + 1e-3 * rng.standard_normal(12))
    spoilt = rng.choice(12, int(rng.integers(1, 4)), replace=False)
    R[spoilt] = bad
    fit = fit_winding(T, R)
    assert fit.rows_used + len({s.row for s in fit.rows_set_aside}) == 12
    assert {int(i) for i in spoilt} <= {s.row for s in fit.rows_set_aside}
    assert np.isnan(fit.residuals["resistance_ohm"][spoilt]).all()


@few
@given(st.floats(0.5, 40.0), st.floats(1.1, 2.0))
def test_more_current_sags_more_and_drains_more(amps: float, more: float) -> None:
    time = np.arange(0.0, 60.0)
    light, heavy = (pack_voltages(pack(), time, np.full(60, i)) for i in (amps, more * amps))
    assert (heavy[:, 0] < light[:, 0]).all()
    assert (heavy[1:, 1] < light[1:, 1]).all()
    assert 1.0 - heavy[-1, 1] == pytest.approx(more * (1.0 - light[-1, 1]), rel=1e-9)


@few
@given(st.floats(1.0, 30.0), st.integers(2, 5))
def test_a_finer_record_of_the_same_current_reads_the_same(amps: float, finer: int) -> None:
    """Overvoltages are exact for a constant current; warming is stepped, hence 1 mV."""
    coarse, fine = np.arange(0.0, 61.0), np.linspace(0.0, 60.0, 60 * finer + 1)
    one = pack_voltages(pack(), coarse, np.full(len(coarse), amps))[-1, 0]
    other = pack_voltages(pack(), fine, np.full(len(fine), amps))[-1, 0]
    assert other == pytest.approx(one, abs=1e-3)


@few
@given(st.floats(0.5, 5.0), st.integers(5, 40))
def test_a_bar_never_grows_with_more_alike_timings(period: float, count: int) -> None:
    exact = {"radius": Estimate(0.1), "length": Estimate(1.5), "mass": Estimate(0.65)}
    few_, many = (fit_swing([period * 10] * n, [10] * n, **exact).values[0] for n in (count, 2 * count))  # type: ignore[arg-type]
    assert many.sd < few_.sd
    assert many.value == pytest.approx(few_.value, rel=1e-9)
