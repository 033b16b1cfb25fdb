"""Inertia against solids of any statics text, a whole-aircraft example and a calculated five-inch model."""

from math import pi, sqrt

import numpy as np
import pytest

from rotorwright.physics.rigid_body import (
    Box,
    Cylinder,
    Disc,
    Point,
    Solid,
    Tube,
    combine,
    rotated,
    rotation_matrix,
)

# Statics text (Meriam & Kraige, from memory), computed outside this project; half a last digit.
SOLIDS = [
    (Box(0.075, 0.035, 0.030), 0.180, (3.18750e-5, 9.78750e-5, 1.02750e-4)),
    (Cylinder(0.014, 0.018), 0.032, (2.43200e-6, 2.43200e-6, 3.13600e-6)),
    (Tube(0.0, 0.0, 0.12), 0.020, (0.0, 2.4e-5, 2.4e-5)),
    (Tube(0.0, 0.0, 0.127), 0.004, (0.0, 5.37633e-6, 5.37633e-6)),  # two blades of five inches as a rod
    (Disc(0.0635), 0.004, (4.03225e-6, 4.03225e-6, 8.0645e-6)),
]


@pytest.mark.parametrize("solid, mass, diagonal", SOLIDS)
def test_solids(solid: Solid, mass: float, diagonal: tuple[float, float, float]) -> None:
    np.testing.assert_allclose(mass * solid.inertia_per_mass(), np.diag(diagonal), rtol=1e-6, atol=1e-18)


def test_rod_about_its_end() -> None:
    """0.020 kg, 0.12 m: 9.6e-5 about the end, here as the half of a rod of twice the length; exact."""
    rod = Tube(0.0, 0.0, 0.12).inertia_per_mass()
    _, _, whole = combine(np.array([0.02, 0.02]), np.array([[-0.06, 0, 0], [0.06, 0, 0]]), np.array([rod, rod]))
    np.testing.assert_allclose(whole[2, 2] / 2, 9.6e-5, rtol=1e-12)


CORNERS = np.array([[1, 1], [1, -1], [-1, 1], [-1, -1]]) / sqrt(2)


def at(radius: float, height: float) -> np.ndarray:
    """Four places on the diagonals, (4, 3) [m]."""
    return np.column_stack([radius * CORNERS, np.full(4, height)])


def test_four_point_motors() -> None:
    """32 g at 110 mm on the diagonals: Ixx 7.744e-4, Izz 1.5488e-3; exact."""
    _, _, inertia = combine(np.full(4, 0.032), at(0.11, 0.0), np.zeros((4, 3, 3)))
    np.testing.assert_allclose(np.diag(inertia), [7.744e-4, 7.744e-4, 1.5488e-3], rtol=1e-12)


def test_whole_aircraft() -> None:
    """Battery box, body box and four point motors, computed outside this project; half a last digit."""
    battery, body = Box(0.075, 0.035, 0.030), Box(0.060, 0.040, 0.020)
    solids: list[Solid] = [battery, body, *[Point()] * 4]
    places = np.vstack([[0, 0, 0.025], [0.005, 0, 0], at(0.11, 0.005)])
    own = np.array([solid.inertia_per_mass() for solid in solids])
    mass, centre, inertia = combine(np.array([0.180, 0.250, *[0.032] * 4]), places, own)
    assert mass == pytest.approx(0.558, rel=1e-12)
    np.testing.assert_allclose(centre, [2.240143e-3, 0, 9.211470e-3], atol=0.5e-9)
    np.testing.assert_allclose(np.diag(inertia), [9.16295e-4, 1.027411e-3, 1.763333e-3], rtol=0.6e-6)
    assert inertia[0, 2] == pytest.approx(1.15143e-5, abs=0.5e-10)
    np.testing.assert_allclose(inertia[[0, 1], [1, 2]], 0.0, atol=1e-15)


def test_calculated_five_inch_model() -> None:
    """Component model of a 0.6284 kg five-inch craft, Mendeley Data 10.17632/zgsvdtxnfh.2 (second hand).

    Published totals 1.346, 1.410, 2.480 g m2 are about the origin at hub height. The battery's size is
    inferred: 75 x 35 x 35 mm with its offset gives the published 0.1468, 0.2114, 0.1008 g m2. Tolerance
    0.2 %: inputs and totals are printed to three or four digits.
    """
    core, battery, arm = Box(0.080, 0.080, 0.030), Box(0.075, 0.035, 0.035), Tube(0.0, 0.0, 0.095)
    turns = [rotation_matrix(0, 0, pi / 4 + k * pi / 2) for k in range(4)]
    arms = [rotated(arm.inertia_per_mass(), turn) for turn in turns]
    arm_places = [turn @ [0.095 / 2, 0, 0] for turn in turns]
    masses = np.array([0.1372, 0.177, *[0.025] * 4, *[0.05355] * 4])
    places = np.vstack([[0, 0, 0], [0, 0, 0.025], *arm_places, at(0.095, 0.0)])
    own = np.array([core.inertia_per_mass(), battery.inertia_per_mass(), *arms, *np.zeros((4, 3, 3))])
    mass, centre, inertia = combine(masses, places, own)
    about_origin = inertia + mass * (centre @ centre * np.eye(3) - np.outer(centre, centre))
    assert mass == pytest.approx(0.6284, rel=1e-9)
    np.testing.assert_allclose(0.1372e3 * np.diag(core.inertia_per_mass()), [0.0833, 0.0833, 0.1463], rtol=2e-3)
    np.testing.assert_allclose(np.diag(about_origin), [1.346e-3, 1.410e-3, 2.480e-3], rtol=2e-3)
    np.testing.assert_allclose(about_origin - np.diag(np.diag(about_origin)), 0.0, atol=1e-15)
