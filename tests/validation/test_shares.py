"""First-order shares of variance against functions whose shares are known exactly."""

import numpy as np
import pytest
from scipy.special import ndtr

from rotorwright.columns import Draws
from rotorwright.predict.shares import first_order_share

# Ishigami function, a = 7, b = 0.1: first-order Sobol indices, exact (Saltelli et al., Global Sensitivity Analysis;
# recomputed from the closed form).
ISHIGAMI = {"x1": 0.313905, "x2": 0.442411, "x3": 0.0}


@pytest.mark.parametrize(("size", "tolerance"), [(2048, 0.045), (32768, 0.011)])
def test_ishigami(size: int, tolerance: float) -> None:
    # Tolerance: three times the sampling noise of a variance from n samples, 3 sqrt(2/n) of the share, plus what bins
    # of finite width lose of sin2: 1.3 % of it with 32 bins, 0.1 % with 128.
    draws = Draws(size, seed=3)
    x = {name: (2 * ndtr(draws.normal(name)[1:]) - 1) * np.pi for name in ISHIGAMI}
    y = np.sin(x["x1"]) + 7 * np.sin(x["x2"]) ** 2 + 0.1 * x["x3"] ** 4 * np.sin(x["x1"])
    for name, exact in ISHIGAMI.items():
        assert first_order_share(draws.normal(name)[1:], y) == pytest.approx(exact, abs=tolerance)


def test_linear_sum_shares_are_the_shares_of_variance() -> None:
    # exact: S_i = c_i^2 / sum c^2; tolerance as above, and bins lose under 1 % of a linear effect
    draws, weights = Draws(8192), np.array([3.0, 2.0, 1.0, 0.1])
    z = np.stack([draws.normal(f"input {i}")[1:] for i in range(4)])
    shares = [first_order_share(column, weights @ z) for column in z]
    assert shares == pytest.approx(list(weights**2 / np.sum(weights**2)), abs=0.02)


def test_pure_noise_has_no_share() -> None:
    draws = Draws(2048)
    shares = [first_order_share(draws.normal(f"a {i}")[1:], draws.normal("result")[1:]) for i in range(40)]
    assert max(shares) < 0.03
    assert np.mean(shares) < 0.006


def test_refuses_too_few_samples_and_a_constant_has_none() -> None:
    assert np.isnan(first_order_share(np.arange(50.0), np.arange(50.0)))
    assert first_order_share(np.arange(2000.0), np.ones(2000)) == 0.0
