"""Centre and inertia of a craft against the whole-aircraft example, read from a craft file."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rotorwright.columns import Draws, mass_columns
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.predict.balance import Balance, balance

Read = Callable[..., Craft]

# Battery box above, body box ahead of the middle, four point motors on 110 mm arms at 45 degrees; computed by
# parallel axes outside this project (Meriam & Kraige, Engineering Mechanics, appendix, for the solids).
ARM = 77.78174593
WHOLE_AIRCRAFT = """\
format = 1
name = "example"
[frame]
motor_spacing_mm = 220
[[other]]
name = "battery box"
mass_g = { value = 180, sd = 0 }
size_mm = [75, 35, 30]
[[other]]
name = "body box"
mass_g = { value = 250, sd = 0 }
size_mm = [60, 40, 20]
[[other]]
name = "point"
mass_g = { value = 32, sd = 0 }
[[part]]
use = "battery box"
at_mm = [0, 0, 25]
[[part]]
use = "body box"
at_mm = [5, 0, 0]
""" + "".join(
    f'[[part]]\nuse = "point"\nid = "{x}{y}"\nat_mm = [{x}{ARM}, {y}{ARM}, 5]\n' for x in "+-" for y in "+-"
)


def of(craft: Craft, samples: int = 0) -> Balance:
    return balance(craft, mass_columns(craft, Draws(samples)))


def numbers(made: Balance) -> tuple[list[float | None], list[list[float | None]]]:
    return [p.value for p in made.centre_m], [[p.value for p in row] for row in made.inertia_kg_m2]


def test_whole_aircraft(tmp_path: Path) -> None:
    """Half a last printed digit."""
    file = tmp_path / "x.toml"
    file.write_text(WHOLE_AIRCRAFT)
    made = of(read_craft(file))
    centre, inertia = numbers(made)
    assert centre == pytest.approx([2.240143e-3, 0.0, 9.211470e-3], abs=0.5e-9)
    assert [inertia[i][i] for i in range(3)] == pytest.approx([9.16295e-4, 1.027411e-3, 1.763333e-3], abs=0.5e-9)
    assert inertia[0][2] == inertia[2][0] == pytest.approx(1.15143e-5, abs=0.5e-10)
    assert inertia[0][1] == pytest.approx(0.0, abs=1e-15)
    assert made.thrust_centre_m == pytest.approx((0.0, 0.0, 0.0))
    assert [p.value for p in made.offset_m] == pytest.approx(centre)


def test_turned_parts_turn_their_tensor(tmp_path: Path) -> None:
    """The battery box across: its x and y moments change places, everything else stays."""
    one, other = tmp_path / "a.toml", tmp_path / "b.toml"
    one.write_text(WHOLE_AIRCRAFT)
    other.write_text(WHOLE_AIRCRAFT.replace("at_mm = [0, 0, 25]", "at_mm = [0, 0, 25]\nturn_deg = [0, 0, 90]"))
    (_, along), (_, across) = numbers(of(read_craft(one))), numbers(of(read_craft(other)))
    change = 0.180 / 12 * (0.075**2 - 0.035**2)
    assert across[0][0] - along[0][0] == pytest.approx(change, rel=1e-9)  # type: ignore[operator]
    assert along[1][1] - across[1][1] == pytest.approx(change, rel=1e-9)  # type: ignore[operator]
    assert across[2][2] == pytest.approx(along[2][2])


def test_pieces_share_the_mass_of_their_line(small_craft: Read) -> None:
    """Four motors of 32 g at 120 mm: Izz at least 4 x 0.032 x 0.12^2."""
    _, inertia = numbers(of(small_craft()))
    izz = inertia[2][2]
    assert izz is not None
    assert 4 * 0.036 * 0.12**2 < izz < 1.2 * 4 * 0.036 * 0.12**2


def test_thrust_centre_follows_the_layout(small_craft: Read) -> None:
    made = of(small_craft(('layout = "x"', 'layout = "y-coaxial"\ntail_height_mm = 40')))
    assert made.thrust_centre_m == pytest.approx((0.0, 0.0, -0.010), abs=1e-12)
    assert made.offset_m[2].value == pytest.approx(made.centre_m[2].value + 0.010)  # type: ignore[operator]


def test_bounds_are_there_and_hold_the_value(small_craft: Read) -> None:
    made = of(small_craft(), 256)
    for p in (*made.centre_m, *(p for row in made.inertia_kg_m2 for p in row)):
        assert p.low is not None and p.high is not None and p.value is not None
        assert p.low <= p.value <= p.high
    z = made.centre_m[2]
    assert z.low != z.high


def test_a_part_without_a_place_is_named(small_craft: Read) -> None:
    assert of(small_craft(("at_mm = [0, 0, -10]\n", ""))).assumed_places == ("rest",)


def test_wires_and_what_is_unaccounted_scale_the_tensor_only(small_craft: Read) -> None:
    wire = '[[wire]]\nfrom = "pack"\nto = "rest"\ngauge_mm2 = 4\nlength_mm = 1000\n'
    bare, wired = of(small_craft()), of(small_craft(more=wire))
    assert numbers(wired)[0] == pytest.approx(numbers(bare)[0])
    ratio = 1 + 2 * 4e-6 * 8960 * 1.45 / 0.574
    assert numbers(wired)[1][2][2] == pytest.approx(numbers(bare)[1][2][2] * ratio, rel=1e-9)  # type: ignore[operator]


def test_nothing_of_known_mass(tmp_path: Path) -> None:
    file = tmp_path / "x.toml"
    file.write_text(
        'format = 1\nname = "x"\n[frame]\nmotor_spacing_mm = 200\n[[other]]\nname = "o"\n[[part]]\nuse = "o"\n'
    )
    made = of(read_craft(file), 50)
    assert {p.reason for p in made.centre_m} == {"nothing on the craft has a known mass"}
    assert all(p.value is None for row in made.inertia_kg_m2 for p in row)


def test_a_weighing_below_the_parts_still_balances(small_craft: Read) -> None:
    craft = small_craft(
        ("mass_g = 250", "mass_g = { value = 250, sd = 250 }"), more="[weighed]\nall_up_g = { value = 330, sd = 1 }\n"
    )
    assert all(p.value is not None for p in of(craft, 500).centre_m)
