"""How far to trust a rotor table: scatter of measured propellers about the model, as ln standard deviations."""

from dataclasses import dataclass

__all__ = ["GEOMETRY", "TYPICAL", "Scatter"]


@dataclass(frozen=True)
class Scatter:
    """Level scatter of a propeller about its table; one draw per propeller type, the same at all advance ratios."""

    ct_sd: float
    """Standard deviation of ln CT [-]."""
    cp_sd: float
    """Standard deviation of ln CP [-]."""
    correlation: float
    """Correlation of ln CT and ln CP [-]."""
    mach_gain_sd: float
    """Standard deviation of ln of the compressibility gain [-]; judgement, no open data reach tip Mach 0.5."""


TYPICAL = Scatter(ct_sd=0.18, cp_sd=0.21, correlation=0.75, mach_gain_sd=0.5)
"""Blade known by diameter, pitch and count only."""

GEOMETRY = Scatter(ct_sd=0.13, cp_sd=0.14, correlation=0.7, mach_gain_sd=0.5)
"""Measured chord and twist, unknown section."""
