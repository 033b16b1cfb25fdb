"""What is known, what is guessed, and what a measurement would leave."""

from collections.abc import Callable

import numpy as np
import pytest

from rotorwright.craft.model import Craft
from rotorwright.parts.propulsion import Motor
from rotorwright.predict.report import report
from rotorwright.predict.trust import HEADLINES, trust

Read = Callable[..., Craft]


def test_shares_and_measurements_of_every_headline(small_craft: Read) -> None:
    found = trust(small_craft(), samples=1024)
    assert [one.name for one in found.results] == list(HEADLINES)
    assert sum(count.values for count in found.bases) > 10
    for one in found.results:
        assert one.result.value is not None, one.name
        assert sum(share.share for share in one.shares) < 1.15  # first-order shares, give or take their noise
        assert [m.width_left for m in one.measure_next] == sorted(m.width_left for m in one.measure_next)
        assert all(m.width_left < 0.97 for m in one.measure_next)


def test_a_measurement_promised_is_what_solving_again_gives(small_craft: Read) -> None:
    craft = small_craft()
    results = {one.name: one for one in trust(craft, 1024).results}
    promised = results["full-throttle current"].measure_next[0]
    assert promised.result.low is not None
    assert promised.result.high is not None
    before = HEADLINES["full-throttle current"](report(craft, 1024))
    assert before.low is not None
    assert before.high is not None
    width = before.high - before.low
    assert (promised.result.high - promised.result.low) / width == pytest.approx(promised.width_left, rel=1e-9)


def test_measured_parts_narrow_the_bars(small_craft: Read) -> None:
    def widths(craft: Craft) -> np.ndarray:
        solved = report(craft, 1024)
        results = [pick(solved) for pick in HEADLINES.values()]
        return np.array([((r.high or 0.0) - (r.low or 0.0)) / (r.value or 1.0) for r in results])

    craft = small_craft()
    motor = next(placed.part for placed in craft.parts if isinstance(placed.part, Motor))
    assert motor.resistance is not None
    assert motor.idle_current is not None
    # measured to be what was guessed, so that only the scatter differs
    known = (
        'mass_g = { value = 32, basis = "weighed" }\n'
        f'resistance_ohm = {{ value = {motor.resistance.value!r}, basis = "measured" }}\n'
        f'idle_current_a = {{ value = {motor.idle_current.value!r}, basis = "measured" }}\nidle_voltage_v = 10'
    )
    guessed, measured = widths(craft), widths(small_craft(("mass_g = 32", known)))
    assert (measured <= guessed * 1.02).all()  # 2 %: the bounds' own noise at 1 024 samples
    assert (measured < guessed * 0.97).any()
