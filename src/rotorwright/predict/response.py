"""How it answers the stick: rotor lag, angular acceleration, a full roll, throttle feel, damping, latency."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import PowertrainColumns
from rotorwright.craft.model import Craft
from rotorwright.parts.electronics import Camera, VideoTransmitter
from rotorwright.parts.estimate import Estimate
from rotorwright.physics.response import step_times, turn_times
from rotorwright.predict.flight import CHARGE, found
from rotorwright.predict.result import Prediction

__all__ = ["Response", "response", "steady_accelerations", "step_answer", "throttle_gain"]

Array = NDArray[np.float64]

# The step that 'rise' and 'fall' mean: thrust from the weight to this many times it and back.
_STEP = 1.5
_NUDGE = 0.5  # [m/s] of axial speed to either side
_SIDEWAYS = 1.0  # [m/s]


@dataclass(frozen=True, slots=True)
class Response:
    """Answers at hover, at `state_of_charge`; the controller's own delay and its filters are not in them.

    Angular accelerations are steady ones, one side of the discs at full throttle and the other stopped; yaw counts
    the rotors' drag torque alone. `full_roll_s` is a roll from rest to rest, by stick hard over and hard back.
    """

    state_of_charge: float
    step_thrust_to_weight: float
    thrust_rise_s: Prediction
    thrust_fall_s: Prediction
    rotor_inertia_kg_m2: Prediction
    roll_rad_per_s2: Prediction
    pitch_rad_per_s2: Prediction
    yaw_rad_per_s2: Prediction
    roll_rate_limit_rad_per_s: float | None
    full_roll_s: Prediction
    full_flip_s: Prediction
    throttle_gain_n_per_percent: Prediction
    throttle_linearity: Prediction
    vertical_damping_n_s_per_m: Prediction
    sideways_damping_per_s: Prediction
    video_latency_s: Prediction
    video_latency_at_top_speed_m: Prediction
    samples: int


def response(craft: Craft, columns: PowertrainColumns, top_speed: Prediction | None = None) -> Response:
    """Everything about the answer of `craft` to its sticks; `top_speed` turns latency into metres."""
    hover = columns.level(charge=CHARGE)[:, 0]
    flies = hover["status"] == 0

    def result(values: Array, unit: str, missing: str | None = None) -> Prediction:
        return found(np.where(flies, values, np.nan), unit, missing if flies[0] else "it cannot hover")

    rise = step_answer(columns, hover)
    roll, pitch, yaw = steady_accelerations(columns)
    gain, linearity = throttle_gain(columns, hover)
    limit = craft.flight.roll_rate_limit
    slow = "the turn does not end within three seconds"
    latency = _latency(craft)
    return Response(
        state_of_charge=CHARGE,
        step_thrust_to_weight=_STEP,
        thrust_rise_s=result(rise[:, 0], "s", "more than full throttle would be needed for the step"),
        thrust_fall_s=result(rise[:, 1], "s", "more than full throttle would be needed for the step"),
        rotor_inertia_kg_m2=Prediction.of(columns.craft["rotor_inertia"], "kg m2"),
        roll_rad_per_s2=result(roll, "rad/s2"),
        pitch_rad_per_s2=result(pitch, "rad/s2"),
        yaw_rad_per_s2=result(yaw, "rad/s2"),
        roll_rate_limit_rad_per_s=limit.value if limit else None,
        full_roll_s=_free(result(_turn(columns, hover, 0, limit), "s", slow), limit),
        full_flip_s=_free(result(_turn(columns, hover, 1, limit), "s", slow), limit),
        throttle_gain_n_per_percent=result(gain, "N/%"),
        throttle_linearity=result(linearity, "1"),
        vertical_damping_n_s_per_m=result(_vertical(columns, hover), "N s/m"),
        sideways_damping_per_s=result(_sideways(columns), "1/s"),
        video_latency_s=latency,
        video_latency_at_top_speed_m=_way(latency, top_speed),
        samples=len(columns.craft) - 1,
    )


def _free(turn: Prediction, limit: Estimate | None) -> Prediction:
    """Say so when no rate limit holds a turn: few craft are set to turn as fast as their motors could."""
    if limit is not None or turn.value is None or turn.reason:
        return turn
    return replace(turn, reason="no roll_rate_limit_deg_per_s is given in [flight]: as fast as the motors turn it")


def step_answer(columns: PowertrainColumns, hover: NDArray[np.void]) -> Array:
    """Times of the step up and down [s], shape (rows, 2)."""
    high = columns.level(load=_STEP, charge=CHARGE)[:, 0]
    duties = np.stack([hover["duty"], np.where(high["status"] == 0, high["duty"], np.nan)], axis=1)
    times = np.full((len(hover), 2), np.nan)
    step_times(columns.craft.view(np.recarray), columns.rotors, duties, CHARGE, times)
    return times


def _one_side(columns: PowertrainColumns) -> PowertrainColumns:
    """The craft with half its motors, which is what draws when one side pushes alone."""
    rows = columns.craft.copy()
    rows["motors"] = rows["motors"] / 2
    return replace(columns, craft=rows)


def steady_accelerations(columns: PowertrainColumns) -> tuple[Array, Array, Array]:
    """Steady angular accelerations in roll, pitch and yaw [rad/s2]."""
    half = _one_side(columns)
    full = half.solve(duty=1.0, charge=CHARGE)
    motors, inertia, arm = half.craft["motors"], half.craft["inertia"], half.craft["arm"]
    force = motors * full["thrust"]
    roll, pitch = (force * arm[:, axis] / inertia[:, axis] for axis in (0, 1))
    return roll, pitch, motors * full["torque"] / inertia[:, 2]


def _turn(columns: PowertrainColumns, hover: NDArray[np.void], axis: int, limit: Estimate | None) -> Array:
    rows = columns.craft.view(np.recarray)
    rates = np.full(len(rows), limit.value if limit else np.inf)
    times = np.full(len(rows), np.nan)
    rotation, duty = (np.ascontiguousarray(hover[name]) for name in ("rotation", "duty"))
    turn_times(rows, columns.rotors, axis, rotation, duty, rates, 2 * math.pi, CHARGE, times)
    return times


def throttle_gain(columns: PowertrainColumns, hover: NDArray[np.void]) -> tuple[Array, Array]:
    """Thrust change a percent of throttle about hover [N/%], and that over the mean from nothing to full [1]."""
    motors = columns.craft["motors"]
    duty = hover["duty"]
    up, down = (columns.solve(duty=np.clip(duty + d, 0.02, 1.0), charge=CHARGE) for d in (0.01, -0.01))
    gain = motors * (up["thrust"] - down["thrust"]) / 2.0
    full = motors * columns.solve(duty=1.0, charge=CHARGE)["thrust"]
    return gain, gain / (full / 100.0)


def _vertical(columns: PowertrainColumns, hover: NDArray[np.void]) -> Array:
    """Thrust lost a speed of axial flow at the hovering duty [N s/m]."""
    duty = np.minimum(hover["duty"], 1.0)
    up, down = (columns.solve(duty=duty, charge=CHARGE, axial_speed=v) for v in (_NUDGE, -_NUDGE))
    return np.asarray(columns.craft["motors"] * (down["thrust"] - up["thrust"]) / (2.0 * _NUDGE))


def _sideways(columns: PowertrainColumns) -> Array:
    """Deceleration a speed of sideways flight, discs level: in-plane drag of the rotors over mass [1/s]."""
    points = columns.level(speed=_SIDEWAYS, charge=CHARGE)[:, 0]
    c = columns.craft
    drag = c["motors"] * points["in_plane"] + points["drag"]
    return np.asarray(drag / (c["mass"] * points["edgewise_speed"]))


def _latency(craft: Craft) -> Prediction:
    """Camera and video transmitter, where they state it; goggles and control link are not in it [s]."""
    stated = [
        placed.part.latency
        for role, kind in (("camera", Camera), ("video-transmitter", VideoTransmitter))
        if (placed := craft.the(role)) and isinstance(placed.part, kind)
    ]
    known = [value for value in stated if value is not None]
    if not known or len(known) < len(stated):
        return Prediction.absent("s", "camera or video transmitter state no latency")
    value, sd = sum(e.value for e in known), math.hypot(*(e.sd for e in known))
    reach = 1.645 * sd  # 5 to 95 % of a Gaussian
    return Prediction(value, max(value - reach, 0.0), value + reach, "s", "without goggles and control link")


def _way(latency: Prediction, speed: Prediction | None) -> Prediction:
    if latency.value is None or speed is None or speed.value is None:
        return Prediction.absent("m", latency.reason or "no top speed")
    low, high = (latency.low or latency.value, latency.high or latency.value)
    return Prediction(latency.value * speed.value, low * speed.value, high * speed.value, "m", latency.reason)
