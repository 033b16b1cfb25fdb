"""The grids that every rotor table shares, and the kernels that read tables on them."""

import math

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.compiled import kernel

__all__ = [
    "ADVANCE",
    "EDGEWISE",
    "MACH_LIMIT",
    "OBLIQUE_ADVANCE",
    "OBLIQUE_REYNOLDS",
    "REYNOLDS_75",
    "coefficients",
    "oblique_coefficients",
]

Array = NDArray[np.float64]

_J_0, _J_STEP, _N_J = -0.5, 0.025, 85
_LN_RE_0, _LN_RE_STEP, _N_RE = math.log(1e4), math.log(50.0) / 16.0, 17
_K_STEP, _N_K = 0.1, 22
_E_STEP, _N_E = 0.1, 13
_LN_RO_0, _LN_RO_STEP, _N_RO = math.log(2e4), math.log(10.0) / 2.0, 3

ADVANCE: Array = np.asarray(_J_0 + _J_STEP * np.arange(_N_J), dtype=np.float64)
"""Advance ratio J = V/(nD) of every table, -0.5 (descent) to 1.6 [-]."""
REYNOLDS_75: Array = np.asarray(np.exp(_LN_RE_0 + _LN_RE_STEP * np.arange(_N_RE)))
"""Reynolds number at 0.75 R from rotation alone, 1e4 to 5e5 [-]."""
OBLIQUE_ADVANCE: Array = np.asarray(_J_0 + _K_STEP * np.arange(_N_K), dtype=np.float64)
"""Axial advance ratio of the oblique tables, -0.5 to 1.6 [-]."""
EDGEWISE: Array = np.asarray(_E_STEP * np.arange(_N_E), dtype=np.float64)
"""Edgewise advance ratio E = V_edgewise/(nD) of the oblique tables, 0 to 1.2 [-]."""
OBLIQUE_REYNOLDS: Array = np.asarray(np.exp(_LN_RO_0 + _LN_RO_STEP * np.arange(_N_RO)))
"""Reynolds numbers of the oblique tables, 2e4 to 2e5 [-]."""
MACH_LIMIT = 0.55
"""Mach number at 0.75 R where the compressibility correction ends [-]; unvalidated above 0.3."""


@kernel
def _place(x: float, count: int) -> tuple[int, float]:
    """Cell and share of a position on a grid of `count` nodes, held at its ends; the share of NaN is NaN."""
    x = min(max(x, 0.0), count - 1.0)
    i = min(int(x), count - 2) if x >= 0.0 else 0
    return i, x - i


@kernel
def _four(t: Array, i: int, j: int, w: float, u: float) -> float:
    """Bilinear interpolation in one cell."""
    low = (1.0 - u) * t[i, j] + u * t[i, j + 1]
    return float(low + w * ((1.0 - u) * t[i + 1, j] + u * t[i + 1, j + 1] - low))


@kernel
def coefficients(
    tables: Array, mach_gains: Array, k: int, advance: float, reynolds: float, mach: float
) -> tuple[float, float]:
    """CT and CP of table k in axial flow, bilinear in J and ln Re, times 1 + g (1/sqrt(1 - M75^2) - 1).

    Parameters: tables [n_table, 2, n_reynolds, n_advance] [-]; mach_gains [n_table, 2] [-]; k - table;
    advance J = V/(nD) [-]; reynolds, mach - at 0.75 R from rotation alone [-].
    Returns: CT, CP [-]; NaN where an input is NaN.
    Range: Re is held at the ends of the table; beyond the ends of J the coefficients grow with J^2, as forces do
    when flight speed outweighs rotation; M75 is held at 0.55 and its correction is unvalidated above 0.3.
    """
    if not (advance == advance and reynolds == reynolds and mach == mach):
        return math.nan, math.nan
    j, u = _place((advance - _J_0) / _J_STEP, _N_J)
    i, w = _place((math.log(max(reynolds, 1.0)) - _LN_RE_0) / _LN_RE_STEP, _N_RE)
    CT, CP = _four(tables[k, 0], i, j, w, u), _four(tables[k, 1], i, j, w, u)
    end = _J_0 if advance < 0.0 else _J_0 + _J_STEP * (_N_J - 1)
    growth = max(advance / end, 1.0)
    M = min(abs(mach), MACH_LIMIT)
    stretch = 1.0 / math.sqrt(1.0 - M * M) - 1.0
    growth *= growth
    return CT * growth * (1.0 + mach_gains[k, 0] * stretch), CP * growth * (1.0 + mach_gains[k, 1] * stretch)


@kernel
def oblique_coefficients(
    tables: Array,
    mach_gains: Array,
    oblique: Array,
    k: int,
    advance: float,
    edgewise: float,
    reynolds: float,
    mach: float,
) -> tuple[float, float, float, float]:
    """CT, CP, in-plane force CH and roll moment CR of table k in oblique flow; CT, CP as `coefficients` for E = 0.

    Parameters: as `coefficients`; oblique [n_table, 4, n_reynolds, n_edgewise, n_advance] [-]; edgewise
    E = V_edgewise/(nD) >= 0 [-].
    Returns: CT, CP; CH = H/(rho n^2 D^4) along the edgewise flow; CR = M/(rho n^2 D^5), lifting the advancing
    side [-]; NaN where an input is NaN.
    Range: E to 1.2; beyond the ends of the grid everything grows with the square of speed along its direction.
    """
    if not (edgewise == edgewise and advance == advance and reynolds == reynolds and mach == mach):
        return math.nan, math.nan, math.nan, math.nan
    growth = max(1.0, edgewise / (_E_STEP * (_N_E - 1)), advance / (_J_0 + _J_STEP * (_N_J - 1)), advance / _J_0)
    J, E = advance / growth, edgewise / growth
    CT, CP = coefficients(tables, mach_gains, k, J, reynolds, mach)
    j, u = _place((J - _J_0) / _K_STEP, _N_K)
    i, w = _place((math.log(max(reynolds, 1.0)) - _LN_RO_0) / _LN_RO_STEP, _N_RO)
    e, z = _place(E / _E_STEP, _N_E)
    # Forces along the axis are even in E: interpolated in E^2 they start level, with no kink at axial flow.
    z_even = z * (2.0 * e + z) / (2.0 * e + 1.0)
    t = oblique[k, :, i]
    t_up = oblique[k, :, i + 1]
    growth *= growth
    dCT = (1.0 - w) * _four(t[0], e, j, z_even, u) + w * _four(t_up[0], e, j, z_even, u)
    dCP = (1.0 - w) * _four(t[1], e, j, z_even, u) + w * _four(t_up[1], e, j, z_even, u)
    CH = (1.0 - w) * _four(t[2], e, j, z, u) + w * _four(t_up[2], e, j, z, u)
    CR = (1.0 - w) * _four(t[3], e, j, z, u) + w * _four(t_up[3], e, j, z, u)
    return (CT + dCT) * growth, (CP + dCP) * growth, CH * growth, CR * growth
