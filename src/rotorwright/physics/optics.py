"""What a lens sees: fields of view and where a point lies in the picture. Angles in radians.

The lens is rectilinear (straight lines stay straight: r = f tan theta) unless a function says otherwise; wide lenses
of flying cameras distort towards r = f theta, so that a stated field of view exceeds the rectilinear one.
Plain geometry; x forward, y left, z up, a tilt raises the lens.
"""

import numpy as np
from numpy.typing import NDArray

__all__ = ["across", "across_equidistant", "elevation_in_picture", "field_of_view", "level_acceleration"]

Floats = float | NDArray[np.float64]

GRAVITY = 9.80665  # [m/s2]


def _plain(value: Floats) -> Floats:
    return float(value) if np.ndim(value) == 0 else np.asarray(value)


def field_of_view(size: Floats, focal_length: Floats) -> Floats:
    """Field of view of a rectilinear lens, 2 atan(w/(2 f)) [rad].

    size: width, height or diagonal of the picture on the sensor [m]; focal_length: > 0, focused far [m]
    """
    return _plain(2 * np.arctan(np.asarray(size) / (2 * np.asarray(focal_length))))


def across(view: Floats, ratio: Floats) -> Floats:
    """Field of view along a side `ratio` times as long, 2 atan(r tan(v/2)) [rad].

    view: below pi [rad]
    ratio: of the sides in the picture: height over width, or diagonal over width [1]
    """
    v = np.asarray(view)
    return _plain(np.where(v < np.pi, 2 * np.arctan(ratio * np.tan(v / 2)), np.nan))


def across_equidistant(view: Floats, ratio: Floats) -> Floats:
    """The same for a lens that maps equal angles to equal lengths (r = f theta), r v [rad].

    view: [rad]; ratio: of the sides in the picture [1]
    """
    return _plain(np.asarray(view) * ratio)


def elevation_in_picture(forward: Floats, left: Floats, up: Floats, tilt: Floats) -> Floats:
    """Angle of a point above the middle line of the picture of a tilted rectilinear lens [rad].

    With the lens turned up by the tilt, z' = z cos t - x sin t and x' = x cos t + z sin t: atan(z'/x'). The point
    lies inside the picture's height when the angle is within plus or minus half the vertical field of view.

    forward, left, up: from the lens to the point [m]; tilt: of the lens above forward [rad]
    returns: NaN for a point beside or behind the lens
    """
    x, z, t = np.asarray(forward), np.asarray(up), np.asarray(tilt)
    ahead = x * np.cos(t) + z * np.sin(t)
    above = z * np.cos(t) - x * np.sin(t) + 0.0 * np.asarray(left)
    with np.errstate(divide="ignore", invalid="ignore"):
        return _plain(np.where(ahead > 0, np.arctan(above / ahead), np.nan))


def level_acceleration(tilt: Floats) -> Floats:
    """Forward acceleration from rest when the tilted lens looks level, g tan(t), drag left out [m/s2].

    tilt: of the lens, equal to the craft's pitch when the picture is level, below pi/2 [rad]
    """
    return _plain(GRAVITY * np.tan(tilt))
