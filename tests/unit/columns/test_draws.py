"""Random numbers by key: even, repeatable, independent of each other."""

from itertools import combinations
from statistics import NormalDist

import numpy as np
import pytest

from rotorwright.columns.draws import Draws
from rotorwright.parts.estimate import Estimate

KEYS = ["m.kv", "m.resistance", "p.diameter", "b.capacity", "craft.unaccounted", ""]


def test_row_0_is_nominal() -> None:
    draws = Draws(100)
    assert draws.rows == 101
    assert draws.normal("a")[0] == 0.0
    assert draws.factor(0.3, "a")[0] == 1.0
    assert draws.of(Estimate(3.0, 1.0), "a")[0] == 3.0
    assert list(draws.constant(2.5)) == [2.5] * 101


@pytest.mark.parametrize("key", KEYS)
def test_each_tenth_of_the_distribution_holds_a_tenth_of_the_samples(key: str) -> None:
    edges = [NormalDist().inv_cdf(k / 10) for k in range(1, 10)]
    counts = np.bincount(np.searchsorted(edges, Draws(2000).normal(key)[1:]), minlength=10)
    assert list(counts) == [200] * 10


def test_moments_are_those_of_the_standard_normal() -> None:
    """Mean and variance exactly by construction; the fourth moment lacks the outermost tails, 3 % at 2048."""
    z = Draws(2048).normal("a")[1:]
    assert z.mean() == pytest.approx(0.0, abs=1e-12)
    assert z.std() == pytest.approx(1.0, rel=1e-12)
    assert np.mean(z**4) == pytest.approx(3.0, rel=0.03)


def test_same_key_same_numbers_whatever_came_before() -> None:
    one, other = Draws(500), Draws(500)
    other.normal("something else")
    assert np.array_equal(one.normal("m.kv"), other.normal("m.kv"))
    assert np.array_equal(one.of(Estimate(2.0, 0.1), "m.kv"), other.of(Estimate(2.0, 0.1), "m.kv"))


def test_another_seed_is_another_order_of_the_same_strata() -> None:
    one, other = Draws(500, 1).normal("a"), Draws(500, 2).normal("a")
    assert not np.array_equal(one, other)
    assert np.array_equal(np.sort(one), np.sort(other))


@pytest.mark.parametrize("seed", [-1, 2**64, 10**30])
def test_any_whole_number_is_a_seed(seed: int) -> None:
    assert np.isfinite(Draws(10, seed).normal("a")).all()


def test_different_keys_are_uncorrelated() -> None:
    """4/sqrt(n): one of fifteen pairs at random would pass it once in a thousand tries."""
    z = {key: Draws(4000).normal(key)[1:] for key in KEYS}
    for one, other in combinations(KEYS, 2):
        assert abs(np.corrcoef(z[one], z[other])[0, 1]) < 4 / np.sqrt(4000), (one, other)


def test_factor_has_the_relative_deviation_asked_for_about_a_median_of_one() -> None:
    """sd of a lognormal over its median: sqrt((e^s2 - 1) e^s2) with s2 = ln(1 + r^2); tails cost 2 %."""
    factor = Draws(4000).factor(0.3, "a")[1:]
    s2 = np.log1p(0.3**2)
    assert np.median(factor) == pytest.approx(1.0, abs=1e-3)
    assert factor.std() == pytest.approx(np.sqrt((np.exp(s2) - 1) * np.exp(s2)), rel=0.02)
    assert factor.min() > 0


def test_a_certain_estimate_does_not_scatter() -> None:
    assert set(Draws(50).of(Estimate(3.0, 0.0), "a")) == {3.0}
    assert set(Draws(50).of(Estimate(0.0, 1.0), "a")) == {0.0}


def test_signs_are_kept() -> None:
    assert (Draws(500).of(Estimate(2.0, 2.0), "a") > 0).all()
    assert (Draws(500).of(Estimate(-2.0, 2.0), "a") < 0).all()


@pytest.mark.parametrize("size", [0, 1, 2])
def test_few_samples(size: int) -> None:
    z = Draws(size).normal("a")
    assert z.shape == (size + 1,)
    assert np.isfinite(z).all()
