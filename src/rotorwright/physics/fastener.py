"""Metric screws: the sizes behind a thread, its stress area, preload and torque, and how deep it must bite."""

from math import pi

__all__ = [
    "COARSE_PITCH",
    "coarse_pitch",
    "minor_diameter",
    "pitch_diameter",
    "preload",
    "root_diameter",
    "stress_area",
    "tightening_torque",
]

# Coarse pitch of each nominal diameter [m], ISO 262.
COARSE_PITCH = {
    1.6e-3: 0.35e-3,
    2.0e-3: 0.40e-3,
    2.5e-3: 0.45e-3,
    3.0e-3: 0.50e-3,
    4.0e-3: 0.70e-3,
    5.0e-3: 0.80e-3,
    6.0e-3: 1.00e-3,
}


def coarse_pitch(diameter: float) -> float:
    """Pitch of the coarse thread of a nominal diameter.

    diameter: nominal, scalar, within 0.05 mm of a size from M1.6 to M6 [m]
    returns: scalar [m]
    raises: ValueError for a diameter that is none of these
    source: ISO 262
    """
    size = min(COARSE_PITCH, key=lambda nominal: abs(nominal - diameter))
    if not abs(size - diameter) <= 5e-5:
        raise ValueError(f"{diameter * 1e3:g} mm is no coarse metric thread from M1.6 to M6")
    return COARSE_PITCH[size]


def pitch_diameter(diameter: float, pitch: float) -> float:
    """Pitch diameter of a metric thread, d2 = d - 0.649519 P [m]; source ISO 724."""
    return diameter - 0.649519 * pitch


def minor_diameter(diameter: float, pitch: float) -> float:
    """Minor diameter of the nut's thread, D1 = d - 1.082532 P [m]; source ISO 724."""
    return diameter - 1.082532 * pitch


def root_diameter(diameter: float, pitch: float) -> float:
    """Root diameter of the screw, d3 = d - 1.226869 P [m]; source ISO 724."""
    return diameter - 1.226869 * pitch


def stress_area(diameter: float, pitch: float) -> float:
    """Area that carries a screw's pull, As = (pi/4) ((d2 + d3)/2)^2.

    diameter, pitch: scalars [m]
    returns: scalar [m2]
    source: ISO 898-1
    """
    middle = (pitch_diameter(diameter, pitch) + root_diameter(diameter, pitch)) / 2
    return pi / 4 * middle**2


def preload(area: float, proof_stress: float, share: float = 0.7) -> float:
    """Pull of a tightened screw, F = share x yield stress x As.

    area: stress area, scalar [m2]; proof_stress: 640 MPa for class 8.8, scalar [Pa]; share: scalar [1]
    returns: scalar [N]
    source: ISO 898-1 for the class; the share is the usual one of handbooks (from memory)
    """
    return share * proof_stress * area


def tightening_torque(force: float, diameter: float, nut_factor: float = 0.2) -> float:
    """Torque that gives a preload, T = K F d; a ceiling for steel on steel, far too much for aluminium or carbon.

    force: scalar [N]; diameter: nominal, scalar [m]; nut_factor: K, scalar [1]
    returns: scalar [N m]
    source: Shigley, Mechanical Engineering Design (from memory)
    """
    return nut_factor * force * diameter
