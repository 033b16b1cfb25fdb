"""Shapes, orientation and refusals of `physics.rigid_body`."""

from math import pi

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

X, Y, Z = np.eye(3)


@pytest.mark.parametrize(
    "solid, extent",
    [
        (Box(3.0, 2.0, 1.0), [3, 2, 1]),
        (Cylinder(2.0, 1.0), [4, 4, 1]),
        (Tube(2.0, 1.0, 5.0), [5, 2, 2]),
        (Disc(2.0), [4, 4, 0]),
        (Point(), [0, 0, 0]),
    ],
)
def test_extent(solid: Solid, extent: list[float]) -> None:
    np.testing.assert_array_equal(solid.extent(), extent)


def test_a_flat_cylinder_is_a_disc() -> None:
    np.testing.assert_allclose(Cylinder(2.0, 0.0).inertia_per_mass(), Disc(2.0).inertia_per_mass())


def test_a_solid_tube_is_a_cylinder_lying_down() -> None:
    lying = rotated(Cylinder(1.0, 5.0).inertia_per_mass(), rotation_matrix(0.0, pi / 2, 0.0))
    np.testing.assert_allclose(Tube(2.0, 0.0, 5.0).inertia_per_mass(), lying, atol=1e-12)


def test_a_blade_pair_over_a_turn_is_a_smaller_disc() -> None:
    rod = np.diag([0.0, 1.0, 1.0]) * 2.0**2 / 12  # slender, length 2, tip radius 1
    turns = np.arange(360) * pi / 180
    averaged = np.mean([rotated(rod, rotation_matrix(0, 0, turn)) for turn in turns], axis=0)
    np.testing.assert_allclose(averaged, Disc((2 / 3) ** 0.5).inertia_per_mass(), atol=1e-12)


def test_a_bore_wider_than_its_tube_is_refused() -> None:
    with pytest.raises(ValueError, match="wider than the tube"):
        Tube(0.010, 0.012, 0.1)


@pytest.mark.parametrize(
    "angles, before, after",
    [
        ((0, 0, pi / 2), X, Y),  # nose to the left
        ((0, pi / 2, 0), X, -Z),  # nose down
        ((pi / 2, 0, 0), Y, Z),  # left side up, so right side down
        ((0, pi / 2, pi / 2), X, -Z),  # yaw first, then pitch about the new y
        ((0, pi / 2, pi / 2), Z, Y),
    ],
)
def test_rotation_turns_the_way_it_says(
    angles: tuple[float, float, float], before: np.ndarray, after: np.ndarray
) -> None:
    np.testing.assert_allclose(rotation_matrix(*angles) @ before, after, atol=1e-15)


def test_off_diagonals_are_minus_the_products_of_inertia() -> None:
    places = np.array([[1.0, 0.0, 1.0], [-1.0, 0.0, -1.0]])
    _, _, inertia = combine(np.ones(2), places, np.zeros((2, 3, 3)))
    np.testing.assert_allclose(inertia, [[2, 0, -2], [0, 4, 0], [-2, 0, 2]])


def test_samples_are_combined_one_by_one() -> None:
    random = np.random.default_rng(1)
    masses = random.uniform(0.01, 0.2, (2, 5, 4))
    places, own = random.normal(0, 0.1, (4, 3)), np.array([Box(0.1, 0.2, 0.3).inertia_per_mass()] * 4)
    mass, centre, inertia = combine(masses, places, own)
    assert (mass.shape, centre.shape, inertia.shape) == ((2, 5), (2, 5, 3), (2, 5, 3, 3))
    single = combine(masses[1, 2], places, own)
    np.testing.assert_allclose(mass[1, 2], single[0])
    np.testing.assert_allclose(centre[1, 2], single[1])
    np.testing.assert_allclose(inertia[1, 2], single[2])


@pytest.mark.parametrize("masses", [[-0.1, 0.3], [0.0, 0.0]])
def test_impossible_masses_are_refused(masses: list[float]) -> None:
    with pytest.raises(ValueError, match="masses"):
        combine(np.array(masses), np.zeros((2, 3)), np.zeros((2, 3, 3)))


def test_nan_passes_through() -> None:
    mass, centre, inertia = combine(np.array([np.nan, 1.0]), np.zeros((2, 3)), np.zeros((2, 3, 3)))
    assert np.isnan(mass)
    assert np.isnan(centre).all()
    assert np.isnan(inertia).all()


@pytest.mark.parametrize(
    ("solid", "tensor"),
    [
        # over the mass: (y^2 + z^2)/12, r^2/2 and r^2/4 + h^2/12, (D^2 + d^2)/8 and (D^2 + d^2)/16 + l^2/12
        (Box(3.0, 2.0, 1.0), [5 / 12, 10 / 12, 13 / 12]),
        (Cylinder(2.0, 3.0), [1.75, 1.75, 2.0]),
        (Tube(4.0, 2.0, 6.0), [2.5, 4.25, 4.25]),
        (Disc(2.0), [1.0, 1.0, 2.0]),
        (Point(), [0.0, 0.0, 0.0]),
    ],
)
def test_inertia_of_each_solid(solid: Solid, tensor: list[float]) -> None:
    np.testing.assert_allclose(solid.inertia_per_mass(), np.diag(tensor), atol=1e-15)
