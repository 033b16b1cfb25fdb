"""First-order motor against worked examples, the copper standard and the six-step identities.

No published worked example with full numbers was found for small brushless motors; A and B are synthetic
inputs whose results were computed outside this project.
"""

from math import pi, sqrt

import numpy as np
import pytest

from rotorwright.physics.controller import battery_current, conduction_loss
from rotorwright.physics.motor import (
    copper_resistance,
    current_at_peak_efficiency,
    motor_voltage,
    peak_efficiency,
    shaft_torque,
    torque_constant,
)

RPM = 2 * pi / 60

KT = [(1000, 9.549297), (1750, 5.456741), (1950, 4.897075), (2450, 3.897672), (2750, 3.472471)]


@pytest.mark.parametrize("kv, millinewton_metre", KT)
def test_torque_constants(kv: float, millinewton_metre: float) -> None:
    """Kt = 60/(2 pi Kv), Kv in rpm/V; half a last digit."""
    assert 1e3 * torque_constant(kv * RPM) == pytest.approx(millinewton_metre, abs=0.5e-6)


def test_speed_constant_times_torque_constant() -> None:
    """kn kM = 30000/pi in rpm/V and mN m/A (formula of a drive maker's handbook, second hand); exact."""
    assert 920 * 1e3 * torque_constant(920 * RPM) == pytest.approx(30_000 / pi, rel=1e-12)


# kv rpm/V, R, I0, V, I -> rpm, torque, shaft power, efficiency, current and efficiency at the peak
WORKED = [
    (1950, 0.045, 1.5, 14.8, 30.0, 26227.5, 0.1395666, 383.325, 0.863345, 22.21111, 0.869493),
    (920, 0.12, 0.6, 11.1, 10.0, 9108.0, 0.0975689, 93.06, 0.838378, 7.449832, 0.845409),
]


@pytest.mark.parametrize("row", WORKED, ids=["A", "B"])
def test_worked_examples(row: tuple[float, ...]) -> None:
    """Half a last digit; 1e-9 on the voltage, which is an input recovered."""
    kv, resistance, idle, volts, amps, rpm, torque, power, efficiency, peak_amps, peak = row
    kt, omega = torque_constant(kv * RPM), rpm * RPM
    assert motor_voltage(omega, amps, kt, resistance) == pytest.approx(volts, rel=1e-9)
    assert shaft_torque(amps, kt, idle) == pytest.approx(torque, abs=0.5e-7)
    shaft = shaft_torque(amps, kt, idle) * omega
    assert shaft == pytest.approx(power, abs=0.5e-3)
    assert shaft / (volts * amps) == pytest.approx(efficiency, abs=0.5e-6)
    assert current_at_peak_efficiency(volts, resistance, idle) == pytest.approx(peak_amps, abs=0.5e-5)
    assert peak_efficiency(volts, resistance, idle) == pytest.approx(peak, abs=0.5e-6)


COPPER = [(60, 1.1572), (80, 1.2358), (100, 1.3144), (120, 1.3930)]


@pytest.mark.parametrize("celsius, ratio", COPPER)
def test_copper_rows(celsius: float, ratio: float) -> None:
    """IEC 60028 coefficient; rows are exact at four digits, so 1e-9."""
    assert copper_resistance(1.0, celsius + 273.15) == pytest.approx(ratio, rel=1e-9)


@pytest.mark.parametrize("celsius", [0, 60, 100, 120])
def test_copper_by_the_winding_rule(celsius: float) -> None:
    """R ratio (234.5 + T)/(234.5 + 20), the rule of machine tests; 2e-4: it rounds the same slope."""
    rule = (234.5 + celsius) / 254.5
    assert copper_resistance(1.0, celsius + 273.15) == pytest.approx(rule, rel=2e-4)


def test_step_down_row() -> None:
    """Averaged converter (Krishnan; Hughes, from memory): half duty, 16 V, 20 A: 10 A and 160 W; exact."""
    current = battery_current(0.5, 20.0, 1)
    assert current == 10.0
    assert 16.0 * current == 0.5 * 16.0 * 20.0 == 160.0


def test_six_step_loss_in_two_switches_is_that_of_three_phases() -> None:
    """Six-step phase current has an rms of sqrt(2/3) of the direct current; exact, 1e-3 for sampling."""
    direct, on_resistance = 30.0, 0.002
    angle = np.arange(3600) * 2 * pi / 3600
    phase = direct * np.sign(np.where(np.abs(np.cos(angle)) > 0.5, np.cos(angle), 0.0))
    rms = float(np.sqrt(np.mean(phase**2)))
    assert rms == pytest.approx(sqrt(2 / 3) * direct, rel=1e-3)
    assert conduction_loss(direct, 2 * on_resistance) == pytest.approx(
        3 * conduction_loss(rms, on_resistance), rel=2e-3
    )
