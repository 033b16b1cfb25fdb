"""Equal bases: what is held equal is equal, and a rewound motor flies alike."""

from collections.abc import Callable

import numpy as np
import pytest

from rotorwright.craft.model import Craft
from rotorwright.errors import InputError
from rotorwright.search.equal import equal_basis, rewound
from rotorwright.search.fleet import fleet_of
from rotorwright.search.measures import MEASURES
from rotorwright.search.swapped import choose, find_placed, own_shelf, swapped, unweighed

Read = Callable[[int], Craft]


def put(craft: Craft, place: str, name: str, basis: str) -> Craft:
    placed = find_placed(craft, place)
    (part,) = choose(own_shelf(craft), type(placed.part), [name])
    return equal_basis(basis, placed)(craft, placed, part)


def test_equal_energy(lapwing: Read) -> None:
    craft = unweighed(lapwing(2))  # 6 cells of 1100 mAh
    part = find_placed(put(craft, "battery", "battery-4s-1500-75c", "energy"), "battery").part
    assert part.cells == 4
    assert part.capacity.value == pytest.approx(1.1 * 3600 * 6 / 4)
    whole = choose(own_shelf(craft), type(part), ["battery-4s-1500-75c"])[0]
    assert part.mass.value == pytest.approx(whole.mass.value * (1.65 / 1.5) ** 0.928)


def test_a_rewound_motor_turns_as_fast_and_loses_as_much(lapwing: Read) -> None:
    """Twice the turns on twice the voltage: currents halve, powers and speeds stay."""
    craft = unweighed(lapwing(2))
    motor = find_placed(craft, "motors")
    half = swapped(craft, motor, rewound(motor.part, 0.5))
    pack = find_placed(half, "battery")
    flat = swapped(
        half,
        pack,
        # three cells of twice the capacity and a quarter of the resistance hold the same energy and the same loss
        type(pack.part)(
            name="flat",
            cells=3,
            capacity=pack.part.capacity.times(2),
            resistance=pack.part.resistance.times(0.25),
            rating=pack.part.rating,
            mass=pack.part.mass,
            size=pack.part.size,
        ),
    )
    fleet = fleet_of([craft, flat])
    row = fleet.row
    # controllers, leads and electronics stay as they were, so that speeds agree to a few percent only
    speed = fleet.full["rotation"][:, 0]
    assert speed[1] == pytest.approx(speed[0], rel=0.06)
    assert row["torque_constant"][1, 0] == pytest.approx(row["torque_constant"][0, 0] / 2)
    constant = row["torque_constant"] ** 2 / row["motor_resistance"]
    assert constant[1, 0] == pytest.approx(constant[0, 0])
    loss = row["idle_current"] * row["torque_constant"]
    assert loss[1, 0] == pytest.approx(loss[0, 0])


def test_equal_copper_holds_kv_times_cells(lapwing: Read) -> None:
    craft = unweighed(lapwing(2))
    kv = find_placed(craft, "motors").part.kv.value
    made = put(craft, "battery", "battery-4s-1500-75c", "copper")
    assert find_placed(made, "motors").part.kv.value * 4 == pytest.approx(kv * 6)
    fleet = fleet_of([craft, swapped(craft, find_placed(craft, "battery"), find_placed(made, "battery").part), made])
    current = MEASURES["motor-current"].values(fleet)[:, 0]
    assert current[2] > current[0] > current[1]  # the same power at fewer volts


def test_equal_weight(lapwing: Read) -> None:
    """Equal in every sample: the part on paper has the present one's mass, whatever that turns out to be."""
    craft = unweighed(lapwing(3))
    made = put(craft, "motors", "motor-2508-1250", "weight")
    weight = MEASURES["weight"].values(fleet_of([craft, made], 50))
    assert weight[1] == pytest.approx(weight[0], rel=1e-12)
    assert np.std(weight[0]) > 0.0


def test_equal_thrust(lapwing: Read) -> None:
    """A smaller disc lifts the same with more power (momentum theory), or not at all; the present one stays."""
    craft = unweighed(lapwing(3))
    smaller = put(craft, "propeller", "4x4-3", "thrust")
    larger = put(craft, "propeller", "6x4-2", "thrust")
    whole = fleet_of([craft, smaller, larger], 50)
    fleet = whole.at_thrust_of(0)
    assert fleet.full["thrust"][0] == pytest.approx(whole.full["thrust"][0], rel=1e-6)
    assert MEASURES["current"].values(fleet)[0] == pytest.approx(MEASURES["current"].values(whole)[0], rel=1e-6)
    assert np.isnan(MEASURES["current"].values(fleet)[1, 0])  # it does not lift as much
    thrust = fleet.full["thrust"][2]
    reached = np.isfinite(MEASURES["current"].values(fleet)[2])
    assert thrust[reached] == pytest.approx(fleet.full["thrust"][0][reached], rel=1e-9)
    assert fleet.full["battery_current"][2, 0] < fleet.full["battery_current"][0, 0]  # by the larger disc


@pytest.mark.parametrize(("basis", "place"), [("energy", "motors"), ("copper", "camera"), ("price", "battery")])
def test_bases_that_do_not_fit(lapwing: Read, basis: str, place: str) -> None:
    with pytest.raises(InputError):
        equal_basis(basis, find_placed(lapwing(3), place))
