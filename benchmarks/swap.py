"""How long a swap takes: every motor of a long shelf in the place of the present one, with and without bounds."""

import math
import os
import tempfile
import time
from dataclasses import replace
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command sets it

from rotorwright.craft import read_craft
from rotorwright.craft.workshop import new_workshop
from rotorwright.parts.part import Part
from rotorwright.predict.report import report
from rotorwright.search.measures import MEASURES
from rotorwright.search.swap import swap
from rotorwright.search.swapped import candidates, find_placed, own_shelf, swapped, unweighed

COUNT, RUNS = 150, 5


def shelf_of(parts: list[Part], count: int) -> list[Part]:
    """`count` motors: those of the shelf, and invented ones with other windings of the same copper."""
    found = list(parts)
    turn = 0
    while len(found) < count:
        one = parts[turn % len(parts)]
        factor = 1.0 + 0.03 * (1 + turn // len(parts))
        turn += 1
        found.append(
            replace(
                one,
                name=f"{one.name}-{turn}",
                kv=one.kv.times(factor),
                resistance=one.resistance.times(factor**-2),
                idle_current=one.idle_current.times(factor),
            )
        )
    return found[:count]


def main() -> None:
    """Print the median and the worst wall time."""
    with tempfile.TemporaryDirectory() as folder:
        new_workshop(Path(folder) / "w")
        craft = read_craft(Path(folder) / "w" / "crafts" / "lapwing-3.toml")
        placed = find_placed(craft, "motor")
        parts = shelf_of(candidates(own_shelf(craft), type(placed.part), placed.part.name), COUNT)
        cases = {
            "without bounds": {"samples": 0, "findings": False},
            "without bounds, findings of the first ten": {"samples": 0},
            "with bounds": {"samples": 128, "findings": False},
            "with bounds, findings of the first ten": {"samples": 128},
        }
        for name, options in cases.items():
            times = []
            for run in range(RUNS + 1):
                start = time.perf_counter()
                swap(craft, placed, parts, MEASURES["flight-time"], **options)
                if run:
                    times.append(time.perf_counter() - start)
            times.sort()
            print(f"{COUNT} motors, {name:44} {times[RUNS // 2]:6.2f} s median   {times[-1]:6.2f} s worst of {RUNS}")
        few = 3
        start = time.perf_counter()
        for part in parts[:few]:
            report(swapped(unweighed(craft), placed, part), samples=128)
        each = (time.perf_counter() - start) / few
        print(f"the same by one report after another: {each * COUNT:6.1f} s ({each:.2f} s each, {few} timed)")
        assert math.isfinite(each)


if __name__ == "__main__":
    main()
