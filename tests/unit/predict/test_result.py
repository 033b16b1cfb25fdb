"""The one shape of a predicted number."""

import json
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import pytest

from rotorwright.predict.result import Prediction, plain


def shape(p: Prediction) -> tuple[float | None, float | None, float | None, str, str | None]:
    return p.value, p.low, p.high, p.unit, p.reason


def test_value_is_row_0_and_never_a_median() -> None:
    samples = np.concatenate(([5.0], np.arange(0.0, 101.0)))
    assert shape(Prediction.of(samples, "A")) == (5.0, 5.0, 95.0, "A", None)


def test_bounds_hold_the_value_even_when_the_samples_do_not() -> None:
    samples = np.concatenate(([-3.0], np.linspace(0, 1, 101)))
    assert Prediction.of(samples, "A").low == -3.0
    samples[0] = 7.0
    assert Prediction.of(samples, "A").high == 7.0


@pytest.mark.parametrize("count", [0, 1, 19])
def test_few_samples_give_no_bounds(count: int) -> None:
    assert shape(Prediction.of(np.ones(1 + count), "A", "why")) == (1.0, None, None, "A", "why")


@pytest.mark.parametrize("bad", [np.nan, np.inf, -np.inf])
def test_no_nominal_solution_is_absent_with_a_reason(bad: float) -> None:
    samples = np.ones(100)
    samples[0] = bad
    assert shape(Prediction.of(samples, "A")) == (None, None, None, "A", "no solution")
    assert Prediction.of(samples, "A", "cannot hover").reason == "cannot hover"


def test_lost_samples_are_counted() -> None:
    samples = np.ones(201)
    samples[1:21] = np.nan
    lost = Prediction.of(samples, "A")
    assert (lost.value, lost.low, lost.high) == (1.0, 1.0, 1.0)
    assert lost.reason == "no solution in 10% of the samples; the bounds are those of the rest"
    assert Prediction.of(samples, "A", "said already").reason == "said already"
    samples[2:] = 1.0
    samples[1] = np.inf
    assert Prediction.of(np.concatenate((samples, np.ones(200))), "A").reason is None


def test_exact_and_absent() -> None:
    assert shape(Prediction.exact(2.0, "m")) == (2.0, 2.0, 2.0, "m", None)
    assert shape(Prediction.absent("m", "why")) == (None, None, None, "m", "why")


class Word(StrEnum):
    A = "a"


@dataclass(frozen=True)
class Inner:
    number: Prediction
    word: Word


@dataclass(frozen=True)
class Outer:
    inner: tuple[Inner, ...]
    mapping: dict[str, Inner]
    nothing: None = None


def test_plain_is_ready_for_json() -> None:
    inner = Inner(Prediction.of(np.ones(100), "A"), Word.A)
    data = plain(Outer((inner,), {"x": inner}))
    number = {"value": 1.0, "low": 1.0, "high": 1.0, "unit": "A", "reason": None}
    one = {"number": number, "word": "a"}
    assert json.loads(json.dumps(data, allow_nan=False)) == {"inner": [one], "mapping": {"x": one}, "nothing": None}
