"""Rotor tables: the coefficients of one propeller over flow and Reynolds number, solved once and kept on disk."""

import math
import os
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import cache
from hashlib import blake2b
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.blade import Blade, aerodynamic_twist, cut_blade
from rotorwright.physics.blade_annulus import Cut, solve_annuli
from rotorwright.physics.compiled import cache_folder, kernel
from rotorwright.physics.polars import Polar, Section, shipped_polar
from rotorwright.physics.rotor_lookup import (
    ADVANCE,
    EDGEWISE,
    OBLIQUE_ADVANCE,
    OBLIQUE_REYNOLDS,
    REYNOLDS_75,
    coefficients,
    oblique_coefficients,
)
from rotorwright.physics.rotor_oblique import fill_oblique

__all__ = [
    "ADVANCE",
    "EDGEWISE",
    "OBLIQUE_ADVANCE",
    "OBLIQUE_REYNOLDS",
    "REYNOLDS_75",
    "RotorTable",
    "build_table",
    "coefficients",
    "oblique_coefficients",
    "rotor_table",
    "stack_oblique",
    "stack_tables",
]

Array = NDArray[np.float64]

_GAIN_MACH, _GAIN_REYNOLDS = (0.3, 0.4, 0.5), 8e4
_OBLIQUE_ANNULI = 14
_SHAPE = (REYNOLDS_75.size, ADVANCE.size)
_OBLIQUE_SHAPE = (4, OBLIQUE_REYNOLDS.size, EDGEWISE.size, OBLIQUE_ADVANCE.size)


@dataclass(frozen=True)
class RotorTable:
    """Coefficients of one propeller."""

    ct: Array
    """CT [n_reynolds, n_advance] [-] over `REYNOLDS_75` and `ADVANCE`, axial flow, incompressible."""
    cp: Array
    """CP [n_reynolds, n_advance] [-]."""
    mach_gain: Array
    """Gains g of CT and CP [2] [-]: factor 1 + g (1/sqrt(1 - M75^2) - 1), to M75 = 0.55."""
    chord_75: float
    """Chord at 0.75 R [m]."""
    diameter: float
    """Tip circle diameter [m]."""
    oblique: Array
    """Change of CT, change of CP, CH, CR [4, n_reynolds, n_edgewise, n_advance] [-] on the oblique grids."""


@kernel
def _fill(cut: Cut, section: Section, advance: Array, reynolds: Array, mach: float, ct: Array, cp: Array) -> None:
    for i in range(reynolds.size):
        for j in range(advance.size):
            ct[i, j], cp[i, j] = solve_annuli(cut, section, advance[j], reynolds[i], mach)


def _solve(blade: Blade, polar: Polar, advance: Array, reynolds: Array, mach: float) -> tuple[Array, Array]:
    """CT and CP [n_reynolds, n_advance] at one Mach number of 0.75 R."""
    ct, cp = np.empty((2, reynolds.size, advance.size))
    _fill(cut_blade(blade), polar.section(), advance, reynolds, mach, ct, cp)
    return ct, cp


def _mach_gain(blade: Blade, polar: Polar, static: float) -> Array:
    """Least-squares gains of CT and CP [2] over Mach numbers 0.3-0.5 where the propeller is well loaded."""
    J, Re = np.array([0.0, 0.15, 0.3]), np.array([_GAIN_REYNOLDS])
    rest = np.stack(_solve(blade, polar, J, Re, 0.0))
    loaded = rest[0, 0] > 0.4 * static
    over, over_2 = np.zeros(2), 0.0
    for M in _GAIN_MACH:
        x = 1.0 / math.sqrt(1.0 - M * M) - 1.0
        ratio = np.stack(_solve(blade, polar, J, Re, M))[:, 0, loaded] / rest[:, 0, loaded] - 1.0
        over, over_2 = over + x * ratio.mean(axis=1), over_2 + x * x
    return over / over_2


def build_table(blade: Blade, polar: Polar) -> RotorTable:
    """Solve the whole table of a propeller as it stands; `rotor_table` is the cached form.

    Errors: ValueError when no thrust comes out at rest, or an operating point has no solution.
    """
    ct, cp = _solve(blade, polar, ADVANCE, REYNOLDS_75, 0.0)
    oblique = np.empty(_OBLIQUE_SHAPE)
    cut = cut_blade(blade, _OBLIQUE_ANNULI)
    fill_oblique(cut, polar.section(), OBLIQUE_ADVANCE, EDGEWISE, OBLIQUE_REYNOLDS, oblique)
    if not all(bool(np.all(np.isfinite(part))) for part in (ct, cp, oblique)):
        raise ValueError("The blade-element solution of this blade does not exist over the whole table.")
    static = float(ct[8, np.argmin(np.abs(ADVANCE))])
    if static <= 0.0:
        raise ValueError("This blade makes no thrust at rest; is its twist given in the wrong sense?")
    return RotorTable(ct, cp, _mach_gain(blade, polar, static), blade.chord_75, blade.diameter, oblique)


@cache
def _folder() -> Path:
    return cache_folder() / "rotors"


def _key(blade: Blade, polar: Polar) -> str:
    """Content hash of a blade and a section."""
    digest = blake2b(digest_size=16)
    shape = np.array([blade.diameter, blade.count, blade.hub])
    for part in (shape, blade.station, blade.chord, blade.twist, polar.lift, polar.drag):
        digest.update(np.ascontiguousarray(part).tobytes())
        digest.update(b"/")
    return digest.hexdigest()


def _read(path: Path) -> RotorTable | None:
    """A cached table, None when there is none or it is damaged."""
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as data:
            values = {field.name: data[field.name] for field in fields(RotorTable)}
        values |= {name: float(values[name]) for name in ("chord_75", "diameter")}
        table = RotorTable(**values)
    except Exception:  # a damaged archive raises many kinds of error; all of them mean: solve again
        return None
    whole = table.ct.shape == table.cp.shape == _SHAPE and table.oblique.shape == _OBLIQUE_SHAPE
    finite = all(bool(np.all(np.isfinite(part))) for part in (table.ct, table.cp, table.mach_gain, table.oblique))
    return table if whole and finite else None


def _write(path: Path, table: RotorTable) -> None:
    """Store a table so that a reader never sees half of it."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=path.parent, suffix=".tmp", delete=False) as file:
            np.savez(
                file,
                ct=table.ct,
                cp=table.cp,
                mach_gain=table.mach_gain,
                chord_75=np.float64(table.chord_75),
                diameter=np.float64(table.diameter),
                oblique=table.oblique,
            )
        os.replace(file.name, path)
    except OSError:  # a full or read-only disk costs time, not the result
        return


def rotor_table(blade: Blade, polar: Polar | None = None) -> RotorTable:
    """Table of a propeller, from the disk cache when the same blade and section were solved before.

    Parameters: blade - its nominal pitch, when given, corrects the twist (`aerodynamic_twist`); polar - section, the
    typical one when None.
    Returns: the table. Errors: ValueError as `build_table`.
    """
    section = polar or shipped_polar()
    # The correction was fitted with the typical section; a known section says itself where its lift is zero.
    blade = aerodynamic_twist(blade) if polar is None else blade
    path = _folder() / f"{_key(blade, section)}.npz"
    table = _read(path)
    if table is None:
        table = build_table(blade, section)
        _write(path, table)
    return table


def stack_tables(tables: Sequence[RotorTable]) -> tuple[Array, Array]:
    """Tables in the form that `coefficients` takes.

    Returns: tables [n_table, 2, n_reynolds, n_advance] [-], mach_gains [n_table, 2] [-].
    """
    stacked = np.array([[table.ct, table.cp] for table in tables]).reshape(-1, 2, *_SHAPE)
    return stacked, np.array([table.mach_gain for table in tables]).reshape(-1, 2)


def stack_oblique(tables: Sequence[RotorTable]) -> Array:
    """Oblique parts in the form that `oblique_coefficients` takes [n_table, 4, n_reynolds, n_edgewise, n_advance]."""
    return np.array([table.oblique for table in tables]).reshape(-1, *_OBLIQUE_SHAPE)
