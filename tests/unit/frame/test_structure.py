"""Stiffness, modes, room, crash and choices of a whole craft."""

import math
from collections.abc import Callable
from pathlib import Path

import pytest

from rotorwright.craft import Craft, read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.errors import CannotCompute
from rotorwright.predict.clearance import clearances
from rotorwright.predict.crash import crash
from rotorwright.predict.frame_choices import arm_choices
from rotorwright.predict.frame_report import frame_report
from rotorwright.predict.soft_mounts import soft_mounts
from rotorwright.predict.structure import Structure, structure

Change = Callable[..., Craft]


@pytest.fixture(scope="module")
def found(craft: Craft) -> Structure:
    return structure(craft)


def value(number: float | None) -> float:
    assert number is not None
    return number


def test_modes_rise_and_have_bounds(found: Structure) -> None:
    frequencies = [value(m.frequency_hz.value) for m in found.modes]
    assert frequencies == sorted(frequencies)
    assert all(20 < f < 2000 for f in frequencies)
    for mode in found.modes:
        assert value(mode.frequency_hz.low) < value(mode.frequency_hz.value) < value(mode.frequency_hz.high)
        assert sum(mode.shares.values()) == pytest.approx(1.0)


def test_crossings_lie_in_the_range_of_the_rotors(found: Structure) -> None:
    assert found.crossings
    for crossing in found.crossings:
        assert found.speeds.low_rpm <= crossing.rpm <= found.speeds.full_rpm
        mode = found.modes[crossing.mode].frequency_hz.value
        assert crossing.rpm * crossing.order / 60 == pytest.approx(mode)


def test_tip_deflection_is_thrust_over_stiffness(found: Structure) -> None:
    (arm,) = found.arms
    dip = value(arm.deflection_at_full_thrust_m.value) * value(arm.stiffness_n_per_m.value)
    assert dip == pytest.approx(found.speeds.full_thrust_n)


def test_thicker_arms_are_stiffer(found: Structure, changed: Change) -> None:
    thick = structure(changed(("thickness_mm = 5\n", "thickness_mm = 6\n")), found.speeds)
    ratio = value(thick.arms[0].stiffness_n_per_m.value) / value(found.arms[0].stiffness_n_per_m.value)
    assert 1.6 < ratio < 1.8  # the cube, 1.73, but for the groove and the shear


def test_a_unibody_of_cross_ply_is_soft_along_its_arms(found: Structure, changed: Change) -> None:
    """Arms at half right angles to the plies bend by their resin: the reason to lay plies both ways."""
    pairs = [("root_mm = 12", 'build = "unibody"'), ('layout = "wide-x"', 'layout = "x"')]
    pairs.append(("screw_at_mm = [18, 27]\n", ""))
    cross = [
        *pairs,
        ('form = "plate"\nmaterial = "carbon-quasi-isotropic"', 'form = "plate"\nmaterial = "carbon-cross-ply"'),
    ]
    both_ways = structure(changed(*pairs), found.speeds)
    two_ways = structure(changed(*cross), found.speeds)
    assert value(two_ways.arms[0].stiffness_n_per_m.value) < 0.5 * value(both_ways.arms[0].stiffness_n_per_m.value)


def test_arms_off_the_shelf(found: Structure) -> None:
    report = frame_report(read_craft(DEMO / "crafts" / "lapwing-2.toml"), everything=False)
    assert report.structure is not None
    assert any("off the shelf" in note for note in report.notes)
    assert not report.pieces


def test_no_arms_no_structure(tmp_path: Path) -> None:
    file = tmp_path / "bare.toml"
    file.write_text('format = 1\nname = "bare"\n[frame]\nmotor_spacing_mm = 220\n', encoding="utf-8")
    with pytest.raises(CannotCompute, match="no arms"):
        structure(read_craft(file))
    assert frame_report(read_craft(file)).structure is None


def test_gaps_shrink_as_the_propeller_grows(craft: Craft, changed: Change) -> None:
    small = clearances(craft)
    grown = 'use = "5x3.6-3"\nrole = "propeller"\ndiameter_in = 5.2'
    large = clearances(changed(('use = "5x3.6-3"\nrole = "propeller"', grown)))
    assert large.disc_to_disc_m == pytest.approx(small.disc_to_disc_m - 0.2 * 0.0254)


def test_disc_over_a_deck_has_the_height_between() -> None:
    """Two upright bodies: level gap and height gap make the distance."""
    import shapely

    from rotorwright.predict.clearance import Body, _apart

    square = shapely.box(0, 0, 1, 1)
    here = Body("a", "", square, 0.0, 1.0, None)  # type: ignore[arg-type]
    above = Body("b", "", square, 1.5, 2.0, None)  # type: ignore[arg-type]
    aside = Body("c", "", shapely.box(4, 0, 5, 1), 5.0, 6.0, None)  # type: ignore[arg-type]
    assert _apart(here, above) == 0.5
    assert _apart(here, aside) == 5.0
    assert _apart(here, here) == -1.0


def test_the_lens_sees_less_when_it_looks_up(craft: Craft, changed: Change) -> None:
    level = clearances(changed(("tilt_deg = 25", "tilt_deg = 0"))).views[0]
    up = clearances(changed(("tilt_deg = 25", "tilt_deg = 60"))).views[0]
    assert level.covered > 0
    assert up.covered == 0
    assert level.tilt_deg == 0


def test_level_disc_ahead_is_seen_on_the_horizon() -> None:
    import numpy as np

    from rotorwright.predict.clearance import _seen

    seen = _seen(np.array([[1.0, -1.0, 0.0], [1.0, 0.0, 1.0]]), np.zeros(3), np.eye(3))
    assert seen is not None
    np.testing.assert_allclose(seen, [[45.0, 0.0], [0.0, 45.0]], atol=1e-12)


def test_crash(craft: Craft, found: Structure) -> None:
    result = crash(craft, found)
    first = {contact.side: contact.first for contact in result.contacts}
    assert first["ahead"].startswith("propeller front")
    assert first["flat drop, upright"].startswith("landing-pad")
    assert all(contact.stands_out_m >= 0 for contact in result.contacts)
    assert result.arm_change.screws == 6
    assert not result.arm_change.everything_off


def test_a_unibody_takes_everything_off(found: Structure, changed: Change) -> None:
    craft = changed(("root_mm = 12", 'build = "unibody"'), ("screw_at_mm = [18, 27]\n", ""))
    assert crash(craft, structure(craft, found.speeds)).arm_change.everything_off


def test_choices_begin_with_what_is(craft: Craft, found: Structure) -> None:
    rows = arm_choices(craft)
    own = rows[0]
    assert (own.what, own.grams_more, own.stiffness_ratio) == ("as it is", 0.0, 1.0)
    assert own.stiffness_n_per_m == pytest.approx(found.arms[0].stiffness_n_per_m.value)
    by_name = {row.what: row for row in rows}
    assert by_name["6 mm thick"].grams_more > 0 and by_name["6 mm thick"].stiffness_ratio > 1
    assert by_name["round tube 16/14 mm"].stiffness_per_gram > own.stiffness_per_gram


def test_soft_mount_of_a_motor(craft: Craft, found: Structure) -> None:
    (mount,) = soft_mounts(craft, found.speeds)
    assert mount.isolates_above_rpm == pytest.approx(60 * math.sqrt(2) * value(mount.natural_hz.value))
    assert "screw" in mount.note
