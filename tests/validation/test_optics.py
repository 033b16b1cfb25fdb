"""Fields of view against photographic tables, and the tilt of a level picture."""

from math import degrees, hypot, radians

import pytest

from rotorwright.physics.optics import across, field_of_view, level_acceleration

VIEWS = [
    # sensor mm, focal length mm, degrees across, high, diagonal (None where none is printed), half a last digit
    (36.0, 24.0, 50.0, 39.5978, 26.9915, 46.7930, 0.5e-4),
    (36.0, 24.0, 24.0, 73.7398, None, None, 0.5e-4),
    (4.8, 3.6, 2.1, 97.628, 81.203, 110.016, 0.5e-3),
    (5.37, None, 2.1, 103.940, None, None, 0.5e-3),
    (6.17, None, 1.7, 122.286, None, None, 0.5e-3),
    (5.76, None, 2.8, 91.614, None, None, 0.5e-3),
]


@pytest.mark.parametrize("width, height, focal, wide, high, diagonal, digit", VIEWS)
def test_views(
    width: float,
    height: float | None,
    focal: float,
    wide: float,
    high: float | None,
    diagonal: float | None,
    digit: float,
) -> None:
    """2 atan(w/2f), standard photographic table values computed outside this project; half a last digit.

    The same views follow from the horizontal one by the sides of the picture.
    """
    across_it = field_of_view(width * 1e-3, focal * 1e-3)
    assert degrees(float(across_it)) == pytest.approx(wide, abs=digit)
    if height and high and diagonal:
        longest = hypot(width, height)
        assert degrees(float(field_of_view(height * 1e-3, focal * 1e-3))) == pytest.approx(high, abs=digit)
        assert degrees(float(field_of_view(longest * 1e-3, focal * 1e-3))) == pytest.approx(diagonal, abs=digit)
        assert degrees(float(across(across_it, height / width))) == pytest.approx(high, abs=digit)
        assert degrees(float(across(across_it, longest / width))) == pytest.approx(diagonal, abs=digit)


def test_level_acceleration() -> None:
    """g tan 30 degrees, computed outside this project; half a last digit."""
    assert level_acceleration(radians(30)) == pytest.approx(5.66187, abs=0.5e-5)
