"""Craft that broke a model once: each is refused in words, or computed with a reason for what is missing."""

import contextlib
import json
import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from rotorwright.checks import check
from rotorwright.checks.view import CraftView
from rotorwright.columns.flight import drag_areas
from rotorwright.craft.edit import change_craft
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.errors import CannotCompute, InputError
from rotorwright.predict.clearance import clearances
from rotorwright.predict.link import link
from rotorwright.predict.power_tree import power_tree
from rotorwright.predict.report import report
from rotorwright.predict.result import plain
from rotorwright.predict.structure import structure
from rotorwright.sheet.versions import versions

Small = Callable[..., Craft]
Write = Callable[..., Path]


SPOTS = [(90, 80), (-90, 80)]


@pytest.mark.parametrize("axis", range(3))
def test_a_place_beyond_reach(axis: int, small_file: Write) -> None:
    """A shadow of kilometres was cast on a raster of terabytes."""
    at = [0.0, 0.0, 0.0]
    at[axis] = 30_000.0
    with pytest.raises(InputError, match=r"at is out of range. It must be at most 2000 mm"):
        read_craft(small_file(("at_mm = [0, 0, 30]", f"at_mm = {at}")))


def test_a_craft_of_metres_casts_its_shadow_on_a_bounded_raster(small_craft: Small) -> None:
    craft = small_craft(("mass_g = 250", "mass_g = 250\nsize_mm = [2000, 1999, 2000]"))
    ahead, above = drag_areas(craft)
    assert ahead.value == pytest.approx(1.3 * 1.999 * 2.0, rel=0.05)
    assert above.value == pytest.approx(1.3 * 1.999 * 2.0, rel=0.05)


def test_segments_of_nanoseconds(small_file: Write) -> None:
    """Six hours were flown in steps of three billionths of a second."""
    with pytest.raises(InputError, match="duration"):
        read_craft(small_file(more="[flight]\nsegment = [{ duration_s = 3e-8 }]\n"))


def test_a_rail_without_a_battery_prints_as_json(small_craft: Small) -> None:
    craft = small_craft(
        ('use = "b"\nrole = "battery"', 'use = "fc"\nfed_from = "battery.lead"'),
        more='[[flight-controller]]\nname = "fc"\nmass_g = 8\npower_w = 1\n'
        '[[part]]\nuse = "vtx"\nfed_from = "pack.supply"\n'
        '[[video-transmitter]]\nname = "vtx"\npower_w = 3\n',
    )
    rails = json.loads(json.dumps(plain(power_tree(craft)), allow_nan=False))["rails"]
    assert rails
    assert all(rail["voltage_v"] is None for rail in rails)


def test_one_motor_has_no_disc_beside_it(small_craft: Small) -> None:
    craft = small_craft(
        ('layout = "x"\nmotor_spacing_mm = 240', 'layout = "free"\nmotor = [{ name = "one", at_mm = [0, 0, 0] }]')
    )
    assert clearances(craft).disc_to_disc_m is None
    assert "discs-overlap" in {unchecked.code for unchecked in check(craft, 0).unchecked}


def test_a_craft_that_cannot_hover_says_so_of_its_rotor_speeds(small_craft: Small) -> None:
    view = CraftView(small_craft(("mass_g = 250", "mass_g = 50000")), 0)
    assert math.isnan(view.speeds.hover_rpm)
    assert view.speeds.reason == "it cannot hover"


def test_motors_above_the_plane_have_arms_too(small_craft: Small) -> None:
    spots = ", ".join(f'{{ name = "m{i}", at_mm = [{x}, {y}, 15] }}' for i, (x, y) in enumerate(SPOTS))
    craft = small_craft(
        ('layout = "x"\nmotor_spacing_mm = 240', f'layout = "free"\nmotor = [{spots}]'),
        more='[[plate]]\nname = "a"\nlength_mm = 100\nwidth_mm = 12\nthickness_mm = 4\n'
        '[[part]]\nuse = "a"\nrole = "arm"\n',
    )
    (arms,) = craft.with_role("arm")
    assert len(arms.places) == 2


def test_arms_as_wide_as_the_propellers(small_craft: Small) -> None:
    craft = small_craft(
        more='[[plate]]\nname = "a"\nlength_mm = 100\nwidth_mm = 200\nthickness_mm = 4\n'
        '[[part]]\nuse = "a"\nrole = "arm"\n'
    )
    found = report(craft, 0)
    assert found.hover is None
    assert any("hide the propellers" in note for note in found.notes)


def test_a_frame_whose_modes_drown_in_rounding(small_craft: Small) -> None:
    craft = small_craft(
        more='[[plate]]\nname = "a"\nlength_mm = 120\nwidth_mm = 0.001\nthickness_mm = 0.001\nmodulus_gpa = 0.001\n'
        'mass_g = 1e-6\n[[part]]\nuse = "a"\nrole = "arm"\n'
    )
    with contextlib.suppress(CannotCompute):
        values = [mode.frequency_hz.value for mode in structure(craft).modes]
        assert all(value is not None and np.isfinite(value) for value in values)


@pytest.mark.filterwarnings("error")
def test_antennas_of_opposite_hands_reach_nowhere(small_craft: Small) -> None:
    antenna = "frequency_mhz = 5800\ngain_dbi = 1.5\naxial_ratio_db = 0"
    craft = small_craft(
        more='[[video-transmitter]]\nname = "v"\nfrequency_mhz = 5800\nmass_g = 5\nvideo = "analog"\n'
        '[[part]]\nuse = "v"\nset_power_mw = 25\n'
        f'[[antenna]]\nname = "l"\npolarisation = "left"\nmass_g = 3\n{antenna}\n'
        f'[[antenna]]\nname = "r"\npolarisation = "right"\nmass_g = 3\n{antenna}\n'
        '[[part]]\nuse = "l"\nrole = "video-antenna"\n[ground]\nantennas = ["r"]\n'
    )
    video = link(craft).video
    assert video.range_m.value is not None or video.range_m.reason


DEEP = {
    "lists": "[" * 600 + "]" * 600,
    "lists not so deep": "[" * 200 + "]" * 200,
    "tables": "{ a = " * 150 + "1" + "}" * 150,
    "an infinite number": "1e400",
    "five thousand digits": "9" * 5000,
    "a day that never was": "2026-13-45",
    "half a string": '"""',
    "a NUL": "\0",
}


@pytest.mark.parametrize("value", DEEP)
@pytest.mark.parametrize("key", ["frame.motor_spacing_mm", "pack.mass_g", "site", "wire", "part", "flight.segment"])
def test_a_change_to_something_odd(key: str, value: str, small_file: Write) -> None:
    file = small_file()
    before = file.read_bytes()
    with pytest.raises(InputError):
        change_craft(file, [f"{key}={DEEP[value]}"])
    assert file.read_bytes() == before


def test_a_version_before_that_is_a_ring_of_links(small_file: Write) -> None:
    file = small_file(("format = 1", 'format = 1\nprevious = "ring.toml"'))
    (file.parent / "ring.toml").symlink_to("ring.toml")
    assert "Too many levels" in versions(read_craft(file)).ends
