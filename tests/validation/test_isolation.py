"""Transmissibility, isolator stiffness and rubber moduli against tables computed outside this project and texts."""

import math

import pytest

from rotorwright.physics.isolation import (
    elastomer_modulus,
    elastomer_modulus_gent,
    natural_frequency,
    transmissibility,
)

# TR = sqrt((1 + (2 z r)^2)/((1 - r^2)^2 + (2 z r)^2)), computed outside this project; half a last digit.
ROWS = [
    (0.5, 0.0, 1.333333),
    (0.5, 0.1, 1.328229),
    (1.0, 0.05, 10.049876),
    (1.0, 0.2, 2.692582),
    (2.0, 0.0, 0.333333),
    (2.0, 0.5, 0.620174),
    (3.0, 0.1, 0.145366),
    (5.0, 0.05, 0.046575),
    (5.0, 0.2, 0.092848),
]


@pytest.mark.parametrize("ratio, damping, passed", ROWS)
def test_transmissibility(ratio: float, damping: float, passed: float) -> None:
    assert transmissibility(ratio, damping) == pytest.approx(passed, abs=6e-7)


def test_fan_on_four_springs() -> None:
    """Rao, Mechanical Vibrations (from memory): 40 kg, 1000 rpm, 10 % passes: 9969.3 N/m a spring; printed digits."""
    speed = 1000 * 2 * math.pi / 60
    stiffness = 4 * 9969.3
    ratio = speed / math.tau / natural_frequency(stiffness, 40.0)
    assert transmissibility(ratio, 0.0) == pytest.approx(0.1, rel=1e-5)


def test_machine_passing_five_percent() -> None:
    """Rao (from memory): 50 kg, 120 rad/s, 5 %: k = 34285.71 N/m; printed digits."""
    ratio = 120 / math.tau / natural_frequency(34285.71, 50.0)
    assert transmissibility(ratio, 0.0) == pytest.approx(0.05, rel=1e-6)


def test_four_times_at_resonance() -> None:
    """Rao (from memory): TR 4 at resonance needs z = 0.129099; printed digits."""
    assert transmissibility(1.0, 0.129099) == pytest.approx(4.0, rel=1e-5)


def test_board_on_grommets() -> None:
    """8 g on four grommets of 150 N/m: 43.5864 Hz; at 200 Hz and z 0.1 0.067607 passes; printed digits."""
    natural = natural_frequency(600.0, 0.008)
    assert natural == pytest.approx(43.5864, rel=2e-6)
    assert transmissibility(200 / natural, 0.1) == pytest.approx(0.067607, rel=1e-5)


# Shore A, MPa by Gent (1958), MPa by Qi, Joyce and Boyce (2003); computed from the published relations, half a digit.
HARDNESS = [
    (30, 1.14237, 1.16065),
    (50, 2.45581, 3.42531),
    (60, 3.60507, 5.88437),
    (80, 9.35137, 17.36601),
    (95, 43.82919, 39.10209),
]


@pytest.mark.parametrize("hardness, gent, qi", HARDNESS)
def test_modulus_from_hardness(hardness: float, gent: float, qi: float) -> None:
    assert elastomer_modulus_gent(hardness) / 1e6 == pytest.approx(gent, abs=6e-6)
    assert elastomer_modulus(hardness) / 1e6 == pytest.approx(qi, abs=6e-6)
