"""Radio links in free space and among obstacles: loss, noise, polarisation, Fresnel zones, range.

Powers are levels in dBm, gains in dBi, losses in dB counted positive. Every function takes numbers or arrays.

Sources: free-space loss by Friis (1946), as in ITU-R P.525; thermal noise k T B; polarisation match from the Stokes
vectors of two waves (any text on antennas; from memory); first Fresnel zone as in ITU-R P.526 and the clearance rule
of 60 % as in ITU-R P.530 (from memory); loss that grows with a power of the distance from a reference of 1 m
(the 'close-in' form of published channel models; from memory).
"""

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "CLEARANCE",
    "SPEED_OF_LIGHT",
    "axial_ratio_ellipticity",
    "clear_distance",
    "dbm",
    "eirp_of_field",
    "free_space_loss",
    "fresnel_radius",
    "noise_level",
    "path_loss",
    "path_range",
    "polarisation_match",
    "received_level",
    "watts",
    "wavelength",
]

Floats = float | NDArray[np.float64]

SPEED_OF_LIGHT = 299_792_458.0  # [m/s]
BOLTZMANN = 1.380649e-23  # [J/K]
CLEARANCE = 0.6  # share of the first Fresnel zone that should be free of obstacles
REFERENCE = 1.0  # distance from which the loss grows with the exponent [m]


def _plain(value: Floats) -> Floats:
    return float(value) if np.ndim(value) == 0 else np.asarray(value)


def wavelength(frequency: Floats) -> Floats:
    """Wavelength in air, c/f [m].

    frequency: > 0 [Hz]
    """
    return SPEED_OF_LIGHT / frequency


def dbm(power: Floats) -> Floats:
    """Level of a power, 10 log10(P/1 mW) [dBm]; minus infinity for none.

    power: >= 0 [W]
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return _plain(10 * np.log10(np.asarray(power) / 1e-3))


def watts(level: Floats) -> Floats:
    """Power of a level, 1 mW 10^(L/10) [W].

    level: [dBm]
    """
    return _plain(1e-3 * 10 ** (np.asarray(level) / 10))


def free_space_loss(distance: Floats, frequency: Floats) -> Floats:
    """Loss between isotropic antennas in free space, 20 log10(4 pi d f/c) [dB].

    distance: > 0, several wavelengths or more [m]; frequency: > 0 [Hz]
    source: Friis (1946); ITU-R P.525 rounds its constant and lies 0.05 dB lower
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return _plain(20 * np.log10(4 * np.pi * np.asarray(distance) * frequency / SPEED_OF_LIGHT))


def path_loss(distance: Floats, frequency: Floats, exponent: Floats = 2.0) -> Floats:
    """Median loss that grows with a power of the distance, L(1 m) + 10 n log10(d/1 m) [dB].

    distance: > 0 [m]; frequency: > 0 [Hz]
    exponent: n, 2 in free space and below 1 m; 2.7 to 3.5 where obstacles stand about (handbooks; from memory) [1]
    """
    d = np.asarray(distance)
    with np.errstate(divide="ignore", invalid="ignore"):
        beyond = 10 * np.log10(np.maximum(d, REFERENCE) / REFERENCE)
    return _plain(free_space_loss(distance, frequency) + (np.asarray(exponent) - 2) * beyond)


def path_range(loss: Floats, frequency: Floats, exponent: Floats = 2.0) -> Floats:
    """Distance at which `path_loss` is reached, the inverse of it [m].

    loss: that can be borne, fade margin taken off [dB]; frequency: > 0 [Hz]; exponent: > 0 [1]
    """
    spare = np.asarray(loss) - free_space_loss(REFERENCE, frequency)
    return _plain(REFERENCE * 10 ** (spare / (10 * np.where(spare > 0, exponent, 2.0))))


def received_level(radiated: Floats, gain: Floats, loss: Floats) -> Floats:
    """Level at the receiver, e.i.r.p. + G - L [dBm].

    radiated: e.i.r.p. of the sender [dBm]; gain: of the receiving antenna [dBi]; loss: of the path and the rest [dB]
    """
    return radiated + gain - loss


def noise_level(bandwidth: Floats, noise_figure: Floats = 0.0, temperature: float = 290.0) -> Floats:
    """Noise at a receiver's input, k T B with the noise figure on top [dBm].

    bandwidth: > 0 [Hz]; noise_figure: [dB]; temperature: 290 K is what noise figures are defined at [K]
    """
    return _plain(dbm(BOLTZMANN * temperature * np.asarray(bandwidth)) + noise_figure)


def eirp_of_field(field: Floats, distance: Floats) -> Floats:
    """Radiated power (e.i.r.p.) that makes a field strength in free space, (E d)^2/30 [W].

    field: effective value [V/m]; distance: in the far field [m]
    """
    return (field * distance) ** 2 / 30


def axial_ratio_ellipticity(axial_ratio: Floats, hand: float) -> Floats:
    """Minor over major axis of a polarisation ellipse with the sign of its hand, s 10^(-AR/20) [1].

    axial_ratio: >= 0, 0 for perfectly circular [dB]
    hand: +1 right, -1 left, 0 linear (the axial ratio then does not matter)
    """
    return _plain(hand * 10 ** (-np.asarray(axial_ratio) / 20))


def polarisation_match(one: Floats, other: Floats, angle: Floats) -> Floats:
    """Share of the power that passes between two polarisations, (1 + s1 . s2)/2 with their Stokes vectors [1].

    With b the signed ellipticity, s = (1 - b^2)/(1 + b^2) along the major axis and 2 b/(1 + b^2) along the hand:
    p = (1 + c1 c2 + l1 l2 cos 2 angle)/2.

    one, other: ellipticities of the antennas, -1 (left) over 0 (linear) to 1 (right) [1]
    angle: between the major axes [rad]
    returns: 1 matched, 0.5 linear to circular, 0 for opposite hands or crossed linear antennas
    """
    b1, b2 = np.asarray(one), np.asarray(other)
    c = 4 * b1 * b2
    line = (1 - b1**2) * (1 - b2**2) * np.cos(2 * np.asarray(angle))
    return _plain(np.maximum(1 + (c + line) / ((1 + b1**2) * (1 + b2**2)), 0.0) / 2)


def fresnel_radius(near: Floats, far: Floats, frequency: Floats) -> Floats:
    """Radius of the first Fresnel zone, sqrt(lambda d1 d2/(d1 + d2)) [m].

    near, far: distances to the two ends, > 0 [m]; frequency: > 0 [Hz]
    """
    return _plain(np.sqrt(wavelength(frequency) * np.asarray(near) * far / (near + far)))


def clear_distance(height: Floats, other_height: Floats, frequency: Floats, share: float = CLEARANCE) -> Floats:
    """Distance up to which flat ground stays out of a share of the first Fresnel zone, 4 h1 h2/(k^2 lambda) [m].

    The zone is an ellipse with the half-width k sqrt(lambda d)/2; it touches the ground when that is sqrt(h1 h2).

    height, other_height: of the antennas above the ground, >= 0 [m]; frequency: > 0 [Hz]; share: k, 0.6 by custom [1]
    """
    return 4 * height * other_height / (share**2 * wavelength(frequency))
