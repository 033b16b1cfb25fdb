"""Rows of the kernels: what a craft is, what an operating point is, and what a steady flight is."""

import numpy as np

__all__ = ["CRAFT", "POINT", "TRIM"]

CRAFT = np.dtype(
    [
        ("mass", "f8"),  # [kg]
        ("motors", "f8"),  # number
        ("torque_constant", "f8"),  # [N m/A]
        ("motor_resistance", "f8"),  # [ohm] at winding temperature
        ("controller_resistance", "f8"),  # [ohm] two switches in series
        ("idle_current", "f8"),  # [A] at idle_rotation
        ("idle_rotation", "f8"),  # [rad/s]
        ("cells", "f8"),  # in series
        ("chemistry", "i8"),  # index into battery.CHEMISTRIES
        ("capacity", "f8"),  # [C]
        ("battery_resistance", "f8"),  # [ohm] whole pack
        ("lead_resistance", "f8"),  # [ohm] leads and connector, both ways
        ("electronics_power", "f8"),  # [W] at the battery
        ("propeller", "i8"),  # index of the rotor table
        ("diameter", "f8"),  # [m]
        ("chord_75", "f8"),  # [m]
        ("thrust_level", "f8"),  # multiplies CT
        ("power_level", "f8"),  # multiplies CP
        ("thrust_slope", "f8"),  # CT varies with (Re/1e5)^slope besides the table
        ("power_slope", "f8"),
        ("advance_stretch", "f8"),  # the table is read at J / stretch
        ("mach_scale", "f8"),  # multiplies the compressibility gains
        ("density", "f8"),  # [kg/m3]
        ("viscosity", "f8"),  # [Pa s]
        ("sound_speed", "f8"),  # [m/s]
        # What flight needs besides; zero where only operating points are asked.
        ("in_plane_level", "f8"),  # multiplies CH
        ("drag_area", "f8"),  # [m2] of the body, air from ahead
        ("drag_area_top", "f8"),  # [m2] of the body, air along the rotors' axes
        ("inertia", "f8", (3,)),  # [kg m2] about roll, pitch and yaw
        ("arm", "f8", (2,)),  # [m] mean distance of the motors from the roll and the pitch axis
        ("rotor_inertia", "f8"),  # [kg m2] of one motor's rotor and its propeller
        ("current_limit", "f8"),  # [A] of one controller channel
        ("polarisation", "f8", (2,)),  # resistance of the two slow overvoltages over battery_resistance
        ("relaxation", "f8", (2,)),  # [s] their time constants
        ("pack_heat", "f8"),  # [J/K]
        ("pack_cooling", "f8"),  # [W/K]
        ("pack_start", "f8"),  # [K] at take-off
        ("resistance_20", "f8"),  # [ohm] winding at 20 C
        ("winding_heat", "f8"),  # [J/K]
        ("case_heat", "f8"),  # [J/K]
        ("winding_conductance", "f8"),  # [W/K] from winding to case
        ("case_area", "f8"),  # [m2]
        ("case_diameter", "f8"),  # [m]
        ("air_temperature", "f8"),  # [K]
    ],
    align=True,
)

POINT = np.dtype(
    [
        ("rotation", "f8"),  # [rad/s]
        ("thrust", "f8"),  # [N] of one rotor
        ("torque", "f8"),  # [N m] of one rotor
        ("ct", "f8"),
        ("cp", "f8"),
        ("duty", "f8"),
        ("motor_current", "f8"),  # [A]
        ("motor_voltage", "f8"),  # [V] across motor and controller
        ("battery_current", "f8"),  # [A]
        ("battery_voltage", "f8"),  # [V] at the pack
        ("supply_voltage", "f8"),  # [V] at the controllers
        ("tip_mach", "f8"),
        ("reynolds", "f8"),  # at 0.75 R, from rotation only
        ("status", "i8"),
    ],
    align=True,
)

TRIM = np.dtype(
    [
        ("pitch", "f8"),  # [rad] nose down
        ("axial_speed", "f8"),  # [m/s] through the discs from above
        ("edgewise_speed", "f8"),  # [m/s] along the discs
        ("rotation", "f8"),  # [rad/s]
        ("thrust", "f8"),  # [N] of one rotor
        ("in_plane", "f8"),  # [N] drag of one rotor along its disc
        ("drag", "f8"),  # [N] of the body
        ("torque", "f8"),  # [N m] of one rotor
        ("motor_current", "f8"),  # [A]
        ("duty", "f8"),
        ("battery_current", "f8"),  # [A]
        ("power", "f8"),  # [W] out of the pack
        ("status", "i8"),
    ],
    align=True,
)
