"""The kernel row of one real craft: what candidates and joint fields are read off and checked against."""

from dataclasses import replace

import numpy as np

from rotorwright.columns import Draws, PowertrainColumns, flight_columns, mass_columns, powertrain_columns
from rotorwright.craft.model import Craft
from rotorwright.errors import CannotCompute
from rotorwright.parts.estimate import Estimate
from rotorwright.predict.balance import centre_and_inertia
from rotorwright.predict.report import site_air
from rotorwright.search.fleet import cost_of

__all__ = ["real_row"]

# Shadows take longer than all the rest; where they are asked for, they are cast apart.
_NO_SHADOW = Estimate(0.0)


def real_row(craft: Craft, flying: bool, shadow: bool = False) -> tuple[PowertrainColumns, float, float]:
    """Nominal columns of `craft`, its all-up mass [kg] and what its parts cost.

    flying: with what flight needs; shadow: with its drag areas too
    """
    draws = Draws(0)
    masses = mass_columns(craft, draws)
    mass = masses.total()
    cost = float(np.nansum([cost_of(p) for p in craft.parts]))
    if not flying:
        return powertrain_columns(craft, mass, site_air(craft), draws), float(mass[0]), cost
    if (found := centre_and_inertia(craft, masses)) is None:
        raise CannotCompute("nothing on the craft has a known mass")
    if not shadow:
        craft = replace(craft, flight=replace(craft.flight, drag_area=_NO_SHADOW, drag_area_top=_NO_SHADOW))
    return flight_columns(craft, mass, found[1], site_air(craft), draws), float(mass[0]), cost
