"""How far to trust a rotor table: scatter of measured propellers about the model, as ln standard deviations.

A propeller differs from its table by three factors that hold at all its operating points: its coefficients are
CT = c_T CT_table(J/s) and CP = c_P CP_table(J/s). One draw per propeller type.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "GEOMETRY",
    "SECTION",
    "TYPICAL",
    "VALIDATED_MACH",
    "VALIDATED_REYNOLDS",
    "Scatter",
    "outside_validated_range",
]

Array = NDArray[np.float64]

VALIDATED_REYNOLDS = (1.0e4, 2.5e5)
"""Reynolds numbers at 0.75 R between which the table was compared with measurements [-]."""
VALIDATED_MACH = 0.3
"""Mach number at 0.75 R below which the table was compared with measurements [-]."""


@dataclass(frozen=True)
class Scatter:
    """Joint scatter of thrust level c_T, power level c_P and advance stretch s about a table."""

    ct_sd: float
    """Standard deviation of ln c_T [-]."""
    cp_sd: float
    """Standard deviation of ln c_P [-]."""
    correlation: float
    """Correlation of ln c_T and ln c_P [-]."""
    mach_gain_sd: float
    """Standard deviation of ln of the compressibility gain [-]; judgement, no open data reach tip Mach 0.5."""
    advance_sd: float = 0.0
    """Standard deviation of ln s, the stretch of the advance ratio [-]."""
    advance_ct: float = 0.0
    """Correlation of ln s and ln c_T [-]."""
    advance_cp: float = 0.0
    """Correlation of ln s and ln c_P [-]."""

    def covariance(self) -> Array:
        """Covariance of (ln c_T, ln c_P, ln s) [3, 3] [-]."""
        sd = np.array([self.ct_sd, self.cp_sd, self.advance_sd])
        a, b, c = self.correlation, self.advance_ct, self.advance_cp
        return np.array([[1.0, a, b], [a, 1.0, c], [b, c, 1.0]]) * np.outer(sd, sd)

    def factors(self, normals: Array) -> Array:
        """Factors (c_T, c_P, s) [n, 3] from independent standard normal draws [n, 3].

        The third draw touches s only, so that a solver without s may use the first two alone.
        """
        return np.asarray(np.exp(normals @ _lower(self.covariance()).T))


def outside_validated_range(reynolds: float, mach: float) -> str | None:
    """Why a rotor result lies outside what was compared with measurements, None when it does not.

    Parameters: reynolds, mach - at 0.75 R from rotation alone [-].
    """
    low, high = VALIDATED_REYNOLDS
    faults = []
    if not low <= reynolds <= high:
        faults.append(f"Reynolds number {reynolds:.2g} is outside {low:.2g} to {high:.2g}")
    if not mach <= VALIDATED_MACH:
        faults.append(f"Mach number {mach:.2f} at three quarters of the radius is above {VALIDATED_MACH:g}")
    return "rotor not validated here: " + " and ".join(faults) if faults else None


def _lower(covariance: Array) -> Array:
    """Lower triangular root of a covariance that may hold zero rows."""
    return np.asarray(np.linalg.cholesky(covariance + 1e-15 * np.eye(len(covariance))))


TYPICAL = Scatter(0.20, 0.21, 0.85, 0.5, advance_sd=0.13, advance_ct=0.2, advance_cp=0.45)
"""Blade known by diameter, pitch and count only: 158 sets of 25 families, docs/validation/rotor.md."""

GEOMETRY = Scatter(0.15, 0.17, 0.75, 0.5, advance_sd=0.11, advance_ct=0.15, advance_cp=0.5)
"""Measured chord and twist with nominal pitch, unknown section: 81 sets of 18 families."""

SECTION = Scatter(0.10, 0.14, 0.75, 0.5, advance_sd=0.09, advance_ct=0.15, advance_cp=0.5)
"""Measured chord and twist and known section: seven sets of two research families, so judgement has a part."""
