"""What gets hot on the profile: windings, pack, leads, controllers. Comparative: no thermal data this small exist."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import PowertrainColumns
from rotorwright.craft.model import Craft
from rotorwright.parts.propulsion import Battery
from rotorwright.physics.endurance import CONSUMERS
from rotorwright.physics.heat import wire_rise
from rotorwright.physics.wire import resistance
from rotorwright.predict.endurance import Flown
from rotorwright.predict.result import Prediction

__all__ = ["Heat", "heat"]

Array = NDArray[np.float64]

_ICE = 273.15
_COMPARATIVE = "comparative: no thermal data of motors this small were found"
# Silicone insulation adds this to the copper's diameter: typical, no source.
_INSULATION = 1.9


@dataclass(frozen=True, slots=True)
class Heat:
    """Highest winding temperature on the profile, the pack's at its end, mean losses, and warming of the pack's
    leads.

    The windings' resistance follows their temperature throughout the flight.
    """

    profile: str
    winding_degc: Prediction
    battery_degc: Prediction
    controller_loss_w: Prediction
    motor_loss_w: Prediction
    pack_loss_w: Prediction
    lead_rise_k: Prediction


def heat(craft: Craft, columns: PowertrainColumns, profile: str, flight: Flown, reason: str | None = None) -> Heat:
    """Heat of a flight; all absent with `reason` when there was none."""
    ends = flight.ends
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = ends["energy"] / ends["time"][:, None]
        current = np.sqrt(ends["current_square"] / ends["time"])
    by = {name: mean[:, i] for i, name in enumerate(CONSUMERS)}
    motors = columns.craft["motors"]

    def result(values: Array, unit: str, note: str | None = None) -> Prediction:
        return Prediction.absent(unit, reason) if reason else Prediction.of(values, unit, note)

    return Heat(
        profile=profile,
        winding_degc=result(ends["winding_peak"] - _ICE, "degC", _COMPARATIVE),
        battery_degc=result(ends["pack_temperature"] - _ICE, "degC"),
        controller_loss_w=result(by["controllers"], "W"),
        motor_loss_w=result((by["copper"] + by["iron"]) / motors, "W"),
        pack_loss_w=result(by["pack"], "W"),
        lead_rise_k=_leads(craft, current, reason),
    )


def _leads(craft: Craft, current: Array, reason: str | None) -> Prediction:
    """Warming of the pack's own leads at the root mean square current [K]."""
    battery = craft.the("battery")
    gauge = battery.part.lead_gauge if battery and isinstance(battery.part, Battery) else None
    if reason or gauge is None:
        return Prediction.absent("K", reason or "the pack states no lead gauge")
    diameter = _INSULATION * math.sqrt(4 * gauge.value / math.pi)
    each = current / (battery.count if battery else 1)
    rise = [wire_rise(float(amps), float(resistance(1.0, gauge.value)), diameter) for amps in each]
    return Prediction.of(np.array(rise), "K")
