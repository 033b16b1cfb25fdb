"""How many craft a second and core the kernel solves, beside the same equations with scipy's brentq."""

import math
import time

import numpy as np
from scipy.optimize import brentq

from rotorwright.columns import PowertrainColumns
from rotorwright.physics.battery import open_circuit_voltage
from rotorwright.physics.powertrain import CRAFT
from rotorwright.physics.rotor import coefficients, rotor_table, stack_tables
from rotorwright.physics.typical_blade import typical_blade

GRAVITY = 9.80665


def craft(n: int) -> PowertrainColumns:
    """`n` five- and six-inch craft with scattered motors, packs and masses."""
    rng = np.random.default_rng(1)
    blades = [
        typical_blade(0.0254 * d, 0.0254 * p, b) for d, p, b in ((5, 4.3, 3), (5.1, 4.5, 2), (6, 4, 2), (6, 4.5, 3))
    ]
    tables = [rotor_table(blade) for blade in blades]
    rows = np.zeros(n, CRAFT)
    k = rng.integers(0, len(tables), n)
    kv = rng.uniform(1600, 2600, n) * math.pi / 30
    values = {
        "mass": rng.uniform(0.4, 0.8, n),
        "motors": 4,
        "torque_constant": 1 / kv,
        "motor_resistance": rng.uniform(0.04, 0.12, n),
        "controller_resistance": 0.004,
        "idle_current": rng.uniform(0.6, 1.5, n),
        "idle_rotation": 10 * kv,
        "cells": 4,
        "capacity": 1.3 * 3600,
        "battery_resistance": rng.uniform(0.015, 0.035, n),
        "lead_resistance": 0.002,
        "electronics_power": 6.0,
        "propeller": k,
        "diameter": np.array([blade.diameter for blade in blades])[k],
        "chord_75": np.array([table.chord_75 for table in tables])[k],
        "thrust_level": 1.0,
        "power_level": 1.0,
        "advance_stretch": 1.0,
        "mach_scale": 1.0,
        "density": 1.225,
        "viscosity": 1.789e-5,
        "sound_speed": 340.3,
    }
    for name, value in values.items():
        rows[name] = value
    return PowertrainColumns(rows, *stack_tables(tables))


def plain_full_throttle(c: np.void, tables: np.ndarray, gains: np.ndarray) -> float:
    """Rotation at full throttle as a careful script would write it."""
    voc = c["cells"] * open_circuit_voltage(1.0, 0)

    def excess(rotation: float) -> float:
        n = rotation / (2 * math.pi)
        speed = 0.75 * math.pi * n * c["diameter"]
        reynolds = c["density"] * speed * c["chord_75"] / c["viscosity"]
        _, CP = coefficients(tables, gains, c["propeller"], 0.0, reynolds, speed / c["sound_speed"])
        torque = CP * c["density"] * n**2 * c["diameter"] ** 5 / (2 * math.pi)
        current = c["idle_current"] * (0.5 + 0.5 * rotation / c["idle_rotation"]) + torque / c["torque_constant"]
        needed = c["torque_constant"] * rotation + current * (c["motor_resistance"] + c["controller_resistance"])
        resistance = c["battery_resistance"] + c["lead_resistance"]
        loaded = voc - resistance * c["motors"] * current
        supply = 0.5 * (loaded + math.sqrt(max(loaded**2 - 4 * resistance * c["electronics_power"], 0)))
        return supply - needed

    return float(brentq(excess, 1.0, voc / c["torque_constant"] * 1.5, xtol=1e-9))


def main() -> None:
    """Print rates and the largest difference."""
    columns = craft(1_000_000)
    thrust = columns.craft["mass"] * GRAVITY / 4
    columns.solve(duty=1.0)
    columns.solve(thrust=thrust)
    for name, demand in (("full throttle", {"duty": 1.0}), ("hover", {"thrust": thrust})):
        start = time.perf_counter()
        points = columns.solve(**demand)
        seconds = time.perf_counter() - start
        solved = np.isfinite(points["rotation"]).mean()
        print(f"{name:14} {len(points) / seconds:12,.0f} craft/s on one core   ({solved:.1%} solved)")
    few = 2000
    start = time.perf_counter()
    plain = [plain_full_throttle(columns.craft[i], columns.tables, columns.gains) for i in range(few)]
    seconds = time.perf_counter() - start
    kernel = columns.solve(duty=1.0)["rotation"][:few]
    print(f"{'plain brentq':14} {few / seconds:12,.0f} craft/s at full throttle, table look-up compiled in both")
    print(f"largest relative difference in rotation: {np.max(np.abs(kernel / plain - 1)):.1e}")


if __name__ == "__main__":
    main()
