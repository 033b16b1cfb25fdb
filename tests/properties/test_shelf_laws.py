"""Laws of flight over the whole built-in shelf: every motor with every propeller and pack that fit each other.

All go through the one solver, as arrays. A law that says 'never' is held without a tolerance but that of the solver,
1e-9 of a rotation, which is a few 1e-9 of a thrust or current: `SOLVER`. Trims end at 1e-5 of the forces: `TRIM`.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import numpy as np
import pytest

from rotorwright.columns import PowertrainColumns
from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import new_workshop
from rotorwright.parts.propulsion import Battery, Motor, Propeller
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.level_flight import fastest
from rotorwright.physics.wire import resistance
from rotorwright.predict.airborne import airborne
from rotorwright.predict.packs import pack_sweep
from rotorwright.predict.profiles import PROFILES, profile_of
from rotorwright.predict.response import steady_accelerations, step_answer
from rotorwright.search.flights import nominal_flights
from rotorwright.search.gridding import grid_of
from rotorwright.search.space import Choice, Goal, Space
from rotorwright.search.swapped import candidates, find_placed, own_shelf, unweighed

SOLVER, TRIM = 1e-8, 3e-5

# Of a craft without motors, propellers and pack, over the disc area [kg/m2]: a 5-inch craft of 0.25 kg.
REST = 0.25 / 0.127**2


def demo(name: str) -> Craft:
    """A demo craft, in a workshop of its own."""
    folder = Path(mkdtemp()) / "w"
    new_workshop(folder)
    return unweighed(read_craft(folder / "crafts" / f"{name}.toml"))


def fits(motor: Motor, propeller: Propeller, battery: Battery) -> bool:
    """Whether the three can be joined as their own numbers say."""
    assert motor.cells_min and motor.cells_max and motor.shaft and propeller.bore
    bore = propeller.mount == motor.propeller_mount and propeller.bore.value >= 0.99 * motor.shaft.value
    return bore and motor.cells_min <= battery.cells <= motor.cells_max


@dataclass(frozen=True)
class Shelved:
    """All combinations that fit, a row each, with all that flight needs; `craft` says how they land."""

    columns: PowertrainColumns
    craft: Craft

    def with_(self, **values: Any) -> PowertrainColumns:
        """The rows with fields set, or changed by a function of the field."""
        rows = self.columns.craft.copy()
        for name, value in values.items():
            rows[name] = value(rows[name]) if callable(value) else value
        return replace(self.columns, craft=rows)

    def every(self, n: int) -> "Shelved":
        """Each n-th combination, for what is integrated in time."""
        return replace(self, columns=replace(self.columns, craft=self.columns.craft[::n].copy()))


@cache
def whole_shelf() -> Shelved:
    """Every fitting combination on a craft whose rest weighs as its discs are large."""
    craft = demo("lapwing-3")
    kinds = {"motors": Motor, "propellers": Propeller, "battery": Battery}
    shelf = own_shelf(craft)
    choices = tuple(Choice(find_placed(craft, role), tuple(candidates(shelf, kind))) for role, kind in kinds.items())
    goals = tuple(Goal(name, 1) for name in ("flight-time", "thrust-rise", "roll"))
    grid = grid_of(Space(craft.file, craft, choices, goals, ()))
    named = [{part.name: part for part in choice.parts} for choice in choices]
    parts = [[own[name] for name in place.names] for own, place in zip(named, grid.places, strict=True)]
    motors, propellers, packs = parts
    index = np.array(
        [
            (i, j, k)
            for i, motor in enumerate(motors)
            for j, propeller in enumerate(propellers)
            for k, pack in enumerate(packs)
            if fits(motor, propeller, pack)  # type: ignore[arg-type]
        ]
    )
    view = grid.combos(index)
    rows = view.flying.craft.copy()
    rows["inertia"] = view.inertia
    rows["mass"] += REST * rows["diameter"] ** 2 - grid.mass
    return Shelved(replace(view.flying, craft=rows), craft)


@pytest.fixture(scope="module")
def shelf() -> Shelved:
    """The whole shelf, and that most of it flies: a law over nothing would hold."""
    found = whole_shelf()
    flies = hover(found.columns)["status"] == 0
    assert len(flies) > 10_000
    assert flies.mean() > 0.8
    return found


def weight(columns: PowertrainColumns) -> np.ndarray:
    return columns.craft["mass"] * GRAVITY / columns.craft["motors"]


def hover(columns: PowertrainColumns, charge: float = 0.5) -> np.ndarray:
    return columns.solve(thrust=weight(columns), charge=charge)


def both(a: np.ndarray, b: np.ndarray, worst: int = 0) -> np.ndarray:
    """Where both are solved."""
    return (a["status"] <= worst) & (b["status"] <= worst)


def test_more_mass_takes_more_to_hover(shelf: Shelved) -> None:
    """Throttle, current, power and turns rise with mass; what can lift more can lift less."""
    for factor in (1.001, 1.05, 1.5):
        light, heavy = hover(shelf.columns), hover(shelf.with_(mass=lambda m, f=factor: m * f))
        assert not np.any((heavy["status"] == 0) & (light["status"] != 0))
        good = both(light, heavy)
        for name in ("duty", "battery_current", "rotation", "motor_current"):
            assert np.all(heavy[name][good] > light[name][good]), name
        power = [p["battery_current"] * p["battery_voltage"] for p in (light, heavy)]
        assert np.all(power[1][good] > power[0][good])


def test_more_mass_takes_more_than_proportional_power(shelf: Shelved) -> None:
    """The shaft's power goes with m^1.5 at a constant figure of merit; over the shelf with m^1.29 to m^1.51.

    It is less where blades get better as they turn faster (large slow discs, Reynolds numbers below 40 000), hardly
    ever more. The bounds are what the shelf shows, rounded outwards by 0.02; above m^1.53 a rotor would get worse
    with Reynolds number in hover.
    """
    light, heavy = hover(shelf.columns), hover(shelf.with_(mass=lambda m: 1.02 * m))
    good = both(light, heavy)
    shaft = [p["torque"][good] * p["rotation"][good] for p in (light, heavy)]
    exponent = np.log(shaft[1] / shaft[0]) / math.log(1.02)
    assert exponent.min() > 1.27
    assert exponent.max() < 1.53


def test_scaling_is_exact_at_equal_coefficients(shelf: Shelved) -> None:
    """T ~ n^2, T ~ D^4, hover power ~ m^1.5 rho^-0.5 where Reynolds and Mach number are held: to rounding.

    Held by viscosity and speed of sound, which are free here; 1e-9 for the lookup of ln Re, 1e-7 for the solver.
    """
    columns = shelf.columns
    w = 0.6 * columns.solve(duty=1.0)["rotation"]
    plain = columns.turn(w)
    turned = shelf.with_(viscosity=lambda x: 1.3 * x, sound_speed=lambda x: 1.3 * x).turn(1.3 * w)
    grown = shelf.with_(
        diameter=lambda x: 1.2 * x,
        chord_75=lambda x: 1.2 * x,
        viscosity=lambda x: 1.44 * x,
        sound_speed=lambda x: 1.2 * x,
    ).turn(w)
    assert turned["thrust"] == pytest.approx(1.3**2 * plain["thrust"], rel=1e-9)
    assert grown["thrust"] == pytest.approx(1.2**4 * plain["thrust"], rel=1e-9)
    assert grown["torque"] == pytest.approx(1.2**5 * plain["torque"], rel=1e-9)
    m, d = 1.21, 0.81
    faster = math.sqrt(m / d)
    light = hover(columns)
    heavy = hover(
        shelf.with_(
            mass=lambda x: m * x,
            density=lambda x: d * x,
            viscosity=lambda x: faster * d * x,
            sound_speed=lambda x: faster * x,
        )
    )
    good = both(light, heavy, worst=1)
    power = [(p["torque"] * p["rotation"])[good] for p in (light, heavy)]
    assert power[1] == pytest.approx(power[0] * m**1.5 * d**-0.5, rel=1e-7)


def test_thick_air_never_lifts_less_at_equal_turns(shelf: Shelved) -> None:
    """At full throttle's rotor speed, standing; viscosity and speed of sound as they are."""
    w = shelf.columns.solve(duty=1.0)["rotation"]
    for factor in (1.001, 1.1, 1.3):
        thin, thick = shelf.columns.turn(w), shelf.with_(density=lambda x, f=factor: f * x).turn(w)
        assert np.all(thick["thrust"] > thin["thrust"])


def test_charge_never_lowers_full_throttle(shelf: Shelved) -> None:
    """Standing and at 15 m/s: thrust, turns and motor current rise with the state of charge."""
    for speed in (0.0, 15.0):
        before = shelf.columns.solve(duty=1.0, charge=0.05, axial_speed=speed)
        for charge in (0.1, 0.3, 0.5, 0.501, 0.8, 1.0):
            after = shelf.columns.solve(duty=1.0, charge=charge, axial_speed=speed)
            assert not np.any((before["status"] == 0) & (after["status"] != 0))
            good = both(before, after) & (before["thrust"] > 0.0)
            for name in ("rotation", "motor_current", "thrust"):
                assert np.all(after[name][good] > before[name][good]), (speed, charge, name)
            before = after


def test_resistance_never_helps_full_throttle(shelf: Shelved) -> None:
    """A pack or lead of more resistance: less thrust, never more."""
    plain = shelf.columns.solve(duty=1.0)
    for name in ("battery_resistance", "lead_resistance", "motor_resistance", "controller_resistance"):
        worse = shelf.with_(**{name: lambda x: 1.1 * x}).solve(duty=1.0)
        good = both(plain, worse)
        assert np.all(worse["thrust"][good] < plain["thrust"][good]), name


def test_a_bigger_wire_never_loses_more_at_the_same_thrust(shelf: Shelved) -> None:
    """Heat in the leads of a hovering craft falls with each size of copper, and so does the current.

    At full throttle a thicker lead lets more current flow, and its heat may rise: that exception is real, and there
    the supply at the controllers never falls.
    """
    sizes = [resistance(0.2, area) for area in (0.5e-6, 0.8e-6, 1.3e-6, 2.1e-6, 3.3e-6, 5.3e-6)]
    assert np.all(np.diff(sizes) < 0)
    thin = [shelf.with_(lead_resistance=r) for r in sizes]
    for a, b in pairwise(thin):
        small, large = hover(a), hover(b)
        good = both(small, large)
        heat = [
            p["battery_current"][good] ** 2 * c.craft["lead_resistance"][good] for p, c in ((small, a), (large, b))
        ]
        assert np.all(heat[1] < heat[0])
        assert np.all(large["battery_current"][good] < small["battery_current"][good])
        full = a.solve(duty=1.0), b.solve(duty=1.0)
        good = both(*full)
        assert np.all(full[1]["supply_voltage"][good] > full[0]["supply_voltage"][good])


def test_no_rotor_beats_the_ideal_disc(shelf: Shelved) -> None:
    """Hover's figure of merit lies below one, and below 0.8, which no open measurement of such propellers reaches."""
    points = hover(shelf.columns)
    good = points["status"] <= 1
    merit = math.sqrt(2 / math.pi) * points["ct"][good] ** 1.5 / points["cp"][good]
    assert merit.min() > 0.2
    assert merit.max() < 0.8


def test_what_is_put_in_comes_out(shelf: Shelved) -> None:
    """Power of the pack's terminals is that of shafts, iron, copper, switches, leads and electronics."""
    for points in (hover(shelf.columns), shelf.columns.solve(duty=1.0), shelf.columns.solve(duty=0.3)):
        good = points["status"] <= 1
        p, c = points[good], shelf.columns.craft[good]
        idle = c["idle_current"] * (0.5 + 0.5 * p["rotation"] / c["idle_rotation"])
        motor = p["torque"] * p["rotation"] + c["torque_constant"] * idle * p["rotation"]
        motor = motor + p["motor_current"] ** 2 * (c["motor_resistance"] + c["controller_resistance"])
        taken = c["motors"] * motor + c["electronics_power"] + p["battery_current"] ** 2 * c["lead_resistance"]
        assert p["battery_voltage"] * p["battery_current"] == pytest.approx(taken, rel=1e-6)


def climbs(columns: PowertrainColumns, path: float, limit: float) -> np.ndarray:
    speeds, limits = np.full(len(columns.craft), np.nan), np.zeros(len(columns.craft), np.int64)
    fastest(columns.craft.view(np.recarray), columns.rotors, path, 0.8, limit, speeds, limits)
    return speeds


# The scan is halved eleven times from 3 m/s.
RESOLUTION = 3.0 / 2**11


def test_more_mass_never_climbs_faster(shelf: Shelved) -> None:
    """Straight up at full throttle; to the resolution of the scan."""
    few = shelf.every(23)
    light, heavy = (climbs(c, math.pi / 2, math.pi) for c in (few.columns, few.with_(mass=lambda m: 1.05 * m)))
    assert np.isfinite(light).mean() > 0.8
    assert not np.any(np.isfinite(heavy) & np.isnan(light))
    assert np.all(heavy[np.isfinite(heavy)] <= light[np.isfinite(heavy)] + RESOLUTION)


def test_more_drag_area_never_raises_top_speed(shelf: Shelved) -> None:
    """In level flight, pitched to 80 degrees at most; to the resolution of the scan."""
    few = shelf.every(23)
    slim, fat = (
        climbs(c, 0.0, math.radians(80.0))
        for c in (few.columns, few.with_(drag_area=lambda a: 1.1 * a, drag_area_top=lambda a: 1.1 * a))
    )
    good = np.isfinite(fat)
    assert np.all(fat[good] <= slim[good] + RESOLUTION)


FLIGHTS = ("hover", "filming", "gentle-freestyle", "hard-freestyle")


def flights(shelf: Shelved, columns: PowertrainColumns, profile: str) -> np.ndarray:
    return nominal_flights(shelf.craft, columns, PROFILES[profile])


@pytest.mark.parametrize("profile", FLIGHTS)
def test_nothing_worse_ever_flies_longer(shelf: Shelved, profile: str) -> None:
    """More mass, an older or colder pack, a thinner lead, more draw: the flight never gets longer.

    One exception, by the declared rule that the pilot eases off in a hard segment: where the pack cannot give what
    the segment asks for, a weaker pack or lead gives less, spends less, and may last longer. Never so for more mass
    or more draw.
    """
    few = shelf.every(41)
    plain = flights(few, few.columns, profile)
    assert (plain["time"] > 0.0).mean() > 0.2
    worse: dict[str, Callable[[np.ndarray], np.ndarray]] = {
        "mass": lambda m: 1.03 * m,
        "electronics_power": lambda p: p + 3.0,
        "battery_resistance": lambda r: 1.2 * r,
        "lead_resistance": lambda r: 2.0 * r,
        "pack_start": lambda t: t - 10.0,
    }
    for name, change in worse.items():
        found = flights(few, few.with_(**{name: change}), profile)
        longer = found["time"] > plain["time"] + 1e-6
        eased = (found["limited"] > 0.0) & (name not in ("mass", "electronics_power"))
        assert not np.any(longer & ~eased), (name, np.flatnonzero(longer & ~eased))


def test_nobody_flies_what_cannot_hover(shelf: Shelved) -> None:
    """Loaded until a full pack just hovers, a craft lands as soon as it does not; more load, no flight."""
    few = shelf.every(41)
    full = few.columns.solve(duty=1.0, charge=1.0)
    lifts = full["thrust"] * few.columns.craft["motors"] / GRAVITY
    good = np.isfinite(lifts)
    for share in (0.9, 0.99, 0.999, 1.001):
        loaded = few.with_(mass=share * np.where(good, lifts, few.columns.craft["mass"]))
        ends = flights(few, loaded, "hover")[good]
        assert np.all(ends["limited"] == 0.0)
        if share > 1.0:
            assert np.all(ends["time"] == 0.0)


def test_there_is_a_best_size_of_pack(shelf: Shelved) -> None:
    """Hover time over the size of pack, at constant charge a mass and 1/resistance: up, then down, nothing else."""
    few, sizes = shelf.every(401), np.geomspace(0.3, 20.0, 60)
    pack = 0.35 * few.columns.craft["mass"]
    found = []
    for size in sizes:
        columns = few.with_(
            mass=few.columns.craft["mass"] + pack * (size - 1.0),
            capacity=lambda q, s=size: q * s,
            pack_heat=lambda q, s=size: q * s,
            pack_cooling=lambda q, s=size: q * s ** (2 / 3),
            battery_resistance=lambda r, s=size: r / s,
        )
        found.append(flights(few, columns, "hover")["time"])
    for line in np.array(found).T:
        best = int(np.argmax(line))
        up, down = np.diff(line[: best + 1]), np.diff(line[best:])
        assert np.all(up >= 0.0)
        assert np.all(down <= 0.0)


@pytest.mark.parametrize(("name", "profile"), [("curlew-1", "hover"), ("lapwing-3", ""), ("sanderling-1", "hover")])
def test_a_craft_has_a_best_size_of_pack(name: str, profile: str) -> None:
    """The sweep that `fly` prints has one top, where the same is flown with every pack.

    Not so where the speed is looked for on each craft, which is not the speed of the longest flight.
    """
    ready = airborne(demo(name), 0)
    rows = pack_sweep(ready.craft, ready.columns, profile_of(ready.craft, profile)).rows
    line = [row.time_s or 0.0 for row in rows]
    best = int(np.argmax(line))
    assert 0 < best < len(line) - 1
    assert np.all(np.diff(line[: best + 1]) >= 0.0)
    assert np.all(np.diff(line[best:]) <= 0.0)


def test_heavy_rotors_answer_late_and_heavy_arms_turn_slowly(shelf: Shelved) -> None:
    """Rise of thrust grows with the rotors' inertia; roll and pitch fall with the craft's, in proportion."""
    few = shelf.every(41)

    def rise(columns: PowertrainColumns) -> np.ndarray:
        return step_answer(columns, columns.level(charge=0.8)[:, 0])

    plain, heavy = rise(few.columns), rise(few.with_(rotor_inertia=lambda j: 1.2 * j))
    for way in (0, 1):
        good = np.isfinite(plain[:, way]) & np.isfinite(heavy[:, way])
        assert good.mean() > 0.3
        assert np.all(heavy[good, way] > plain[good, way])
    wide = few.with_(inertia=lambda j: 1.25 * j)
    for a, b in zip(steady_accelerations(few.columns), steady_accelerations(wide), strict=True):
        assert b == pytest.approx(a / 1.25, rel=1e-12, nan_ok=True)


@pytest.mark.parametrize("name", ["curlew-1", "lapwing-3", "sanderling-1"])
def test_weight_at_the_arm_ends_turns_slowly(name: str) -> None:
    """Two grams more a motor: less roll and pitch acceleration, a longer roll, a longer flip."""
    craft = demo(name)
    heavy = replace(
        craft,
        parts=tuple(
            replace(p, part=replace(p.part, mass=replace(p.part.mass, value=p.part.mass.value + 0.002)))
            if p.role == "motor" and p.part.mass
            else p
            for p in craft.parts
        ),
    )
    plain, slow = (airborne(one, 0).respond() for one in (craft, heavy))
    for axis in ("roll_rad_per_s2", "pitch_rad_per_s2", "yaw_rad_per_s2"):
        assert getattr(slow, axis).value < getattr(plain, axis).value
    for turn in ("full_roll_s", "full_flip_s"):
        assert getattr(slow, turn).value > getattr(plain, turn).value
