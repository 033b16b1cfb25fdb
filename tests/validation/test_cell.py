"""The pack in use against a published pulse response and a pouch cell computed by a general battery library."""

import pytest

from rotorwright.physics.battery import open_circuit_voltage
from rotorwright.physics.cell import POLARISATION, RELAXATION, discharge, overvoltage

# Chen and Rincon-Mora, IEEE Trans. Energy Conversion 21(2) (2006) 504-511: their 850 mAh cell at half charge, 0.8 A,
# charge held. Constants second hand (identical in several public copies), voltages recomputed from them.
CHEN = [(0.0, 3.743794), (10.0, 3.732233), (60.0, 3.703037), (300.0, 3.676961), (1e6, 3.666570)]


@pytest.mark.parametrize(("seconds", "volts"), CHEN)
def test_published_pulse(seconds: float, volts: float) -> None:
    """Half a unit in the last printed digit, and as much again for the constants' own rounding."""
    found = discharge(0.8, seconds, 3.803362, 0.074461, (0.04669, 0.04984), (32.810, 223.034))
    assert found == pytest.approx(volts, abs=2e-6)


# Rows of tools/pouch_discharge.py: Doyle-Fuller-Newman model of PyBaMM 26.10, parameter set Ai2020 (Ai et al.,
# J. Electrochem. Soc. 167 (2020) 013512), 2.28 Ah pouch at 25 C. R0 is this cell's own drop after one second of the
# 5C pulse. The shares and times of the slow overvoltages were chosen on these very rows and on the total of Chen and
# Rincon-Mora's (1.3 R0): the rows show how well two pairs can follow a cell, not how well they do on another.
CELL_AH, STEP_OHM = 2.28, 0.0256
PULSE = [(1.0, 3.4999), (2.0, 3.4920), (5.0, 3.4737), (10.0, 3.4510), (20.0, 3.4165), (30.0, 3.3892), (60.0, 3.3225)]
SHARES = (0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9)
DISCHARGE = {
    1.0: (3.9883, 3.9435, 3.8574, 3.7808, 3.7193, 3.6697, 3.6297, 3.5977, 3.5620, 3.5064),
    2.0: (3.8824, 3.8284, 3.7352, 3.6634, 3.6014, 3.5454, 3.4971, 3.4553, 3.3983, 3.3023),
    3.0: (3.8035, 3.7329, 3.6332, 3.5577, 3.4875, 3.4233, 3.3626, 3.2823, 3.1569),
    5.0: (3.6822, 3.5764, 3.4423, 3.3322, 3.2266),
}


@pytest.mark.parametrize(("seconds", "volts"), PULSE)
def test_computed_pulse_of_a_pouch_cell(seconds: float, volts: float) -> None:
    """Within 35 mV of 470 mV of sag: a diffusion front is not two exponentials, and the charge falls by 8 %."""
    slow = tuple(share * STEP_OHM for share in POLARISATION)
    found = discharge(5 * CELL_AH, seconds - 1.0, 3.7920, STEP_OHM, (slow[0], slow[1]), RELAXATION)
    assert -0.035 <= found - volts <= 0.035


def rundown(rate: float, shares: tuple[float, ...]) -> list[float]:
    """Voltage of the model's cell at shares of its capacity taken out, half-second steps, at 25 C."""
    current, slow, taken, found = rate * CELL_AH, [0.0, 0.0], 0.0, []
    while len(found) < len(shares):
        if taken >= shares[len(found)]:
            found.append(open_circuit_voltage(1.0 - taken, 0) - current * STEP_OHM - sum(slow))
        pairs = zip(slow, POLARISATION, RELAXATION, strict=True)
        slow = [overvoltage(v, current, share * STEP_OHM, tau, 0.5) for v, share, tau in pairs]
        taken += 0.5 * rate / 3600
    return found


@pytest.mark.parametrize("rate", list(DISCHARGE))
def test_computed_discharges_of_a_pouch_cell(rate: float) -> None:
    """Within 70 mV, 2 % of the voltage, until seven tenths are out.

    Later this cell, built for 1C, is starved by diffusion, which no circuit of two pairs shows: the model reads up to
    0.14 V too high at 3C and eight tenths. The rows stand here so that nobody forgets.
    """
    volts = DISCHARGE[rate]
    for share, found, given in zip(SHARES, rundown(rate, SHARES[: len(volts)]), volts, strict=False):
        assert -0.07 <= found - given <= (0.07 if share <= 0.7 else 0.14), f"{rate}C at {share}"
