"""Looking coefficients up: nodes, what lies between them, and beyond the ends, over made-up tables."""

import math
from typing import Any

import numpy as np
import pytest

from rotorwright.physics.rotor_lookup import (
    ADVANCE,
    EDGEWISE,
    MACH_LIMIT,
    OBLIQUE_ADVANCE,
    OBLIQUE_REYNOLDS,
    REYNOLDS_75,
    coefficients,
    oblique_coefficients,
)

DICE = np.random.default_rng(5)
TABLES = DICE.uniform(0.5, 1.5, (2, 2, REYNOLDS_75.size, ADVANCE.size))
NO_TABLES = np.zeros_like(TABLES)
GAINS = np.array([[0.0, 0.0], [0.7, 1.1]])
OBLIQUE = DICE.uniform(0.5, 1.5, (2, 4, OBLIQUE_REYNOLDS.size, EDGEWISE.size, OBLIQUE_ADVANCE.size))


def axial(J: float, Re: float, M: float = 0.0, k: int = 0) -> Any:
    return np.array(coefficients(TABLES, GAINS, k, J, Re, M))


def oblique(J: float, E: float, Re: float, tables: Any = NO_TABLES) -> Any:
    """Of oblique tables alone, where the axial ones are nil."""
    return np.array(oblique_coefficients(tables, GAINS, OBLIQUE, 1, J, E, Re, 0.0))


def between(grid: Any, i: int) -> float:
    return float(0.5 * (grid[i] + grid[i + 1]))


def halfway(grid: Any, i: int) -> float:
    """Middle in the logarithm."""
    return math.sqrt(grid[i] * grid[i + 1])


def test_grids_have_the_stated_ends() -> None:
    assert (ADVANCE[0], ADVANCE[-1]) == pytest.approx((-0.5, 1.6))
    assert (OBLIQUE_ADVANCE[0], OBLIQUE_ADVANCE[-1]) == pytest.approx((-0.5, 1.6))
    assert (EDGEWISE[0], EDGEWISE[-1]) == pytest.approx((0.0, 1.2))
    assert (REYNOLDS_75[0], REYNOLDS_75[-1]) == pytest.approx((1e4, 5e5))
    assert (OBLIQUE_REYNOLDS[0], OBLIQUE_REYNOLDS[-1]) == pytest.approx((2e4, 2e5))


def test_a_node_gives_its_own_value() -> None:
    for i in range(REYNOLDS_75.size):
        for j in range(ADVANCE.size):
            assert axial(ADVANCE[j], REYNOLDS_75[i]) == pytest.approx(TABLES[0, :, i, j])


def test_between_nodes_it_is_linear_in_advance_and_in_the_logarithm_of_reynolds_number() -> None:
    i, j = 2, 5
    Re = halfway(REYNOLDS_75, i)
    assert axial(between(ADVANCE, j), REYNOLDS_75[i]) == pytest.approx(TABLES[0, :, i, j : j + 2].mean(axis=1))
    assert axial(ADVANCE[j], Re) == pytest.approx(TABLES[0, :, i : i + 2, j].mean(axis=1))
    assert axial(between(ADVANCE, j), Re) == pytest.approx(TABLES[0, :, i : i + 2, j : j + 2].mean(axis=(1, 2)))
    third = ADVANCE[j] + (ADVANCE[j + 1] - ADVANCE[j]) / 3
    assert axial(third, Re) == pytest.approx(
        (2 * TABLES[0, :, i : i + 2, j] + TABLES[0, :, i : i + 2, j + 1]).mean(axis=1) / 3
    )


def test_compressibility_stretches_by_its_gain() -> None:
    """1 + g (1/sqrt(1 - M^2) - 1) for CT and CP, whatever the sign of M, held at the limit."""
    M = 0.4
    stretch = 1 / math.sqrt(1 - M * M) - 1
    rest = np.array(coefficients(TABLES, GAINS, 1, 0.3, 5e4, 0.0))
    for mach in (M, -M):
        assert axial(0.3, 5e4, mach, k=1) == pytest.approx(rest * (1 + GAINS[1] * stretch))
    assert (axial(0.3, 5e4, 0.9, k=1) == axial(0.3, 5e4, MACH_LIMIT, k=1)).all()


def test_an_oblique_node_gives_its_own_value() -> None:
    for i in range(OBLIQUE_REYNOLDS.size):
        for e in range(EDGEWISE.size):
            for j in range(OBLIQUE_ADVANCE.size):
                found = oblique(OBLIQUE_ADVANCE[j], EDGEWISE[e], OBLIQUE_REYNOLDS[i])
                assert found == pytest.approx(OBLIQUE[1, :, i, e, j])


def test_between_oblique_nodes_it_is_linear_in_advance_and_in_the_logarithm_of_reynolds_number() -> None:
    i, e, j = 1, 2, 4
    J, Re = between(OBLIQUE_ADVANCE, j), halfway(OBLIQUE_REYNOLDS, i)
    assert oblique(J, EDGEWISE[e], OBLIQUE_REYNOLDS[i]) == pytest.approx(OBLIQUE[1, :, i, e, j : j + 2].mean(axis=1))
    assert oblique(OBLIQUE_ADVANCE[j], EDGEWISE[e], Re) == pytest.approx(OBLIQUE[1, :, i : i + 2, e, j].mean(axis=1))
    third = OBLIQUE_ADVANCE[j] + (OBLIQUE_ADVANCE[j + 1] - OBLIQUE_ADVANCE[j]) / 3
    low, high = OBLIQUE[1, :, i, e, j], OBLIQUE[1, :, i, e, j + 1]
    assert oblique(third, EDGEWISE[e], OBLIQUE_REYNOLDS[i]) == pytest.approx((2 * low + high) / 3)


@pytest.mark.parametrize("e", [0, 1, 3])
def test_axial_forces_are_even_in_edgewise_speed_and_the_others_linear(e: int) -> None:
    """Between E0 and E1 thrust and power go with E^2, in-plane force and roll with E."""
    i, j = 1, 3
    E = EDGEWISE[e] + 0.3 * (EDGEWISE[e + 1] - EDGEWISE[e])
    square = (E * E - EDGEWISE[e] ** 2) / (EDGEWISE[e + 1] ** 2 - EDGEWISE[e] ** 2)
    share = np.array([square, square, 0.3, 0.3])
    low, high = OBLIQUE[1, :, i, e, j], OBLIQUE[1, :, i, e + 1, j]
    assert oblique(OBLIQUE_ADVANCE[j], E, OBLIQUE_REYNOLDS[i]) == pytest.approx(low + share * (high - low))


@pytest.mark.parametrize(
    ("J", "E", "growth"), [(3.2, 0.6, 2.0), (-1.0, 0.6, 2.0), (0.6, 1.8, 1.5), (3.2, 1.8, 2.0), (-0.9, 2.4, 2.0)]
)
def test_beyond_the_ends_everything_grows_with_the_square(J: float, E: float, growth: float) -> None:
    """The direction of the air is kept: what is read lies on the edge of the grid along it."""
    Re = 6e4
    assert oblique(J, E, Re, TABLES) == pytest.approx(growth**2 * oblique(J / growth, E / growth, Re, TABLES))


def test_oblique_tables_add_to_the_axial_ones() -> None:
    J, E, Re = 0.37, 0.41, 7e4
    both, alone = oblique(J, E, Re, TABLES), oblique(J, E, Re)
    assert both[:2] == pytest.approx(alone[:2] + axial(J, Re, k=1))
    assert (both[2:] == alone[2:]).all()


def test_reynolds_number_is_held_at_the_ends() -> None:
    assert (axial(0.2, 1.0) == axial(0.2, 1e4)).all()
    assert axial(0.2, 1e9) == pytest.approx(axial(0.2, 5e5))
    assert oblique(0.2, 0.3, 0.0) == pytest.approx(oblique(0.2, 0.3, 2e4))
    assert oblique(0.2, 0.3, 1e9) == pytest.approx(oblique(0.2, 0.3, 2e5))


@pytest.mark.parametrize("k", range(4))
def test_not_a_number_in_gives_not_a_number_out(k: int) -> None:
    arguments = [0.1, 0.2, 6e4, 0.2]
    arguments[k] = math.nan
    assert np.isnan(oblique_coefficients(TABLES, GAINS, OBLIQUE, 0, *arguments)).all()
    if k != 1:
        assert np.isnan(coefficients(TABLES, GAINS, 0, arguments[0], *arguments[2:])).all()


def test_a_rotor_that_stands_in_wind_has_no_coefficients() -> None:
    """V/(nD) is infinite at n = 0: no cell is read for it."""
    assert np.isnan(oblique_coefficients(TABLES, GAINS, OBLIQUE, 0, math.inf, 0.2, 6e4, 0.2)).all()
    assert np.isnan(oblique_coefficients(TABLES, GAINS, OBLIQUE, 0, 0.1, math.inf, 6e4, 0.2)).all()
