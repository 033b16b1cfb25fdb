"""Principal axes of bodies whose axes are known."""

import math
from pathlib import Path

import numpy as np
import pytest

from rotorwright.columns import Draws, mass_columns
from rotorwright.craft.read import read_craft
from rotorwright.predict.balance import balance
from rotorwright.predict.principal import PrincipalAxes, principal_axes

BOX = """\
format = 1
name = "x"
[frame]
motor_spacing_mm = 220
[[other]]
name = "box"
size_mm = [60, 40, 20]
mass_g = {{ value = 250, sd = 0 }}
[[part]]
use = "box"
at_mm = [5, 0, 0]
turn_deg = {turn}
"""
# m/12 (b^2 + c^2) and so on for 60 x 40 x 20 mm of 250 g (any statics text).
MOMENTS = [0.25 / 12 * s for s in (0.04**2 + 0.02**2, 0.06**2 + 0.02**2, 0.06**2 + 0.04**2)]


def axes(tmp_path: Path, turn: str) -> PrincipalAxes:
    file = tmp_path / "x.toml"
    file.write_text(BOX.format(turn=turn))
    craft = read_craft(file)
    found = principal_axes(balance(craft, mass_columns(craft, Draws(0))), 0.25)
    assert found is not None
    return found


@pytest.mark.parametrize("turn", ["[0, 0, 0]", "[0, 0, 20]", "[10, -15, 25]"])
def test_moments_do_not_depend_on_how_the_body_is_turned(tmp_path: Path, turn: str) -> None:
    found = axes(tmp_path, turn)
    assert [a.name for a in found.axes] == ["roll", "pitch", "yaw"]
    assert [a.moment_kg_m2.value for a in found.axes] == pytest.approx(MOMENTS, rel=1e-9)


def test_an_axis_leans_as_the_body_is_turned(tmp_path: Path) -> None:
    roll, pitch, yaw = axes(tmp_path, "[0, 0, 20]").axes
    assert math.degrees(roll.lean_rad) == pytest.approx(20.0)
    assert math.degrees(pitch.lean_rad) == pytest.approx(20.0)
    assert yaw.lean_rad == pytest.approx(0.0, abs=1e-6)
    assert roll.direction == pytest.approx((math.cos(math.radians(20)), math.sin(math.radians(20)), 0.0))


def test_the_spread_of_a_box_is_that_of_its_sides(tmp_path: Path) -> None:
    """A uniform box has the second moment side^2/12 along each side."""
    spread = axes(tmp_path, "[0, 0, 0]").spread
    assert np.sqrt(np.diag(spread)) == pytest.approx([0.06 / 12**0.5, 0.04 / 12**0.5, 0.02 / 12**0.5], rel=1e-9)


def test_nothing_of_known_mass_has_no_axes(tmp_path: Path) -> None:
    file = tmp_path / "x.toml"
    file.write_text('format = 1\nname = "x"\n[frame]\nmotor_spacing_mm = 220\n')
    craft = read_craft(file)
    assert principal_axes(balance(craft, mass_columns(craft, Draws(0))), 0.0) is None
