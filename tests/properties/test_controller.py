"""The ideal converter neither makes nor loses power."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.physics.controller import battery_current, conduction_loss

compiling = settings(deadline=None)  # the first call compiles


@compiling
@given(st.floats(0.0, 1.0), st.floats(0.0, 80.0), st.integers(1, 8), st.floats(3.0, 30.0))
def test_power_is_equal_on_both_sides(duty: float, current: float, motors: int, volts: float) -> None:
    supplied = volts * battery_current(duty, current, motors)
    assert supplied == pytest.approx(motors * (duty * volts) * current, rel=1e-12, abs=1e-12)


@compiling
@given(st.floats(0.1, 80.0), st.floats(1e-4, 0.02), st.floats(0.1, 10.0))
def test_loss_grows_with_the_square_of_the_current(current: float, resistance: float, factor: float) -> None:
    loss = conduction_loss(current, resistance)
    assert conduction_loss(factor * current, resistance) == pytest.approx(factor**2 * loss, rel=1e-12)
