"""Moment of inertia from a swing on two or three parallel threads.

A body of mass m hangs by threads of length L at a distance r from the vertical axis through its centre, and turns to
and fro in a time T:

    I = m g r^2 T0^2/(4 pi^2 L),  T0 = T/(k sqrt(1 + (ln q/2 pi)^2))

k is the period at the amplitude over that of a small one, by quadrature of the energy of the swing (its rise and fall
included); q is what is left of the amplitude after one swing.
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rotorwright.errors import CannotCompute
from rotorwright.measure.fit import Fit, FittedValue, SetAside, set_aside
from rotorwright.measure.least_squares import solve
from rotorwright.parts.estimate import Estimate
from rotorwright.physics.air import GRAVITY

__all__ = ["fit_swing", "period_stretch", "small_swing_inertia"]

Array = NDArray[np.float64]

_HAND = 0.12  # [s] of starting and stopping a watch together: from experience, no source
_WIDE = math.radians(20.0)
_SHORT = 4.0  # thread over radius, below which the threads' slant counts
_NODES = 24


def small_swing_inertia(mass: float, radius: float, length: float, period: float) -> float:
    """Moment of inertia, I = m g r^2 T^2/(4 pi^2 L) [kg m2], of a small swing without damping.

    mass [kg]; radius: of the threads from the axis, half the spacing of two threads [m]; length [m]; period: of one
    whole swing, to and fro [s]
    source: two-thread form Jardin and Mueller, AIAA 2007-6822; the same for any number of threads on a circle
    """
    return mass * GRAVITY * radius**2 * period**2 / (4.0 * math.pi**2 * length)


def period_stretch(amplitude: float, radius: float, length: float, mass: float, inertia: float) -> float:
    """Period at an amplitude over that of a small one [-], T = 4 int sqrt((I + m z'^2)/(2 m g (z0 - z))) dtheta.

    amplitude [rad]; radius, length [m]; mass [kg]; inertia [kg m2]; z = L - sqrt(L^2 - 4 r^2 sin^2(theta/2))
    """
    if amplitude <= 1e-3:
        return 1.0
    nodes, weights = np.polynomial.legendre.leggauss(_NODES)
    u = 0.25 * math.pi * (nodes + 1.0)
    theta = amplitude * np.sin(u)
    fall = _rise(amplitude, radius, length) - _rise(theta, radius, length)
    slope = radius**2 * np.sin(theta) / (length - _rise(theta, radius, length))
    speed = np.sqrt(2.0 * mass * GRAVITY * fall / (inertia + mass * slope**2))
    period = 4.0 * float(np.sum(weights * amplitude * np.cos(u) / speed)) * 0.25 * math.pi
    return period / (2.0 * math.pi * math.sqrt(inertia * length / (mass * GRAVITY)) / radius)


def _rise(theta: Array | float, radius: float, length: float) -> Array:
    return np.asarray(length - np.sqrt(length**2 - 4.0 * radius**2 * np.sin(np.asarray(theta) / 2.0) ** 2))


def fit_swing(
    times: ArrayLike,
    swings: ArrayLike,
    *,
    radius: Estimate,
    length: Estimate,
    mass: Estimate,
    axis: str = "z",
    amplitude: float = math.radians(10.0),
    kept: float = 1.0,
    platform: tuple[Estimate, Estimate] | None = None,
) -> Fit:
    """Inertia of a craft about `axis` ("x" roll, "y" pitch, "z" yaw) from timed swings.

    times: (n,) [s], each of `swings` (n,) whole swings; radius: of the threads from the axis [m], half the spacing of
    two threads; length: of the threads [m]; mass: that swings, without the platform [kg]; amplitude: at the middle of
    a timing [rad]; kept: share of the amplitude left after one swing; platform: mass [kg] and inertia [kg m2] of what
    the craft lies on
    valid: threads parallel and alike, centre of mass midway between them, axis upright
    Raises CannotCompute when no timing can be used or the platform alone explains the swing.
    """
    t, n = (np.atleast_1d(np.asarray(column, dtype=float)) for column in (times, swings))
    with np.errstate(invalid="ignore", divide="ignore"):
        one = np.where((n >= 1) & (t > 0), t / n, np.nan)
    flags = {"time or number of swings is missing or not positive": ~np.isfinite(one)}
    if not np.isfinite(one).any():
        raise CannotCompute("no timed swing can be used")
    period, marked, off = _period(one, np.broadcast_to(n, t.shape))
    left = np.where(marked, np.nan, off)
    load, tare = platform or (Estimate(0.0), Estimate(0.0))
    all_up = Estimate(mass.value + load.value, math.hypot(mass.sd, load.sd))
    whole = _inertia(period.value, radius.value, length.value, all_up.value, amplitude, kept)
    value = whole - tare.value
    if value <= 0.0:
        raise CannotCompute("the platform's own inertia explains the whole swing: is its value right?")
    parts = (2.0 * period.relative, 2.0 * radius.relative, length.relative, all_up.relative)
    sd = math.hypot(whole * math.hypot(*parts), tare.sd)
    aside = [SetAside(int(r), "the time does not agree with the others") for r in np.flatnonzero(marked)]
    note = "about the axis of the threads, through the centre of mass; no field of a craft"
    return Fit(
        name="swing",
        values=(FittedValue("craft", f"inertia_{axis}{axis}", value, sd, "kg m2", note),),
        covariance=np.array([[sd**2]]),
        rows_used=int(np.isfinite(left).sum()),
        rows_set_aside=tuple(sorted((*set_aside(flags), *aside), key=lambda s: s.row)),
        residual_sd={"period_s": float(np.sqrt(np.nanmean(np.square(left))))},
        residuals={"period_s": left},
        identifies=_words(parts, tare.sd / whole),
        notes=_notes(radius.value, length.value, amplitude, kept, float(np.nansum(n))),
        aside={"period_s": np.where(marked, off, np.nan)},
    )


def _inertia(period: float, radius: float, length: float, mass: float, amplitude: float, kept: float) -> float:
    """Inertia of what swings [kg m2]; the stretch depends on it a little, so that it is found in turns."""
    damped = math.sqrt(1.0 + (math.log(kept) / (2.0 * math.pi)) ** 2)
    inertia, stretch = small_swing_inertia(mass, radius, length, period), 1.0
    for _ in range(4):
        stretch = period_stretch(amplitude, radius, length, mass, inertia)
        inertia = small_swing_inertia(mass, radius, length, period / (stretch * damped))
    return inertia


def _period(one: Array, swings: Array) -> tuple[Estimate, NDArray[np.bool_], Array]:
    """Time of one swing, timings that do not belong, and what is left over of each."""
    sd = _HAND / np.maximum(swings, 1.0)
    start = np.array([float(np.nanmedian(one))])
    found = solve(lambda x: np.asarray((one - x[0]) / sd), start, trust=4.0)
    mean, sd_of_it = float(found.values[0]), float(math.sqrt(found.covariance[0, 0]))
    return Estimate(mean, sd_of_it), found.marked, one - mean


def _words(parts: tuple[float, ...], platform: float) -> str:
    shares = {
        "the timing": parts[0],
        "the threads' distance": parts[1],
        "their length": parts[2],
        "the mass": parts[3],
    }
    shares["the platform"] = platform
    most = max(shares, key=lambda name: shares[name])
    return f"The timings find the inertia about the threads' axis alone. Most of its bar comes from {most}."


def _notes(radius: float, length: float, amplitude: float, kept: float, swings: float) -> tuple[str, ...]:
    notes = ["Air that swings with the propellers is counted in: hold them still or take them off."]
    if amplitude > _WIDE:
        notes.append(
            f"An amplitude of {math.degrees(amplitude):.0f} degrees is wide: it is allowed for, but damping by the"
            " air and slack threads are not. Ten degrees is better."
        )
    if kept < 0.9:
        notes.append("The swing dies fast: air drag is no steady damping, so that the allowance for it is rough.")
    if length < _SHORT * radius:
        notes.append(
            "Threads this short slant: a small difference in their lengths tilts the craft and counts twice."
        )
    if swings < 20:
        notes.append("Few swings were timed: the hand on the watch is most of the bar. Time twenty or more.")
    return tuple(notes)
