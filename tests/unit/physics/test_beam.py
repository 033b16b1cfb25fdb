"""Invariances and refusals of `physics.beam`."""

from dataclasses import replace

import numpy as np
import pytest

from rotorwright.physics.beam import Beams, Lump, mass_matrix, modes, static, stiffness_matrix, strain_energy
from rotorwright.physics.section import Section, plate

E, G, RHO = 70e9, 5e9, 1600.0


def member(nodes: np.ndarray, section: Section, shear: float = np.inf) -> Beams:
    """A chain of equal beams through `nodes`."""
    count = len(nodes) - 1
    ends = np.column_stack([np.arange(count), np.arange(1, count + 1)])
    one = np.ones(count)
    return Beams(
        nodes,
        ends,
        E * section.area * one,
        E * section.vertical * one,
        E * section.lateral * one,
        G * section.torsion * one,
        shear * one,
        RHO * section.area * one,
        RHO * (section.vertical + section.lateral) * one,
    )


def straight(direction: tuple[float, float, float], count: int = 6, length: float = 0.11) -> Beams:
    """A 12 x 5 mm plate from the origin along `direction`."""
    way = np.array(direction) / np.linalg.norm(direction)
    return member(np.linspace(0, length, count + 1)[:, None] * way, plate(0.012, 0.005))


def test_frequencies_do_not_care_which_way_it_points() -> None:
    first = modes(straight((1, 0, 0)), [], [0]).frequency[:5]
    for way in ((0, 1, 0), (1, 1, 0), (-0.3, 0.8, 0.2)):
        np.testing.assert_allclose(modes(straight(way), [], [0]).frequency[:5], first, rtol=1e-6)


def test_an_upright_beam_has_axes_too() -> None:
    assert np.isfinite(modes(straight((0, 0, 1)), [], [0]).frequency).all()


def test_a_floating_frame_has_six_still_motions() -> None:
    frequency = modes(straight((1, 0, 0)), []).frequency
    np.testing.assert_array_equal(frequency[:6] < 1e-3 * frequency[6], True)


def test_a_rigid_motion_costs_no_energy() -> None:
    beams = straight((1, 0.4, 0.2))
    turn = np.array([0.01, -0.02, 0.03])
    shift = np.array([0.01, 0.02, 0.03])
    u = np.hstack([np.cross(turn, beams.nodes) + shift, np.tile(turn, (len(beams.nodes), 1))])
    assert sum(float(np.sum(e)) for e in strain_energy(beams, u).values()) < 1e-9


def test_strain_energy_is_half_the_work() -> None:
    beams, loads = straight((1, 0, 0)), np.zeros((7, 6))
    loads[-1] = [3.0, 2.0, 8.0, 0.01, 0.02, 0.03]
    u = static(beams, loads, [0])
    energy = sum(float(np.sum(e)) for e in strain_energy(beams, u).values())
    assert energy == pytest.approx(0.5 * float(np.sum(loads * u)), rel=1e-9)


def test_mass_matrix_moves_the_whole_mass() -> None:
    beams = straight((1, 0, 0))
    lump = Lump(6, 0.036, 1e-6 * np.eye(3), np.array([0.0, 0.0, 0.01]))
    M, shift = mass_matrix(beams, [lump]), np.zeros(42)
    shift[2::6] = 1.0
    assert shift @ M @ shift == pytest.approx(0.036 + RHO * 60e-6 * 0.11, rel=1e-12)


def test_a_lump_off_its_node_has_its_parallel_axis_inertia() -> None:
    beams = straight((1, 0, 0))
    offset, own = np.array([0.01, -0.02, 0.03]), np.diag([1e-6, 2e-6, 3e-6])
    M = mass_matrix(beams, [Lump(3, 0.5, own, offset)]) - mass_matrix(beams, [])
    turning = M[21:24, 21:24]
    np.testing.assert_allclose(
        turning, own + 0.5 * (offset @ offset * np.eye(3) - np.outer(offset, offset)), atol=1e-15
    )
    # a turn about z moves the centre by z x offset
    np.testing.assert_allclose(M[18:21, 23], 0.5 * np.cross([0, 0, 1], offset), atol=1e-15)


def test_matrices_are_symmetric() -> None:
    beams = straight((0.3, 0.8, 0.1))
    K, M = stiffness_matrix(beams), mass_matrix(beams, [])
    np.testing.assert_allclose(K, K.T, atol=1e-9 * np.abs(K).max())
    np.testing.assert_allclose(M, M.T, atol=1e-12 * np.abs(M).max())


def test_an_unheld_frame_is_refused() -> None:
    beams = straight((1, 0, 0), count=1)
    beams = replace(beams, torsion=np.zeros(1))
    with pytest.raises(ValueError, match="not held"):
        static(beams, np.ones((2, 6)), [0])
