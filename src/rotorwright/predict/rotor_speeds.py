"""The range of rotor speeds that a frame is shaken with."""

import math
from dataclasses import dataclass, fields

from rotorwright.columns import Draws, mass_columns, powertrain_columns
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.physics.air import GRAVITY
from rotorwright.predict.report import site_air

__all__ = ["RotorSpeeds", "rotor_speeds"]

_RPM = 30 / math.pi
# Throttle of the slowest turning that counts: common practice, no source.
_LOW_THROTTLE = 0.1


@dataclass(frozen=True, slots=True)
class RotorSpeeds:
    """Rotor speeds at a tenth of the throttle, in hover and at full throttle, and the full thrust of one rotor."""

    low_rpm: float
    hover_rpm: float
    full_rpm: float
    full_thrust_n: float
    reason: str = ""

    def printed(self) -> dict[str, float | str | None]:
        """The record as JSON holds it: null where nothing turns, and the reason beside it."""
        speeds = {f.name: getattr(self, f.name) for f in fields(self)}
        return {name: v if isinstance(v, str) or math.isfinite(v) else None for name, v in speeds.items()}

    def band(self, rpm: float) -> str:
        """Where in the range a speed lies."""
        if not math.isfinite(self.hover_rpm):
            return "in the range"
        ratio = rpm / self.hover_rpm
        if ratio < 0.9:
            return "below hover"
        return "at hover" if ratio <= 1.1 else "above hover"


def rotor_speeds(craft: Craft) -> RotorSpeeds:
    """Nominal speeds of the craft's rotors, standing with a fresh pack; NaN and the reason when there are none."""
    draws = Draws(0)
    try:
        columns = powertrain_columns(craft, mass_columns(craft, draws).total(), site_air(craft), draws)
    except CannotCompute as error:
        return RotorSpeeds(math.nan, math.nan, math.nan, math.nan, str(error))
    weight = columns.craft["mass"] * GRAVITY / columns.craft["motors"]
    low = columns.solve(duty=_LOW_THROTTLE)
    hover = columns.solve(thrust=weight, charge=0.5)
    full = columns.solve(duty=1.0)
    lifted = int(hover["status"][0]) == 0
    return RotorSpeeds(
        float(low["rotation"][0]) * _RPM,
        float(hover["rotation"][0]) * _RPM if lifted else math.nan,
        float(full["rotation"][0]) * _RPM,
        float(full["thrust"][0]),
        "" if lifted else "it cannot hover",
    )
