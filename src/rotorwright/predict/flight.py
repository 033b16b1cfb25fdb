"""Level flight, climb and descent: power over speed, best speeds, top speed, punch-out, braking, camera tilt."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import PowertrainColumns
from rotorwright.craft.model import Craft
from rotorwright.parts.electronics import Camera
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.level_flight import LIMITS, brake_distance, fastest
from rotorwright.physics.momentum import RING_STATE_SPEED, hover_induced_velocity
from rotorwright.physics.response import punch_times
from rotorwright.physics.rotor_inflow import vortex_ring_band
from rotorwright.predict.result import Prediction

__all__ = ["CHARGE", "Flight", "SpeedPoint", "best_speed", "flight", "found", "speed_grid"]

Array = NDArray[np.float64]

CHARGE = 0.8
"""State of charge of every figure here: a pack that has just been used a little."""

# Discs are not tilted further in level flight, nor back when braking: common practice, no source.
_PITCH_LIMIT = math.radians(80.0)
_BRAKE_TILT = math.radians(45.0)
_PUNCH_HEIGHT = 30.0
_GRID, _COARSE = 25, 13


@dataclass(frozen=True, slots=True)
class SpeedPoint:
    """Level flight at one speed."""

    speed_m_per_s: float
    pitch_deg: Prediction
    throttle: Prediction
    battery_current_a: Prediction
    power_w: Prediction
    energy_per_metre_j: Prediction


@dataclass(frozen=True, slots=True)
class Flight:
    """Steady flight in still air at `state_of_charge`; `top_speed_limit` says what ends the speed."""

    state_of_charge: float
    drag_area_m2: Prediction
    drag_area_top_m2: Prediction
    drag_area_basis: str
    top_speed_m_per_s: Prediction
    top_speed_limit: str
    best_range_speed_m_per_s: Prediction
    best_endurance_speed_m_per_s: Prediction
    gust_margin_m_per_s: Prediction
    cruise_speed_m_per_s: Prediction
    camera_tilt_deg: Prediction
    camera_level_speed_m_per_s: Prediction
    climb_m_per_s: Prediction
    punch_30m_s: Prediction
    punch_speed_m_per_s: Prediction
    ring_state_descent_m_per_s: Prediction
    ring_state_leaves_at_m_per_s: Prediction
    brake_distance_m: Prediction
    curve: tuple[SpeedPoint, ...]
    samples: int


def found(values: Array, unit: str, missing: str | None = None) -> Prediction:
    """A prediction whose reason is `missing`, given only where there is no nominal value."""
    return Prediction.of(values, unit, None if np.isfinite(values[0]) else missing)


def speed_grid(columns: PowertrainColumns, charge: float = CHARGE, count: int = _GRID) -> Array:
    """`count` speeds from standing to the nominal top speed [m/s]."""
    top, _ = _fastest(columns, 0.0, charge, _PITCH_LIMIT, nominal=True)
    return np.linspace(0.0, float(top[0]) if np.isfinite(top[0]) else 1.0, count)


def best_speed(columns: PowertrainColumns, kind: str, charge: float) -> Array:
    """Speed of least power ('endurance') or of least energy a metre ('range') of every sample [m/s]."""
    speeds = speed_grid(columns, charge, _COARSE)
    points = columns.level(speed=speeds[None, :], charge=charge)
    return _best(speeds, _power(points), kind)


def _power(points: NDArray[np.void]) -> Array:
    """Power out of the pack where the point can be flown, else NaN [W]."""
    return np.where(points["status"] == 0, points["power"], np.nan)


def _best(speeds: Array, power: Array, kind: str) -> Array:
    """Minimum of the smooth curve through the grid, cubic pieces between chord slopes, sample by sample."""
    with np.errstate(divide="ignore", invalid="ignore"):
        cost = power if kind == "endurance" else np.where(speeds > 0.0, power / speeds, np.inf)
    cost = np.where(np.isnan(cost), np.inf, cost)
    last = len(speeds) - 1
    k = np.clip(np.argmin(cost, axis=1), 1, last - 1)
    row = np.arange(len(cost))

    def at(place: NDArray[np.int64]) -> Array:
        return np.asarray(cost[row, np.clip(place, 0, last)])

    def slope(place: NDArray[np.int64]) -> Array:
        return np.asarray(0.5 * (at(place + 1) - at(place - 1)))

    with np.errstate(divide="ignore", invalid="ignore"):
        k_0 = k - (slope(k) > 0.0)
        low, high, chord = slope(k_0), slope(k_0 + 1), at(k_0 + 1) - at(k_0)
        # the slope within the piece is low + bend t + (third derivative) t^2
        bend, third = 2.0 * (3.0 * chord - 2.0 * low - high), 3.0 * (low + high - 2.0 * chord)
        share = -2.0 * low / (bend + np.sqrt(bend * bend - 4.0 * third * low))
    share = np.where(np.isfinite(share), share, k - k_0)
    best = speeds[k_0] + (speeds[1] - speeds[0]) * np.clip(share, 0.0, 1.0)
    return np.where(np.isfinite(at(k)), best, np.nan)


def _fastest(
    columns: PowertrainColumns, path: float, charge: float, pitch: float, nominal: bool = False
) -> tuple[Array, NDArray[np.int64]]:
    rows = columns.craft[:1] if nominal else columns.craft
    speeds, limits = np.full(len(rows), np.nan), np.zeros(len(rows), np.int64)
    fastest(rows.view(np.recarray), columns.rotors, path, charge, pitch, speeds, limits)
    return speeds, limits


def flight(craft: Craft, columns: PowertrainColumns) -> Flight:
    """Everything about steady flight of `craft`."""
    limit = craft.flight.pitch_limit.value if craft.flight.pitch_limit else _PITCH_LIMIT
    top, limits = _fastest(columns, 0.0, CHARGE, limit)
    climb, _ = _fastest(columns, math.pi / 2, CHARGE, math.pi)
    speeds = speed_grid(columns)
    points = columns.level(speed=speeds[None, :], charge=CHARGE)
    power = _power(points)
    best_range, least = (_best(speeds, power, kind) for kind in ("range", "endurance"))
    cruise = craft.flight.cruise_speed
    at = np.full(len(top), cruise.value) if cruise else best_range
    tilt = _pitch_at(speeds, points, at)
    punch, punch_speed = _punch(columns, points)
    reason = "it cannot hover"
    vh = _hover_induced(columns)
    given = craft.flight.drag_area
    return Flight(
        state_of_charge=CHARGE,
        drag_area_m2=found(columns.craft["drag_area"], "m2"),
        drag_area_top_m2=found(columns.craft["drag_area_top"], "m2"),
        drag_area_basis=str(given.basis) if given else "shadow of the parts",
        top_speed_m_per_s=found(top, "m/s", reason),
        top_speed_limit=LIMITS[int(limits[0])],
        best_range_speed_m_per_s=found(best_range, "m/s", reason),
        best_endurance_speed_m_per_s=found(least, "m/s", reason),
        gust_margin_m_per_s=found(top - best_range, "m/s", reason),
        cruise_speed_m_per_s=Prediction.exact(cruise.value, "m/s") if cruise else found(best_range, "m/s"),
        camera_tilt_deg=found(np.degrees(tilt), "deg", "this speed cannot be flown level"),
        camera_level_speed_m_per_s=_level_speed(craft, speeds, points),
        climb_m_per_s=found(climb, "m/s", reason),
        punch_30m_s=found(punch, "s", "it does not reach 30 m within twenty seconds"),
        punch_speed_m_per_s=found(punch_speed, "m/s", reason),
        ring_state_descent_m_per_s=found(-vortex_ring_band(0.0)[1] * vh, "m/s"),
        ring_state_leaves_at_m_per_s=found(RING_STATE_SPEED * vh, "m/s"),
        brake_distance_m=_brake(columns, top, points, reason),
        curve=tuple(_speed_point(v, points[:, k]) for k, v in enumerate(speeds)),
        samples=len(top) - 1,
    )


def _pitch_at(speeds: Array, points: NDArray[np.void], at: Array) -> Array:
    """Pitch at a speed of each sample [rad], linear between the grid's; NaN beyond what can be flown."""
    pitch = np.where(points["status"] == 0, points["pitch"], np.nan)
    return np.array([np.interp(v, speeds, row, right=np.nan) for v, row in zip(at, pitch, strict=True)])


def _level_speed(craft: Craft, speeds: Array, points: NDArray[np.void]) -> Prediction:
    """Speed at which the camera as mounted sees the horizon level."""
    placed = craft.the("camera")
    tilt = placed.part.tilt if placed and isinstance(placed.part, Camera) else None
    if tilt is None:
        return Prediction.absent("m/s", "no camera with a tilt on the craft")
    rows = [row[np.isfinite(row)] for row in points["pitch"]]
    speeds_level = np.array([np.interp(tilt.value, row, speeds[: len(row)], right=np.nan) for row in rows])
    return found(speeds_level, "m/s", "it never pitches that far in level flight")


def _punch(columns: PowertrainColumns, points: NDArray[np.void]) -> tuple[Array, Array]:
    times, speeds = np.full((2, len(columns.craft)), np.nan)
    rotation = np.ascontiguousarray(points["rotation"][:, 0])
    punch_times(columns.craft.view(np.recarray), columns.rotors, rotation, _PUNCH_HEIGHT, CHARGE, times, speeds)
    return times, speeds


def _hover_induced(columns: PowertrainColumns) -> Array:
    c = columns.craft
    area = math.pi / 4 * c["diameter"] ** 2
    thrust = c["mass"] * GRAVITY / c["motors"]
    return np.array([hover_induced_velocity(*row) for row in zip(thrust, area, c["density"], strict=True)])


def _brake(columns: PowertrainColumns, top: Array, points: NDArray[np.void], reason: str) -> Prediction:
    """From top speed, nose up as far as thrust holds the height, at most 45 degrees."""
    full = columns.solve(duty=1.0, charge=CHARGE)
    ratio = full["thrust"] * columns.craft["motors"] / (columns.craft["mass"] * GRAVITY)
    tilt = np.minimum(np.arccos(np.clip(1.0 / ratio, 0.0, 1.0)), _BRAKE_TILT)
    slope = _side_drag(columns, points)
    rows = columns.craft.view(np.recarray)
    ways = [brake_distance(rows[i], top[i], tilt[i], slope[i]) for i in range(len(top))]
    return found(np.array(ways), "m", reason)


def _side_drag(columns: PowertrainColumns, points: NDArray[np.void]) -> Array:
    """Deceleration a speed by the rotors' in-plane drag, from the first step of the grid [1/s]."""
    c, speed = columns.craft, points["edgewise_speed"][:, 1]
    drag = c["motors"] * points["in_plane"][:, 1]
    return np.asarray(np.divide(drag, speed * c["mass"], out=np.full(len(c), np.nan), where=speed > 0.0))


def _speed_point(speed: float, points: NDArray[np.void]) -> SpeedPoint:
    good = points["status"] == 0

    def result(values: Array, unit: str) -> Prediction:
        return found(np.where(good, values, np.nan), unit, "more than it can fly")

    return SpeedPoint(
        speed_m_per_s=float(speed),
        pitch_deg=result(np.degrees(points["pitch"]), "deg"),
        throttle=result(points["duty"], "1"),
        battery_current_a=result(points["battery_current"], "A"),
        power_w=result(points["power"], "W"),
        energy_per_metre_j=result(points["power"] / speed, "J/m")
        if speed > 0.0
        else Prediction.absent("J/m", "standing"),
    )
