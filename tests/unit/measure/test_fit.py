"""The shape of a fit's result."""

import json

import numpy as np
import pytest

from rotorwright.measure.fit import Fit, FittedValue, SetAside, set_aside
from rotorwright.predict.result import plain


def a_fit() -> Fit:
    values = (
        FittedValue("motor", "resistance", 0.05, 0.005, "ohm"),
        FittedValue("speed-controller", "resistance", 0.004, 0.001, "ohm"),
    )
    return Fit(
        "thrust stand", values, np.eye(2), 3, (SetAside(1, "why"),), {"amps_a": 0.1}, {"amps_a": np.ones(4)}, "all"
    )


def test_values_are_found_by_field_and_kind() -> None:
    assert a_fit().value("resistance").kind == "motor"
    assert a_fit().value("resistance", "speed-controller").value == 0.004
    with pytest.raises(KeyError):
        a_fit().value("kv")
    assert a_fit().values[0].relative == pytest.approx(0.1)
    assert FittedValue("motor", "kv", 0.0, 1.0, "rad/s/V").relative == float("inf")


def test_what_is_printed_leaves_arrays_out() -> None:
    shown = plain(a_fit())
    assert set(shown) == {
        "name", "values", "rows_used", "rows_set_aside", "residual_sd", "identifies", "notes",
    }  # fmt: skip
    assert json.loads(json.dumps(shown))["rows_set_aside"] == [{"row": 1, "reason": "why"}]


def test_a_row_flagged_twice_keeps_its_first_reason() -> None:
    first, second = np.array([False, True, True]), np.array([True, True, False])
    asides = set_aside({"a": first, "b": second})
    assert [(s.row, s.reason) for s in asides] == [(0, "b"), (1, "a"), (2, "a")]
