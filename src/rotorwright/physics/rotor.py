"""Rotor tables: CT and CP of one propeller over advance ratio and Reynolds number, and their interpolation."""

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

__all__ = ["ADVANCE", "REYNOLDS_75", "RotorTable", "coefficients", "rotor_table", "stack_tables"]

Array = NDArray[np.float64]

_J_0, _J_STEP, _N_J = -0.5, 0.025, 85
_LN_RE_0, _LN_RE_STEP, _N_RE = math.log(1e4), math.log(50.0) / 8.0, 9
ADVANCE: Array = _J_0 + _J_STEP * np.arange(_N_J)
"""Advance ratio J = V/(nD) of every table, -0.5 (descent) to 1.6 [-]."""
REYNOLDS_75: Array = np.asarray(np.exp(_LN_RE_0 + _LN_RE_STEP * np.arange(_N_RE)))
"""Reynolds number at 0.75 R from rotation alone, 1e4 to 5e5 [-]."""
_GAIN_MACH, _GAIN_REYNOLDS = (0.3, 0.4, 0.5), 8e4


@dataclass(frozen=True)
class RotorTable:
    """Thrust and power coefficients of one propeller in axial flow."""

    ct: Array
    """CT [n_reynolds, n_advance] [-] over `REYNOLDS_75` and `ADVANCE`, incompressible."""
    cp: Array
    """CP [n_reynolds, n_advance] [-]."""
    mach_gain: Array
    """Gains g of CT and CP [2] [-]: factor 1 + g (1/sqrt(1 - M75^2) - 1); ends at M75 = 0.55."""
    chord_75: float
    """Chord at 0.75 R [m]."""
    diameter: float
    """Tip circle diameter [m]."""


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
    """Solve the whole table of a propeller; see `rotor_table` for the cached form.

    Errors: ValueError when no thrust comes out at rest, or an operating point has no solution.
    """
    ct, cp = _solve(blade, polar, ADVANCE, REYNOLDS_75, 0.0)
    if not (np.all(np.isfinite(ct)) and np.all(np.isfinite(cp))):
        raise ValueError("The blade-element solution of this blade does not exist over the whole table.")
    static = float(ct[4, np.argmin(np.abs(ADVANCE))])
    if static <= 0.0:
        raise ValueError("This blade makes no thrust at rest; is its twist given in the wrong sense?")
    return RotorTable(ct, cp, _mach_gain(blade, polar, static), blade.chord_75, blade.diameter)


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
        with np.load(path, allow_pickle=False) as data:
            table = RotorTable(
                data["ct"], data["cp"], data["mach_gain"], float(data["chord_75"]), float(data["diameter"])
            )
    except Exception:  # a damaged archive raises many kinds of error; all mean: solve again
        return None
    sound = table.ct.shape == table.cp.shape == (_N_RE, _N_J) and bool(np.all(np.isfinite(table.ct)))
    return table if sound else None


def _write(path: Path, table: RotorTable) -> None:
    """Store a table so that a reader never sees half of it."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=path.parent, suffix=".tmp", delete=False) as file:
            np.savez(file, **{field.name: getattr(table, field.name) for field in fields(table)})
        os.replace(file.name, path)
    except OSError:  # a full or read-only disk costs time, not the result
        return


def rotor_table(blade: Blade, polar: Polar | None = None) -> RotorTable:
    """Table of a propeller, from the disk cache when the same blade and section were solved before.

    Parameters: blade; polar - section, the typical one when None.
    Returns: the table. Errors: ValueError as `build_table`.
    """
    blade, section = aerodynamic_twist(blade), polar or shipped_polar()
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
    stacked = np.array([[table.ct, table.cp] for table in tables]).reshape(-1, 2, _N_RE, _N_J)
    return stacked, np.array([table.mach_gain for table in tables]).reshape(-1, 2)


@kernel
def coefficients(
    tables: Array, mach_gains: Array, k: int, advance: float, reynolds: float, mach: float
) -> tuple[float, float]:
    """CT and CP of table k, bilinear in J and ln Re, times 1 + g (1/sqrt(1 - M75^2) - 1).

    Parameters: tables [n_table, 2, n_reynolds, n_advance] [-]; mach_gains [n_table, 2] [-]; k - table;
    advance J = V/(nD) [-]; reynolds, mach - at 0.75 R from rotation alone [-].
    Returns: CT, CP [-]; NaN where an input is NaN.
    Range: Re is held at the ends of the table; beyond the ends of J the coefficients grow with J^2, as forces do
    when flight speed outweighs rotation; M75 is held at 0.55 and its correction is unvalidated above 0.3.
    """
    if not (advance == advance and reynolds == reynolds and mach == mach):
        return math.nan, math.nan
    x = (advance - _J_0) / _J_STEP
    x = min(max(x, 0.0), _N_J - 1.000001)
    y = (math.log(max(reynolds, 1.0)) - _LN_RE_0) / _LN_RE_STEP
    y = min(max(y, 0.0), _N_RE - 1.000001)
    j, i = int(x), int(y)
    u, w = x - j, y - i
    a, b, c, d = (1.0 - w) * (1.0 - u), (1.0 - w) * u, w * (1.0 - u), w * u
    t, p = tables[k, 0], tables[k, 1]
    CT = a * t[i, j] + b * t[i, j + 1] + c * t[i + 1, j] + d * t[i + 1, j + 1]
    CP = a * p[i, j] + b * p[i, j + 1] + c * p[i + 1, j] + d * p[i + 1, j + 1]
    end = _J_0 if advance < _J_0 else _J_0 + _J_STEP * (_N_J - 1)
    if advance < _J_0 or advance > end:
        CT, CP = CT * (advance / end) ** 2, CP * (advance / end) ** 2
    M = min(abs(mach), 0.55)
    stretch = 1.0 / math.sqrt(1.0 - M * M) - 1.0
    return CT * (1.0 + mach_gains[k, 0] * stretch), CP * (1.0 + mach_gains[k, 1] * stretch)
