"""Any number of nominal craft flown on one profile, with the flight's own model."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rotorwright.columns import Draws, PowertrainColumns
from rotorwright.craft.model import Craft
from rotorwright.parts.propulsion import Battery
from rotorwright.physics.endurance import END
from rotorwright.physics.powertrain import OK
from rotorwright.predict.endurance import CELL_FLOOR, flown, landing_voltage
from rotorwright.predict.profiles import Leg, Profile

__all__ = ["Flights", "floor_voltage", "nominal_flights", "watched"]

Array = NDArray[np.float64]
Points = NDArray[np.void]


class _Nominal(Draws):
    """Draws of any number of nominal craft: no scatter, and every flight begins where the cycle does."""

    @property
    def rows(self) -> int:
        """One row a craft."""
        return self.size

    def factor(self, relative: float, key: str, law: str = "") -> Array:
        """As `Draws.factor`."""
        return np.ones(self.size)

    def normal(self, key: str) -> Array:
        """The share of the cycle that a normal deviate of minus infinity stands for is none."""
        return np.full(self.size, -np.inf)


def floor_voltage(craft: Craft) -> float:
    """Voltage of a cell at which the pilot eases off in a hard leg [V]."""
    battery = craft.the("battery")
    assert battery is not None and isinstance(battery.part, Battery)
    return min(CELL_FLOOR[battery.part.chemistry], landing_voltage(craft))


def watched(profile: Profile) -> list[Leg]:
    """The legs in which the pilot reads the voltage: the calm ones, or all when none is."""
    legs = [leg for leg in profile.legs if leg.seconds > 0.0]
    return [leg for leg in legs if leg.calm] or legs


def nominal_flights(craft: Craft, columns: PowertrainColumns, profile: Profile) -> Points:
    """Ends of the flight (END) of nominal craft that all land as `craft` does; time 0 where it cannot be flown."""
    if profile.best:  # the speed is looked for up to each craft's own top speed
        each = [replace(columns, craft=columns.craft[k : k + 1]) for k in range(len(columns.craft))]
        return np.concatenate([flown(craft, one, profile, _Nominal(1)).ends for one in each])
    ends = flown(craft, columns, profile, _Nominal(len(columns.craft))).ends
    load, speed, climb = (
        np.array([[getattr(leg, key) for leg in watched(profile)]]) for key in ("load_factor", "speed", "climb")
    )
    held = columns.level(load=load, speed=speed, climb=climb)["status"]
    ends["time"] = np.where((held == OK).all(axis=1), ends["time"], 0.0)
    return ends


@dataclass(frozen=True)
class Flights:
    """How combinations are flown: the profile, and by the pack's chemistry a craft that lands as they do."""

    profile: Profile
    lands: Mapping[int, Craft]

    def fly(self, columns: PowertrainColumns) -> Points:
        """Ends of the flight of every row (END)."""
        ends = np.zeros(len(columns.craft), END)
        for chemistry, craft in self.lands.items():
            own = np.flatnonzero(columns.craft["chemistry"] == chemistry)
            if len(own):
                ends[own] = nominal_flights(craft, replace(columns, craft=columns.craft[own]), self.profile)
        return ends
