"""Weighings against the catalogue of mass calibration designs of the NIST/SEMATECH e-Handbook, section 2.3.4.1.

Each design compares weights on a balance and holds the sum of some of them fixed; the handbook prints the standard
deviation of every weight in units of that of one comparison ("factors for repeatability"). The restraint is one
weighing with a standard deviation of 1e-3 here, which adds less than 1e-5 to a factor.
"""

import numpy as np
import pytest

from rotorwright.measure.weighings import fit_weighings

# Rows of a design: weights on one pan +, on the other -.
FIVE_FIVE = [
    [1, 0, -1, -1, 0, 0, 0],
    [0, 1, -1, -1, 0, 0, 0],
    [1, 0, 0, -1, -1, -1, -1],
    [0, 1, 0, -1, -1, -1, -1],
    [1, 0, -1, 0, -1, -1, 0],
    [1, 0, -1, 0, -1, 0, -1],
    [1, 0, -1, 0, 0, -1, -1],
    [0, 1, -1, 0, -1, -1, 0],
    [0, 1, -1, 0, -1, 0, -1],
    [0, 1, -1, 0, 0, -1, -1],
]
ONES = [[1, -1, 0, 0], [1, 0, -1, 0], [1, 0, 0, -1], [0, 1, -1, 0], [0, 1, 0, -1], [0, 0, 1, -1]]


def fitted(design: list[list[int]], restraint: list[int], true: list[float], noise: float = 0.0) -> object:
    counts = np.array([*design, restraint], dtype=float)
    readings = counts @ np.array(true) + noise * np.random.default_rng(0).standard_normal(len(counts))
    sd = np.array([1.0] * len(design) + [1e-3])
    parts = [("other", str(i)) for i in range(len(true))]
    return fit_weighings(parts, counts, readings, sd, gain=0.0)


@pytest.mark.parametrize(
    ("design", "restraint", "true", "factors"),
    [
        # 2.3.4.1.15, design for 5,5,3,2,1,1,1
        (FIVE_FIVE, [1, 1, 0, 0, 0, 0, 0], [5, 5, 3, 2, 1, 1, 1], [0.3162] * 2 + [0.4690, 0.5657] + [0.6164] * 3),
        # 2.3.4.1.2, design for 1,1,1,1
        (ONES, [1, 1, 0, 0], [1, 1, 1, 1], [0.3536, 0.3536, 0.6124, 0.6124]),
        # 2.3.4.1.1, design for 1,1,1
        ([[1, -1, 0], [1, 0, -1], [0, 1, -1]], [1, 0, 0], [1, 1, 1], [0.001, 0.8165, 0.8165]),
    ],
    ids=["5,5,3,2,1,1,1", "1,1,1,1", "1,1,1"],
)
def test_factors_of_a_design(
    design: list[list[int]], restraint: list[int], true: list[float], factors: list[float]
) -> None:
    """Half a unit in the last printed digit. Readings without error leave the stated scatter worth four readings, so
    that the scale is sqrt(4/(4 + freedom)) of it, by which the factors are divided here.
    """
    fit = fitted(design, restraint, true)
    freedom = len(design) + 1 - len(true)
    scale = np.sqrt(4.0 / (4.0 + freedom))
    values = fit.values  # type: ignore[attr-defined]
    assert [v.value for v in values] == pytest.approx(true, abs=1e-9)
    assert [v.sd / scale for v in values] == pytest.approx(factors, abs=0.5e-4)


def test_factors_of_sums() -> None:
    """Design 5,5,3,2,1,1,1: 3 = 2+1 has 0.7874, 6 = 3+2+1 has 0.8246 (printed); from the whole covariance."""
    fit = fitted(FIVE_FIVE, [1, 1, 0, 0, 0, 0, 0], [5, 5, 3, 2, 1, 1, 1])
    covariance = fit.covariance / (4.0 / 8.0)  # type: ignore[attr-defined]
    for sum_, factor in (([0, 0, 0, 1, 1, 0, 0], 0.7874), ([0, 0, 1, 1, 1, 0, 0], 0.8246)):
        s = np.array(sum_, dtype=float)
        assert float(np.sqrt(s @ covariance @ s)) == pytest.approx(factor, abs=0.5e-4)


def test_solution_of_a_design() -> None:
    """Solution matrix of design 1,1,1 (divisor 3): the second weight is R + (-2 Y1 - Y2 + Y3)/3; exact, 1e-6 for the
    restraint's own deviation.
    """
    Y = np.array([0.3, -0.2, 0.1])
    counts = np.array([[1, -1, 0], [1, 0, -1], [0, 1, -1], [1, 0, 0]], dtype=float)
    parts = [("other", str(i)) for i in range(3)]
    fit = fit_weighings(parts, counts, [*Y, 1.0], np.array([1.0, 1.0, 1.0, 1e-4]), gain=0.0)
    assert fit.values[1].value == pytest.approx(1.0 + (-2 * Y[0] - Y[1] + Y[2]) / 3, abs=1e-6)
    assert fit.values[2].value == pytest.approx(1.0 + (-Y[0] - 2 * Y[1] - Y[2]) / 3, abs=1e-6)
