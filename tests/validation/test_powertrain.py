"""The operating-point kernel against the same balance solved plainly, and against arithmetic done by hand.

The plain solve is written from the equations alone with scipy's `brentq` and scipy's grid interpolation; it shares
the rotor tables with the kernel, and nothing else.
"""

import math
from typing import Any

import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator, interp1d
from scipy.optimize import brentq

from rotorwright.physics.rotor_lookup import ADVANCE, REYNOLDS_75

# Open-circuit voltage of the Ai2020 pouch cell at rest, as the open battery library carries it.
CHARGE = [0, 0.05, 0.10, 0.20, 0.30, 0.40, 0.50, 0.60, 0.70, 0.80, 0.90, 1]
VOLTS = [3.000, 3.542, 3.640, 3.695, 3.733, 3.762, 3.793, 3.836, 3.909, 3.995, 4.088, 4.200]
cell = interp1d(CHARGE, VOLTS)


class PlainCraft:
    """One craft, in the words of the equations."""

    def __init__(self, row: Any, table: Any) -> None:
        self.row = row
        nodes = (np.log(REYNOLDS_75), ADVANCE)
        self.of_ct, self.of_cp = RegularGridInterpolator(nodes, table.ct), RegularGridInterpolator(nodes, table.cp)
        self.gain = table.mach_gain

    def rotor(self, omega: float, V: float) -> tuple[float, float]:
        """CT and CP at a rotation and an axial speed."""
        c, n = self.row, omega / (2 * math.pi)
        U75 = 0.75 * math.pi * n * c["diameter"]
        Re = c["density"] * U75 * c["chord_75"] / c["viscosity"]
        M = U75 / c["sound_speed"]
        J = V / (n * c["diameter"] * c["advance_stretch"])
        inside = np.clip(J, ADVANCE[0], ADVANCE[-1])
        point = [np.clip(math.log(Re), math.log(REYNOLDS_75[0]), math.log(REYNOLDS_75[-1])), inside]
        growth = (J / inside) ** 2 if inside != J else 1.0
        stretch = c["mach_scale"] * (1 / math.sqrt(max(1 - M**2, 0.2)) - 1)
        CT = float(self.of_ct(point)[0]) * growth * c["thrust_level"] * (1 + self.gain[0] * stretch)
        CP = float(self.of_cp(point)[0]) * growth * c["power_level"] * (1 + self.gain[1] * stretch)
        return CT * (Re / 1e5) ** c["thrust_slope"], CP * (Re / 1e5) ** c["power_slope"]

    def motor(self, omega: float, V: float) -> tuple[float, float, float]:
        """Thrust of the rotor, current of the motor, and the voltage across motor and controller."""
        c, n = self.row, omega / (2 * math.pi)
        CT, CP = self.rotor(omega, V)
        Q = CP * c["density"] * n**2 * c["diameter"] ** 5 / (2 * math.pi)
        amps = c["idle_current"] * (0.5 + 0.5 * omega / c["idle_rotation"]) + Q / c["torque_constant"]
        Vm = c["torque_constant"] * omega + amps * (c["motor_resistance"] + c["controller_resistance"])
        return CT * c["density"] * n**2 * c["diameter"] ** 4, amps, Vm

    def supply(self, duty: float, amps: float, voc: float) -> tuple[float, float]:
        """Voltage at the controllers and battery current, the larger root of Vs = Voc - R (N d I + Pe/Vs)."""
        c = self.row
        R = c["battery_resistance"] + c["lead_resistance"]
        roots = np.roots([1.0, R * c["motors"] * duty * amps - voc, R * c["electronics_power"]])
        Vs = max(root.real if abs(root.imag) < 1e-9 else 0.0 for root in roots)
        return Vs, c["motors"] * duty * amps + (c["electronics_power"] / Vs if Vs > 0 else math.inf)

    def at_duty(self, duty: float, charge: float, V: float) -> Any:
        """The operating point at a duty."""
        voc = self.row["cells"] * float(cell(charge))

        def left(omega: float) -> float:
            _, amps, Vm = self.motor(omega, V)
            return duty * self.supply(duty, amps, voc)[0] - Vm

        omega = brentq(left, 200.0, duty * voc / self.row["torque_constant"] * 1.5, xtol=1e-11, rtol=1e-14)
        T, amps, Vm = self.motor(omega, V)
        Vs, Ib = self.supply(duty, amps, voc)
        return self.point(omega, T, amps, Vm, duty, Vs, Ib, voc)

    def at_thrust(self, thrust: float, charge: float, V: float) -> Any:
        """The operating point at a thrust of each rotor."""
        voc = self.row["cells"] * float(cell(charge))
        omega = brentq(lambda w: self.motor(w, V)[0] - thrust, 200.0, 6000.0, xtol=1e-11, rtol=1e-14)
        T, amps, Vm = self.motor(omega, V)
        duty = brentq(lambda d: d * self.supply(d, amps, voc)[0] - Vm, 0.01, 1.0, xtol=1e-14, rtol=1e-15)
        Vs, Ib = self.supply(duty, amps, voc)
        return self.point(omega, T, amps, Vm, duty, Vs, Ib, voc)

    def point(
        self, omega: float, T: float, amps: float, Vm: float, d: float, Vs: float, Ib: float, voc: float
    ) -> Any:
        """By the names of the kernel."""
        return {
            "rotation": omega,
            "thrust": T,
            "motor_current": amps,
            "motor_voltage": Vm,
            "duty": d,
            "supply_voltage": Vs,
            "battery_current": Ib,
            "battery_voltage": voc - self.row["battery_resistance"] * Ib,
        }


N = 24


@pytest.fixture(scope="module")
def fleet(plant: Any) -> Any:
    """Craft of five and six inches, three to six cells, four to eight motors, drawn with a fixed seed."""
    rng = np.random.default_rng(7)
    kv = rng.uniform(1300, 2300, N) * math.pi / 30
    return plant.rows(
        N,
        mass=rng.uniform(0.4, 0.9, N),
        motors=rng.choice([4, 6, 8], N),
        torque_constant=1 / kv,
        idle_rotation=10 * kv,
        motor_resistance=rng.uniform(0.04, 0.15, N),
        controller_resistance=rng.uniform(0.002, 0.008, N),
        idle_current=rng.uniform(0.5, 2.0, N),
        cells=rng.integers(3, 7, N),
        battery_resistance=rng.uniform(0.008, 0.04, N),
        lead_resistance=rng.uniform(0.001, 0.006, N),
        electronics_power=rng.uniform(0.0, 15.0, N),
        propeller=rng.integers(0, 2, N),
        thrust_level=rng.uniform(0.8, 1.2, N),
        power_level=rng.uniform(0.8, 1.2, N),
        thrust_slope=rng.choice([0.0, 0.1], N),
        power_slope=rng.choice([0.0, -0.1], N),
        advance_stretch=rng.uniform(0.9, 1.1, N),
        mach_scale=rng.uniform(0.3, 2.0, N),
        density=rng.uniform(0.95, 1.25, N),
    )


def compare(points: Any, plain: list[dict[str, float]]) -> None:
    """1e-8: both searches stop at 2e-9 of the rotation, and the quickest quantity grows with its cube."""
    assert (points["status"] == 0).all()
    for name in plain[0]:
        assert points[name] == pytest.approx(np.array([p[name] for p in plain]), rel=1e-8), name


@pytest.mark.parametrize("axial_speed", [0.0, 15.0])
@pytest.mark.parametrize("duty, charge", [(1.0, 1.0), (1.0, 0.5), (0.45, 0.83)])
def test_asked_for_a_duty(duty: float, charge: float, axial_speed: float, fleet: Any, plant: Any) -> None:
    points = plant.solve(fleet, duty=duty, charge=charge, axial_speed=axial_speed)
    crafts = [PlainCraft(row, plant.rotors[row["propeller"]]) for row in fleet]
    compare(points, [craft.at_duty(duty, charge, axial_speed) for craft in crafts])


@pytest.mark.parametrize("axial_speed", [0.0, 15.0])
@pytest.mark.parametrize("charge", [1.0, 0.5])
def test_asked_for_a_thrust(charge: float, axial_speed: float, fleet: Any, plant: Any) -> None:
    thrust = 9.80665 * fleet["mass"] / fleet["motors"]
    points = plant.solve(fleet, thrust=thrust, charge=charge, axial_speed=axial_speed)
    crafts = [PlainCraft(row, plant.rotors[row["propeller"]]) for row in fleet]
    compare(points, [craft.at_thrust(T, charge, axial_speed) for craft, T in zip(crafts, thrust, strict=True)])
    assert points["thrust"] == pytest.approx(thrust, rel=1e-8)


def test_a_bare_motor_turns_at_kv_times_its_voltage(plant: Any) -> None:
    """No blade, no losses: omega = Kv V, 1900 rpm/V on 16.8 V is 31 920 rpm; 1e-8 as above."""
    bare = {"power_level": 0.0, "idle_current": 0.0, "electronics_power": 0.0}
    point = plant.solve(plant.rows(**bare), duty=1.0)[0]
    assert point["rotation"] * 30 / math.pi == pytest.approx(31_920, rel=1e-8)
    assert point["motor_current"] == 0.0
    assert point["battery_voltage"] == pytest.approx(16.8, rel=1e-12)
    assert plant.solve(plant.rows(**bare), duty=0.25)[0]["rotation"] == pytest.approx(point["rotation"] / 4, rel=1e-8)


def test_idling_motor(plant: Any) -> None:
    """Idle current flows through winding and controller: Kt w = V - I0(w) (R + Rc), linear in w; by hand."""
    row = plant.rows(power_level=0.0, electronics_power=0.0, battery_resistance=0.0, lead_resistance=0.0)
    kt, I0, w0, R = 1 / (1900 * math.pi / 30), 1.2, 10 * 1900 * math.pi / 30, 0.089
    by_hand = (16.8 - 0.5 * I0 * R) / (kt + 0.5 * I0 / w0 * R)
    assert plant.solve(row, duty=1.0)[0]["rotation"] == pytest.approx(by_hand, rel=1e-8)


def test_electronics_alone_sag_as_a_constant_power(plant: Any) -> None:
    """V = (Voc + sqrt(Voc^2 - 4 R P))/2: 16.8 V, 100 mohm, 60 W: 16.435 V (worked by hand to 1 mV)."""
    row = plant.rows(
        power_level=0.0, idle_current=0.0, electronics_power=60.0, battery_resistance=0.1, lead_resistance=0.0
    )
    point = plant.solve(row, duty=0.5)[0]
    assert point["supply_voltage"] == pytest.approx(16.435, abs=0.0005)
    assert point["battery_current"] == pytest.approx(60 / 16.435, rel=1e-4)
