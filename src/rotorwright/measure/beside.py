"""What a craft's own prediction says of a number that was measured, and whether it held."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from rotorwright.columns import Draws, drag_areas, mass_columns
from rotorwright.craft.model import Craft
from rotorwright.errors import RotorwrightError
from rotorwright.measure.compared import HELD, MISSED
from rotorwright.measure.fit import Fit, FittedValue
from rotorwright.predict.airborne import airborne
from rotorwright.predict.balance import centre_and_inertia
from rotorwright.predict.result import Prediction

__all__ = ["SAMPLES", "Beside", "beside_prediction"]

SAMPLES = 256
_REACH = 1.645  # standard deviations to the 5 and 95 % points of a Gaussian
_STEP = 1.5  # weights, the step that the response is told for


@dataclass(frozen=True, slots=True)
class Beside:
    """A measured number and the prediction of it."""

    name: str
    """In words."""
    measured: float
    sd: float
    predicted: Prediction
    verdict: str
    note: str
    """What the two do not share; may be empty."""


def beside_prediction(fit: Fit, craft: Craft) -> tuple[Beside, ...]:
    """Every value of `fit` that `craft` has a prediction of; none where the craft cannot be predicted."""
    found = []
    for value in fit.values:
        ask = _ASKED.get(value.field) if value.kind == "craft" else None
        if ask is None:
            continue
        try:
            found.append(ask(value, craft))
        except RotorwrightError as reason:
            absent = Prediction.absent(value.unit, str(reason))
            found.append(_judged(value.field.replace("_", " "), value.value, value.sd, absent))
    return tuple(found)


def _judged(name: str, measured: float, sd: float, predicted: Prediction, note: str = "") -> Beside:
    """Held when the two bars of 90 % explain the distance together."""
    if predicted.value is None:
        return Beside(name, measured, sd, predicted, f"not compared: {predicted.reason}", note)
    if predicted.low is None or predicted.high is None:
        return Beside(name, measured, sd, predicted, "no bar was made", note)
    bound = predicted.high if measured > predicted.value else predicted.low
    reach = math.hypot(_REACH * sd, bound - predicted.value)
    held = abs(measured - predicted.value) <= reach
    return Beside(name, measured, sd, predicted, HELD if held else MISSED, note)


def _inertia(axis: int, word: str) -> Callable[[FittedValue, Craft], Beside]:
    def ask(value: FittedValue, craft: Craft) -> Beside:
        found = centre_and_inertia(craft, mass_columns(craft, Draws(SAMPLES, 0)))
        missing = Prediction.absent("kg m2", "nothing on the craft has a known mass")
        predicted = Prediction.of(found[1][:, axis, axis], "kg m2") if found is not None else missing
        note = "with everything on that the craft's file lists, pack included"
        return _judged(f"moment of inertia in {word}", value.value, value.sd, predicted, note)

    return ask


def _step(up: bool) -> Callable[[FittedValue, Craft], Beside]:
    def ask(value: FittedValue, craft: Craft) -> Beside:
        answer = airborne(craft, SAMPLES).respond()
        predicted = answer.thrust_rise_s if up else answer.thrust_fall_s
        factor = _ten_to_ninety(up)
        word = "rise" if up else "fall"
        note = f"10 to 90 % of thrust between hover and {_STEP:g} weights, from the lag as if it were the same there"
        return _judged(f"{word} of thrust", factor * value.value, factor * value.sd, predicted, note)

    return ask


def _ten_to_ninety(up: bool) -> float:
    """Time from 10 to 90 % of the thrust change over the lag of the speed, thrust as its square [-]."""
    start, end = (1.0, math.sqrt(_STEP)) if up else (math.sqrt(_STEP), 1.0)

    def left(share: float) -> float:
        speed = math.sqrt(start**2 + share * (end**2 - start**2))
        return (end - speed) / (end - start)

    return math.log(left(0.1) / left(0.9))


def _rotor(value: FittedValue, craft: Craft) -> Beside:
    predicted = Prediction.of(airborne(craft, SAMPLES).columns.craft["rotor_inertia"], "kg m2")
    return _judged("inertia of rotor and propeller", value.value, value.sd, predicted, _HOLDS_BOTH)


def _drag(value: FittedValue, craft: Craft) -> Beside:
    area = drag_areas(craft)[0]
    spread = math.sqrt(math.log1p(area.relative**2))
    low, high = (area.value * math.exp(way * _REACH * spread) for way in (-1.0, 1.0))
    predicted = Prediction(area.value, low, high, "m2")
    return _judged("drag area from ahead", value.value, value.sd, predicted, _HOLDS_BOTH)


def _drag_of_rotors(value: FittedValue, craft: Craft) -> Beside:
    level = airborne(craft, SAMPLES).columns.craft["in_plane_level"]
    predicted = Prediction.of(np.asarray(level), "1")
    return _judged("rotors' drag over the model's", value.value, value.sd, predicted, _HOLDS_BOTH)


_HOLDS_BOTH = "the fit starts from the prediction, so that they lie nearer to each other than chance would have it"

_ASKED: dict[str, Callable[[FittedValue, Craft], Beside]] = {
    "inertia_xx": _inertia(0, "roll"),
    "inertia_yy": _inertia(1, "pitch"),
    "inertia_zz": _inertia(2, "yaw"),
    "lag_up": _step(True),
    "lag_down": _step(False),
    "rotor_inertia": _rotor,
    "drag_area": _drag,
    "in_plane_level": _drag_of_rotors,
}
