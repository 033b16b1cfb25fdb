"""Every suffix goes to SI and back, and keeps order."""

import math

from hypothesis import given
from hypothesis import strategies as st

from rotorwright.units import UNITS, from_si, split_key, to_si

ALL = [(unit.suffix, unit.dimension) for units in UNITS.values() for unit in units]
units = st.sampled_from(ALL)
# within the gauges that exist, so that one range serves every suffix
values = st.floats(-3.0, 56.0, allow_nan=False)


@given(units, values)
def test_there_and_back(unit: tuple[str, str], value: float) -> None:
    """1e-9 and an absolute 1e-9: temperatures lose digits to their offset, gauges to the logarithm."""
    suffix, dimension = unit
    back = from_si(to_si(value, suffix, dimension), suffix, dimension)
    assert math.isclose(back, value, rel_tol=1e-9, abs_tol=1e-9)


@given(units, values, values)
def test_order_is_kept_but_for_gauges(unit: tuple[str, str], one: float, other: float) -> None:
    suffix, dimension = unit
    low, high = sorted((one, other))
    small, large = to_si(low, suffix, dimension), to_si(high, suffix, dimension)
    if suffix == "awg":
        small, large = large, small
    assert small <= large


@given(st.from_regex(r"[a-z]{1,8}(_[a-z]{1,5}){0,2}", fullmatch=True), units)
def test_a_suffixed_key_is_read_back(stem: str, unit: tuple[str, str]) -> None:
    suffix, dimension = unit
    assert (stem, dimension) in [(found, u.dimension) for found, u in split_key(f"{stem}_{suffix}")]


@given(st.text(max_size=20))
def test_no_text_breaks_the_split(key: str) -> None:
    for stem, unit in split_key(key):
        assert f"{stem}_{unit.suffix}" == key
