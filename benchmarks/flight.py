"""How long flights take to compute with their bounds, and how far the bounds move with the number of samples."""

import time
from collections.abc import Callable

import numpy as np

from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.predict.airborne import SAMPLES, STEADY_SAMPLES, Airborne, airborne
from rotorwright.predict.profiles import PROFILES
from rotorwright.predict.result import Prediction

CRAFT = read_craft(DEMO / "crafts" / "lapwing-1.toml")


def timed(work: Callable[[], object]) -> float:
    """Best of three, after one run to warm up [s]."""
    work()
    best = float("inf")
    for _ in range(3):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


def shown(p: Prediction) -> str:
    return f"{p.value:8.3f} ({p.low:8.3f} to {p.high:8.3f}) {p.unit}"


def main() -> None:
    ready = airborne(CRAFT, SAMPLES)
    print(f"sampling a craft, {SAMPLES} samples: {timed(lambda: airborne(CRAFT, SAMPLES)):.3f} s")
    for name in PROFILES:
        print(f"endurance, {name}, {SAMPLES} samples: {timed(lambda name=name: ready.fly(name)):.3f} s")  # type: ignore[misc]
    few: Airborne = airborne(CRAFT, STEADY_SAMPLES)
    print(f"speeds, {STEADY_SAMPLES} samples: {timed(few.steady):.3f} s")
    print(f"answers, {STEADY_SAMPLES} samples: {timed(few.respond):.3f} s")
    grid = np.arange(25.0)[None, :]
    points = few.columns.craft.shape[0] * grid.size
    seconds = timed(lambda: few.columns.level(speed=grid, charge=0.8))
    print(f"one steady point of flight: {1e6 * seconds / points:.1f} us")
    print("\nconvergence of the bounds")
    for samples in (128, 256, 512, 1024, 2048):
        here = airborne(CRAFT, samples)
        flight, steady, answer = here.fly("gentle-freestyle")[0], here.steady(), here.respond()
        print(f"{samples:5d}  time {shown(flight.time_s)}")
        print(f"       top speed {shown(steady.top_speed_m_per_s)}")
        print(f"       best range {shown(steady.best_range_speed_m_per_s)}")
        print(f"       rise {shown(answer.thrust_rise_s)}, roll {shown(answer.roll_rad_per_s2)}")


if __name__ == "__main__":
    main()
