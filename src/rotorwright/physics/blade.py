"""One propeller blade and its blade-element momentum solution in axial flow, from descent through hover to climb."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rotorwright.physics.blade_annulus import Cut, solve_annuli
from rotorwright.physics.polars import Polar, shipped_polar

__all__ = ["ANNULI", "Blade", "aerodynamic_twist", "blade_element_momentum", "cut_blade", "reynolds_75"]

Array = NDArray[np.float64]

ANNULI = 24
# Share of the measured excess of twist over the nominal helix that does not show in the forces, and the mean
# shift that remains [deg]: leave-families-out fit, docs/theory/rotor.md.
EXCESS_SHARE, EXCESS_SHIFT = 0.588, 0.433
EXCESS_STATIONS: Array = np.array([0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9])


@dataclass(frozen=True)
class Blade:
    """One blade of a propeller: chord and twist along the radius.

    Errors: ValueError whose text lists everything that is wrong, one sentence each.
    """

    diameter: float
    """Tip circle diameter [m]."""
    count: int
    """Number of blades [-]."""
    station: Array
    """Radius of each station over tip radius r/R [n_station] [-], increasing."""
    chord: Array
    """Chord over tip radius c/R [n_station] [-]."""
    twist: Array
    """Angle of the chord line to the disc plane [n_station] [rad]."""
    hub: float
    """Radius where the blade begins, over tip radius [-]."""
    pitch: float | None = None
    """Nominal pitch on the label, when the twist was measured [m]; see `aerodynamic_twist`."""

    def __post_init__(self) -> None:
        for name in ("station", "chord", "twist"):
            object.__setattr__(self, name, np.array(getattr(self, name), dtype=np.float64))
        faults = _faults(self)
        if faults:
            raise ValueError(" ".join(faults))

    @property
    def chord_75(self) -> float:
        """Chord at three quarters of the radius [m]."""
        return float(np.interp(0.75, self.station, self.chord)) * 0.5 * self.diameter


def _faults(blade: Blade) -> list[str]:
    """Sentences about what is wrong with a blade; empty when nothing is."""
    shapes = {blade.station.shape, blade.chord.shape, blade.twist.shape}
    if len(shapes) > 1 or blade.station.ndim != 1 or blade.station.size < 3:
        return ["Station, chord and twist must be lists of one length, at least three stations."]
    values = np.concatenate([blade.station, blade.chord, blade.twist, [blade.diameter, blade.hub, blade.count]])
    if not np.all(np.isfinite(values)):
        return ["A blade holds a value that is not a number."]
    r, c, t = blade.station, blade.chord, blade.twist
    tests = [
        (blade.diameter <= 0.0, "The diameter must be positive."),
        (not 1 <= blade.count <= 12, "A propeller has 1 to 12 blades."),
        (np.any(np.diff(r) <= 0.0), "The stations must increase outwards; this blade crosses itself."),
        (min(r) < 0.0 or max(r) > 1.0, "The stations r/R must lie between 0 and 1."),
        (max(r) < 0.94, f"The tip is missing: the last station is r/R = {max(r):g}, it must be 0.94 or more."),
        (min(r) > 0.4, f"The root is missing: the first station is r/R = {min(r):g}, it must be 0.4 or less."),
        (np.any(c <= 0.0), "Every chord must be positive."),
        (np.any(c > 1.0), "A chord c/R above 1 is not a blade; is it given in millimetres?"),
        (np.any(np.abs(t) > 1.5), "A twist is beyond 86 degrees; is it in degrees where radians are meant?"),
        (np.interp(0.95, r, t) > np.interp(0.4, r, t) + 0.02, "The twist grows towards the tip; it must fall."),
        (np.interp(0.75, r, t) < -0.035, "The twist is negative at 0.75 R: its sense is reversed."),
        (not 0.0 <= blade.hub < 0.5, "The hub radius over tip radius must lie between 0 and 0.5."),
        (_long_pitch(blade), "The pitch is not between 0 and twice the diameter; are the two swapped?"),
    ]
    return [sentence for wrong, sentence in tests if wrong]


def _long_pitch(blade: Blade) -> bool:
    return blade.pitch is not None and not 0.0 < blade.pitch <= 2.0 * blade.diameter


def aerodynamic_twist(blade: Blade) -> Blade:
    """The blade with the twist that its forces show, from the measured twist and the nominal pitch.

    Scans of small blades read one to two degrees off, and blades of more camber are labelled with more pitch: the
    mean excess e of measured twist over atan(pitch/(pi x D)) at 0.6-0.9 R is carried by the forces only in part,
    twist -> twist - 0.588 e + 0.433 deg. Without a pitch the blade is returned as it is.

    Source: leave-families-out fit on the UIUC Propeller Database, vols. 1-2 (docs/theory/rotor.md).
    """
    if blade.pitch is None:
        return blade
    helix = np.arctan(blade.pitch / (np.pi * EXCESS_STATIONS * blade.diameter))
    excess = float(np.mean(np.interp(EXCESS_STATIONS, blade.station, blade.twist) - helix))
    shift = math.radians(EXCESS_SHIFT) - EXCESS_SHARE * excess
    return replace(blade, twist=blade.twist + shift, pitch=None)


def lift_slope_factor(blade: Blade) -> float:
    """Lifting-surface factor on the lift slope, 1/sqrt(1 + (2/A)^2), A = blade span over mean chord.

    Source: the term by which Helmbold's low-aspect-ratio slope differs from the lifting line's, used as it
    stands (from memory, Helmbold 1942); it is what blade-element momentum theory leaves out on wide blades.
    """
    x = np.linspace(0.3, 1.0, 20)
    mean_chord = float(np.mean(np.interp(x, blade.station, blade.chord)))
    return 1.0 / math.sqrt(1.0 + (2.0 * mean_chord / (1.0 - blade.hub)) ** 2)


def cut_blade(blade: Blade, annuli: int = ANNULI) -> Cut:
    """Cut a blade into annuli that narrow towards the tip, where the load falls off steeply."""
    edges = blade.hub + (1.0 - blade.hub) * np.sin(0.5 * np.pi * np.linspace(0.0, 1.0, annuli + 1))
    r = 0.5 * (edges[1:] + edges[:-1])
    c, t = (np.interp(r, blade.station, line) for line in (blade.chord, blade.twist))
    c75 = 2.0 * blade.chord_75 / blade.diameter
    return Cut(r, np.diff(edges), c, t, float(blade.hub), float(blade.count), lift_slope_factor(blade), c75)


def reynolds_75(diameter: float, chord_75: float, rotation_rate: float, density: float, viscosity: float) -> float:
    """Reynolds number of the section at 0.75 R from rotation alone, Re75 = rho 0.75 pi n D c75/mu.

    Parameters: diameter, chord_75 [m]; rotation_rate [rev/s]; density [kg/m3]; viscosity [Pa s].
    Returns: Re75 [-].
    """
    return density * 0.75 * math.pi * rotation_rate * diameter * chord_75 / viscosity


def blade_element_momentum(
    blade: Blade,
    advance: float,
    rotation_rate: float,
    density: float,
    viscosity: float,
    sound_speed: float,
    polar: Polar | None = None,
    annuli: int = ANNULI,
) -> tuple[float, float]:
    """CT = T/(rho n^2 D^4) and CP = P/(rho n^3 D^5) of a propeller in axial flow.

    Parameters: blade - taken as it stands, see `aerodynamic_twist`; advance - J = V/(nD) [-], negative in descent;
    rotation_rate n [rev/s]; density [kg/m3]; viscosity [Pa s]; sound_speed [m/s]; polar - section, the typical one
    when None; annuli - number of annuli.
    Returns: CT, CP [-]; NaN where an input is NaN or an annulus has no solution.
    Range: checked against measurements at Re75 1e4 to 2.5e5 and tip Mach below 0.3.
    Source: Ning (2014), Wind Energy 17, 1327, residual rewritten so that hover is the same equation.
    """
    Re = reynolds_75(blade.diameter, blade.chord_75, rotation_rate, density, viscosity)
    M = 0.75 * math.pi * rotation_rate * blade.diameter / sound_speed
    section = (polar or shipped_polar()).section()
    CT, CP = solve_annuli(cut_blade(blade, annuli), section, float(advance), Re, M)
    return float(CT), float(CP)
