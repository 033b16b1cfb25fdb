"""Bench points attached to a propeller. The points are invented: the table's own values, changed by known factors."""

import math

import numpy as np
import pytest

from rotorwright.physics.blade import reynolds_75
from rotorwright.physics.rotor import RotorTable, coefficients, rotor_table, stack_tables
from rotorwright.physics.rotor_error import TYPICAL
from rotorwright.physics.rotor_points import BenchPoints, attach_points
from rotorwright.physics.typical_blade import typical_blade

RHO, MU, A = 1.2, 1.81e-5, 343.0
RATES = np.array([120.0, 200.0, 280.0])


@pytest.fixture(scope="module")
def table() -> RotorTable:
    return rotor_table(typical_blade(0.127, 0.1, 3))


def points(table: RotorTable, ct: float, cp: float, rates: np.ndarray = RATES) -> BenchPoints:
    stack, gains = stack_tables([table])
    D = table.diameter
    forces = []
    for n in rates:
        Re, M = reynolds_75(D, table.chord_75, n, RHO, MU), 0.75 * math.pi * n * D / A
        CT, CP = coefficients(stack, gains, 0, 0.0, Re, M)
        forces.append((ct * CT * RHO * n**2 * D**4, cp * CP * RHO * n**3 * D**5))
    T, P = np.array(forces).T
    return BenchPoints(rates, T, P, RHO, MU, A)


def test_levels_follow_the_points_and_the_bar_shrinks(table: RotorTable) -> None:
    posterior = attach_points(table, points(table, 1.15, 1.12), TYPICAL)
    assert np.exp(posterior.mean[:2]) == pytest.approx([1.15, 1.12], abs=0.03)
    assert math.sqrt(posterior.covariance[0, 0]) < 0.4 * TYPICAL.ct_sd
    assert math.sqrt(posterior.covariance[1, 1]) < 0.4 * TYPICAL.cp_sd


def test_thrust_alone_says_something_about_power(table: RotorTable) -> None:
    both = points(table, 1.2, 1.0)
    thrust = BenchPoints(both.rotation_rate, both.thrust, np.full(3, math.nan), RHO, MU, A)
    posterior = attach_points(table, thrust, TYPICAL)
    assert posterior.mean[1] > 0.1
    assert TYPICAL.cp_sd > math.sqrt(posterior.covariance[1, 1]) > 0.4 * TYPICAL.cp_sd


def test_more_points_never_widen_the_bar(table: RotorTable) -> None:
    few = attach_points(table, points(table, 1.1, 1.1, RATES[:1]), TYPICAL)
    many = attach_points(table, points(table, 1.1, 1.1), TYPICAL)
    difference = few.covariance - many.covariance
    assert many.covariance[0, 0] < few.covariance[0, 0]
    assert np.all(np.linalg.eigvalsh(few.covariance) > 0.0)
    assert difference[2, 2] >= 0.0


def test_factors_are_drawn_from_the_posterior(table: RotorTable) -> None:
    posterior = attach_points(table, points(table, 1.1, 1.1), TYPICAL)
    drawn = posterior.factors(np.random.default_rng(4).standard_normal((100_000, 5)), posterior.reynolds)
    assert np.log(drawn[:, 0]).std() == pytest.approx(math.sqrt(posterior.covariance[0, 0]), rel=0.02)
    away = posterior.factors(np.random.default_rng(4).standard_normal((100_000, 5)), 5.0 * posterior.reynolds)
    assert np.log(away[:, 0]).std() > np.log(drawn[:, 0]).std()


def test_mixed_up_columns_are_refused(table: RotorTable) -> None:
    good = points(table, 1.0, 1.0)
    for bad in (
        BenchPoints(good.rotation_rate, good.power, good.thrust, RHO, MU, A),
        BenchPoints(good.rotation_rate * 60.0, good.thrust, good.power, RHO, MU, A),
        BenchPoints(good.rotation_rate, good.thrust * 1000.0 / 9.81, good.power, RHO, MU, A),
    ):
        with pytest.raises(ValueError, match="mixed up"):
            attach_points(table, bad, TYPICAL)


def test_points_without_a_pair_or_of_unequal_length_are_refused(table: RotorTable) -> None:
    nothing = np.full(3, math.nan)
    with pytest.raises(ValueError, match="neither thrust nor power"):
        attach_points(table, BenchPoints(RATES, nothing, nothing, RHO, MU, A), TYPICAL)
    with pytest.raises(ValueError, match="one value per bench point"):
        attach_points(table, BenchPoints(RATES, nothing[:2], nothing, RHO, MU, A), TYPICAL)


def test_the_tables_own_points_change_nothing_even_where_air_is_compressed(table: RotorTable) -> None:
    """Tip speeds of 0.6 to 0.8 of that of sound: with another Mach number the points would not be the table's."""
    fast = np.array([520.0, 600.0, 690.0])
    posterior = attach_points(table, points(table, 1.0, 1.0, fast), TYPICAL)
    assert posterior.mean == pytest.approx(np.zeros(5), abs=1e-9)
