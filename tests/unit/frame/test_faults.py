"""Frames that cannot be built are refused by name and number, at the line of the key."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rotorwright.craft import Craft
from rotorwright.errors import InputError

Change = Callable[..., Craft]

PLATE = """form = "plate"
material = "carbon-quasi-isotropic"
thickness_mm = 5
width_mm = 13
tip_width_mm = 11"""

TUBE = """form = "round-tube"
material = "carbon-tube-rolled"
outer_diameter_mm = {outer}
inner_diameter_mm = {inner}"""

CASES = [
    ((PLATE, TUBE.format(outer=12, inner=12)), "bore of 12 mm leaves a tube of 12 mm no wall: 0 mm"),
    (("channel_depth_mm = 1", "channel_depth_mm = 5"), "a channel 5 mm deep goes through an arm of 5 mm"),
    (("channel_width_mm = 4", "channel_width_mm = 11"), "leaves an arm of 11 mm no flanks"),
    (("width_mm = 13", "width_mm = 13\npad_diameter_mm = 18"), "needs 19.2 mm, and the motor pad is 18 mm wide"),
    (
        ("width_mm = 13", "width_mm = 13\nmotor_pattern_mm = [16, 24]\npad_diameter_mm = 25"),
        "a motor pattern of 24 mm",
    ),
    (("root_mm = 12", "root_mm = 2"), "cross: they share"),
    (("screw_at_mm = [18, 27]", "screw_at_mm = [18, 200]"), "a screw at 200 mm is not on the arm"),
    (("spacing_mm = [116, 24]", "spacing_mm = [129, 24]"), "meets the edge: it reaches"),
    (("at_mm = [0, 13]", "at_mm = [0, 17]"), "a slot in top"),
    (("at_mm = [-36, 0]", "at_mm = [-58, 0]"), "a window in top"),
    (('over = "top"', 'over = "roof"'), "a standoff stands over 'roof', and there is no such deck"),
    (('name = "middle"', 'name = "lower"'), "a second deck 'lower'"),
    (('material = "aluminium-6061"', 'material = "aluminum"'), "no material 'aluminum'"),
    (('form = "plate"', 'form = "round-tube"'), "a round-tube arm lacks outer_diameter_mm"),
    (("length_mm = 22\nheight_mm = 28\nhole_mm = 2.2", "length_mm = 12\nheight_mm = 28\nhole_mm = 14"), "pivot hole"),
    (("thread_mm = 3", "thread_mm = 5"), "a thread of 5 mm leaves a standoff of 5 mm no wall"),
    (('level = "under-arms"', 'level = "with-arms"'), "the arms are not a unibody"),
    (('layout = "wide-x"', 'layout = "wide-x"\nmotors = "inverted"'), "landing-pad is drawn for motors above"),
    (("[frame.arm]", "[[frame.arm]]"), "[[frame.arm]] stands once"),
    (('level = "upper"', 'level = "free"'), "the free deck 'top' lacks height_mm"),
]


@pytest.mark.parametrize("pair, words", CASES)
def test_refused(changed: Change, pair: tuple[str, str], words: str) -> None:
    with pytest.raises(InputError) as refusal:
        changed(pair)
    assert words in str(refusal.value)


def test_the_line_of_the_key_is_named(changed: Change) -> None:
    with pytest.raises(InputError) as refusal:
        changed(("channel_depth_mm = 1", "channel_depth_mm = 5"))
    (problem,) = refusal.value.problems
    text = Path(str(problem.file)).read_text(encoding="utf-8").splitlines()
    assert problem.line is not None
    assert text[problem.line - 1] == "channel_depth_mm = 5"


def test_arms_twice(changed: Change) -> None:
    with pytest.raises(InputError, match="draws the arms already"):
        changed(('[[part]]\nuse = "esc', '[[part]]\nuse = "plate-arm-112x14x5"\nrole = "arm"\n[[part]]\nuse = "esc'))


def test_a_unibody_has_no_crossing_arms(changed: Change) -> None:
    craft = changed(("root_mm = 12", 'build = "unibody"'))
    (plate,) = craft.with_role("arm")
    assert plate.count == 1


def test_tubes_carry_a_pad(changed: Change) -> None:
    craft = changed((PLATE, TUBE.format(outer=12, inner=10)), ("channel_width_mm = 4\nchannel_depth_mm = 1\n", ""))
    assert [p.part.kind for p in craft.with_role("arm")] == ["tube"]
    assert craft.with_role("motor-pad")[0].count == 4
