"""How well thrust-stand fits foretell rows they have not seen, on open five-inch bench data.

Reads ../shared/data/five_inch_bench.csv (P. Cao and J. Strawson, open data, 2018: 13 motors with five propellers on a
stand at 7.4 and 11.1 V; volts, amps, speed of rotation, thrust; no torque, no throttle); says so and ends without it.

1. Fit every other throttle point of a motor with a propeller, foretell the points between.
2. Fit a propeller on one motor and another propeller on a second motor, foretell the first on the second.

Both are counted for thrust at a given speed of rotation and electrical power at a given thrust, above 0.2 N.
"""

import csv
import math
from collections import defaultdict
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from rotorwright.measure.stand_model import Bench, StandRows, bench_of, bench_row, stand_readings
from rotorwright.measure.thrust_stand import solve_stand
from rotorwright.parts.estimate import Estimate
from rotorwright.parts.laws import completed
from rotorwright.parts.propulsion import Motor, Propeller
from rotorwright.physics.air import standard_atmosphere

__all__ = ["DATA", "across_motors", "between_points", "stands"]

Array = NDArray[np.float64]
Key = tuple[str, str]  # motor and propeller
Errors = dict[str, list[float]]

DATA = Path(__file__).parents[2] / "shared" / "data" / "five_inch_bench.csv"
_LEAST_THRUST = 0.2
_LABEL_SD = 0.06  # of a label's Kv
# What the data set's notes say of one specimen: it turns as a motor of 1430 rpm/V, whatever its label.
_TRUE_KV = {"m": 1430.0}


@cache
def stands() -> dict[Key, tuple[Bench, StandRows]]:
    """Each motor with each propeller: what the labels say, and its rows without those that repeat."""
    found: dict[Key, list[dict[str, str]]] = defaultdict(list)
    with DATA.open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            found[row["specimen"], row["propeller"]].append(row)
    return {key: (_bench(rows[0]), _rows(rows)) for key, rows in found.items()}


def _bench(row: dict[str, str]) -> Bench:
    kv = _TRUE_KV.get(row["specimen"], float(row["kv_label"])) * math.pi / 30
    stator = row["stator_label"] or "2205"
    motor = completed(
        Motor(
            name=row["specimen"],
            kv=Estimate(kv, _LABEL_SD * kv),
            stator_diameter=Estimate(1e-3 * float(stator[:2])),
            stator_height=Estimate(1e-3 * float(stator[2:])),
        )
    )
    size, blades = row["propeller"].split()
    diameter, pitch = (0.0254 * float(inches) for inches in size.split("x"))
    propeller = completed(
        Propeller(name=row["propeller"], diameter=Estimate(diameter), pitch=Estimate(pitch), blades=int(blades[0]))
    )
    assert isinstance(motor, Motor) and isinstance(propeller, Propeller)
    return bench_of(motor, propeller, None, standard_atmosphere(0.0))


def _rows(rows: list[dict[str, str]]) -> StandRows:
    once = list({(row["rpm"], row["amps"]): row for row in rows if float(row["rpm"]) > 0}.values())
    volts, amps, rpm, grams = (
        np.array([float(row[name]) for row in once]) for name in ("volts", "amps", "rpm", "thrust_gf")
    )
    return StandRows.of(volts, amps, rpm * math.pi / 30, grams * 9.80665e-3)


@cache
def _fitted(key: Key) -> dict[str, float]:
    bench, rows = stands()[key]
    return solve_stand(rows, bench)[0].mean()


def between_points(motors: str = "") -> Errors:
    """Relative errors at the points between those that were fitted, of the named motors or of all."""
    errors: Errors = {"thrust": [], "power": []}
    for key, (bench, rows) in stands().items():
        if not motors or key[0] in motors:
            order = np.arange(len(rows))
            numbers = solve_stand(rows.part(order[::2]), bench)[0].mean()
            _add(errors, bench, numbers, rows.part(order[1::2]))
    return errors


def across_motors(motors: str = "") -> Errors:
    """Relative errors of a propeller fitted on one motor, on the next that was fitted with another propeller."""
    errors: Errors = {"thrust": [], "power": []}
    keys = [key for key in stands() if not motors or key[0] in motors]
    for propeller in sorted({p for _, p in keys}):
        own = sorted(m for m, p in keys if p == propeller)
        for i, first in enumerate(own):
            second = own[(i + 1) % len(own)]
            others = sorted(p for m, p in keys if m == second and p != propeller)
            numbers = dict(_fitted((second, others[i % len(others)])))
            known = _fitted((first, propeller))
            numbers |= {name: value for name, value in known.items() if name.startswith("propeller.")}
            numbers |= {name: 1.0 for name in numbers if name.endswith("_gain")}
            _add(errors, stands()[second, propeller][0], numbers, stands()[second, propeller][1])
    return errors


def _add(errors: Errors, bench: Bench, numbers: dict[str, float], rows: StandRows) -> None:
    """Add what a fit says of rows it has not seen, less what was read, relative."""
    loaded = rows.part(rows.thrust > _LEAST_THRUST)
    gain = {name: numbers[f"{name}_gain"] for name in ("thrust", "voltage", "current")}
    row = bench_row(bench, numbers)
    read = stand_readings(bench.columns, row, loaded.rotation, loaded.volts / gain["voltage"], loaded.bare)
    errors["thrust"] += list(gain["thrust"] * read[:, 0] / loaded.thrust - 1.0)
    columns = replace(bench.columns, craft=np.repeat(row, len(loaded)))
    point = columns.solve(thrust=loaded.thrust / gain["thrust"])
    watts = point["motor_voltage"] * point["motor_current"] * gain["voltage"] * gain["current"]
    errors["power"] += list(watts / (loaded.volts * loaded.amps) - 1.0)


def main() -> None:
    """Print medians and 90 % points."""
    if not DATA.exists():
        print("no bench data beside the checkout: nothing to compare with")
        return
    for title, errors in (("points between", between_points()), ("another motor", across_motors())):
        for what, found in errors.items():
            size = np.abs(found)
            print(
                f"{title}, {what}: median {np.median(size):.1%}, 90 % below {np.quantile(size, 0.9):.1%},"
                f" mean {np.mean(found):+.1%}, {len(found)} rows"
            )


if __name__ == "__main__":
    main()
