"""Numbers in words: no more digits than the bounds deserve."""

import pytest

from rotorwright.predict.result import Prediction
from rotorwright.sheet.words import clock, either_side, nominal, said, spoken


def p(value: float, low: float | None = None, high: float | None = None) -> Prediction:
    return Prediction(value, low, high, "x")


@pytest.mark.parametrize(
    "prediction, words",
    [
        (p(8.03, 6.12, 10.23), "8.0 (6.1\u201310.2)"),
        (p(607.4, 589.2, 626.1), "607 (589\u2013626)"),
        (p(22134.0, 19411.0, 24222.0), "22100 (19400\u201324200)"),
        (p(0.4712, 0.4187, 0.5163), "0.471 (0.419\u20130.516)"),
        (p(-3.02, -4.11, -2.01), "-3.0 (-4.1\u2013-2.0)"),
        (p(1.23456), "1.23"),
        (p(1.23456, 1.23456, 1.23456), "1.23"),
        (p(0.0), "0"),
        (p(0.0, 0.0, 0.0), "0"),
        (p(1e-12, 0.9e-12, 1.1e-12), "0.000000"),
    ],
)
def test_said(prediction: Prediction, words: str) -> None:
    assert said(prediction) == words


def test_factor_and_unit() -> None:
    assert said(p(0.6074, 0.5892, 0.6261), 1e3, "g") == "607 (589\u2013626) g"
    assert said(p(2.0, 1.0, 3.0), -1.0) == "-2.0 (-3.0\u2013-1.0)"
    assert nominal(p(1234.5)) == "1230"


def test_what_is_absent() -> None:
    nothing = Prediction.absent("A", "cannot hover: too heavy")
    assert said(nothing) == nominal(nothing) == clock(nothing) == "-"
    assert spoken(nothing) == "cannot hover: too heavy"
    assert either_side(nothing) == "not known"


@pytest.mark.parametrize("seconds, words", [(0, "0:00"), (59.6, "1:00"), (718, "11:58"), (3600, "60:00")])
def test_clock(seconds: float, words: str) -> None:
    assert clock(p(seconds)) == f"{words} min"
    assert clock(p(seconds, seconds, seconds)) == f"{words} ({words}\u2013{words}) min"


def test_either_side() -> None:
    assert either_side(p(2.0, 1.5, 3.0)) == "-25% to +50%"
