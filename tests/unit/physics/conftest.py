"""A craft whose rotors follow straight lines, so that every kernel can be put beside its own equations."""

import math
from typing import Any

import numpy as np
import pytest

from rotorwright.columns import PowertrainColumns
from rotorwright.physics.battery import open_circuit_voltage
from rotorwright.physics.powertrain import CRAFT
from rotorwright.physics.rotor import ADVANCE, EDGEWISE, OBLIQUE_ADVANCE, OBLIQUE_REYNOLDS, REYNOLDS_75

CT_0, CT_J, CT_E = 0.13, -0.09, 0.04
CP_0, CP_J, CP_E = 0.07, -0.03, 0.02
CH_E = 0.011
GAIN_T, GAIN_P = 0.4, 0.7
UNRESOLVED = 0.12  # in-plane share of thrust that the flight theory adds, docs/theory/flight.md

# All different and none zero or one, so that a swapped or a lost one shows. Invented.
VALUES: dict[str, Any] = {
    "mass": 0.62,
    "motors": 6.0,
    "torque_constant": 0.0052,
    "motor_resistance": 0.061,
    "controller_resistance": 0.0043,
    "idle_current": 1.1,
    "idle_rotation": 1050.0,
    "cells": 4.0,
    "battery_resistance": 0.017,
    "lead_resistance": 0.0045,
    "electronics_power": 7.0,
    "diameter": 0.131,
    "chord_75": 0.0137,
    "thrust_level": 1.05,
    "power_level": 0.93,
    "advance_stretch": 1.08,
    "mach_scale": 0.6,
    "density": 1.19,
    "viscosity": 1.8e-5,
    "sound_speed": 338.0,
    "in_plane_level": 0.8,
    "drag_area": 0.006,
    "drag_area_top": 0.015,
    "inertia": (0.0021, 0.0036, 0.005),
    "arm": (0.085, 0.112),
    "rotor_inertia": 5.3e-6,
    "current_limit": 45.0,
}


class Straight:
    """One row of CRAFT with straight rotors, and its equations in plain words."""

    def __init__(self) -> None:
        ct = np.broadcast_to(CT_0 + CT_J * ADVANCE, (REYNOLDS_75.size, ADVANCE.size))
        cp = np.broadcast_to(CP_0 + CP_J * ADVANCE, ct.shape)
        E = EDGEWISE[None, :, None] * np.ones((OBLIQUE_REYNOLDS.size, 1, OBLIQUE_ADVANCE.size))
        oblique = np.stack([CT_E * E**2, CP_E * E**2, CH_E * E, 0.0 * E])
        self.rotors = (np.array([[ct, cp]]), np.array([[GAIN_T, GAIN_P]]), oblique[None])
        self.rows = np.zeros(1, CRAFT).view(np.recarray)
        for name, value in VALUES.items():
            self.rows[name] = value

    @property
    def row(self) -> Any:
        return self.rows[0]

    @property
    def columns(self) -> PowertrainColumns:
        return PowertrainColumns(np.asarray(self.rows), *self.rotors)

    def voc(self, charge: float) -> float:
        return float(self.row["cells"] * open_circuit_voltage(charge, 0))

    def coefficients(self, rotation: float, axial: float = 0.0, edgewise: float = 0.0) -> tuple[float, float, float]:
        """CT, CP and CH: straight in J, thrust and power square in E, and the row's own factors."""
        c, n = self.row, rotation / (2 * math.pi)
        J, E = axial / (n * c["diameter"] * c["advance_stretch"]), edgewise / (n * c["diameter"])
        CT = (CT_0 + CT_J * J + CT_E * E**2) * c["thrust_level"]
        CP = (CP_0 + CP_J * J + CP_E * E**2) * c["power_level"]
        CH = c["in_plane_level"] * (CH_E * E * c["power_level"] + UNRESOLVED * CT * E)
        M = 0.75 * math.pi * n * c["diameter"] / c["sound_speed"]
        stretch = c["mach_scale"] * (1 / math.sqrt(1 - M**2) - 1)
        return CT * (1 + GAIN_T * stretch), CP * (1 + GAIN_P * stretch), CH

    def forces(self, rotation: float, axial: float = 0.0, edgewise: float = 0.0) -> tuple[float, float, float]:
        """Thrust [N], torque [N m] and in-plane drag [N] of one rotor."""
        CT, CP, CH = self.coefficients(rotation, axial, edgewise)
        pressure = self.row["density"] * (rotation / (2 * math.pi)) ** 2 * self.row["diameter"] ** 4
        return CT * pressure, CP * pressure * self.row["diameter"] / (2 * math.pi), CH * pressure

    def idle(self, rotation: float) -> float:
        """Half of the idle current at any rotation, half in proportion to it [A]."""
        return float(self.row["idle_current"] * 0.5 * (1 + rotation / self.row["idle_rotation"]))

    def spin(self, duty: float, rotation: float, voc: float, motors: float, axial: float = 0.0) -> float:
        """J domega/dt = Kt (I - I0) - Q with the current of the module's equation [rad/s2]."""
        c = self.row
        supply = c["battery_resistance"] + c["lead_resistance"]
        sagged = voc - supply * c["electronics_power"] / voc
        path = c["motor_resistance"] + c["controller_resistance"] + motors * duty**2 * supply
        current = np.clip(
            (duty * sagged - c["torque_constant"] * rotation) / path, -c["current_limit"], c["current_limit"]
        )
        Q = self.forces(rotation, axial)[1]
        return float((c["torque_constant"] * (current - self.idle(rotation)) - Q) / c["rotor_inertia"])


@pytest.fixture
def straight() -> Straight:
    """A craft whose rotors follow straight lines."""
    return Straight()
