"""Laminate theory against textbook values and invariants computed outside this project."""

from math import radians

import pytest

from rotorwright.physics.laminate import Ply, laminate_moduli, reduced_stiffness

HANDBOOK = Ply(181e9, 10.3e9, 7.17e9, 0.28)
STANDARD = Ply(135e9, 10e9, 5e9, 0.3)
QUASI = [radians(a) for a in (0, 45, -45, 90, 90, -45, 45, 0)]
CROSS = [radians(a) for a in (0, 90, 90, 0)]


def test_reduced_stiffness_of_t300() -> None:
    """Handbook carbon-epoxy: Q11 181.811, Q22 10.346, Q12 2.897 GPa, computed; text 181.8, 10.35, 2.90 (memory)."""
    Q = reduced_stiffness(HANDBOOK) / 1e9
    assert Q[0, 0] == pytest.approx(181.811, abs=5e-4)
    assert Q[1, 1] == pytest.approx(10.346, abs=5e-4)
    assert Q[0, 1] == pytest.approx(2.897, abs=5e-4)


# Ply, E, G [GPa] and nu of the quasi-isotropic laminate from Tsai-Hahn invariants, computed outside this project;
# half a last digit.
QUASI_ROWS = [(STANDARD, 52.401, 19.992, 0.31057), (HANDBOOK, 69.676, 26.880, 0.29603)]


@pytest.mark.parametrize("ply, E, G, nu", QUASI_ROWS)
def test_quasi_isotropic(ply: Ply, E: float, G: float, nu: float) -> None:
    moduli = laminate_moduli(ply, QUASI)
    assert moduli.membrane / 1e9 == pytest.approx(E, abs=6e-4)
    assert moduli.shear / 1e9 == pytest.approx(G, abs=6e-4)
    assert moduli.poisson == pytest.approx(nu, abs=6e-6)


def test_cross_ply() -> None:
    """Cross-ply of standard carbon: E 72.862 GPa, computed outside this project; half a last digit."""
    assert laminate_moduli(STANDARD, CROSS).membrane / 1e9 == pytest.approx(72.862, abs=6e-4)
