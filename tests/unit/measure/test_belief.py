"""What readings add to what was believed, in figures and words."""

import numpy as np
import pytest

from rotorwright.measure.belief import Belief, believed, find, tell_apart

TWO = (
    Belief("the first", "motor", "kv", "rad/s/V", 100.0, 0.1),
    Belief("the second", "motor", "resistance", "ohm", 0.05, 0.1),
)


def test_a_sum_finds_neither_and_says_so() -> None:
    found = find(TWO, lambda n: np.full(20, (np.log(n["motor.kv"] * n["motor.resistance"] / 5.0) - 0.05) / 1e-3))
    assert not [v for v in found.values if v.relative < 0.05]
    assert "More of the second with less of the first reads nearly the same." in found.identifies or (
        "More of the first with less of the second reads nearly the same." in found.identifies
    )


def test_one_is_found_and_the_other_left_alone() -> None:
    found = find(TWO, lambda n: np.full(20, (n["motor.kv"] - 110.0) / 0.1))
    assert [v.field for v in found.values] == ["kv"]
    assert found.values[0].value == pytest.approx(110.0, rel=1e-4)
    assert found.identifies.startswith("The readings find the first. The readings say next to nothing of the second")
    assert found.covariance.shape == (1, 1)
    assert found.covariance[0, 0] == pytest.approx(found.values[0].sd ** 2)


def test_numbers_of_the_measurement_are_no_values_of_parts() -> None:
    gain = Belief("", "", "gain", "1", 1.0, 0.01)
    found = find((*TWO, gain), lambda n: np.full(20, (n["motor.kv"] * n["gain"] - 110.0) / 0.1))
    assert [v.field for v in found.values] == ["kv"]
    assert found.values[0].relative == pytest.approx(0.01, rel=0.1)  # the calibration is in the bar
    assert set(found.mean()) == {"motor.kv", "motor.resistance", "gain"}


def test_correlations_stand_in_the_covariance() -> None:
    matrix = believed(TWO, [("kv", "resistance", 0.5)])
    assert matrix == pytest.approx(np.array([[0.01, 0.005], [0.005, 0.01]]))


def test_what_readings_leave_alone_is_in_no_tangle() -> None:
    words = tell_apart(["a", "b", "c"], np.ones(3), np.diag([0.01, 1.0, 1.0]))
    assert words == "The readings find a. The readings say next to nothing of b and c: as believed before."
