"""Scatter of propellers about their tables."""

import numpy as np
import pytest

from rotorwright.physics.rotor_error import GEOMETRY, SECTION, TYPICAL, Scatter, outside_validated_range


@pytest.mark.parametrize("scatter", [TYPICAL, GEOMETRY, SECTION])
def test_draws_have_the_stated_scatter(scatter: Scatter) -> None:
    normals = np.random.default_rng(1).standard_normal((200_000, 3))
    logs = np.log(scatter.factors(normals))
    assert np.cov(logs.T) == pytest.approx(scatter.covariance(), rel=0.05, abs=2e-4)
    assert logs.mean(axis=0) == pytest.approx([0.0, 0.0, 0.0], abs=2e-3)


def test_less_known_scatters_more() -> None:
    for wide, narrow in ((TYPICAL, GEOMETRY), (GEOMETRY, SECTION)):
        assert wide.ct_sd > narrow.ct_sd
        assert wide.cp_sd > narrow.cp_sd
        assert wide.advance_sd > narrow.advance_sd


def test_scatter_without_stretch_leaves_the_advance_ratio() -> None:
    plain = Scatter(0.1, 0.1, 0.5, 0.5)
    assert plain.factors(np.ones((1, 3)))[0, 2] == pytest.approx(1.0, abs=1e-6)


def test_results_outside_the_validated_range_say_why() -> None:
    assert outside_validated_range(6e4, 0.2) is None
    assert "Mach number 0.45" in str(outside_validated_range(6e4, 0.45))
    both = str(outside_validated_range(4e5, 0.5))
    assert "Reynolds number 4e+05" in both
    assert "Mach" in both
