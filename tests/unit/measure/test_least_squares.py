"""Robust least squares: what is marked, what is refused, what correlated rows are worth."""

import numpy as np
import pytest
from numpy.typing import NDArray

from rotorwright.errors import CannotCompute
from rotorwright.measure.least_squares import solve

Array = NDArray[np.float64]
X = np.linspace(0.0, 1.0, 40)


def line(noise: Array) -> Array:
    return np.asarray(2.0 + 3.0 * X + noise)


def fitted(y: Array, **how: object) -> object:
    return solve(lambda b: y - b[0] - b[1] * X, np.zeros(2), **how)  # type: ignore[arg-type]


def white(seed: int = 0) -> Array:
    return np.asarray(0.1 * np.random.default_rng(seed).standard_normal(40))


def test_covariance_is_that_of_linear_regression() -> None:
    found = fitted(line(white()))
    A = np.stack([np.ones(40), X], axis=1)
    exact, rss, *_ = np.linalg.lstsq(A, line(white()), rcond=None)
    assert found.values == pytest.approx(exact, rel=1e-9)  # type: ignore[attr-defined]
    assert found.covariance == pytest.approx(rss[0] / 38 * np.linalg.inv(A.T @ A), rel=1e-6)  # type: ignore[attr-defined]


def test_wild_readings_are_marked_and_do_not_pull() -> None:
    y = line(white())
    y[[3, 20]] += (5.0, -4.0)
    found = fitted(y)
    assert list(np.flatnonzero(found.marked)) == [3, 20]  # type: ignore[attr-defined]
    assert found.values == pytest.approx([2.0, 3.0], abs=0.12)  # type: ignore[attr-defined]


def test_good_readings_of_a_group_that_parameters_bend_to_are_kept() -> None:
    """Twelve readings of one instrument and six numbers that only it finds: chance beyond 4 standard deviations is
    1 in 16 000 a reading, so that 100 such sets hold about 0.1; trusting a shrunken scale set aside many.
    """
    A = np.vander(np.linspace(-1.0, 1.0, 12), 6)
    marked = 0
    for seed in range(100):
        y = np.random.default_rng(seed).standard_normal(12)
        found = solve(lambda b, y=y: y - A @ b, np.zeros(6), believed=np.diag(np.full(6, 9.0)), trust=4.0)  # type: ignore[misc]
        marked += int(found.marked.sum())
    assert marked <= 1


def test_a_model_that_fits_nothing_marks_nothing() -> None:
    y = np.where(np.arange(40) % 2 == 0, 0.0, 1.0) * 10.0
    assert not fitted(np.asarray(y)).marked.any()  # type: ignore[attr-defined]


def test_missing_readings_stay_missing() -> None:
    y = line(white())
    y[5] = np.nan
    found = fitted(y)
    assert np.isnan(found.residuals[5])  # type: ignore[attr-defined]
    assert found.freedom == pytest.approx(37.0)  # type: ignore[attr-defined]


def test_too_few_readings_are_refused() -> None:
    with pytest.raises(CannotCompute, match="1 readings cannot find 2 numbers"):
        solve(lambda b: np.array([b[0] + b[1]]), np.zeros(2))


def test_what_was_believed_stands_where_nothing_is_read() -> None:
    found = solve(
        lambda b: np.array([b[0] - 1.0]), np.zeros(2), believed=np.diag([4.0, 9.0]), trust=1e9, robust=False
    )
    assert found.values[1] == 0.0
    assert found.covariance[1, 1] == pytest.approx(9.0)
    assert found.values[0] == pytest.approx(0.8, rel=1e-6)  # 1 sd 1 against 0 sd 2


def test_each_group_finds_its_own_scatter() -> None:
    rng = np.random.default_rng(3)
    y = np.concatenate([1.0 + 0.1 * rng.standard_normal(60), 1.0 + 3.0 * rng.standard_normal(60)])
    group = np.repeat([0, 1], 60)
    found = solve(lambda b: y - b[0], np.zeros(1), group=group)
    assert found.scales == pytest.approx([0.1, 3.0], rel=0.3)
    assert found.values[0] == pytest.approx(1.0, abs=0.05)


def test_neighbours_that_err_together_widen_the_bars() -> None:
    rng = np.random.default_rng(1)
    wave = np.convolve(rng.standard_normal(300), np.ones(10) / 10)[:200]
    y = 1.0 + wave
    plain = solve(lambda b: y - b[0], np.zeros(1))
    ordered = solve(lambda b: y - b[0], np.zeros(1), ordered=True)
    assert plain.waves[0] == 1.0
    assert 5.0 < ordered.waves[0] < 30.0  # a running mean over ten: about ten rows count as one
    assert ordered.covariance[0, 0] == pytest.approx(ordered.waves[0] * plain.covariance[0, 0], rel=1e-6)


def test_white_noise_is_not_taken_for_waves() -> None:
    y = line(white())
    assert fitted(y, ordered=True).waves[0] == 1.0  # type: ignore[attr-defined]


def test_other_places_to_begin_from_find_the_lower_hollow() -> None:
    def two_hollows(b: Array) -> Array:
        return np.array([(b[0] ** 2 - 1.0) * 3.0, 0.5 * (b[0] - 1.0), 0.0 * b[0]])

    stuck = solve(two_hollows, np.array([-1.0]), robust=False)
    helped = solve(two_hollows, np.array([-1.0]), robust=False, also=[np.array([2.0])])
    assert stuck.values[0] == pytest.approx(-0.98, abs=0.05)
    assert helped.values[0] == pytest.approx(1.0, abs=1e-6)
