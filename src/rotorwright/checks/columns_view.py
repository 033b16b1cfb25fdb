"""What rules on columns read: fields and solved points of any number of craft."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rotorwright.checks.rule import Missing
from rotorwright.parts.fields import Quantity, Series, specs
from rotorwright.physics.battery import CHEMISTRIES, open_circuit_voltage
from rotorwright.units import suffixes

__all__ = ["ColumnsView", "full_cells", "key_of"]

Array = NDArray[np.float64]
Points = NDArray[np.void]

# Suffix in which people give a dimension, where it is not the first.
_USUAL = {"resistance": "mohm", "charge": "mah", "power": "w", "modulus": "gpa", "capacitance": "uf", "time": "s"}


@cache
def full_cells() -> Array:
    """Voltage of a full cell by chemistry [V]."""
    return np.array([open_circuit_voltage(1.0, index) for index in range(len(CHEMISTRIES))])


def key_of(kind: type, name: str) -> str:
    """The key of a field as a file would give it: `current` of a part is `current_a`."""
    spec = specs(kind).get(name)
    dimension = spec.dimension if isinstance(spec, Quantity | Series) else ""
    return f"{name}_{_USUAL.get(dimension) or suffixes(dimension)[0]}" if dimension else name


@dataclass(frozen=True)
class ColumnsView:
    """Columns of any number of craft: fields by (role, name), and solved points of all of them.

    rows: record array CRAFT; full, in_flight, hover: record arrays POINT at full throttle fresh and standing, at half
    charge and 15 m/s, and in hover at half charge
    """

    fields: Mapping[tuple[str, str], Array]
    rows: Points
    full: Points
    in_flight: Points
    hover: Points

    @property
    def full_voltage(self) -> Array:
        """Voltage of a full pack [V]."""
        return np.asarray(self.rows["cells"] * full_cells()[self.rows["chemistry"]])

    @property
    def motors(self) -> Array:
        """How many motors there are."""
        return np.asarray(self.rows["motors"])

    def field(self, role: str, name: str) -> Array:
        """The field `name` of the part that plays `role` [SI], one value a row."""
        try:
            return self.fields[role, name]
        except KeyError:
            raise Missing(f"{name} of the {role}") from None
