"""A pack through a cycle of segments: where charge, energy and heat go, and what ends a flight."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from rotorwright.craft.model import Craft
from rotorwright.physics.battery import open_circuit_voltage
from rotorwright.physics.cell import overvoltage
from rotorwright.physics.endurance import CONSUMERS, END, ENDINGS, TRACE, endure
from rotorwright.physics.heat import case_conductance, wake_speed, warmed_motor
from rotorwright.physics.motor import copper_resistance
from rotorwright.predict.airborne import Airborne, airborne

HOVER = {"seconds": (10.0,), "load": (1.0,), "speed": (0.0,), "landing": (3.5,)}


@pytest.fixture
def ready(small_craft: Callable[..., Craft]) -> Airborne:
    made = airborne(small_craft(more="\n[flight]\ndrag_area_cm2 = 100\ndrag_area_top_cm2 = 200\n"), samples=0)
    made.columns.craft["electronics_power"] = 6.0
    return made


class Flight:
    """One run of `endure`; `end` and `rows` are those of the first craft."""

    def __init__(self, ready: Airborne, room: int = 4000, phases: tuple[float, ...] = (0.0,), **given: Any) -> None:
        asked = HOVER | given
        columns, n = ready.columns, len(ready.columns.craft)
        load, self.speed = np.array([asked["load"]]), np.array([asked["speed"]])
        self.trims = columns.level(load=load, speed=self.speed, charge=0.5)
        for name, value in asked.get("trim", {}).items():
            self.trims[name] = value
        self.ends, self.trace = np.zeros(n, END).view(np.recarray), np.zeros((room, len(TRACE)))
        self.filled = endure(
            columns.craft.copy().view(np.recarray),
            columns.rotors,
            np.array(asked["seconds"]),
            np.array(phases),
            np.ascontiguousarray(np.broadcast_to(self.speed, self.trims.shape)),
            self.trims,
            np.array(asked["landing"]),
            asked.get("resting", 0.0),
            asked.get("floor", 0.0),
            self.ends,
            self.trace,
        )
        self.end, self.rows = self.ends[0], self.trace[: self.filled]

    @property
    def ending(self) -> str:
        return ENDINGS[self.end["ending"]]

    def column(self, name: str) -> Any:
        return self.rows[:, TRACE.index(name)]

    def energy(self, name: str) -> float:
        return float(self.end["energy"][CONSUMERS.index(name)])


def test_energy_is_kept(ready: Airborne) -> None:
    """What the cells give is what the pack warms by and what leaves it; what leaves it is what the consumers take."""
    fly = Flight(ready, seconds=(7.3, 4.0), load=(1.0, 1.4), speed=(0.0, 8.0), landing=(3.5, 0.0))
    assert fly.end["stored"] == pytest.approx(fly.end["delivered"] + fly.energy("pack"))
    assert fly.end["delivered"] == pytest.approx(sum(fly.energy(name) for name in CONSUMERS if name != "pack"))
    used = {name for name in CONSUMERS if fly.energy(name) > 0.0}
    assert used == set(CONSUMERS)
    assert fly.end["limited"] == 0.0


def test_sums_of_a_steady_flight(ready: Airborne) -> None:
    """Charge, shaft and electronics energy, distance and current squares are sums of rate times time."""
    fly = Flight(ready, speed=(9.0,))
    row, end, trim = ready.columns.craft[0], fly.end, fly.trims[0, 0]
    steps = np.diff(fly.column("time"), prepend=0.0)
    current = fly.column("current")
    assert end["time"] == pytest.approx(steps.sum())
    assert end["distance"] == pytest.approx(9.0 * end["time"])
    assert end["taken"] == pytest.approx((current * steps).sum())
    assert end["current_square"] == pytest.approx((current**2 * steps).sum())
    assert end["current_peak"] == current.max()
    assert end["charge"] == pytest.approx(1.0 - end["taken"] / row["capacity"])
    assert end["delivered"] == pytest.approx((fly.column("voltage") * current * steps).sum())
    assert fly.energy("shaft") == pytest.approx(row["motors"] * trim["torque"] * trim["rotation"] * end["time"])
    assert fly.energy("electronics") == pytest.approx(row["electronics_power"] * end["time"])
    assert fly.energy("leads") == pytest.approx(row["lead_resistance"] * end["current_square"])
    assert end["winding_peak"] == fly.column("winding_temperature").max()
    last = (end["voltage"], end["charge"], end["pack_temperature"])
    assert last == tuple(fly.column(name)[-1] for name in ("voltage", "charge", "pack_temperature"))


def test_a_step_of_the_state(ready: Airborne) -> None:
    """The second step starts from one second of overvoltages, of warming of the motor, and of the pack."""
    row = ready.columns.craft[0]
    row["pack_start"] = row["air_temperature"] + 8.0
    fly = Flight(ready, seconds=(1.0, 1.0), load=(1.0, 1.0), speed=(6.0, 6.0), landing=(0.0, math.inf))
    trim, first = fly.trims[0, 0], fly.trace[0]
    t, volts, amperes, charge, pack, winding = first
    assert fly.filled == 1
    assert t == 1.0
    assert charge == pytest.approx(1.0 - amperes / row["capacity"])
    cooled = row["pack_cooling"] * 8.0
    assert pack == pytest.approx(row["pack_start"] + (fly.energy("pack") - cooled) / row["pack_heat"])
    loss = (fly.energy("iron") + fly.energy("copper")) / row["motors"]
    air = wake_speed(trim["thrust"], row["diameter"], row["density"], trim["axial_speed"], trim["edgewise_speed"])
    outer = case_conductance(row["case_area"], row["case_diameter"], air)
    start = row["air_temperature"]
    heat, conductance = (row["winding_heat"], row["case_heat"]), (row["winding_conductance"], outer)
    warmed = warmed_motor(start, start, start, loss, heat, conductance, 1.0)
    assert winding == pytest.approx(warmed[0])
    copper = copper_resistance(row["resistance_20"], start) * trim["motor_current"] ** 2
    assert fly.energy("copper") == pytest.approx(row["motors"] * copper, rel=1e-3)
    assert volts < row["cells"] * open_circuit_voltage(1.0, row["chemistry"])


def test_slow_overvoltages_wear_the_voltage_down(ready: Airborne) -> None:
    """Without loss of charge, cold or heat, what the voltage falls by is the two overvoltages of a steady current."""
    row = ready.columns.craft[0]
    row["capacity"], row["pack_heat"] = 1e12, 1e12
    fly = Flight(ready, seconds=(3.0, 1.0), load=(1.0, 1.0), speed=(0.0, 0.0), landing=(0.0, math.inf))
    volts, amperes = fly.column("voltage"), fly.column("current")
    R = (fly.energy("pack") / 3.0) / amperes.mean() ** 2  # overvoltages and resistance together
    assert volts[0] > volts[1] > volts[2]
    rested = row["cells"] * open_circuit_voltage(1.0, row["chemistry"])
    resistance = (rested - volts[0]) / amperes[0]
    assert resistance < R
    slow = [0.0, 0.0]
    for k in range(2):
        for way in range(2):
            r = resistance * row["polarisation"][way]
            slow[way] = overvoltage(slow[way], amperes[k], r, row["relaxation"][way], 1.0)
        assert volts[k + 1] == pytest.approx(rested - sum(slow) - resistance * amperes[k + 1], rel=1e-6)


def test_it_lands_at_the_voltage_under_load(ready: Airborne) -> None:
    fly = Flight(ready, landing=(3.6,))
    cells = ready.columns.craft[0]["cells"]
    volts = fly.column("voltage") / cells
    assert fly.ending == "landing voltage"
    assert volts[-1] >= 3.6 > 2 * volts[-1] - volts[-2] - 0.02
    assert fly.end["rest_voltage"] / cells == pytest.approx(open_circuit_voltage(fly.end["charge"], 0))


def test_it_lands_at_the_voltage_at_rest(ready: Airborne) -> None:
    fly = Flight(ready, landing=(0.0,), resting=3.9)
    assert fly.ending == "resting voltage"
    assert fly.end["rest_voltage"] / ready.columns.craft[0]["cells"] == pytest.approx(3.9, abs=2e-3)


def test_it_flies_until_empty(ready: Airborne) -> None:
    fly = Flight(ready, landing=(0.0,))
    assert fly.ending == "empty"
    assert 0.0 < fly.end["charge"] <= fly.column("current")[-1] / ready.columns.craft[0]["capacity"]


def test_electronics_that_no_voltage_feeds_collapse_the_pack(ready: Airborne) -> None:
    ready.columns.craft["electronics_power"] = 1e5
    fly = Flight(ready)
    assert (fly.ending, fly.end["time"], fly.filled) == ("collapse", 0.0, 0)


def test_a_segment_without_trim_ends_the_flight_where_it_begins(ready: Airborne) -> None:
    fly = Flight(ready, trim={"status": 3})
    assert (fly.ending, fly.end["time"]) == ("a segment without trim", 0.0)


def test_six_hours_are_the_longest_flight(ready: Airborne) -> None:
    ready.columns.craft["capacity"] = 1e12
    fly = Flight(ready, room=3, landing=(0.0,))
    assert fly.ending == "too long"
    assert fly.end["time"] == pytest.approx(6 * 3600.0, abs=1.01)
    assert fly.filled == 3


@pytest.mark.parametrize(
    ("phase", "flown", "steps", "segment"),
    [(0.0, 10.0, 10, 1), (2.75 / 11, 7.25, 8, 1), (10.5 / 11, 0.0, 0, 1)],
)
def test_a_flight_begins_within_the_cycle(
    ready: Airborne, phase: float, flown: float, steps: int, segment: int
) -> None:
    """Ten seconds, then one in which no cell has voltage enough: what is left of the ten is flown, in equal steps."""
    cycle = {"seconds": (10.0, 1.0), "load": (1.0, 1.0), "speed": (0.0, 0.0), "landing": (0.0, math.inf)}
    fly = Flight(ready, phases=(phase,), **cycle)
    assert fly.end["time"] == pytest.approx(flown)
    assert (fly.filled, fly.end["segment"]) == (steps, segment)
    if steps:
        assert np.diff(fly.column("time")) == pytest.approx(flown / steps)


def test_the_cycle_comes_round(ready: Airborne) -> None:
    """Two segments of unlike speed in turn: the way is that of their shares."""
    fly = Flight(ready, seconds=(3.0, 2.0), load=(1.0, 1.0), speed=(4.0, 12.0), landing=(3.5, 3.5))
    whole, rest = divmod(fly.end["time"], 5.0)
    assert whole > 10
    assert fly.end["distance"] == pytest.approx(whole * 36.0 + min(rest, 3.0) * 4.0 + max(rest - 3.0, 0.0) * 12.0)


def test_more_than_full_throttle_is_flown_at_full_throttle(ready: Airborne) -> None:
    fly = Flight(ready, load=(9.0,), landing=(3.3,))
    full = ready.columns.solve(duty=1.0)[0]
    assert fly.end["limited"] == fly.end["time"] > 0.0
    at_first = fly.rows[0]
    assert at_first[TRACE.index("current")] == pytest.approx(full["battery_current"], rel=0.05)
    assert (np.diff(fly.column("current")) < 0.0).all()


def test_the_pilot_eases_off_at_the_floor(ready: Airborne) -> None:
    """Where nobody lands, a pack that sags below the floor is held there; the time counts as short of the demand."""
    row = ready.columns.craft[0]
    cycle = {"seconds": (5.0, 1.0), "load": (4.0, 1.0), "speed": (0.0, 0.0), "landing": (0.0, math.inf)}
    free = Flight(ready, **cycle)
    floor = free.column("voltage").min() / row["cells"] + 0.05
    held = Flight(ready, floor=floor, **cycle)
    volts = held.column("voltage") / row["cells"]
    assert volts[-1] == pytest.approx(floor, abs=5e-3)
    assert (volts >= floor - 1e-9).all()
    assert held.end["limited"] > 0.0
    assert held.end["taken"] < free.end["taken"]


def test_where_somebody_lands_nobody_eases_off(ready: Airborne) -> None:
    fly = Flight(ready, landing=(3.5,), floor=3.5)
    assert fly.ending == "landing voltage"
    assert fly.end["limited"] == 0.0


def test_only_the_first_craft_is_traced(small_craft: Callable[..., Craft]) -> None:
    """Each flies on its own from its own place in the cycle; the trace and its length are those of the first."""
    several = airborne(small_craft(), samples=2)
    n = len(several.columns.craft)
    cycle = {"seconds": (4.0, 1.0), "load": (1.0, 1.0), "speed": (0.0, 0.0), "landing": (0.0, math.inf)}
    fly = Flight(several, phases=tuple(0.2 * i for i in range(n)), **cycle)
    assert fly.ends["time"] == pytest.approx([4.0 - i for i in range(n)])
    assert fly.filled == 4
    assert fly.rows[-1][TRACE.index("charge")] == fly.ends["charge"][0]
