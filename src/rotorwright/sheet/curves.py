"""Curves of one craft as pictures: throttle, level flight, the flight on the pack, other packs."""

from collections.abc import Sequence

import numpy as np

from rotorwright.physics.air import GRAVITY
from rotorwright.predict.endurance import Endurance
from rotorwright.predict.flight import Flight
from rotorwright.predict.packs import PackSweep
from rotorwright.predict.powertrain import ThrottlePoint
from rotorwright.predict.result import Prediction
from rotorwright.search.compare import Comparison
from rotorwright.search.measures import MEASURES
from rotorwright.sheet.chart import Line, Panel, line_chart

__all__ = ["flight_curves", "lift_curve", "pack_curve", "speed_curves", "throttle_curves", "version_curves"]

_BANDS = "Bands hold 5 to 95 %."
# Share of the samples beyond either bound.
_BEYOND = 0.05


def _line(name: str, x: Sequence[float], values: Sequence[Prediction], factor: float = 1.0) -> Line:
    def scaled(number: float | None) -> float | None:
        return None if number is None else number * factor

    y = [scaled(value.value) for value in values]
    low, high = ([scaled(getattr(v, side)) if _is_whole(v) else None for v in values] for side in ("low", "high"))
    return Line(name, x, y, low, high)


def _is_whole(value: Prediction) -> bool:
    """Whether 5 to 95 % of all samples lie within the bounds: no more have no solution than lie beyond either."""
    if value.samples is None or len(value.samples) < 2:
        return True
    return bool(np.isfinite(value.samples[1:]).mean() >= 1 - _BEYOND)


def throttle_curves(craft: str, curve: Sequence[ThrottlePoint], abreast: bool = False) -> str:
    """Thrust and current over throttle, standing."""
    x = [100 * point.throttle for point in curve]
    panels = (
        Panel("thrust of all rotors  g", (_line("thrust", x, [p.thrust_n for p in curve], 1e3 / GRAVITY),)),
        Panel("current from the pack  A", (_line("current", x, [p.battery_current_a for p in curve]),)),
    )
    return line_chart(f"{craft}: throttle, standing", "throttle  %", panels, _BANDS, abreast=abreast)


def lift_curve(craft: str, curve: Sequence[ThrottlePoint]) -> str:
    """Thrust over weight over throttle, standing."""
    x = [100 * point.throttle for point in curve]
    panel = Panel("thrust over weight", (_line("thrust", x, [p.thrust_to_weight for p in curve]),))
    return line_chart(f"{craft}: throttle", "throttle  %", (panel,), _BANDS)


def speed_curves(craft: str, flight: Flight, abreast: bool = False) -> str:
    """Power and pitch over airspeed in level flight."""
    x = [point.speed_m_per_s for point in flight.curve]
    panels = (
        Panel("power from the pack  W", (_line("power", x, [p.power_w for p in flight.curve]),)),
        Panel("pitch, nose down  deg", (_line("pitch", x, [p.pitch_deg for p in flight.curve]),)),
    )
    return line_chart(f"{craft}: level flight", "airspeed  m/s", panels, _BANDS, abreast=abreast)


def flight_curves(craft: str, flown: Endurance, abreast: bool = False) -> str:
    """Voltage, current and temperatures of the nominal flight on its profile."""
    trace = flown.trace
    t = [point.time_s / 60 for point in trace]
    warmth = (
        Line("winding", t, [p.winding_degc for p in trace]),
        Line("pack", t, [p.pack_degc for p in trace]),
    )
    panels = (
        Panel("voltage of the pack  V", (Line("voltage", t, [p.voltage_v for p in trace]),), from_zero=False),
        Panel("current from the pack  A", (Line("current", t, [p.current_a for p in trace]),)),
        Panel("temperature  C (comparative)", warmth),
    )
    note = "The nominal flight, no bounds."
    return line_chart(f"{craft}: {flown.profile}", "time  min", panels, note, abreast=abreast)


def pack_curve(craft: str, sweep: PackSweep) -> str:
    """Flight time over the mass of the pack."""
    grams = [1e3 * row.battery_mass_kg for row in sweep.rows]
    minutes = [None if row.time_s is None else row.time_s / 60 for row in sweep.rows]
    one = next(row for row in sweep.rows if row.size == 1.0)
    note = f"Nominal, no bounds. The pack on board has {1e3 * one.battery_mass_kg:.0f} g."
    panel = Panel("flight time  min", (Line("time", grams, minutes),))
    return line_chart(f"{craft}: {sweep.profile}, other sizes of pack", "mass of the pack  g", (panel,), note)


def version_curves(steps: Sequence[Comparison]) -> str:
    """Weight, flight time, thrust to weight and cost of the craft in a line."""
    x = [float(k + 1) for k in range(len(steps) + 1)]
    panels = []
    for name in ("weight", "flight-time", "thrust-to-weight", "cost"):
        factor = MEASURES[name].factor
        values = [steps[0].values_before[name], *(step.values_after[name] for step in steps)]

        def scaled(end: str, values: list[Prediction] = values, factor: float = factor) -> list[float | None]:
            found = [getattr(value, end) for value in values]
            return [None if v is None else v * factor for v in found]

        unit = MEASURES[name].shown
        label = f"{MEASURES[name].words}  {unit}".strip()
        panels.append(Panel(label, (Line(name, x, scaled("value"), scaled("low"), scaled("high")),), from_zero=False))
    names = ", ".join(f"{k + 1} {name}" for k, name in enumerate([steps[0].before, *(s.after for s in steps)]))
    return line_chart("Craft in a line", names, panels, "Bands hold 5 to 95 %.")
