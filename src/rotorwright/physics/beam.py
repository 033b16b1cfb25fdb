"""Space frames of straight beams: displacements under loads, and natural modes.

Two-node elements with six degrees of freedom a node (three shifts, three turns) in the member's axes: x along,
z as near to up as the member allows. Stiffness with shear deflection (Timoshenko, phi = 12 E I/(G A_s L^2)), mass
consistent (cubic shapes) with the polar inertia of the section; lumped bodies may sit off their node.

Source: the element matrices of any text on matrix structural analysis (Przemieniecki, Theory of Matrix Structural
Analysis; from memory). Small displacements, linear elasticity, no damping. Refuses a frame that is loose.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "Beams",
    "Lump",
    "Modes",
    "NoSolution",
    "mass_matrix",
    "modes",
    "static",
    "stiffness_matrix",
    "strain_energy",
]

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

# Which degrees of freedom of the two nodes an element's motion along, about and across the member uses.
_AXIAL, _TWIST = (0, 6), (3, 9)
_LATERAL, _VERTICAL = (1, 5, 7, 11), (2, 4, 8, 10)


class NoSolution(ValueError):
    """The equations of a frame have no answer that could be told from rounding."""


@dataclass(frozen=True, slots=True)
class Beams:
    """Nodes, and the beams between them; one entry a beam in every array."""

    nodes: Array  # (n, 3) [m]
    ends: Indices  # (m, 2) node of each end
    axial: Array  # E A [N]
    vertical: Array  # E I about the member's y [N m2]
    lateral: Array  # E I about the member's z [N m2]
    torsion: Array  # G J [N m2]
    shear: Array  # G A_s [N]; inf leaves shear deflection out
    line_mass: Array  # rho A [kg/m]
    polar: Array  # rho (I_y + I_z) [kg m]


@dataclass(frozen=True, slots=True)
class Lump:
    """A rigid body held by one node."""

    node: int
    mass: float  # [kg]
    inertia: Array  # about its own centre, in the frame's axes, (3, 3) [kg m2]
    offset: Array  # from the node to its centre, (3,) [m]


@dataclass(frozen=True, slots=True)
class Modes:
    """Natural modes, slowest first: frequency (k,) [Hz], and shape (k, n, 6) of unit modal mass."""

    frequency: Array
    shape: Array


def _directions(beams: Beams) -> tuple[Array, Array]:
    """Length of each beam (m,) [m] and its axes in the frame's, rows x, y, z, (m, 3, 3)."""
    along = beams.nodes[beams.ends[:, 1]] - beams.nodes[beams.ends[:, 0]]
    length = np.linalg.norm(along, axis=1)
    x = along / length[:, None]
    upright = np.abs(x[:, 2]) > 0.999
    up = np.where(upright[:, None], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0])
    y = np.cross(up, x)
    y /= np.linalg.norm(y, axis=1)[:, None]
    return length, np.stack([x, y, np.cross(x, y)], axis=1)


def _turn(axes: Array) -> Array:
    """Rotation of twelve degrees of freedom from the frame's axes into each member's, (m, 12, 12)."""
    T = np.zeros((len(axes), 12, 12))
    for block in range(0, 12, 3):
        T[:, block : block + 3, block : block + 3] = axes
    return T


def _bending(E_I: Array, G_A: Array, L: Array, sign: float) -> Array:
    """Stiffness of one bending plane, degrees (shift, turn, shift, turn), (m, 4, 4); `sign` is that of the turn."""
    phi = 12 * E_I / (G_A * L**2)
    k = E_I / (L**3 * (1 + phi))
    s, a, b = 6 * L * sign, (4 + phi) * L**2, (2 - phi) * L**2
    t = np.full_like(L, 12.0)
    rows = [[t, s, -t, s], [s, a, -s, b], [-t, -s, t, -s], [s, b, -s, a]]
    return np.asarray(k[:, None, None] * np.moveaxis(np.array(rows), 2, 0))


def _member_stiffness(beams: Beams, L: Array) -> dict[str, tuple[tuple[int, ...], Array]]:
    pair = np.array([[1.0, -1.0], [-1.0, 1.0]])
    return {
        "axial": (_AXIAL, (beams.axial / L)[:, None, None] * pair),
        "torsion": (_TWIST, (beams.torsion / L)[:, None, None] * pair),
        "lateral": (_LATERAL, _bending(beams.lateral, beams.shear, L, 1.0)),
        "vertical": (_VERTICAL, _bending(beams.vertical, beams.shear, L, -1.0)),
    }


def _add(members: Array, degrees: Sequence[int], part: Array) -> None:
    """Add `part`, (m, k, k), to the rows and columns `degrees` of every member."""
    rows = np.array(degrees)
    members[:, rows[:, None], rows] += part


def _member_mass(beams: Beams, L: Array) -> Array:
    """Consistent mass of each member in its own axes, (m, 12, 12)."""
    M = np.zeros((len(L), 12, 12))
    pair = np.array([[2.0, 1.0], [1.0, 2.0]]) / 6
    _add(M, _AXIAL, (beams.line_mass * L)[:, None, None] * pair)
    _add(M, _TWIST, (beams.polar * L)[:, None, None] * pair)
    for degrees, sign in ((_LATERAL, 1.0), (_VERTICAL, -1.0)):
        a, b, c, d, e = np.full_like(L, 156), 22 * L * sign, np.full_like(L, 54), 13 * L * sign, 4 * L**2
        rows = [[a, b, c, -d], [b, e, d, -3 * L**2], [c, d, a, -b], [-d, -3 * L**2, -b, e]]
        bending = (beams.line_mass * L / 420)[:, None, None] * np.moveaxis(np.array(rows), 2, 0)
        _add(M, degrees, bending)
    return M


def _degrees(beams: Beams) -> Indices:
    """Rows of the frame's matrices that each member's twelve degrees of freedom are, (m, 12)."""
    starts = 6 * beams.ends[:, :, None] + np.arange(6)
    return np.asarray(starts.reshape(len(beams.ends), 12))


def _assembled(beams: Beams, members: Array) -> Array:
    size = 6 * len(beams.nodes)
    whole = np.zeros((size, size))
    degrees = _degrees(beams)
    np.add.at(whole, (degrees[:, :, None], degrees[:, None, :]), members)
    return whole


def stiffness_matrix(beams: Beams) -> Array:
    """Stiffness of the whole frame, (6 n, 6 n) [N/m, N, N m]."""
    L, axes = _directions(beams)
    K = np.zeros((len(L), 12, 12))
    for degrees, part in _member_stiffness(beams, L).values():
        _add(K, degrees, part)
    T = _turn(axes)
    return _assembled(beams, np.swapaxes(T, 1, 2) @ K @ T)


def mass_matrix(beams: Beams, lumps: Sequence[Lump]) -> Array:
    """Mass of the whole frame with its lumped bodies, (6 n, 6 n) [kg, kg m, kg m2]."""
    L, axes = _directions(beams)
    T = _turn(axes)
    M = _assembled(beams, np.swapaxes(T, 1, 2) @ _member_mass(beams, L) @ T)
    for lump in lumps:
        x, y, z = lump.offset
        # a turn of the node shifts the centre by turn x offset = S turn
        S = np.array([[0, z, -y], [-z, 0, x], [y, -x, 0]])
        rows = slice(6 * lump.node, 6 * lump.node + 6)
        rigid = np.block(
            [[lump.mass * np.eye(3), lump.mass * S], [lump.mass * S.T, lump.inertia + lump.mass * S.T @ S]]
        )
        M[rows, rows] += rigid
    return M


def static(beams: Beams, loads: Array, held: Sequence[int]) -> Array:
    """Displacements under loads with some nodes held fast, K u = F, (n, 6) [m, rad].

    loads: forces and moments at the nodes, (n, 6) [N, N m]
    held: nodes that neither shift nor turn
    raises: NoSolution when the frame is not held
    """
    K = stiffness_matrix(beams)
    free = np.setdiff1d(np.arange(len(K)), (6 * np.asarray(held)[:, None] + np.arange(6)).ravel())
    u = np.zeros(len(K))
    try:
        u[free] = np.linalg.solve(K[np.ix_(free, free)], loads.ravel()[free])
    except np.linalg.LinAlgError:
        raise NoSolution("the frame is not held: it has no stiffness against some motion") from None
    return u.reshape(-1, 6)


def modes(beams: Beams, lumps: Sequence[Lump], held: Sequence[int] = (), count: int = 12) -> Modes:
    """Slowest natural modes with K v = (2 pi f)^2 M v; a frame that floats has six of frequency zero first.

    held: nodes that neither shift nor turn
    count: how many
    raises: NoSolution when masses lie so far apart that the modes drown in rounding
    """
    K, M = stiffness_matrix(beams), mass_matrix(beams, lumps)
    free = np.setdiff1d(np.arange(len(K)), (6 * np.asarray(held, dtype=int)[:, None] + np.arange(6)).ravel())
    try:
        inverse = np.linalg.inv(np.linalg.cholesky(M[np.ix_(free, free)]))
    except np.linalg.LinAlgError:
        raise NoSolution("the masses on the frame lie too far apart for its modes to be told from rounding") from None
    reduced = inverse @ K[np.ix_(free, free)] @ inverse.T
    values, vectors = np.linalg.eigh((reduced + reduced.T) / 2)
    values = values[:count].copy()
    if not len(held):  # the six motions of a floating frame come out as rounding, of either sign
        values[:6] = 0.0
    shape = np.zeros((len(values), len(K)))
    shape[:, free] = (inverse.T @ vectors[:, : len(values)]).T
    return Modes(np.sqrt(np.maximum(values, 0.0)) / (2 * np.pi), shape.reshape(len(values), -1, 6))


def strain_energy(beams: Beams, shape: Array) -> dict[str, Array]:
    """Elastic energy of each member in a displaced frame, by motion: axial, torsion, lateral, vertical, (m,) [J]."""
    L, axes = _directions(beams)
    own = np.einsum("mij,mj->mi", _turn(axes), shape.reshape(-1)[_degrees(beams)])
    energy = {}
    for motion, (degrees, part) in _member_stiffness(beams, L).items():
        u = own[:, list(degrees)]
        energy[motion] = np.einsum("mi,mij,mj->m", u, part, u) / 2
    return energy
