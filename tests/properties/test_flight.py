"""Laws that every flight obeys, whatever the craft."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rotorwright.craft.model import Craft
from rotorwright.physics.level_flight import LIMITS
from rotorwright.predict.airborne import Airborne, airborne
from rotorwright.predict.endurance import flown
from rotorwright.predict.profiles import Leg, Profile

BOUNDED = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])

legs = st.lists(
    st.builds(
        Leg,
        seconds=st.floats(0.5, 20.0),
        load_factor=st.floats(0.1, 4.0),
        speed=st.floats(0.0, 20.0),
        climb=st.floats(-5.0, 6.0),
    ),
    min_size=1,
    max_size=4,
)


@pytest.fixture
def ready(small_craft: Callable[..., Craft]) -> Airborne:
    return airborne(small_craft(), samples=3)


def changed(ready: Airborne, **factors: float) -> Airborne:
    rows = ready.columns.craft.copy()
    for name, factor in factors.items():
        rows[name] *= factor
    return replace(ready, columns=replace(ready.columns, craft=rows))


def fly(ready: Airborne, cycle: list[Leg]) -> np.ndarray:
    return flown(ready.craft, ready.columns, Profile("drawn", "", "", tuple(cycle), 0.1), ready.draws).ends


@BOUNDED
@given(cycle=legs)
def test_energy_out_of_the_cells_is_that_of_all_consumers(cycle: list[Leg], ready: Airborne) -> None:
    """Voc I, second by second, is shaft, iron, copper, controllers, leads, pack and electronics: to rounding."""
    ends = fly(ready, cycle)
    assert ends["energy"].sum(axis=1) == pytest.approx(ends["stored"], rel=1e-9)
    assert ends["delivered"] + ends["energy"][:, 5] == pytest.approx(ends["stored"], rel=1e-9)


@BOUNDED
@given(cycle=legs)
def test_charge_taken_is_charge_missing(cycle: list[Leg], ready: Airborne) -> None:
    ends = fly(ready, cycle)
    gone = np.where(ends["time"] > 0, 1.0 - ends["charge"], 0.0) * ready.columns.craft["capacity"]
    assert ends["taken"] == pytest.approx(gone, rel=1e-9)


@BOUNDED
@given(cycle=legs, factor=st.floats(1.1, 2.0))
def test_more_charge_flies_longer(cycle: list[Leg], factor: float, ready: Airborne) -> None:
    plain, larger = fly(ready, cycle)["time"], fly(changed(ready, capacity=factor, pack_heat=factor), cycle)["time"]
    assert np.all(larger >= plain)


@BOUNDED
@given(factor=st.floats(1.05, 3.0), speed=st.floats(3.0, 20.0))
def test_more_drag_takes_more_pitch(factor: float, speed: float, ready: Airborne) -> None:
    more = changed(ready, drag_area=factor, drag_area_top=factor)
    a, b = (r.columns.level(speed=speed, charge=0.8)[0, 0] for r in (ready, more))
    assert b["pitch"] >= a["pitch"]


@BOUNDED
@given(load=st.floats(1.0, 4.0), speed=st.floats(0.0, 20.0), climb=st.floats(0.0, 8.0))
def test_thrust_carries_at_least_the_load(load: float, speed: float, climb: float, ready: Airborne) -> None:
    t = ready.columns.level(load=load, speed=speed, climb=climb)
    force = 4 * np.hypot(t["thrust"], t["in_plane"])[:, 0]
    assert np.all(force >= load * ready.columns.craft["mass"] * 9.80665 * (1 - 1e-4))


@BOUNDED
@given(speed=st.floats(0.1, 25.0))
def test_a_steady_flight_without_speed_is_hover(speed: float, ready: Airborne) -> None:
    hover = ready.columns.level(speed=1e-6, charge=0.5)[:, 0]
    solved = ready.columns.solve(thrust=ready.columns.craft["mass"] * 9.80665 / 4, charge=0.5)
    assert hover["battery_current"] == pytest.approx(solved["battery_current"], rel=1e-3)
    assert np.all(ready.columns.level(speed=speed)[:, 0]["pitch"] > 0)


def test_not_a_number_in_is_not_a_number_out(ready: Airborne) -> None:
    for given_value in ({"speed": np.nan}, {"climb": np.nan}, {"load": np.nan}):
        point = ready.columns.level(**given_value)[0, 0]
        assert np.isnan(point["power"])
        assert point["status"] == 3
    assert LIMITS[3] == "no trim"
