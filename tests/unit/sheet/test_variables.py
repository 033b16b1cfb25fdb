"""Numbers that can be varied, and the range they are first looked at over."""

import math
from collections.abc import Callable
from dataclasses import replace

import pytest

from rotorwright.craft.model import Craft
from rotorwright.search.measures import MEASURES
from rotorwright.search.sweep import axis_over, sweep
from rotorwright.sheet.quantities import Display
from rotorwright.sheet.variables import Variable, usual_range, variables

Read = Callable[[int], Craft]


def test_every_offered_number_of_the_demo_can_be_varied_over_its_range(demo: Read) -> None:
    craft = demo(3)
    found = variables(craft, Display())
    assert len({variable.key for variable in found}) == len(found) > 200
    for variable in found:
        axis = axis_over(variable.key, *usual_range(variable))
        assert 2 <= len(axis.values) <= 13, variable
        result = sweep(craft, [axis], [MEASURES["weight"]], samples=0)
        if variable.now is None:
            assert result.present == (None,)
        else:
            assert result.present == pytest.approx((variable.now,))
            assert axis.values[0] <= variable.now <= axis.values[-1], variable


def test_units_are_those_of_the_reader(demo: Read) -> None:
    keys = {variable.key for variable in variables(demo(3), Display(mass="oz", length="in"))}
    assert {"battery.mass_oz", "strap.length_in", "propellers.pitch_in", "site.altitude_m"} <= keys


def number(now: float | None, whole: bool = False, low: float = 0.0, high: float = math.inf) -> Variable:
    return Variable("a.b", "a", "b", "", now, whole, low, high)


@pytest.mark.parametrize(
    ("variable", "ends"),
    [
        (number(3.6), (2.25, 5.0, 0.25)),
        (number(-108.0, low=-math.inf), (-150.0, -70.0, 10.0)),
        (number(0.0), (0.0, 10.0, 1.0)),
        (number(3.0, whole=True, low=2.0), (2.0, 5.0, 1.0)),
        (number(14.0, whole=True), (12.0, 16.0, 1.0)),
        (number(90.0, high=100.0), (60.0, 100.0, 10.0)),
        (replace(number(3400.0), key="site.altitude_m"), (0.0, 3500.0, 500.0)),
        (replace(number(None, low=-50.0), key="site.temperature_degc"), (-10.0, 40.0, 10.0)),
    ],
)
def test_ranges(variable: Variable, ends: tuple[float, float, float]) -> None:
    assert usual_range(variable) == pytest.approx(ends)
