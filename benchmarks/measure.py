"""Time and memory to read and sum up a long flight log, and to hold a prediction against it, as whole processes."""

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

MINUTES, RATE = 30, 2000

WORK = """
import resource, sys, time
from pathlib import Path
start = time.perf_counter()
from rotorwright.measure.flight_log import LOG_QUANTITIES, flight_log
from rotorwright.measure.log_book import log_book
from rotorwright.measure.readings import read_file
loaded = time.perf_counter()
found = read_file(Path(sys.argv[1]), LOG_QUANTITIES)
read = time.perf_counter()
book = log_book(flight_log(found), 0, None)
summed = time.perf_counter()
print(f"  imports {loaded - start:5.2f} s, read {read - loaded:5.2f} s, summed up {summed - read:5.2f} s,"
      f" {time.process_time():.2f} s of processor time, {found.rows:,} rows of {len(found.columns)} quantities, peak"
      f" {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3:.0f} MB")
"""

COMPARE = """
import sys, time
from pathlib import Path
from rotorwright.craft import read_craft
from rotorwright.craft.workshop import DEMO
from rotorwright.measure.compared import compare_with_log
from rotorwright.measure.flight_log import LOG_QUANTITIES, flight_log
from rotorwright.measure.readings import read_file
from rotorwright.measure.synthetic_flight import invent_flight
craft = read_craft(DEMO / "crafts" / "lapwing-3.toml")
file = Path(sys.argv[1])
file.write_text(invent_flight(craft, 1).csv())
flight = flight_log(read_file(file, LOG_QUANTITIES)).flight()
compare_with_log(craft, flight)
start = time.perf_counter()
compare_with_log(craft, flight)
print(f"  {time.perf_counter() - start:5.2f} s, {flight.duration_s / 60:.1f} min at 10 Hz, 256 samples")
"""


def write(file: Path, delimiter: str, comma: bool) -> None:
    """An invented log of 3.6 million rows: a slow wave of throttle, and a pack that sags."""
    import polars as pl

    rng = np.random.default_rng(0)
    n = MINUTES * 60 * RATE
    t = np.arange(n) / RATE
    throttle = 0.3 + 0.2 * np.sin(t / 3) + 0.01 * rng.standard_normal(n)
    current = 60 * throttle**1.5
    columns = {
        "time (s)": t,
        "throttle (%)": 100 * throttle,
        "voltage (V)": 25 - 0.002 * t - 0.04 * current,
        "current (A)": current,
        "rpm": 20000 * throttle**0.5,
        "ax (g)": 0.1 * rng.standard_normal(n),
        "ay (g)": 0.1 * rng.standard_normal(n),
        "az (g)": 1 + 0.1 * rng.standard_normal(n),
        "speed (m/s)": 5 + throttle,
    }
    pl.DataFrame(columns).write_csv(file, separator=delimiter, decimal_comma=comma, float_precision=4)


def main() -> None:
    """Print a line a case; each runs in a process of its own, so that its peak is its own."""
    with tempfile.TemporaryDirectory() as folder:
        for name, delimiter, comma in (("commas", ",", False), ("semicolons, decimal commas", ";", True)):
            file = Path(folder) / "log.csv"
            write(file, delimiter, comma)
            print(f"{MINUTES} min at {RATE} Hz, {name}, {file.stat().st_size / 1e6:.0f} MB")
            for _ in range(2):
                start = time.perf_counter()
                subprocess.run([sys.executable, "-c", WORK, str(file)], check=True)
                print(f"  whole process {time.perf_counter() - start:5.2f} s", flush=True)
        print("prediction held against a log")
        subprocess.run([sys.executable, "-c", COMPARE, str(Path(folder) / "flight.csv")], check=True)
    print(f"largest child {resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1e3:.0f} MB")


if __name__ == "__main__":
    main()
