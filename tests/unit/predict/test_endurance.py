"""Endurance: profiles, landing, what is told when there is no flight."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute, InputError
from rotorwright.predict.airborne import Airborne, airborne, flight_book
from rotorwright.predict.endurance import landing_voltage
from rotorwright.predict.packs import day, pack_sweep
from rotorwright.predict.profiles import PROFILES, profile_of

Read = Callable[..., Craft]


@pytest.fixture
def ready(small_craft: Read) -> Airborne:
    return airborne(small_craft(), samples=64)


@pytest.mark.parametrize("name", list(PROFILES))
def test_every_built_in_profile_can_be_flown(name: str, ready: Airborne) -> None:
    flight, heat = ready.fly(name)
    assert flight.profile == name
    assert flight.time_s.value is not None and flight.time_s.low is not None
    assert 60 < flight.time_s.value < 3600
    assert flight.ended_by == "landing voltage"
    assert heat.winding_degc.value is not None


def test_hover_agrees_with_the_operating_point(ready: Airborne) -> None:
    """One solver: the flight's mean current at half charge is that of the hover solve with the same pack voltage."""
    flight, _ = ready.fly("hover")
    assert flight.mean_current_a.value is not None
    hover = ready.columns.solve(thrust=ready.columns.craft["mass"] * 9.80665 / 4, charge=0.5)
    assert flight.mean_current_a.value == pytest.approx(float(hover["battery_current"][0]), rel=0.05)


def test_energy_out_of_the_pack_is_that_of_its_consumers(ready: Airborne) -> None:
    flight, _ = ready.fly("gentle-freestyle")
    assert sum(c.share.value or 0.0 for c in flight.consumers) == pytest.approx(1.0, abs=1e-9)


def test_harder_flying_is_shorter(ready: Airborne) -> None:
    times = [ready.fly(name)[0].time_s.value or 0.0 for name in ("hover", "gentle-freestyle", "hard-freestyle")]
    assert times == sorted(times, reverse=True)


def test_the_files_own_profile_is_flown(small_craft: Read) -> None:
    leg = "[[flight.segment]]\nduration_s = 5\nspeed_m_per_s = 3\nclimb_m_per_s = "
    craft = small_craft(more=f'\n[flight]\nprofile = "up and down"\n{leg}2\n{leg}-2\n')
    profile = profile_of(craft)
    assert (profile.name, len(profile.legs)) == ("up and down", 2)
    assert airborne(craft, samples=0).fly()[0].time_s.value is not None
    assert profile_of(craft, "hover").name == "hover"


def test_a_profile_without_time_is_refused(small_craft: Read) -> None:
    craft = small_craft()
    lasting = replace(craft.flight, segment=(small_segment(small_craft),))
    with pytest.raises(CannotCompute, match="lasts no time"):
        profile_of(replace(craft, flight=lasting))


def small_segment(small_craft: Read):  # type: ignore[no-untyped-def]
    craft = small_craft(more="\n[[flight.segment]]\nduration_s = 1\n")
    return replace(craft.flight.segment[0], duration=None)


def test_an_unknown_profile_names_its_neighbours(small_craft: Read) -> None:
    with pytest.raises(InputError, match="hard-freestyle"):
        profile_of(small_craft(), "hard freestile")


def test_a_landing_voltage_above_a_full_cell_is_refused(small_craft: Read) -> None:
    craft = small_craft(more="\n[flight]\nlanding_voltage_v = 4.3\n")
    with pytest.raises(InputError, match=r"4\.3 V a cell is not below the 4\.20 V"):
        landing_voltage(craft)


def test_a_landing_voltage_that_the_first_load_reaches_leaves_no_flight(small_craft: Read) -> None:
    craft = small_craft(more="\n[flight]\nlanding_voltage_v = 4.19\n")
    flight, heat = airborne(craft, samples=32).fly("hover")
    assert flight.time_s.value is None
    assert "below the landing voltage" in (flight.time_s.reason or "")
    assert heat.winding_degc.reason == flight.time_s.reason
    assert day(craft, flight).packs is None


def test_a_resting_voltage_ends_the_flight_earlier(small_craft: Read) -> None:
    plain = airborne(small_craft(), samples=0).fly("hover")[0]
    rested = airborne(small_craft(more="\n[flight]\nlanding_rest_voltage_v = 3.8\n"), samples=0).fly("hover")[0]
    assert rested.ended_by == "resting voltage"
    assert (rested.time_s.value or 0) < (plain.time_s.value or 0)
    assert rested.rest_voltage_v.value == pytest.approx(3.8, abs=0.01)


def test_a_speed_that_cannot_be_flown_is_told(small_craft: Read) -> None:
    own = "\n[[flight.segment]]\nduration_s = 5\nspeed_m_per_s = 95\n"
    flight, _ = airborne(small_craft(more=own), samples=0).fly()
    assert flight.time_s.value is None
    assert "segment 1 of 'own', 95 m/s along" in (flight.time_s.reason or "")


def test_a_profile_of_hard_segments_alone_still_lands(small_craft: Read) -> None:
    own = "\n[[flight.segment]]\nduration_s = 5\nspeed_m_per_s = 5\nload_factor = 3\n"
    flight, _ = airborne(small_craft(more=own), samples=0).fly()
    assert flight.ended_by == "landing voltage"
    assert flight.time_s.value is not None


def test_a_climb_that_cannot_be_flown_is_told(small_craft: Read) -> None:
    own = "\n[[flight.segment]]\nduration_s = 5\nspeed_m_per_s = 60\nclimb_m_per_s = 40\n"
    flight, _ = airborne(small_craft(more=own), samples=0).fly()
    assert flight.time_s.value is None
    assert "40 m/s up" in (flight.time_s.reason or "")
    assert flight.notes == ()


def test_a_colder_pack_flies_shorter(small_craft: Read) -> None:
    warm = airborne(small_craft(more="\n[flight]\npack_temperature_degc = 30\n"), samples=0).fly("hard-freestyle")[0]
    cold = airborne(small_craft(more="\n[flight]\npack_temperature_degc = 0\n"), samples=0).fly("hard-freestyle")[0]
    assert (cold.time_s.value or 0) < (warm.time_s.value or 0)


def test_two_packs_fly_longer_than_one_and_are_twice_the_charge(small_craft: Read) -> None:
    one, two = small_craft(), small_craft(('id = "pack"', 'id = "pack"\ncount = 2'))
    a, b = (airborne(craft, samples=0).fly("hover")[0] for craft in (one, two))
    assert a.time_s.value is not None and b.time_s.value is not None
    assert 1.2 < b.time_s.value / a.time_s.value < 2.0
    assert (b.charge_ah.value or 0) == pytest.approx(2 * (a.charge_ah.value or 0), rel=0.05)


@pytest.mark.parametrize("chemistry", ["lihv", "li-ion"])
def test_other_chemistries_fly(chemistry: str, small_craft: Read) -> None:
    craft = small_craft(("rating_c = 75", f'rating_c = 75\nchemistry = "{chemistry}"'))
    assert airborne(craft, samples=0).fly("hover")[0].time_s.value is not None


def test_electronics_shorten_the_flight(small_craft: Read) -> None:
    more = '\n[[video-transmitter]]\nname = "tx"\npower_w = 20\nmass_g = 0.001\n[[part]]\nuse = "tx"\n'
    plain, drawn = (airborne(craft, samples=0).fly("hover")[0] for craft in (small_craft(), small_craft(more=more)))
    assert (drawn.time_s.value or 0) < 0.95 * (plain.time_s.value or 0)


def test_the_longest_flight_takes_about_twice_the_rest_in_pack(ready: Airborne) -> None:
    """Hovering power goes with mass^1.5: time q/(r + q)^1.5 is longest at q = 2 r, if the pack's losses are small."""
    sweep = pack_sweep(ready.craft, ready.columns, PROFILES["hover"])
    assert sweep.best is not None
    rest = sweep.best.all_up_kg - sweep.best.battery_mass_kg
    assert 1.5 < sweep.best.battery_mass_kg / rest < 2.5


def test_payload_shortens_every_flight(ready: Airborne) -> None:
    plain, loaded = (pack_sweep(ready.craft, ready.columns, PROFILES["hover"], kg) for kg in (0.0, 0.2))
    assert all((b.time_s or 0) < (a.time_s or 0) for a, b in zip(plain.rows, loaded.rows, strict=True))


def test_a_day_takes_as_many_packs_as_flights(ready: Airborne) -> None:
    book = flight_book(ready, "hover")
    assert book.endurance.time_s.value is not None and book.day.packs is not None
    assert (book.day.packs - 1) * book.endurance.time_s.value < book.day.air_time_s
    assert book.day.packs * book.endurance.time_s.value >= book.day.air_time_s


def test_bounds_do_not_hang_on_the_seed(small_craft: Read) -> None:
    one, other = (airborne(small_craft(), seed=n).fly("gentle-freestyle")[0].time_s for n in (0, 1))
    assert one.low is not None and other.low is not None and one.high is not None and other.high is not None
    assert one.low == pytest.approx(other.low, rel=0.04)
    assert one.high == pytest.approx(other.high, rel=0.04)
