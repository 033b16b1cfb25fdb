"""Time of all rules on one loaded craft (aim: 100 ms), and of the column rules on a million craft at once."""

import statistics
import time
from collections.abc import Callable

import numpy as np

from rotorwright.checks import ColumnsView, CraftView, all_rules, check
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import DEMO

RUNS = 15
MANY = 1_000_000
FIELDS = {
    "battery": ("rating", "cells"),
    "motor": ("current_max", "power_max", "poles", "cells_max", "shaft", "wire_gauge"),
    "propeller": ("bore",),
    "speed-controller": ("current", "burst", "electrical_rotation_max", "cells_max", "cells_min"),
}


def timed(run: Callable[[], object]) -> tuple[float, float, float]:
    """Best, median and worst time [s] of RUNS runs after one that warms the caches."""
    run()
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times), statistics.median(times), max(times)


def one_craft() -> None:
    """A line for each demo craft, with and without the chance of breach."""
    for file in sorted((DEMO / "crafts").glob("*.toml")):
        craft = read_craft(file)
        for samples in (0, 256):
            best, median, worst = timed(lambda craft=craft, samples=samples: check(craft, samples))  # type: ignore[misc]
            print(
                f"{file.stem}: {len(all_rules())} rules, {samples:3} samples: {1e3 * best:5.0f} ms best, "
                f"{1e3 * median:5.0f} median, {1e3 * worst:5.0f} worst of {RUNS}"
            )


def many_craft() -> None:
    """A line for the margins of all column rules on a million rows."""
    view = CraftView(read_craft(DEMO / "crafts" / "lapwing-3.toml"), samples=0)
    fields = {
        (role, name): np.repeat(view.field(role, name), MANY) for role, names in FIELDS.items() for name in names
    }
    rows, full, in_flight, hover = (
        np.repeat(np.asarray(points), MANY) for points in (view.rows, view.full, view.in_flight, view.hover)
    )
    columns = ColumnsView(fields, rows, full, in_flight, hover)
    rules = [rule for rule in all_rules().values() if rule.columns and rule.code != "propeller-overspeed"]
    start = time.perf_counter()
    kept = np.all([rule.margin(columns) >= 0 for rule in rules], axis=0)
    took = time.perf_counter() - start
    print(
        f"{len(rules)} column rules on {MANY} craft: {took:.2f} s, {1e9 * took / MANY / len(rules):.0f} ns a margin"
    )
    assert kept.shape == (MANY,)


if __name__ == "__main__":
    one_craft()
    many_craft()
