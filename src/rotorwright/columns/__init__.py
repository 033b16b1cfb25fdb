"""The bridge between objects and kernels: one row a craft, or a sample of one."""

from rotorwright.columns.draws import Draws
from rotorwright.columns.flight import drag_areas, flight_columns
from rotorwright.columns.masses import MassColumns, MassLine, mass_columns
from rotorwright.columns.powertrain import PowertrainColumns, powertrain_columns, rotor_columns

__all__ = [
    "Draws",
    "MassColumns",
    "MassLine",
    "PowertrainColumns",
    "drag_areas",
    "flight_columns",
    "mass_columns",
    "powertrain_columns",
    "rotor_columns",
]
