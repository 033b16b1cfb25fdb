"""Invented bench work and hovers with a known truth: winding, swing, weighings, steps, coast-down, hover points."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorwright.columns import PowertrainColumns
from rotorwright.measure.coast_down import Coasting, speed_after
from rotorwright.measure.hover_points import HoverChain, hover_readings
from rotorwright.measure.rotor_inertia import rotor_trace
from rotorwright.measure.swing import period_stretch
from rotorwright.measure.synthetic import draw_truth
from rotorwright.parts.estimate import Estimate
from rotorwright.physics.air import GRAVITY
from rotorwright.physics.motor import COPPER_COEFFICIENT, copper_resistance

__all__ = [
    "Trial",
    "invent_coast",
    "invent_hovers",
    "invent_rotor_steps",
    "invent_steps",
    "invent_swing",
    "invent_weighings",
    "invent_winding",
]


@dataclass(frozen=True, slots=True)
class Trial:
    """Arguments for a fit, invented, and the numbers it should find, by "kind.field" [SI]."""

    arguments: Mapping[str, Any]
    truth: Mapping[str, float]


def invent_winding(seed: int, rows: int = 10) -> Trial:
    """Resistances of a copper winding between 15 and 90 C."""
    rng = np.random.default_rng(seed)
    true, gain = 0.06 * math.exp(0.3 * rng.standard_normal()), 1.0 + 0.01 * rng.standard_normal()
    offset = rng.standard_normal()
    kelvin = np.linspace(288.0, 363.0, rows)
    read = np.array([copper_resistance(true, t) for t in kelvin + offset]) * gain
    read = read * (1 + 2e-3 * rng.standard_normal(rows)) + 5e-5 * rng.standard_normal(rows)
    truth = {"motor.resistance": true, "motor.copper_coefficient": COPPER_COEFFICIENT}
    return Trial({"temperature": kelvin, "resistance": read}, truth)


def invent_swing(seed: int, threads: int = 2) -> Trial:
    """Five timings of ten swings of a five-inch craft on two or three threads."""
    rng = np.random.default_rng(seed)
    inertia = 4e-3 * math.exp(0.3 * rng.standard_normal())
    radius, length, mass, sds = 0.1, 1.5 if threads == 2 else 1.0, 0.65, (5e-4, 3e-3, 5e-4)
    amplitude = math.radians(12.0)
    period = 2 * math.pi * math.sqrt(inertia * length / (mass * GRAVITY)) / radius
    period *= period_stretch(amplitude, radius, length, mass, inertia)
    swings = np.full(5, 10.0)
    times = swings * period + 0.12 * rng.standard_normal(5)
    taped = [Estimate(v + sd * rng.standard_normal(), sd) for v, sd in zip((radius, length, mass), sds, strict=True)]
    arguments = {"times": times, "swings": swings, "amplitude": amplitude}
    return Trial(
        arguments | dict(zip(("radius", "length", "mass"), taped, strict=True)), {"craft.inertia_zz": inertia}
    )


def invent_weighings(seed: int) -> Trial:
    """Motors, propellers, a frame and screws on kitchen scales, alone and together."""
    rng = np.random.default_rng(seed)
    kinds = ("motor", "propeller", "plate", "screw")
    mean = np.array([0.032, 0.0045, 0.11, 0.0008])
    true = mean * np.exp(0.2 * rng.standard_normal(4))
    counts = np.array(
        [
            [1, 0, 0, 0],
            [4, 0, 0, 0],
            [0, 4, 0, 0],
            [0, 0, 1, 0],
            [0, 0, 0, 16],
            [4, 4, 0, 0],
            [4, 4, 1, 16],
            [0, 1, 0, 0],
        ]
    )
    gain = 1.0 + 1e-3 * rng.standard_normal()
    readings = counts @ true * gain + 1e-4 * rng.standard_normal(len(counts))
    parts = [(kind, kind) for kind in kinds]
    truth = {f"{kind}.mass": float(m) for kind, m in zip(kinds, true, strict=True)}
    return Trial({"parts": parts, "counts": counts, "readings": readings, "sd": 1e-4}, truth)


def invent_steps(seed: int, rate: float = 500.0, steps: int = 3) -> Trial:
    """Steps of a rotor up and down, exponential with a lag of its own for each."""
    rng = np.random.default_rng(seed)
    up, down = 0.035 * math.exp(0.3 * rng.standard_normal()), 0.05 * math.exp(0.3 * rng.standard_normal())
    time = np.arange(0.0, steps * 1.2, 1.0 / rate)
    speed, asked = np.empty(len(time)), np.empty(len(time))
    w = low = 1200.0
    for i, t in enumerate(time):
        asked[i] = 0.7 if t % 1.2 >= 0.6 else 0.35
        goal, tau = (1900.0, up) if asked[i] > 0.5 else (low, down)
        w = goal + (w - goal) * math.exp(-1.0 / (rate * tau))
        speed[i] = w
    speed += 4.0 * rng.standard_normal(len(time))
    return Trial({"time": time, "rotation": speed, "command": asked}, {"craft.lag_up": up, "craft.lag_down": down})


def invent_rotor_steps(columns: PowertrainColumns, seed: int) -> Trial:
    """Two steps up and down of a rotor whose model is the craft's own, with an inertia of its own."""
    rng = np.random.default_rng(seed)
    spread = {"kv_gain": 0.05, "torque_gain": 0.25, "winding_gain": 0.25, "idle_gain": 0.4}
    truth = {name: math.exp(sd * rng.standard_normal()) for name, sd in spread.items()}
    truth["craft.rotor_inertia"] = float(columns.craft["rotor_inertia"][0]) * math.exp(0.35 * rng.standard_normal())
    truth |= {"controller_lag": 3e-3 * math.exp(0.7 * rng.standard_normal()), "start": 1200.0}
    time = np.arange(0.0, 1.6, 1 / 500)
    throttle, volts = np.where(time % 0.8 < 0.4, 0.35, 0.5), np.full(len(time), 15.8)
    speed = rotor_trace(columns, truth, time, throttle, volts) + 5.0 * rng.standard_normal(len(time))
    arguments = {"columns": columns, "time": time, "rotation": speed, "throttle": throttle, "volts": volts}
    return Trial(arguments, truth)


def invent_coast(craft: Coasting, seed: int, headings: Sequence[int] = (1, -1, 1, -1), rate: float = 10.0) -> Trial:
    """Coasting runs from about 18 m/s both ways along a track."""
    rng = np.random.default_rng(seed)
    truth = draw_truth(craft.beliefs, rng)
    wind = 0.7 * rng.standard_normal()
    time, speed, run = [], [], []
    for r, way in enumerate(headings):
        t = np.arange(0.0, 6.0, 1.0 / rate)
        v = speed_after(craft, truth, 18.0 + rng.standard_normal(), t) + way * wind
        v += 0.15 * rng.standard_normal(len(t))
        keep = v > 1.5
        time += list(t[keep])
        speed += list(v[keep])
        run += [r] * int(keep.sum())
    arguments = {"craft": craft, "time": np.array(time), "speed": np.array(speed), "run": np.array(run)}
    return Trial(arguments | {"heading": dict(enumerate(headings))}, truth)


def invent_hovers(chain: HoverChain, seed: int, rows: int = 12) -> Trial:
    """Hovers from a fresh to a used pack, alone and with ballast."""
    rng = np.random.default_rng(seed)
    truth = draw_truth(chain.beliefs, rng, chain.bench.correlations)
    volts = float(chain.columns.craft["cells"][0]) * np.linspace(4.05, 3.6, rows)
    mass = chain.mass * np.where(np.arange(rows) % 2, 1.25, 1.0)
    read = hover_readings(chain, truth, volts, mass)
    noise = rng.standard_normal((2, rows))
    throttle = read[:, 0] * truth["throttle_gain"] + 0.01 * noise[0]
    amps = read[:, 1] * truth["current_gain"] * (1 + 0.02 * noise[1])
    arguments = {"chain": chain, "volts": volts * truth["voltage_gain"], "amps": amps}
    return Trial(arguments | {"throttle": throttle, "mass": mass}, truth)
