"""Where the layout puts motors, propellers, arms and bumpers."""

from collections.abc import Callable

import pytest

from rotorwright.craft.model import Craft

Read = Callable[..., Craft]
HEIGHT = ("mass_g = 32", "mass_g = 32\nheight_mm = 20")
HUB = ("blades = 3", "blades = 3\nhub_height_mm = 6")
ARM = (
    '[[plate]]\nname = "arm"\nlength_mm = 100\nwidth_mm = 12\nthickness_mm = 5\n[[part]]\nuse = "arm"\nrole = "arm"\n'
)


def test_propellers_lie_in_the_disc_plane_and_motors_hang_below(small_craft: Read) -> None:
    craft = small_craft(HEIGHT, HUB)
    motors, propellers = craft.parts[0], craft.parts[1]
    assert [(p.x, p.y, p.z) for p in propellers.places] == [(m.x, m.y, 0.0) for m in craft.motors]
    # half the hub, then half the can
    assert [p.z for p in motors.places] == pytest.approx([-0.013] * 4)
    assert not motors.assumed
    assert motors.count == len(motors.places) == 4


def test_inverted_motors_stand_above(small_craft: Read) -> None:
    craft = small_craft(HEIGHT, HUB, ('layout = "x"', 'layout = "x"\nmotors = "inverted"'))
    assert [p.z for p in craft.parts[0].places] == pytest.approx([0.013] * 4)


def test_lower_motor_of_a_coaxial_tail_is_upside_down(small_craft: Read) -> None:
    craft = small_craft(HEIGHT, HUB, ('layout = "x"', 'layout = "y-coaxial"\ntail_height_mm = 50'))
    z = {m.name: p.z for m, p in zip(craft.motors, craft.parts[0].places, strict=True)}
    assert z["tail-upper"] == pytest.approx(-0.013)
    assert z["tail-lower"] == pytest.approx(-0.050 + 0.013)
    assert [p.z for p in craft.parts[1].places] == [m.z for m in craft.motors]


def test_arms_point_at_their_motors_and_reach_a_little_beyond(small_craft: Read) -> None:
    craft = small_craft(HEIGHT, HUB, more=ARM)
    arm = craft.parts[4]
    assert arm.count == 4
    for place, motor in zip(arm.places, craft.motors, strict=True):
        assert place.yaw == pytest.approx(motor.bearing)
        middle = (place.x**2 + place.y**2) ** 0.5
        assert motor.radius + 0.005 < middle + 0.05 < motor.radius + 0.03
        # under the motor: half the hub, the can, half the arm
        assert place.z == pytest.approx(-(0.003 + 0.020 + 0.0025))


def test_bumpers_sit_at_the_ends_and_a_coaxial_tail_has_one_arm(small_craft: Read) -> None:
    more = ARM + '[[printed-part]]\nname = "bump"\nmass_g = 2\n[[part]]\nuse = "bump"\nrole = "arm-bumper"\n'
    craft = small_craft(('layout = "x"', 'layout = "y-coaxial"'), more=more)
    arms, bumpers = craft.parts[4], craft.parts[5]
    assert arms.count == bumpers.count == 3
    assert [(p.x**2 + p.y**2) ** 0.5 > m.radius for p, m in zip(bumpers.places, craft.motors, strict=False)] == [
        True
    ] * 3


def test_mounts_are_at_the_motor_base(small_craft: Read) -> None:
    more = '[[screw]]\nname = "s"\nmass_g = 1\n[[part]]\nuse = "s"\nrole = "motor-mount"\ncount = 16\n'
    mount = small_craft(HEIGHT, HUB, more=more).parts[4]
    assert mount.count == 16
    assert [p.z for p in mount.places] == pytest.approx([-0.023] * 4)


def test_a_role_of_the_layout_with_its_own_place_keeps_it(small_craft: Read) -> None:
    arm = small_craft(more=ARM + "at_mm = [1, 2, 3]\n").parts[4]
    assert [(p.x, p.y, p.z) for p in arm.places] == [pytest.approx((0.001, 0.002, 0.003))]
    assert arm.count == 1
