"""What every inertia tensor must keep, however the parts lie."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

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

lengths = st.floats(1e-3, 0.3)
solids: st.SearchStrategy[Solid] = st.one_of(
    st.builds(Box, lengths, lengths, lengths),
    st.builds(Cylinder, lengths, lengths),
    st.builds(lambda outer, share, length: Tube(outer, share * outer, length), lengths, st.floats(0, 1), lengths),
    st.builds(Disc, lengths),
    st.just(Point()),
)
angle = st.floats(-7.0, 7.0)
rotations = st.builds(rotation_matrix, angle, angle, angle)
coordinates = st.floats(-0.3, 0.3)
parts = st.lists(
    st.tuples(st.floats(1e-4, 0.5), solids, st.tuples(coordinates, coordinates, coordinates), rotations),
    min_size=1,
    max_size=8,
)
Part = tuple[float, Solid, tuple[float, float, float], np.ndarray]


def columns(made: list[Part]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Masses, places and turned tensors of a list of parts."""
    masses = np.array([part[0] for part in made])
    places = np.array([part[2] for part in made])
    own = np.array([rotated(part[1].inertia_per_mass(), part[3]) for part in made])
    return masses, places, own


@given(rotations)
def test_rotations_keep_lengths_and_hands(rotation: np.ndarray) -> None:
    np.testing.assert_allclose(rotation @ rotation.T, np.eye(3), atol=1e-12)
    np.testing.assert_allclose(np.linalg.det(rotation), 1.0, atol=1e-12)


@given(solids, rotations)
def test_turning_keeps_the_principal_moments(solid: Solid, rotation: np.ndarray) -> None:
    inertia = solid.inertia_per_mass()
    turned = rotated(inertia, rotation)
    np.testing.assert_allclose(np.trace(turned), np.trace(inertia), atol=1e-14)
    np.testing.assert_allclose(np.linalg.eigvalsh(turned), np.linalg.eigvalsh(inertia), atol=1e-14)


@given(parts)
def test_inertia_is_symmetric_and_possible(made: list[Part]) -> None:
    """Positive semidefinite, and no principal moment larger than the sum of the other two."""
    _, _, inertia = combine(*columns(made))
    np.testing.assert_array_equal(inertia, inertia.T)
    small, middle, large = np.linalg.eigvalsh(inertia)
    slack = 1e-12 * (large + 1e-9)
    assert small >= -slack
    assert large <= small + middle + slack


@given(parts, rotations)
def test_turning_the_whole_craft_turns_its_tensor(made: list[Part], rotation: np.ndarray) -> None:
    masses, places, own = columns(made)
    mass, centre, inertia = combine(masses, places, own)
    turned = combine(masses, places @ rotation.T, rotated(own, rotation))
    np.testing.assert_allclose(turned[0], mass)
    np.testing.assert_allclose(turned[1], rotation @ centre, atol=1e-12)
    np.testing.assert_allclose(turned[2], rotated(inertia, rotation), atol=1e-12)


@given(parts, st.tuples(coordinates, coordinates, coordinates))
def test_moving_the_whole_craft_moves_only_its_centre(made: list[Part], shift: tuple[float, float, float]) -> None:
    masses, places, own = columns(made)
    _, centre, inertia = combine(masses, places, own)
    _, moved_centre, moved = combine(masses, places + np.array(shift), own)
    np.testing.assert_allclose(moved_centre, centre + np.array(shift), atol=1e-12)
    np.testing.assert_allclose(moved, inertia, atol=1e-12)


@given(parts, parts)
def test_parts_may_be_put_together_in_any_order(one: list[Part], other: list[Part]) -> None:
    """Combining two finished halves is combining all their parts."""
    halves = [combine(*columns(half)) for half in (one, other)]
    masses = np.array([half[0] for half in halves])
    centres = np.array([half[1] for half in halves])
    own = np.array([half[2] / half[0] for half in halves])
    together, whole = combine(masses, centres, own), combine(*columns(one + other))
    for ours, theirs in zip(together, whole, strict=True):
        np.testing.assert_allclose(ours, theirs, atol=1e-12)


@given(parts, st.floats(0.1, 10.0))
def test_inertia_scales_with_mass(made: list[Part], factor: float) -> None:
    masses, places, own = columns(made)
    _, _, inertia = combine(masses, places, own)
    _, _, heavier = combine(factor * masses, places, own)
    np.testing.assert_allclose(heavier, factor * inertia, rtol=1e-9, atol=1e-15)
