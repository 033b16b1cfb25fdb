"""What each lens of a craft sees: fields of view, the picture's upper and lower edge, and how late it is."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws
from rotorwright.craft.model import Craft, PlacedPart
from rotorwright.parts.electronics import Camera, RecordingCamera, VideoTransmitter
from rotorwright.physics.optics import across, across_equidistant, field_of_view, level_acceleration
from rotorwright.predict.result import Prediction

__all__ = ["CameraOptics", "optics"]

Array = NDArray[np.float64]

_LENS = "not computed: give field_of_view_deg and aspect, or focal_length_mm and sensor_mm"


@dataclass(frozen=True, slots=True)
class CameraOptics:
    """One camera: fields of view, tilt, elevation of the picture's edges above the craft's forward axis.

    `level_acceleration_m_per_s2` is that from rest when the picture is level; `blind_distance_m` is flown at the
    cruise speed within the latency of camera and transmitter (screen, goggles and pilot come on top).
    """

    camera: str
    horizontal_deg: Prediction
    vertical_deg: Prediction
    diagonal_deg: Prediction
    tilt_deg: Prediction
    top_deg: Prediction
    bottom_deg: Prediction
    level_acceleration_m_per_s2: Prediction
    latency_s: Prediction
    blind_distance_m: Prediction


def optics(craft: Craft, draws: Draws | None = None) -> tuple[CameraOptics, ...]:
    """Optics of every camera on `craft`; a view that is not stated follows from another by the lens.

    Between directions of the picture a real wide lens lies between rectilinear (r = f tan theta) and equidistant
    (r = f theta): the value is the mean of both, the samples fill what is between.
    """
    draws = draws or Draws()
    return tuple(_of(p, craft, draws) for p in craft.parts if isinstance(p.part, Camera | RecordingCamera))


def _of(placed: PlacedPart, craft: Craft, draws: Draws) -> CameraOptics:
    part = placed.part
    assert isinstance(part, Camera | RecordingCamera)
    wide, high, diagonal = _views(part, draws)
    tilt = _tilt(placed, draws)
    half = None if high is None else high / 2
    latency, reason = _latency(part, craft, draws)
    cruise = craft.flight.cruise_speed
    slow = reason or "not computed: give cruise_speed_m_per_s in [flight]"
    blind = None if latency is None or cruise is None else latency * draws.of(cruise, "flight.cruise_speed")
    return CameraOptics(
        camera=placed.id,
        horizontal_deg=_degrees(wide),
        vertical_deg=_degrees(high),
        diagonal_deg=_degrees(diagonal),
        tilt_deg=_degrees(tilt),
        top_deg=_degrees(None if half is None else tilt + half),
        bottom_deg=_degrees(None if half is None else tilt - half),
        level_acceleration_m_per_s2=Prediction.of(np.asarray(level_acceleration(tilt)), "m/s2"),
        latency_s=_said(latency, "s", reason),
        blind_distance_m=_said(blind, "m", slow),
    )


def _views(part: Camera | RecordingCamera, draws: Draws) -> tuple[Array | None, Array | None, Array | None]:
    """Horizontal, vertical and diagonal field of view [rad], each None when it cannot be known."""
    name = part.name
    given = {"field_of_view": None, "field_of_view_diagonal": None} | {
        key: draws.of(estimate, f"{name}.{key}")
        for key in ("field_of_view", "field_of_view_diagonal")
        if (estimate := getattr(part, key, None)) is not None
    }
    wide, diagonal = given["field_of_view"], given["field_of_view_diagonal"]
    if wide is None and diagonal is None:
        return _by_focal_length(part, draws)
    if part.aspect is None:
        return wide, None, diagonal
    a = part.aspect
    longer = math.hypot(1.0, 1.0 / a)
    lens = f"{name}.projection"
    if wide is None and diagonal is not None:
        wide = _along(diagonal, 1.0 / longer, lens, draws)
    assert wide is not None
    return (
        wide,
        _along(wide, 1.0 / a, lens, draws),
        _along(wide, longer, lens, draws) if diagonal is None else diagonal,
    )


def _by_focal_length(part: Camera | RecordingCamera, draws: Draws) -> tuple[Array | None, Array | None, Array | None]:
    """Views of a rectilinear lens from the sensor's sides; what a distorting lens shows exceeds them."""
    focal, sensor = getattr(part, "focal_length", None), getattr(part, "sensor", None)
    if focal is None or sensor is None:
        return None, None, None
    f = draws.of(focal, f"{part.name}.focal_length")
    wide, high, diagonal = (np.asarray(field_of_view(w, f)) for w in (*sensor, math.hypot(*sensor)))
    return wide, high, diagonal


def _along(view: Array, ratio: float, key: str, draws: Draws) -> Array:
    """View along a side `ratio` times as long, sampled between the two projections [rad]."""
    share = np.clip(0.5 + 0.3 * draws.normal(key), 0.0, 1.0)
    straight = np.asarray(across(np.minimum(view, 0.97 * np.pi), ratio))
    return np.asarray((1 - share) * straight + share * across_equidistant(view, ratio))


def _tilt(placed: PlacedPart, draws: Draws) -> Array:
    """Tilt above forward [rad]: that of the camera, and of its place when the part as a whole is turned."""
    own = getattr(placed.part, "tilt", None)
    tilt = draws.constant(0.0) if own is None else draws.of(own, f"{placed.part.name}.tilt")
    return tilt - (placed.places[0].pitch if placed.places else 0.0)


def _latency(part: Camera | RecordingCamera, craft: Craft, draws: Draws) -> tuple[Array | None, str]:
    if not isinstance(part, Camera):
        return None, "not computed: it does not show the pilot anything"
    sender = next((p.part for p in craft.parts if isinstance(p.part, VideoTransmitter)), None)
    if sender is None or sender.latency is None or part.latency is None:
        return None, "not computed: give latency_ms of the camera and of the video transmitter"
    own = draws.of(part.latency, f"{part.name}.latency")
    return own + draws.of(sender.latency, f"{sender.name}.latency"), ""


def _said(samples: Array | None, unit: str, reason: str) -> Prediction:
    return Prediction.absent(unit, reason) if samples is None else Prediction.of(samples, unit)


def _degrees(angle: Array | None) -> Prediction:
    return _said(None if angle is None else np.degrees(angle), "deg", _LENS)
