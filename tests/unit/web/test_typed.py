"""Numbers as people type them."""

import pytest

from rotorwright.errors import InputError
from rotorwright.web.typed import typed_number, typed_numbers


def test_points_and_commas() -> None:
    assert typed_number(" 33,1 ", "mass") == 33.1
    assert typed_number("\u22124", "tilt") == -4.0
    assert typed_numbers("30.5; 20  16", "pattern") == [30.5, 20.0, 16.0]


@pytest.mark.parametrize("text", ["", "x", "nan", "inf", "-inf", "1e400", "1,5,2", "9" * 5000, "\0", "1 2", "0x10"])
def test_what_is_no_number(text: str) -> None:
    with pytest.raises(InputError, match="is not a number") as caught:
        typed_number(text, "mass")
    assert len(str(caught.value)) < 200
